//! 320 random stacks worked out with 60 digits and more by the characteristic matrix: R and T, s and p.

use huewright_tests::accuracy::record;
use huewright_tests::stacks::{Stack, films};
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};
use optics::Cx;
use optics::stack::Polarisation;

const ORIGIN: Origin<'_> = Origin {
    chapter: "high-precision",
    source: "characteristic matrix with 60 digits and more (mpmath 1.4.1)",
    status: "second method",
};
const TOLERANCE: f64 = 1e-10;

#[test]
fn reflectance_and_transmittance_of_320_stacks() {
    let stacks = read("cross/high-precision/stacks.csv");
    assert_eq!(stacks.len(), 320);
    let mut many_films = 0;
    let (mut r_worst, mut t_worst) = (Worst::default(), Worst::default());
    for r in &stacks {
        let stack = Stack {
            ambient_n: r.number("ambient_n"),
            base: Cx::of(r.number("base_n"), r.number("base_k")),
            films: films(r.text("films")),
        };
        many_films += usize::from(stack.films.len() == 1000);
        let (wavelength_nm, angle_deg) = (r.number("wavelength_nm"), r.number("angle_deg"));
        for (word, polarisation) in [("s", Polarisation::S), ("p", Polarisation::P)] {
            let at = format!("stack {} {word}", r.text("id"));
            let energy = stack.energy(wavelength_nm, angle_deg, polarisation);
            let expected = r.number(&format!("r{word}"));
            r_worst.see(at.clone(), stack.reflectance(wavelength_nm, angle_deg, polarisation), expected, TOLERANCE);
            // The energy balance finds the same reflectance by its own recursion.
            r_worst.see(format!("{at}, by the energy balance"), energy.reflected, expected, TOLERANCE);
            t_worst.see(at, energy.transmitted, r.number(&format!("t{word}")), TOLERANCE);
        }
    }
    assert_eq!(many_films, 20);
    assert_eq!((r_worst.count, t_worst.count), (1280, 640));
    let of = "of 320 random stacks, 0 to 1000 films, 0 to 85 degrees, s and p";
    let unit = "share of light";
    // Which stack is the worst is a matter of rounding; a stack that fails is named by the panic below.
    let rows = vec![
        r_worst.rounding_row(ORIGIN, "1-r", &format!("reflectance {of}"), unit),
        t_worst.rounding_row(ORIGIN, "2-t", &format!("transmittance {of}"), unit),
    ];
    println!("worst: {}; {}", r_worst.at, t_worst.at);
    record("high-precision", rows);
}
