//! What every data file owes: a source, rising tables, k of zero or more, defaults that exist, names that meet.

use huewright::materials::materials;
use huewright::{Conditions, Engine};
use huewright_tests::finishes::{base, film, material};
use huewright_tests::lights::grid;
use library::{Optical, Role};
use std::collections::BTreeSet;

/// Ids that must exist (product.md).
const BASES: &str = "titanium titanium-grade-5 niobium tantalum zirconium stainless-austenitic stainless-ferritic \
                     carbon-steel chromium nickel aluminium copper brass-70-30 silver gold silicon";
const FILMS: &str = "titania-anodic titania-anatase titania-rutile niobia tantala zirconia hematite magnetite \
                     temper-oxide chromia tin tic zrn tialn titanium-oxynitride silica alumina silicon-nitride \
                     carbon-hard carbon-dark";
const OVER: &str = "water lacquer skin-oil";
const FAMILIES: &str = "tin tialn titanium-oxynitride";
const STAND_INS: &str = "tialn titanium-oxynitride zrn chromia temper-oxide lacquer skin-oil tantalum \
                         titanium-grade-5 carbon-steel";

fn engine() -> Engine {
    Engine::new().unwrap()
}

#[test]
fn promised_materials_exist_in_their_roles() {
    let engine = engine();
    for (ids, role) in [(BASES, Role::Base), (FILMS, Role::Film), (OVER, Role::Over)] {
        for id in ids.split_whitespace() {
            assert!(engine.library().serves_as(id, role), "{id} as {role:?}");
        }
    }
    for id in FAMILIES.split_whitespace() {
        assert!(engine.library().entry(id).unwrap().family.is_some(), "{id} has no slider");
    }
    for id in STAND_INS.split_whitespace() {
        assert!(engine.library().sources(id)[0].stand_in.is_some(), "{id} is not marked as a stand-in");
    }
}

#[test]
fn every_entry_names_sources_that_exist() {
    let engine = engine();
    let library = engine.library();
    let mut ids = BTreeSet::new();
    for entry in library.entries() {
        assert!(ids.insert(entry.id.as_str()), "{} stands twice", entry.id);
        assert!(!entry.roles.is_empty() && !entry.words.is_empty());
        assert!(library.head(&entry.id, &entry.default).is_ok(), "default of {}", entry.id);
        for rival in &entry.rivals {
            assert!(library.head(&entry.id, rival).is_ok(), "rival {rival} of {}", entry.id);
        }
        if let Some(family) = &entry.family {
            assert!(library.head(&entry.id, &family.source).is_ok(), "family of {}", entry.id);
            let [from, to] = family.range;
            assert!(0.0 <= from && from < to && to <= 1.0, "slider of {}", entry.id);
            assert!(family.default.is_none_or(|d| (from..=to).contains(&d)));
        }
        if let Some(shown) = &entry.shown {
            assert!(library.serves_as(&shown.on, Role::Base), "{} is shown on {}", entry.id, shown.on);
            assert!(shown.thickness_nm > 0.0);
        }
    }
}

#[test]
fn every_source_says_whence_it_comes() {
    let engine = engine();
    let mut heads = 0;
    for entry in engine.library().entries() {
        for head in engine.library().sources(&entry.id) {
            heads += 1;
            let name = format!("{} {}", head.material, head.source);
            for (what, text) in [
                ("citation", &head.citation),
                ("locator", &head.locator),
                ("licence", &head.licence),
                ("obtained", &head.obtained),
                ("conditions", &head.conditions),
                ("uncertainty", &head.uncertainty),
            ] {
                assert!(text.trim().len() > 2, "{name}: {what} is empty");
            }
            assert!(head.doi.as_ref().is_none_or(|doi| doi.starts_with("10.")), "{name}: {:?}", head.doi);
            assert!(head.valid_nm[0] < head.valid_nm[1], "{name}");
            assert!(head.valid_nm[0] <= 450.0 && head.valid_nm[1] >= 650.0, "{name} says little of the visible");
            if let Optical::Table { wavelength_nm, n, k } = &head.optical {
                assert!(wavelength_nm.windows(2).all(|w| w[0] < w[1]), "{name} does not rise");
                assert!(n.len() == wavelength_nm.len() && k.len() == n.len() && n.len() >= 2);
                assert!(n.iter().all(|v| v.is_finite() && *v > 0.0), "{name}: n");
                assert!(k.iter().all(|v| v.is_finite() && *v >= 0.0), "{name}: k");
                // The stated range is the source's; the table is cut to the visible, and covers what the source has of it.
                let (first, last) = (wavelength_nm[0], wavelength_nm[wavelength_nm.len() - 1]);
                let [from, to] = head.valid_nm;
                assert!(
                    first >= from - 0.5 && last <= to + 0.5,
                    "{name}: {first} to {last} nm is more than {from} to {to}"
                );
                assert!(first <= from.max(380.0) && last >= to.min(780.0) - 0.5, "{name} lacks some of {from} to {to}");
            }
        }
    }
    assert!(heads > 70, "{heads}");
}

