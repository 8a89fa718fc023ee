//! Rules of the trade without a source, each beside what the model gives.

use colour::{Lab, ciede2000};
use huewright::finish::Eye;
use huewright::{Conditions, Engine};
use huewright_tests::accuracy::{Row, record, two_digits};
use huewright_tests::finishes::{base, film, material};
use huewright_tests::plans::bells;
use huewright_tests::tables::read;
use library::{FilmSpec, WorkshopFile};
use routes::carousel::{Carousel, Chamber, Facet, Place, Target};

/// Ion erosion of titanium, g/C (coatings.md 3.1.10, D from M).
const EROSION_G_PER_C: f64 = 19.6e-6;
/// Molar masses of titanium and of its nitride, g/mol, and density of the nitride, g/cm3 (M, as in coatings.md 3.4).
const TITANIUM: f64 = 47.867;
const NITRIDE: [f64; 2] = [61.874, 5.40];
/// Current of each cathode, A.
const CURRENT_A: f64 = 150.0;

/// nm a minute on the front of a part in the middle of the bells' arc.
fn arc_rate(engine: &Engine) -> f64 {
    let text = std::fs::read(bells().join("workshop.toml")).unwrap();
    let nothing = |_: &std::path::Path| Err(std::io::ErrorKind::NotFound.into());
    let shop = WorkshopFile::read("workshop.toml", &text, engine.library(), &nothing).unwrap();
    let arc = shop.coaters.iter().find(|c| c.name == "contract arc").unwrap();
    let load = arc.load.as_ref().unwrap();
    assert_eq!((load.rotation, arc.targets.len(), arc.part_temperature_c), (3, 4, Some(450.0)));
    let carousel = Carousel {
        rotation: load.rotation,
        rpm: load.rpm.unwrap(),
        table_mm: load.table_radius_mm,
        satellites: load.satellites,
        satellite_mm: load.satellite_radius_mm.unwrap(),
        satellite_ratio: load.satellite_ratio,
        pin_ratio: load.pin_ratio,
        shade_mm: load.satellite_radius_mm.unwrap(),
    };
    let target = |t: &library::TargetSpec| Target {
        bearing_deg: t.bearing_deg,
        axis_mm: t.axis_mm,
        track_height_mm: t.track_height_mm,
        track_width_mm: t.track_width_mm,
        emission: t.emission,
        centre_mm: t.centre_mm,
        groove_mm: t.groove_mm,
    };
    let chamber = Chamber { targets: arc.targets.iter().map(target).collect(), carousel };
    let facet = Facet { at_mm: [0.0; 3], normal: [1.0, 0.0, 0.0] };
    let mm3_per_s = 1e3 * EROSION_G_PER_C * CURRENT_A / TITANIUM * NITRIDE[0] / NITRIDE[1];
    60.0 * 1e6 * mm3_per_s * chamber.mean(Place::default(), facet)
}

struct Seen<'e> {
    engine: &'e Engine,
    eye: Eye<'e>,
}

impl Seen<'_> {
    /// Gold nitride that covers stainless steel, and films on it.
    fn on_gold(&self, films: Vec<FilmSpec>) -> Lab {
        let mut finish = base("stainless-austenitic", "");
        finish.films.push(film(material("tin", ""), 500.0));
        finish.films.extend(films);
        let built = self.engine.build(&finish).unwrap();
        self.eye.lab(&built, built.values()).unwrap()
    }

    fn dark(&self, nm: f64, composition: f64) -> Lab {
        self.on_gold(vec![FilmSpec { composition: Some(composition), ..film(material("tialn", ""), nm) }])
    }

    /// Chroma where the hue lies between two angles, degrees.
    fn chroma(lab: Lab, [from, to]: [f64; 2]) -> f64 {
        let hue = lab.b.atan2(lab.a).to_degrees().rem_euclid(360.0);
        let inside = (from..to).contains(&hue) || (from..to).contains(&(hue + 360.0));
        if inside { lab.a.hypot(lab.b) } else { 0.0 }
    }

    /// Most vivid over a burner, over most vivid with oxygen bled in.
    fn burner(&self, hues: [f64; 2]) -> f64 {
        let oxide = |nm: u32| self.on_gold(vec![film(material("titania-anodic", ""), f64::from(nm))]);
        let heated = (1..=60).map(|nm| Self::chroma(oxide(nm), hues)).fold(0.0, f64::max);
        let mut bled: f64 = 0.0;
        for from in [0.0, 0.3] {
            for to in [0.3, 0.5, 0.7, 0.85, 0.95] {
                for nm in (10..=160).step_by(4) {
                    let slice = |i: u32| FilmSpec {
                        composition: Some(from + (to - from) * (f64::from(i) + 0.5) / 16.0),
                        ..film(material("titanium-oxynitride", ""), f64::from(nm) / 16.0)
                    };
                    bled = bled.max(Self::chroma(self.on_gold((0..16).map(slice).collect()), hues));
                }
            }
        }
        heated / bled
    }
}

