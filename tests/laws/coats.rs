//! Clear coats: thick ones without interference, as an average over their own fringes; thin ones with it; water above.

use huewright::look::look;
use huewright::{Conditions, Engine};
use huewright_tests::accuracy::record;
use huewright_tests::finishes::{base, coated, material};
use huewright_tests::stacks::Stack;
use huewright_tests::worst::{Origin, Worst};
use library::{CoatSpec, FinishFile, MediumAbove};
use optics::stack::POLARISATIONS;
use optics::{Coat, Cx, Geometry, INTERFERENCE_LIMIT_UM, View};

const WAVELENGTHS_NM: [f64; 3] = [400.0, 550.0, 700.0];

fn lacquered(mut finish: FinishFile, thickness_um: f64) -> FinishFile {
    finish.over.push(CoatSpec { material: material("lacquer", ""), thickness_um });
    finish
}

/// Fringes that no eye sees must not move the colour: 20.0 and 20.1 micrometres of lacquer agree (product.md).
#[test]
fn a_tenth_of_a_micrometre_of_lacquer_moves_nothing() {
    let engine = Engine::new().unwrap();
    let mut worst = Worst::default();
    for nm in [0.0, 25.0, 50.0, 130.0] {
        for tilt_deg in [0.0, 60.0] {
            let conditions = Conditions { tilt_deg, ..Conditions::default() };
            let [a, b] = [20.0, 20.1].map(|um| {
                let finish = lacquered(coated(("titanium", ""), ("titania-anodic", ""), nm), um);
                look(&engine, &finish, &conditions).unwrap().lab
            });
            for i in 0..3 {
                worst.see(format!("{nm} nm at {tilt_deg} degrees"), b[i], a[i], 0.01);
            }
        }
    }
    let origin = Origin { chapter: "coats", source: "a thick coat shows no fringes", status: "law" };
    let bare = look(&engine, &base("titanium", ""), &Conditions::default()).unwrap().lab;
    let under = look(&engine, &lacquered(base("titanium", ""), 20.0), &Conditions::default()).unwrap().lab;
    assert!((bare[0] - under[0]).abs() > 1.0, "lacquer itself is seen: {bare:?} {under:?}");
    record(
        "coats",
        vec![worst.row(origin, "1-lacquer", "Lab under 20.1 against 20.0 micrometres of lacquer", "Lab units")],
    );
}

fn films() -> Vec<(Cx<f64>, f64)> {
    vec![(Cx::of(1.8, 0.4), 30.0), (Cx::of(2.4, 0.0), 60.0)]
}

fn plain(over: Vec<(Cx<f64>, f64)>) -> Stack {
    let mut films = films();
    films.extend(over);
    Stack { films, ..Stack::bare(Cx::of(2.5, 3.4)) }
}

fn with_coats(coats: &[(Cx<f64>, f64)], tilt_deg: f64) -> Vec<f64> {
    let mut sample = plain(Vec::new()).sample(&WAVELENGTHS_NM);
    sample.over =
        coats.iter().map(|(index, um)| Coat { index: vec![*index; WAVELENGTHS_NM.len()], thickness_um: *um }).collect();
    sample.reflectance(View { tilt_deg, geometry: Geometry::Included }).unwrap()
}

/// Unpolarised reflectance with coats that interfere, averaged over `count` thicknesses within one fringe of each coat
/// that is marked: for a clear coat that is exactly the sum of intensities.
fn averaged(coats: &[(Cx<f64>, f64, bool)], wavelength_nm: f64, tilt_deg: f64, count: u32) -> f64 {
    let s2 = tilt_deg.to_radians().sin().powi(2);
    let mut stacks = vec![Vec::new()];
    for (index, um, turned) in coats {
        let fringe_nm = wavelength_nm / (2.0 * (index.re * index.re - s2).sqrt());
        let shifts: Vec<f64> =
            if *turned { (0..count).map(|i| fringe_nm * f64::from(i) / f64::from(count)).collect() } else { vec![0.0] };
        stacks = stacks
            .iter()
            .flat_map(|before: &Vec<(Cx<f64>, f64)>| {
                shifts.iter().map(move |shift| [before.as_slice(), &[(*index, um * 1e3 + shift)]].concat())
            })
            .collect();
    }
    let (mut sum, mut seen) = (0.0, 0.0);
    for over in stacks {
        let stack = plain(over);
        for polarisation in POLARISATIONS {
            sum += stack.reflectance(wavelength_nm, tilt_deg, polarisation);
            seen += 1.0;
        }
    }
    sum / seen
}

