//! The command as a person and a program meet it: exit status, one clear error, the JSON contract, files that are whole.

#![allow(clippy::unwrap_used, reason = "helpers of a test")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn huewright(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_huewright")).args(arguments).current_dir(root()).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A folder of this test's own, emptied.
fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&path);
    std::fs::create_dir_all(&path).unwrap();
    path
}

fn json(arguments: &[&str]) -> Value {
    let output = huewright(arguments);
    assert!(output.status.success(), "{}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Bad input: exit status 2, nothing on the output, one line on the error stream that holds every given word.
fn refused(arguments: &[&str], words: &[&str]) {
    let output = huewright(arguments);
    let error = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {error}");
    assert!(output.stdout.is_empty(), "{arguments:?} printed {}", text(&output.stdout));
    assert_eq!(error.trim_end().lines().count(), 1, "{error}");
    for word in words {
        assert!(error.contains(word), "{arguments:?}: '{word}' is missing in: {error}");
    }
}

fn finish_with(name: &str, body: &str) -> String {
    let path = folder(name).join("finish.toml");
    std::fs::write(&path, body).unwrap();
    path.display().to_string()
}

const BLUE: &str = "examples/bells/blue-dome.toml";
const SHOP: &str = "examples/bells/workshop.toml";

#[test]
fn look_keeps_its_contract() {
    let look = json(&["look", BLUE, "--json"]);
    for key in ["schema", "lab", "xyz", "srgb", "srgb_out_of_gamut", "name", "order", "spectrum", "notes"] {
        assert!(!look[key].is_null(), "{key}");
    }
    let grid = look["spectrum"]["wavelength_nm"].as_array().unwrap();
    assert_eq!((grid.len(), grid[0].as_f64(), grid[80].as_f64()), (81, Some(380.0), Some(780.0)));
    assert_eq!(look["spectrum"]["reflectance"].as_array().unwrap().len(), 81);
    assert_eq!(look["schema"], 1);
    assert_eq!(look["order"], 1);
    // The same numbers as the library's own answer, unrounded.
    assert!(look["lab"][0].as_f64().unwrap().to_string().len() > 10);
}

#[test]
fn every_light_observer_tilt_and_geometry_answers() {
    for light in ["D65", "A", "D50", "F2", "F11", "LED-B3"] {
        for observer in ["2", "10"] {
            for geometry in ["included", "excluded", "specular"] {
                let look = json(&[
                    "look",
                    "examples/bells/lacquered-matte.toml",
                    "--json",
                    "--light",
                    light,
                    "--observer",
                    observer,
                    "--tilt",
                    "45",
                    "--geometry",
                    geometry,
                ]);
                assert!(look["lab"][0].as_f64().unwrap() > 0.0, "{light} {observer} {geometry}");
            }
        }
    }
}

#[test]
fn a_perfect_mirror_without_its_reflection_is_black() {
    let look = json(&["look", BLUE, "--json", "--geometry", "excluded"]);
    assert!(look["lab"][0].as_f64().unwrap().abs() < 1e-9);
}

#[test]
fn wrong_finishes_get_one_clear_error() {
    let base = "schema = 1\n[base]\nmaterial = \"titanium\"\n[[film]]\nmaterial = \"titania-anodic\"\n";
    let cases: [(&str, String, &[&str]); 8] = [
        (
            "unknown-material",
            "schema = 1\n[base]\nmaterial = \"titanum\"\n".into(),
            &["line 3", "base.material", "titanum", "'titanium'"],
        ),
        (
            "negative",
            format!("{base}thickness_nm = -3\n"),
            &["line 6", "film[1].thickness_nm", "-3 nm", "0 to 20000 nm"],
        ),
        ("nan", format!("{base}thickness_nm = nan\n"), &["line 6", "not a finite number"]),
        ("wrong-unit", format!("{base}thickness_nm = \"48 V\"\n"), &["'V'", "allowed units"]),
        ("missing", base.into(), &["thickness_nm", "is missing", "thickness_nm ="]),
        ("unknown-key", format!("{base}thickness_nm = 48\nthicknes = 3\n"), &["line 7", "did you mean 'thickness_nm'"]),
        (
            "many",
            format!(
                "schema = 1\n[base]\nmaterial = \"titanium\"\n{}",
                "[[film]]\nmaterial = \"silica\"\nthickness_nm = 1\n".repeat(10_000)
            ),
            &["10000 films", "at most 1000"],
        ),
        ("range", format!("{base}thickness_nm = {{ from = 0, to = 300 }}\n"), &["range", "gauge"]),
    ];
    for (name, body, words) in cases {
        refused(&["look", &finish_with(name, &body)], words);
    }
    let rough = finish_with("rough", "schema = 1\n[base]\nmaterial = \"titanium\"\nroughness_nm = \"Ra 8 uin\"\n");
    refused(&["look", &rough, "--geometry", "specular"], &["254.7 nm", "38.0 nm", "roughness_nm", "slope_deg"]);
    assert!(json(&["look", &rough, "--json"])["notes"].to_string().contains("taken as rms"));
    let binary = folder("binary").join("finish.toml");
    std::fs::write(&binary, [0xff, 0xfe, 0, 1, 2]).unwrap();
    refused(&["look", &binary.display().to_string()], &["not a text file"]);
    refused(&["look", "no-such-file.toml"], &["no-such-file.toml", "cannot be read"]);
}

#[test]
fn wrong_options_get_one_clear_error() {
    refused(&["look", BLUE, "--light", "D66"], &["'D66'", "D65"]);
    refused(&["look", BLUE, "--tilt", "90"], &["--tilt", "90", "0 to 85"]);
    refused(&["look", BLUE, "--observer", "5"], &["'5'"]);
    refused(&["match", "bluish", "--workshop", SHOP], &["'bluish'", "deep blue"]);
    refused(&["match", "#12345", "--workshop", SHOP], &["#rrggbb"]);
    refused(&["match", "lab(1, 2)", "--workshop", SHOP], &["lab(L, a, b)"]);
    refused(&["ribbon", "titanium", "--volts", "0..500"], &["400 V"]);
    refused(&["ribbon", "titanium", "--volts", "0..150"], &["110 V", "150 V"]);
    refused(&["ribbon", "gold", "--volts", "0..50"], &["gold", "grows no colour film"]);
    refused(&["ribbon", "niobium", "--degrees", "300..400", "--minutes", "60"], &["niobium", "coupon"]);
    refused(&["materials", "unobtainium"], &["unobtainium"]);
}

#[test]
fn an_own_table_and_inline_constants_need_no_code() {
    let folder = folder("own");
    std::fs::write(folder.join("mine.csv"), "wavelength_um,n,k\n0.38,2.6,3.6\n0.78,2.6,3.6\n").unwrap();
    let finish = folder.join("finish.toml");
    std::fs::write(&finish, "schema = 1\n[base]\nmaterial = { table = \"mine.csv\" }\n").unwrap();
    let by_table = json(&["look", &finish.display().to_string(), "--json"]);
    std::fs::write(&finish, "schema = 1\n[base]\nmaterial = { n = 2.6, k = 3.6 }\n").unwrap();
    let inline = json(&["look", &finish.display().to_string(), "--json"]);
    // Stack S1 of tests/cross/constant-index-stacks: L* 81.7710 for n = 2.6, k = 3.6.
    for look in [&by_table, &inline] {
        assert!((look["lab"][0].as_f64().unwrap() - 81.7710).abs() < 1e-4);
    }
}

#[test]
fn match_keeps_its_contract_and_saves_a_recipe() {
    let folder = folder("match");
    let recipe = folder.join("recipe.toml");
    let shop = folder.join("shop.toml");
    std::fs::write(
        &shop,
        "schema = 1\n[[metal]]\nid = \"titanium\"\n[[bath]]\nname = \"jar\"\nelectrolyte = \"citric-acid\"\n\
         [[anodiser]]\nname = \"supply\"\nkind = \"regulated\"\nmax_voltage_v = 30\nrepeatability_v = 0.5\n",
    )
    .unwrap();
    let shop = shop.display().to_string();
    let found =
        json(&["match", "#2e74b5", "--workshop", &shop, "--json", "--save", "1", &recipe.display().to_string()]);
    assert_eq!(found["target"]["lab"].as_array().unwrap().len(), 3);
    let way = &found["ways"][0];
    for key in [
        "feasible",
        "why_not",
        "steps",
        "finish",
        "lab",
        "delta_e",
        "expected_delta_e",
        "chance",
        "windows",
        "cautions",
        "preparation",
    ] {
        assert!(!way[key].is_null(), "{key}");
    }
    assert_eq!(way["feasible"], true);
    assert_eq!(way["steps"][0]["route"], "anodise");
    let volts = way["steps"][0]["settings"]["voltage_v"].as_f64().unwrap();
    // #2e74b5 is the colour of 50 nm on this titanium: 23.6 V by 4 nm + 1.95 nm/V.
    assert!((volts - 23.6).abs() < 0.3, "{volts}");
    let window = &way["windows"][0];
    assert!(window["low"].as_f64().unwrap() < volts && volts < window["high"].as_f64().unwrap());
    let kept = std::fs::read_to_string(recipe).unwrap();
    assert!(kept.contains("schema = 1") && kept.contains("voltage_v = "), "{kept}");
}

#[test]
fn no_way_ends_with_status_1_and_the_reason_also_in_json() {
    let folder = folder("no-way");
    let shop = folder.join("shop.toml");
    std::fs::write(
        &shop,
        "schema = 1\n[[metal]]\nid = \"stainless-austenitic\"\n[[coater]]\nname = \"contract arc\"\nkind = \"arc\"\n\
         films = [{ material = \"tialn\", composition = 0.6 }]\nthinnest_nm = 500\nrepeatability = 0.15\n",
    )
    .unwrap();
    let output = huewright(&["match", "deep blue", "--workshop", &shop.display().to_string(), "--json"]);
    assert_eq!(output.status.code(), Some(1));
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    let why = found["ways"][0]["why_not"].to_string();
    assert!(why.contains("thinnest film") && why.contains("500 nm") && why.contains("would look"), "{why}");
}

#[test]
fn a_bath_warns_above_30_and_again_above_60_volts() {
    let folder = folder("volts");
    let shop = folder.join("shop.toml");
    std::fs::write(
        &shop,
        "schema = 1\n[[metal]]\nid = \"titanium\"\n[[bath]]\nname = \"jar\"\nelectrolyte = \"citric-acid\"\n\
         [[anodiser]]\nname = \"supply\"\nkind = \"regulated\"\nmax_voltage_v = 110\n",
    )
    .unwrap();
    let shop = shop.display().to_string();
    // The colours of 60, 100 and 140 nm: about 29, 49 and 70 V.
    for (colour, voltage_30, voltage_60) in [
        ("lab(65.1, -8.5, -24.8)", false, false),
        ("lab(82.8, -9.3, 27.8)", true, false),
        ("lab(57.1, 56.2, -22.4)", true, true),
    ] {
        let found = json(&["match", colour, "--workshop", &shop, "--json"]);
        let cautions = found["ways"][0]["cautions"].to_string();
        assert_eq!(cautions.contains("voltage-30"), voltage_30, "{colour} {cautions}");
        assert_eq!(cautions.contains("voltage-60"), voltage_60, "{colour}");
        assert!(cautions.contains("hydrogen"), "{colour}");
    }
}

#[test]
fn a_supply_on_the_mains_is_refused_and_a_bath_never_thins_a_film() {
    let folder = folder("refused");
    let shop = folder.join("shop.toml");
    let write = |isolated: bool| {
        std::fs::write(
            &shop,
            format!(
                "schema = 1\n[[metal]]\nid = \"titanium\"\n[[bath]]\nname = \"jar\"\nelectrolyte = \"citric-acid\"\n\
                 [[anodiser]]\nname = \"supply\"\nkind = \"rectified\"\nisolated = {isolated}\nmax_voltage_v = 110\n"
            ),
        )
        .unwrap();
    };
    let ask = |from: &str| {
        let output =
            huewright(&["match", "#2e74b5", "--workshop", &shop.display().to_string(), "--from", from, "--json"]);
        assert_eq!(output.status.code(), Some(1), "{}", text(&output.stderr));
        serde_json::from_slice::<Value>(&output.stdout).unwrap()["ways"][0]["why_not"].to_string()
    };
    let gold = finish_with(
        "thick",
        "schema = 1\n[base]\nmaterial = \"titanium\"\n[[film]]\nmaterial = \"titania-anodic\"\nthickness_nm = 115\n",
    );
    write(false);
    assert!(ask(&gold).contains("not isolated"));
    write(true);
    let why = ask(&gold);
    assert!(why.contains("115 nm are already there"), "{why}");
}

#[test]
fn ribbons_are_written_whole_as_svg_png_and_csv() {
    let folder = folder("ribbon");
    let path = |name: &str| folder.join(name).display().to_string();
    let (svg, png, csv) = (path("r.svg"), path("r.png"), path("r.csv"));
    let output = huewright(&[
        "ribbon", "titanium", "--volts", "0..110", "--points", "56", "--tilts", "0,30,60", "--svg", &svg, "--png",
        &png, "--csv", &csv,
    ]);
    assert!(output.status.success(), "{}", text(&output.stderr));
    let drawn = std::fs::read_to_string(svg).unwrap();
    assert!(drawn.starts_with("<svg") && drawn.contains("<title>") && drawn.contains("voltage, V"));
    assert!(std::fs::read(png).unwrap().starts_with(b"\x89PNG"));
    let table = std::fs::read_to_string(csv).unwrap();
    assert_eq!(table.lines().count(), 1 + 3 * 56);
    assert!(table.starts_with("tilt_deg,voltage_v,film_nm,L,a,b,srgb,srgb_out_of_gamut,name"));
    // Nothing half-written is left beside them.
    assert_eq!(std::fs::read_dir(folder).unwrap().count(), 3);
}

#[test]
fn the_demo_runs_with_nothing_set_up() {
    let folder = folder("demo");
    let output = huewright(&["demo", "--folder", &folder.display().to_string()]);
    assert!(output.status.success(), "{}", text(&output.stderr));
    let said = text(&output.stdout);
    assert!(said.contains("invented") && said.contains("Ways, the likeliest first") && said.contains("Cautions"));
    assert!(folder.join("ways.png").exists() && folder.join("way-1-ribbon.svg").exists());
}

#[test]
fn why_names_sources() {
    let look = json(&["look", BLUE, "--json", "--why"]);
    let why = look["why"].to_string();
    assert!(why.contains("Johnson") && why.contains("CIE"), "{why}");
    let output = huewright(&["match", "deep blue", "--workshop", SHOP, "--why"]);
    assert!(text(&output.stdout).contains("Where the numbers come from"));
}

#[test]
fn every_material_that_must_exist_is_listed_with_source_and_caveat() {
    let listed = json(&["materials", "--json"]);
    let rows = listed["materials"].as_array().unwrap();
    // product.md, "Material ids that must exist".
    let must = "titanium titanium-grade-5 niobium tantalum zirconium stainless-austenitic stainless-ferritic carbon-steel \
                chromium nickel aluminium copper brass-70-30 silver gold silicon titania-anodic titania-anatase \
                titania-rutile niobia tantala zirconia hematite magnetite temper-oxide chromia tin tic zrn tialn \
                titanium-oxynitride silica alumina silicon-nitride carbon-hard carbon-dark water lacquer skin-oil";
    for id in must.split_whitespace() {
        let row = rows.iter().find(|r| r["id"] == id).unwrap_or_else(|| panic!("{id} is missing"));
        assert!(!row["sources"][0]["citation"].as_str().unwrap().is_empty(), "{id}");
    }
    for id in [
        "tialn",
        "titanium-oxynitride",
        "zrn",
        "chromia",
        "temper-oxide",
        "lacquer",
        "skin-oil",
        "tantalum",
        "titanium-grade-5",
        "carbon-steel",
    ] {
        let row = rows.iter().find(|r| r["id"] == id).unwrap();
        assert_eq!(row["stand_in"], true, "{id}");
    }
}

#[test]
fn nothing_of_the_persons_is_overwritten() {
    let folder = folder("apart");
    let shop = folder.join("shop.toml").display().to_string();
    std::fs::copy(root().join(SHOP), &shop).unwrap();
    let before = std::fs::read(&shop).unwrap();
    refused(&["match", "blue", "--workshop", &shop, "--save", "1", &shop], &["would be overwritten"]);
    assert_eq!(std::fs::read(&shop).unwrap(), before);
    let inside = folder.display().to_string();
    refused(&["ribbon", "titanium", "--volts", "0..20", "--csv", &inside], &["no ordinary file"]);
}

#[test]
fn a_lamp_without_blue_and_a_coat_that_is_not_clear_are_refused() {
    let folder = folder("lamp");
    let lamp = folder.join("red.csv");
    std::fs::write(&lamp, "wavelength_nm,power\n380,0\n700,0\n780,1\n").unwrap();
    refused(&["look", BLUE, "--light", &lamp.display().to_string()], &["red.csv", "red, green and blue"]);
    let coated = finish_with(
        "dark-coat",
        "schema = 1\n[base]\nmaterial = \"titanium\"\n[[over]]\nmaterial = { n = 1.5, k = 0.5 }\nthickness_um = 20\n",
    );
    refused(&["look", &coated], &["over[1].material", "0.01", "0.5", "[[film]]"]);
    refused(&["match", "blue", "--workshop", SHOP, "--geometry", "excluded"], &["specular component included"]);
}

#[test]
fn a_coat_over_the_part_and_a_part_that_melts_are_ruled_out() {
    let folder = folder("ruled-out");
    let shop = folder.join("shop.toml");
    std::fs::write(
        &shop,
        "schema = 1\n[[metal]]\nid = \"aluminium\"\n[[coater]]\nname = \"hot arc\"\nkind = \"arc\"\nfilms = [\"tin\"]\n\
         thinnest_nm = 500\npart_temperature_c = 700\n",
    )
    .unwrap();
    let shop = shop.display().to_string();
    let ask = |arguments: &[&str]| {
        let output = huewright(arguments);
        assert_eq!(output.status.code(), Some(1), "{}", text(&output.stderr));
        serde_json::from_slice::<Value>(&output.stdout).unwrap()["ways"].to_string()
    };
    assert!(ask(&["match", "gold", "--workshop", &shop, "--json"]).contains("melts from 660 C"));
    let matte = "examples/bells/lacquered-matte.toml";
    assert!(ask(&["match", "gold", "--workshop", SHOP, "--from", matte, "--json"]).contains("take the coat off first"));
}

#[test]
fn where_sources_disagree_both_settings_stand() {
    let folder = folder("niobium");
    let shop = folder.join("shop.toml");
    std::fs::write(
        &shop,
        "schema = 1\n[[metal]]\nid = \"niobium\"\n[[bath]]\nname = \"jar\"\nelectrolyte = \"tsp\"\n[[anodiser]]\n\
         name = \"supply\"\nkind = \"regulated\"\nmax_voltage_v = 100\nrepeatability_v = 0.5\n",
    )
    .unwrap();
    let found = json(&["match", "gold", "--workshop", &shop.display().to_string(), "--json"]);
    let step = &found["ways"][0]["steps"][0];
    let (one, other) = (&step["settings"]["voltage_v"], &step["by_other_sources"][0]["voltage_v"]);
    // 3.6 nm/V against 2.4 nm/V on the same 4 nm.
    assert!((other.as_f64().unwrap() / one.as_f64().unwrap() - 1.5).abs() < 1e-9, "{step}");
    assert!(found["ways"][0]["cautions"].to_string().contains("alkali-bath"));
}
