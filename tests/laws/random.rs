//! Random stacks, the same on every machine.

use huewright_tests::stacks::Stack;
use optics::Cx;
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, RngSeed};

/// A seeded run of `cases`, or of PROPTEST_CASES; no file of failures is kept, since a seed brings them back.
pub fn seeded(cases: u32) -> ProptestConfig {
    let asked = std::env::var("PROPTEST_CASES").ok().and_then(|text| text.parse().ok());
    let cases = asked.unwrap_or(cases);
    ProptestConfig {
        cases,
        // A law that holds for some inputs alone passes the others over.
        max_global_rejects: 4 * cases,
        failure_persistence: None,
        rng_algorithm: RngAlgorithm::ChaCha,
        rng_seed: RngSeed::Fixed(1_815),
        ..ProptestConfig::default()
    }
}

/// A film or base of any metal, semiconductor or oxide.
pub fn absorbing_index() -> impl Strategy<Value = Cx<f64>> {
    (0.05..4.5, 0.0..7.0).prop_map(|(n, k)| Cx::of(n, k))
}

/// A clear film, as thin as in a vacuum (n 1) or as dense as rutile and beyond.
pub fn clear_index() -> impl Strategy<Value = Cx<f64>> {
    (1.0..4.5).prop_map(|n| Cx::of(n, 0.0))
}

/// Clear, weakly or strongly absorbing.
pub fn any_index() -> impl Strategy<Value = Cx<f64>> {
    prop_oneof![clear_index(), (1.0..4.0, 0.0..0.1).prop_map(|(n, k)| Cx::of(n, k)), absorbing_index()]
}

fn air_or_water() -> impl Strategy<Value = f64> {
    prop_oneof![Just(1.0), Just(1.333)]
}

/// Up to 8 films of any kind on any base, up to 800 nm each.
pub fn any_stack() -> impl Strategy<Value = Stack> {
    let films = prop::collection::vec((any_index(), 0.0..800.0), 0..8);
    (air_or_water(), absorbing_index(), films).prop_map(|(ambient_n, base, films)| Stack { ambient_n, base, films })
}

/// The same between clear media: what passes through can be told.
pub fn stack_on_glass() -> impl Strategy<Value = Stack> {
    let films = prop::collection::vec((any_index(), 0.0..300.0), 0..8);
    (air_or_water(), clear_index(), films).prop_map(|(ambient_n, base, films)| Stack { ambient_n, base, films })
}

/// Nothing absorbs.
pub fn lossless_stack() -> impl Strategy<Value = Stack> {
    let films = prop::collection::vec((clear_index(), 0.0..800.0), 0..8);
    (air_or_water(), clear_index(), films).prop_map(|(ambient_n, base, films)| Stack { ambient_n, base, films })
}

/// Wavelength in nm and angle in degrees.
pub fn any_light() -> impl Strategy<Value = (f64, f64)> {
    (380.0..780.0, 0.0..85.0)
}