#[test]
fn a_thick_coat_is_the_average_over_its_fringes() {
    let (coat, cap) = (Cx::of(1.5, 0.0), Cx::of(1.38, 0.0));
    for tilt_deg in [0.0, 35.0, 70.0] {
        let one = with_coats(&[(coat, 20.0)], tilt_deg);
        let capped = with_coats(&[(coat, 20.0), (cap, 0.1)], tilt_deg);
        let under = with_coats(&[(cap, 0.2), (coat, 20.0)], tilt_deg);
        for (w, nm) in WAVELENGTHS_NM.iter().enumerate() {
            let cases = [
                ("one", one[w], averaged(&[(coat, 20.0, true)], *nm, tilt_deg, 40)),
                ("capped", capped[w], averaged(&[(coat, 20.0, true), (cap, 0.1, false)], *nm, tilt_deg, 40)),
                ("on a thin one", under[w], averaged(&[(cap, 0.2, false), (coat, 20.0, true)], *nm, tilt_deg, 40)),
            ];
            for (case, ours, average) in cases {
                assert!((ours - average).abs() <= 1e-12, "{case}, {nm} nm, {tilt_deg} degrees: {ours} {average}");
            }
        }
    }
}

/// Two thick coats add their intensities; here they are put together from the outside inward, the engine goes outward.
/// (An average over both fringes is not quite that: bounces that cross each coat equally often stay in step.)
#[test]
fn two_thick_coats_add_intensities() {
    let (coat, cap) = (1.5, 1.38);
    for tilt_deg in [0.0, 35.0, 70.0] {
        let ours = with_coats(&[(Cx::of(coat, 0.0), 20.0), (Cx::of(cap, 0.0), 15.0)], tilt_deg);
        let inside = |n: f64| (tilt_deg.to_radians().sin() / n).asin().to_degrees();
        for (w, nm) in WAVELENGTHS_NM.iter().enumerate() {
            let sum: f64 = POLARISATIONS
                .iter()
                .map(|p| {
                    let front = Stack::bare(Cx::of(cap, 0.0)).reflectance(*nm, tilt_deg, *p);
                    let between =
                        Stack { ambient_n: cap, ..Stack::bare(Cx::of(coat, 0.0)) }.reflectance(*nm, inside(cap), *p);
                    let below = Stack { ambient_n: coat, ..plain(Vec::new()) }.reflectance(*nm, inside(coat), *p);
                    // Both clear interfaces as one: what it sends back outside and inside, and what it lets through.
                    let bounces = 1.0 / (1.0 - front * between);
                    let through = (1.0 - front) * (1.0 - between) * bounces;
                    let outside = front + (1.0 - front) * (1.0 - front) * between * bounces;
                    let inside = between + (1.0 - between) * (1.0 - between) * front * bounces;
                    outside + through * through * below / (1.0 - inside * below)
                })
                .sum();
            assert!((ours[w] - 0.5 * sum).abs() <= 1e-12, "{nm} nm, {tilt_deg} degrees: {} {}", ours[w], 0.5 * sum);
        }
    }
}

/// A coat that absorbs a little: within one fringe its loss changes by 4 pi k fringe / wavelength, 1e-4 of the light here.
#[test]
fn a_thick_coat_that_absorbs_a_little() {
    let coat = Cx::of(1.5, 2e-5);
    for tilt_deg in [0.0, 60.0] {
        let ours = with_coats(&[(coat, 50.0)], tilt_deg);
        let clear = with_coats(&[(Cx::of(1.5, 0.0), 50.0)], tilt_deg);
        for (w, nm) in WAVELENGTHS_NM.iter().enumerate() {
            let average = averaged(&[(coat, 50.0, true)], *nm, tilt_deg, 40);
            assert!((ours[w] - average).abs() <= 1e-4, "{nm} nm: {} {average}", ours[w]);
            assert!(clear[w] - ours[w] > 1e-3, "it does absorb");
        }
    }
}

#[test]
fn a_thin_coat_interferes_as_a_film_does() {
    let coat = Cx::of(1.5, 0.0);
    let limit_um = INTERFERENCE_LIMIT_UM;
    for um in [0.05, 1.0, limit_um] {
        let ours = with_coats(&[(coat, um)], 30.0);
        for (w, nm) in WAVELENGTHS_NM.iter().enumerate() {
            let film = averaged(&[(coat, um, false)], *nm, 30.0, 1);
            assert!((ours[w] - film).abs() <= 1e-12, "{um} um, {nm} nm");
        }
    }
}

/// Under water, straight on, a bare metal reflects by |N - n|^2 / |N + n|^2 (Fresnel).
#[test]
fn under_water() {
    let engine = Engine::new().unwrap();
    let mut wet = base("titanium", "");
    wet.medium = MediumAbove::Water;
    let built = engine.build(&wet).unwrap();
    let sample = built.sample(built.values(), &WAVELENGTHS_NM);
    let ours = sample.reflectance(View { tilt_deg: 0.0, geometry: Geometry::Included }).unwrap();
    for (ours, (n0, metal)) in ours.iter().zip(sample.ambient_n.iter().zip(&sample.base)) {
        assert!((1.33..1.35).contains(n0), "water: {n0}");
        let square = |re: f64| re * re + metal.im * metal.im;
        let fresnel = square(metal.re - n0) / square(metal.re + n0);
        assert!((ours - fresnel).abs() <= 1e-12);
    }
    let [dry, wet] = [base("titanium", ""), wet].map(|f| look(&engine, &f, &Conditions::default()).unwrap().lab[0]);
    assert!(wet < dry - 3.0, "a wet metal is darker: {wet} {dry}");
}