/// Whatever the slider, on the whole grid: a positive index that does not shine, and a colour.
#[test]
fn every_source_gives_a_physical_index() {
    let engine = engine();
    for entry in engine.library().entries().iter().filter(|e| e.roles.contains(&Role::Film)) {
        for head in engine.library().sources(&entry.id) {
            let sliders: Vec<Option<f64>> = match &entry.family {
                Some(family) if family.source == head.source => (0..=8)
                    .map(|i| Some(family.range[0] + (family.range[1] - family.range[0]) * f64::from(i) / 8.0))
                    .collect(),
                _ => vec![None],
            };
            for composition in sliders {
                let mut finish = base("titanium", "");
                finish.films.push(film(material(&entry.id, &head.source), 50.0));
                finish.films[0].composition = composition;
                let built = engine.build(&finish).unwrap();
                let sample = built.sample(built.values(), &grid("380-780/5"));
                for layer in &sample.films[0].layers {
                    for index in &layer.index {
                        let name = format!("{} {} {composition:?}", entry.id, head.source);
                        assert!(index.re > 0.0 && index.re < 10.0 && index.im >= 0.0, "{name}: {index:?}");
                    }
                }
            }
        }
    }
    for row in materials(&engine, &Conditions::default()).unwrap() {
        assert!(
            row.lab.iter().all(|v| v.is_finite()) && (0.0..=100.0).contains(&row.lab[0]),
            "{}: {:?}",
            row.id,
            row.lab
        );
        assert_eq!(row.sources.len(), row.swatches.len());
        assert!(!row.sources.is_empty() && !row.seen.name.is_empty());
    }
}

#[test]
fn growth_and_oxidation_meet_the_register() {
    let engine = engine();
    let library = engine.library();
    for table in library.growths() {
        assert!(library.serves_as(&table.film, Role::Film), "{}", table.film);
        assert!(table.consumed > 0.0 && table.consumed < 1.0 && !table.laws.is_empty());
        for metal in &table.metals {
            assert!(library.serves_as(metal, Role::Base), "{metal}");
        }
        // One law at least for a bath that no one measured.
        assert!(table.laws.iter().any(|law| law.electrolytes.is_empty()), "{:?}", table.metals);
        for law in &table.laws {
            assert!(law.ratio_nm_per_v > 0.5 && law.ratio_nm_per_v < 5.0 && law.offset_nm >= 0.0, "{}", law.name);
            assert!(law.ratio_sd_nm_per_v > 0.0 && law.weight > 0.0 && law.valid_v[0] < law.valid_v[1], "{}", law.name);
            assert!(law.source.len() > 10 && law.status.len() > 5, "{} has no source", law.name);
            for electrolyte in &law.electrolytes {
                assert!(library.electrolyte(electrolyte).is_some(), "{electrolyte}");
            }
        }
    }
    for metal in BASES.split_whitespace() {
        let (Some(grown), Some(burnt)) = (library.growth(metal), library.oxidation(metal)) else { continue };
        // A bath and an oven make oxides of one metal: titania of any kind, niobia, tantala.
        let kind = |film: &str| film.split('-').next().unwrap_or_default().to_owned();
        assert_eq!(kind(&grown.film), kind(&burnt.film), "the oxide of {metal} by heat and by bath");
    }
    for id in BASES.split_whitespace().chain(FILMS.split_whitespace()) {
        let Some(table) = library.oxidation(id) else { continue };
        assert!(library.serves_as(&table.film, Role::Film), "{}", table.film);
        assert!(table.consumed > 0.0 && table.consumed < 1.0, "{id}");
        assert!(table.source.len() > 5 && table.note.len() > 10, "{id} has no source");
        if let Some(law) = &table.law {
            assert!(
                law.factor >= 1.0 && law.valid_c[0] < law.valid_c[1] && law.valid_minutes[0] < law.valid_minutes[1],
                "{id}"
            );
        }
    }
    for electrolyte in library.electrolytes() {
        assert!(electrolyte.source.len() > 5, "{} has no source", electrolyte.id);
    }
}

