//! A film of one lossy index on gold nitride: how a dark nitride a few tens of nm thick goes through the colours.

use huewright::look::look;
use huewright::{Conditions, Engine};
use huewright_tests::accuracy::record;
use huewright_tests::finishes::{base, film};
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};
use library::MaterialRef;

const ORIGIN: Origin<'_> = Origin {
    chapter: "lossy-film",
    source: "n 2.4, k 0.4 (invented) on titanium nitride of Schnabel 2018, worked out outside this program",
    status: "derived (D)",
};

#[test]
fn a_lossy_film_on_gold() {
    let engine = Engine::new().unwrap();
    let mut worst = Worst::default();
    let mut seen = Vec::new();
    for r in read("cross/lossy-film/lab.csv") {
        let mut finish = base("tin", "schnabel-2018");
        finish.films.push(film(MaterialRef::Inline { n: 2.4, k: 0.4 }, r.number("thickness_nm")));
        let told = look(&engine, &finish, &Conditions::default()).unwrap();
        for (name, i) in [("l", 0), ("a", 1), ("b", 2)] {
            let at = format!("{name}, {} nm", r.text("thickness_nm"));
            worst.see(at, told.lab[i], r.number(name), r.number("tolerance"));
        }
        seen.push((r.text("step").to_owned(), told.shown.name));
    }
    assert_eq!(worst.count, 27);
    // The order in our own words: each step of the list is another word of ours, or the same on both sides of a step.
    let ours: Vec<&str> = seen.iter().map(|s| s.1.as_str()).collect();
    assert!(ours.first() == Some(&"gold") && ours.contains(&"deep blue"), "{seen:?}");
    let turns = seen.windows(2).filter(|w| w[0].0 != w[1].0 && w[0].1 == w[1].1).count();
    assert_eq!(turns, 0, "{seen:?}");
    record("lossy-film", vec![worst.row(ORIGIN, "1-lab", "Lab of a lossy film on gold nitride", "Lab units")]);
}
