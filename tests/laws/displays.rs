//! Screens: every colour that sRGB can show comes back byte for byte; others are flagged and keep hue and lightness.

use colour::{DISPLAY_P3, Display, Lab, Lch, SRGB, ciede2000};
use huewright::{Conditions, Engine, parse_target};
use huewright_tests::accuracy::record;
use huewright_tests::chance::Chance;
use huewright_tests::worst::{Origin, Worst};

#[test]
fn bytes_come_back() {
    for display in [SRGB, DISPLAY_P3] {
        for r in (0..=255_u8).step_by(15) {
            for g in (0..=255_u8).step_by(15) {
                for b in (0..=255_u8).step_by(15) {
                    let lab = display.lab([r, g, b].map(|v| f64::from(v) / 255.0));
                    let shown = display.show(lab);
                    assert_eq!(shown.bytes(), [r, g, b], "{}", display.name);
                    assert!(!shown.out_of_gamut && shown.shown_error == 0.0);
                    assert_eq!(shown.hex(), format!("#{r:02x}{g:02x}{b:02x}"));
                }
            }
        }
    }
}

#[test]
fn white_black_and_grey() {
    for display in [SRGB, DISPLAY_P3] {
        let white = display.lab([1.0; 3]);
        assert!((white.l - 100.0).abs() <= 1e-10 && white.a.abs() <= 1e-10 && white.b.abs() <= 1e-10, "{white:?}");
        assert_eq!(display.show(Lab { l: 100.0, a: 0.0, b: 0.0 }).hex(), "#ffffff");
        assert_eq!(display.show(Lab { l: 0.0, a: 0.0, b: 0.0 }).hex(), "#000000");
        // L* 50 is the grey of 18.4 % light: 119 of 255 by the sRGB curve.
        assert_eq!(display.show(Lab { l: 50.0, a: 0.0, b: 0.0 }).bytes(), [119; 3]);
    }
    // The white that both displays state: x 0.3127, y 0.3290.
    let white = Display::white();
    let total = white.x + white.y + white.z;
    assert!((white.x / total - 0.3127).abs() <= 1e-12 && (white.y / total - 0.3290).abs() <= 1e-12);
}

/// Outside the gamut: flagged, less chroma, the same lightness and hue. One unit of linear light in ten thousand is
/// granted as inside (half of the eighth bit where the curve is steepest), so that much may be clipped.
#[test]
fn colours_outside_keep_lightness_and_hue() {
    let mut chance = Chance::new(3);
    let (mut lightness, mut hue) = (Worst::default(), Worst::default());
    let (mut outside, mut inside) = (0, 0);
    for _ in 0..4_000 {
        let wanted = Lch { l: chance.between(3.0, 97.0), c: chance.between(0.0, 140.0), h: chance.between(0.0, 360.0) };
        for display in [SRGB, DISPLAY_P3] {
            let shown = display.show(wanted.lab());
            let seen = display.lab(shown.rgb).lch();
            assert!(shown.rgb.iter().all(|v| (0.0..=1.0).contains(v)));
            let at = format!("L* {:.1} C* {:.1} h {:.1}", wanted.l, wanted.c, wanted.h);
            lightness.see(at.clone(), seen.l, wanted.l, 0.1);
            // How far aside, in Lab units, not in degrees: a hue of nearly no chroma is no hue.
            let aside = seen.c * (seen.h - wanted.h).to_radians().sin();
            hue.see(at.clone(), aside, 0.0, 0.3);
            if shown.out_of_gamut {
                outside += 1;
                assert!(seen.c < wanted.c + 0.3, "{at}");
                assert!((shown.shown_error - ciede2000(wanted.lab(), seen.lab())).abs() < 0.3, "{at}");
                // Not duller than need be: a little more chroma would be outside too.
                let more = Lch { c: seen.c + 1.0, ..wanted };
                assert!(display.show(more.lab()).out_of_gamut, "{at}: {seen:?}");
            } else {
                inside += 1;
                assert!((seen.c - wanted.c).abs() < 0.3 && shown.shown_error == 0.0, "{at}");
            }
        }
        // Display P3 shows whatever sRGB shows.
        if !SRGB.show(wanted.lab()).out_of_gamut {
            assert!(!DISPLAY_P3.show(wanted.lab()).out_of_gamut, "{wanted:?}");
        }
    }
    assert!(outside > 1_000 && inside > 1_000, "{outside} {inside}");
    let origin = Origin { chapter: "displays", source: "gamut mapping at constant lightness and hue", status: "law" };
    record(
        "displays",
        vec![
            lightness.row(origin, "1-lightness", "L* of random colours as shown by sRGB and Display P3", "L*"),
            hue.row(origin, "2-hue", "distance of the shown colour from the wanted hue", "Lab units"),
        ],
    );
}

#[test]
fn hex_text_comes_back() {
    let engine = Engine::new().unwrap();
    for hex in ["#1f4fa0", "#000000", "#ffffff", "#c0ffee", "#7F7F7F"] {
        let target = parse_target(&engine, hex, &Conditions::default()).unwrap();
        assert_eq!(engine.swatch_of(target.lab, target.white).srgb, hex.to_lowercase());
    }
    for wrong in ["#12345", "#1234567", "#12345g", "lab(1,2)", "lab(120,0,0)", "no such colour", ""] {
        assert!(parse_target(&engine, wrong, &Conditions::default()).is_err(), "'{wrong}'");
    }
}