/// What current and charge need: a charge and a field for every metal that grows, conductivity where a table is at hand.
#[test]
fn charge_field_and_conductivity_are_physical() {
    let engine = engine();
    let library = engine.library();
    for table in library.growths() {
        let (charge, field) = (&table.charge, &table.field);
        // A titanium, zirconium, niobium or tantalum atom gives 4 or 5 electrons; pentoxides hold two atoms.
        assert!([4.0, 10.0].contains(&charge.valence), "{}", table.film);
        assert!(charge.molar_mass_g > 50.0 && charge.density_g_cm3 > 3.0 && charge.density_g_cm3 < 10.0);
        assert!(charge.efficiency > 0.0 && charge.efficiency <= 1.0, "{}", table.film);
        assert!(charge.status.len() > 5 && charge.efficiency_status.len() > 5, "{} has no status", table.film);
        assert!((40.0..=50.0).contains(&field.field_times_b) && field.at_ma_per_cm2 > 0.0, "{}", table.film);
        assert!(field.status.len() > 5 && field.source.len() > 10, "{} has no source", table.film);
    }
    for electrolyte in library.electrolytes() {
        assert!(electrolyte.bulk_g_per_ml.is_none_or(|g| (0.3..2.0).contains(&g)), "{}", electrolyte.id);
        let Some(c) = &electrolyte.conductivity else { continue };
        assert!(c.ms_per_cm.iter().all(|v| *v > 0.0 && *v < 1000.0), "{}", electrolyte.id);
        assert!(c.per_c > 0.0 && c.per_c < 0.05, "{}", electrolyte.id);
        assert!(c.status.len() > 5 && c.source.len() > 10 && c.per_c_status.len() > 10, "{}", electrolyte.id);
    }
    let row = |id: &str, percent: f64| {
        let table = library.electrolyte(id).unwrap().conductivity.as_ref().unwrap();
        let at = table.percent.iter().position(|p| (p - percent).abs() < 1e-9).unwrap();
        table.ms_per_cm[at]
    };
    // CRC Handbook, Electrical Conductivity of Aqueous Solutions, 20 C: as printed.
    for (id, percent, printed) in [
        ("citric-acid", 1.0, 2.1),
        ("citric-acid", 5.0, 4.7),
        ("ammonium-sulfate", 5.0, 57.4),
        ("acetic-acid", 10.0, 1.5),
    ] {
        assert!((row(id, percent) - printed).abs() < 1e-9, "{id} {percent} %");
    }
}

/// Pilling-Bedworth: what an oxide of this molar mass and density uses up of its metal, against `consumed`.
#[test]
fn the_charge_of_a_film_and_the_metal_it_uses_up_agree() {
    let engine = engine();
    let library = engine.library();
    // Atomic weights (IUPAC, abridged; from memory), densities of the register; a pentoxide holds two atoms of metal.
    for (metal, atomic_weight, atoms) in
        [("titanium", 47.867, 1.0), ("niobium", 92.906, 2.0), ("tantalum", 180.948, 2.0), ("zirconium", 91.224, 1.0)]
    {
        let table = library.growth(metal).unwrap();
        let density = library.entry(metal).unwrap().density_g_cm3.unwrap();
        let of_metal = atoms * atomic_weight / density;
        let of_oxide = table.charge.molar_mass_g / table.charge.density_g_cm3;
        // `consumed` has three digits; densities of metals differ by half a per cent between handbooks.
        assert!((of_metal / of_oxide / table.consumed - 1.0).abs() < 0.01, "{metal}: {}", of_metal / of_oxide);
    }
}

/// An anchor that a law was fitted through must lie on it: calibration, not a check of the law.
#[test]
fn calibration_anchors_lie_on_their_law() {
    let engine = engine();
    let mut anchors = 0;
    for id in BASES.split_whitespace() {
        let Some(table) = engine.library().oxidation(id) else { continue };
        let Some(law) = &table.law else { continue };
        let heat = routes::heat::Heat {
            activation_kj_per_mol: law.activation_kj_per_mol,
            k0_nm2_per_s: law.k0_nm2_per_s,
            factor: law.factor,
            consumed: table.consumed,
            repeatability_c: 0.0,
        };
        for anchor in &law.anchors {
            let ours = heat.grow(anchor.temperature_c, anchor.minutes, 0.0, routes::Draw::default()).thickness_nm;
            // The constants are printed with three and four digits: half a nanometre at these temperatures.
            assert!((ours - anchor.thickness_nm).abs() <= 0.5, "{id} at {} C: {ours}", anchor.temperature_c);
            anchors += 1;
        }
    }
    assert!(anchors >= 2, "{anchors}");
}

