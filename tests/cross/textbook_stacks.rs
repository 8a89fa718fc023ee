//! Single-wavelength stacks that were computed elsewhere: absorbing films, several films, reciprocity.

use huewright_tests::accuracy::record;
use huewright_tests::stacks::{Stack, films, polarisation};
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};
use optics::Cx;

const ORIGIN: Origin<'_> = Origin {
    chapter: "textbook-stacks",
    source: "own recursion and own 2x2 matrix, outside this program; lossless rows also colour-science 0.4.7",
    status: "second method",
};

/// How ids begin, and what they are.
const GROUPS: [(&str, &str, &str); 4] = [
    ("1-absorbing-film", "absorbing-film-", "reflectance of an absorbing film on a metal, 0 to 60 degrees, s and p"),
    (
        "2-three-films",
        "three-films-",
        "reflectance of three films on a metal, 450 to 650 nm, 0 and 60 degrees, s and p",
    ),
    ("3-lossless", "lossless-", "reflectance of clear films on glass, 0 to 60 degrees, s and p"),
    ("4-reciprocity", "reciprocity-", "R and T of an absorbing stack from both sides, 0 and 60 degrees, s and p"),
];

#[test]
fn every_computed_row() {
    let mut worst = [(); GROUPS.len()].map(|()| Worst::default());
    for r in read("cross/textbook-stacks/single-wavelength.csv") {
        let stack = Stack {
            ambient_n: r.number("ambient_n"),
            base: Cx::of(r.number("base_n"), r.number("base_k")),
            films: films(r.text("films")),
        };
        let at = (r.number("wavelength_nm"), r.number("angle_deg"), polarisation(r.text("polarisation")));
        let ours = match r.text("quantity") {
            "R" => stack.reflectance(at.0, at.1, at.2),
            "T" => stack.energy(at.0, at.1, at.2).transmitted,
            other => panic!("'{other}' is neither R nor T"),
        };
        let group = GROUPS.iter().position(|(_, start, _)| r.text("id").starts_with(start)).unwrap();
        worst[group].see(r.text("id"), ours, r.number("value"), r.number("tolerance"));
    }
    assert_eq!(worst.iter().map(|w| w.count).sum::<usize>(), 31);
    let rows = GROUPS.iter().zip(&worst).map(|((key, _, what), worst)| worst.row(ORIGIN, key, what, "share of light"));
    record("textbook-stacks", rows.collect());
}