fn ours(key: &str, seen: &Seen<'_>) -> (f64, String) {
    let engine = seen.engine;
    let number = |v: f64| (v, two_digits(v));
    let named = |v: f64, lab: Lab| (v, format!("{v:.1} ({})", engine.names().name(lab)));
    match key.split_once('-').unwrap().1 {
        "arc-share" => {
            let share = 2_000.0 / arc_rate(engine) / 240.0;
            (share, format!("{} ({:.0} min of 240)", two_digits(share), 240.0 * share))
        }
        "arc-rate" => number(arc_rate(engine)),
        "fifteen-nm" => {
            let (gold, thin) = (seen.on_gold(Vec::new()), seen.dark(15.0, 0.6));
            assert_ne!(engine.names().name(gold), engine.names().name(thin));
            named(ciede2000(gold, thin), thin)
        }
        "half-um-black" => {
            let lab = seen.dark(500.0, 0.6);
            let black = engine.names().find("black").unwrap().lightness[1];
            ((lab.l - black).max(0.0), format!("L* {:.0}, {}", lab.l, engine.names().name(lab)))
        }
        "dark" => named(seen.dark(1000.0, 0.6).l, seen.dark(1000.0, 0.6)),
        "neutral" => number(Seen::chroma(seen.dark(1000.0, 0.6), [0.0, 360.0])),
        "dark-from-memory" => named(seen.dark(2000.0, 0.5).l, seen.dark(2000.0, 0.5)),
        "neutral-a" => number(seen.dark(2000.0, 0.5).a),
        "neutral-b" => (seen.dark(2000.0, 0.5).b, format!("{:.1}", seen.dark(2000.0, 0.5).b)),
        "burner-blue" => number(seen.burner([215.0, 300.0])),
        "burner-violet" => number(seen.burner([300.0, 390.0])),
        "burner-all" => number(seen.burner([0.0, 360.0])),
        "hardness-arc" => number(34.7 / 14.3),
        "hardness-one-work" => number(27.3 / 23.6),
        "hardness-trade" => number(2850.0 / 2150.0),
        "blasted" => {
            let blast = engine.library().preparations().iter().find(|p| p.id == "blast").unwrap();
            assert!(["sputter", "arc"].iter().all(|r| blast.before.iter().any(|b| b == r)));
            let said = blast.words.contains("alumina") || blast.means.iter().any(|m| m.words.contains("alumina"));
            (f64::from(u8::from(!said)), if said { "named" } else { "glass bead or fine grit, of no size" }.to_owned())
        }
        other => panic!("'{other}' is not known here"),
    }
}

/// Why the model does not agree.
fn why(key: &str) -> Option<&'static str> {
    Some(match key.split_once('-').unwrap().1 {
        "arc-rate" => {
            "only ions are counted, at the low end of the published 16 to 173 ug/C (3.1.9); vapour and droplets \
             are not, and the chamber is invented: four cathodes 150 mm and more from parts that turn three ways; the \
             bells' own workshop file says 60 nm/min, as a shop would read it off a coupon"
        }
        "half-um-black" => {
            "our dark nitride is a fit to gold nitride with its free electrons thinned out: it stays grey; films rich in \
             aluminium are in truth darker (its own caveat), no table is at hand, and rough or carbon-bearing films, which \
             trades call black, are not modelled"
        }
        "dark-from-memory" => "the same model is too light by some two L*; the bounds are from memory",
        "burner-all" => {
            "a burner is taken as laying smooth, even, dense oxide: yellows and reds of such an oxide are as vivid as any; \
             a flame heats unevenly over several orders, and the arc film below is hazy with droplets, neither of which is \
             modelled; in blue and from violet to red the rule holds"
        }
        "hardness-one-work" => "in one work both films are nearly alike: the rule is one of some arc films only",
        "hardness-trade" => "trade ranges put a third between them, and they overlap",
        _ => return None,
    })
}

#[test]
fn rules_of_the_trade() {
    let engine = Engine::new().unwrap();
    let conditions = Conditions::default();
    let seen = Seen { engine: &engine, eye: Eye::new(&engine, &conditions).unwrap() };
    let rows = read("published/trade-rules/rules.csv")
        .iter()
        .map(|r| {
            let key = r.text("key");
            let (value, told) = ours(key, &seen);
            let low = r.number("low");
            let high = r.maybe("high").unwrap_or(if key.ends_with("black") { 0.0 } else { f64::INFINITY });
            Row {
                key: format!("trade-rules/{key:0>2}"),
                what: r.text("what").to_owned(),
                source: "none".to_owned(),
                status: r.text("status").to_owned(),
                expected: r.text("expected").to_owned(),
                ours: told,
                miss: (low - value).max(value - high).max(0.0),
                tolerance: 0.0,
                unit: r.text("unit").to_owned(),
                why: why(key).map(ToOwned::to_owned),
            }
        })
        .collect();
    record("trade-rules", rows);
}