#[test]
fn lights_observers_and_cautions_say_whence_they_come() {
    let engine = engine();
    let lights: BTreeSet<&str> = engine.library().lights().iter().map(|l| l.light.as_str()).collect();
    assert_eq!(lights, BTreeSet::from(["A", "D50", "D65", "F11", "F2", "LED-B3"]));
    for light in engine.library().lights() {
        assert!(light.citation.len() > 10 && light.words.len() > 5);
        let table = &light.table;
        assert!(table.wavelength_nm.windows(2).all(|w| w[0] < w[1]));
        assert!(table.columns[0].iter().all(|v| v.is_finite() && *v >= 0.0), "{}", light.light);
        assert!(table.wavelength_nm[0] <= 380.0 && table.wavelength_nm[table.wavelength_nm.len() - 1] >= 780.0);
    }
    for observer in engine.library().observers() {
        assert!(observer.citation.len() > 10);
        assert_eq!(observer.table.columns.len(), 3);
        // The eye sees green best, and nothing as negative.
        let y = &observer.table.columns[1];
        let top = (0..y.len()).max_by(|a, b| y[*a].total_cmp(&y[*b])).unwrap();
        assert!((550.0..=560.0).contains(&observer.table.wavelength_nm[top]));
        assert!(observer.table.columns.iter().flatten().all(|v| *v >= 0.0));
    }
    assert!(!engine.library().cautions().is_empty());
    let mut ids = BTreeSet::new();
    for caution in engine.library().cautions() {
        assert!(ids.insert(caution.id.as_str()), "{} stands twice", caution.id);
        assert!(caution.text.len() > 20 && caution.source.len() > 5, "{} has no source", caution.id);
        // What it asks about must exist, or it would never show.
        let library = engine.library();
        for id in &caution.materials {
            assert!(library.entry(id).is_ok(), "{}: {id}", caution.id);
        }
        for id in &caution.electrolytes {
            assert!(library.electrolyte(id).is_some(), "{}: {id}", caution.id);
        }
        for id in &caution.preparations {
            let preparation = library.preparation(id).unwrap_or_else(|e| panic!("{}: {e}", caution.id));
            assert!(caution.means.iter().all(|m| preparation.means_named(m).is_ok()), "{}", caution.id);
        }
        assert!(caution.uses.iter().all(|u| ["skin", "food", "child"].contains(&u.as_str())), "{}", caution.id);
        assert!(!caution.when_given || caution.above.is_some(), "{} asks for no setting", caution.id);
    }
}

#[test]
fn preparations_meet_textures_routes_and_metals_and_always_offer_a_way_without_a_licence() {
    let engine = engine();
    let library = engine.library();
    let ids: Vec<&str> = library.preparations().iter().map(|p| p.id.as_str()).collect();
    assert_eq!(ids, ["clean", "polish", "blast", "etch", "strip", "bake"]);
    for preparation in library.preparations() {
        let id = &preparation.id;
        assert!(preparation.words.ends_with('.') && !preparation.does.is_empty(), "{id}");
        assert!(preparation.status.len() > 5 && preparation.source.len() > 5, "{id} has no source");
        let known = |word: &str| library.textures().iter().any(|t| t.word.as_deref() == Some(word));
        assert!(preparation.texture.as_deref().is_none_or(known), "{id}: {:?}", preparation.texture);
        assert!(preparation.before.iter().all(|r| ["anodise", "heat", "sputter", "arc"].contains(&r.as_str())), "{id}");
        assert!(preparation.metals.iter().all(|m| library.serves_as(m, Role::Base)), "{id}");
        let mut means = BTreeSet::new();
        for way in &preparation.means {
            assert!(means.insert(way.id.as_str()), "{id}: {} stands twice", way.id);
            assert!(way.source.len() > 5 && way.words.len() > 5, "{id}: {}", way.id);
        }
        assert!(preparation.means.is_empty() || preparation.means.iter().any(|m| !m.licensed), "{id}");
    }
    // ASTM B600-91 allows hydrofluoric acid; here it belongs into licensed facilities, and a way without it stands beside.
    let acid = library.preparation("etch").unwrap().means_named("hydrofluoric-nitric").unwrap();
    assert!(acid.licensed && acid.instead.as_deref().is_some_and(|i| i.contains("pumice")));
}
