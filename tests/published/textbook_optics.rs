//! Closed forms of textbook optics at one wavelength: Fresnel, the Airy film, quarter-wave stacks, Brewster's angle.

use huewright_tests::accuracy::record;
use huewright_tests::stacks::{Stack, films, polarisation};
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};
use optics::Cx;

const ORIGIN: Origin<'_> = Origin {
    chapter: "textbook-optics",
    source: "closed forms, as in Born and Wolf, Principles of Optics, and Macleod, Thin-Film Optical Filters",
    status: "closed form",
};

/// Which ids belong together, and what they are.
const GROUPS: [(&str, &[&str], &str); 4] = [
    ("1-metal", &["metal-"], "reflectance of a bare metal, 0 to 89 degrees, s and p"),
    ("2-glass", &["glass-", "brewster-"], "reflectance of glass, straight on and at Brewster's angle"),
    ("3-film", &["quarter-", "ideal-", "half-", "double-"], "reflectance of quarter- and half-wave films on glass"),
    ("4-mirror", &["mirror-"], "reflectance of quarter-wave mirrors of 2 to 17 films"),
];

#[test]
fn every_row_of_the_closed_forms() {
    let mut worst = [(); GROUPS.len()].map(|()| Worst::default());
    for r in read("published/textbook-optics/single-wavelength.csv") {
        let stack = Stack {
            ambient_n: r.number("ambient_n"),
            base: Cx::of(r.number("base_n"), r.number("base_k")),
            films: films(r.text("films")),
        };
        let id = r.text("id");
        assert_eq!(r.text("quantity"), "R", "all closed forms here are reflectances");
        let ours =
            stack.reflectance(r.number("wavelength_nm"), r.number("angle_deg"), polarisation(r.text("polarisation")));
        let group = GROUPS.iter().position(|(_, starts, _)| starts.iter().any(|s| id.starts_with(s))).unwrap();
        worst[group].see(id, ours, r.number("value"), r.number("tolerance"));
    }
    assert_eq!(worst.iter().map(|w| w.count).sum::<usize>(), 41);
    let rows = GROUPS.iter().zip(&worst).map(|((key, _, what), worst)| worst.row(ORIGIN, key, what, "share of light"));
    record("textbook-optics", rows.collect());
}
