//! Places on a part that face different ways, as it hangs in a load: x out from the axis of what carries it, y forward in
//! the direction of turning, z up. The side that shows faces out.

use library::{Extent, ShapeSpec};
use routes::carousel::Facet;

/// The side that shows, which every share is told against.
pub(crate) fn front() -> Facet {
    Facet { at_mm: [0.0; 3], normal: [1.0, 0.0, 0.0] }
}

/// The places of a part by name, the front first. A part of unknown shape is its front alone.
pub(crate) fn facets(extent: Option<&Extent>) -> Vec<(&'static str, Facet)> {
    let Some(Extent::Shape(shape)) = extent else { return vec![("front", front())] };
    match shape {
        ShapeSpec::Dome { diameter_mm, height_mm, hollow } => dome(*diameter_mm, *height_mm, *hollow),
        ShapeSpec::Sheet { length_mm, width_mm, .. } => plate(*length_mm, *width_mm),
        ShapeSpec::Disc { diameter_mm, .. } => plate(*diameter_mm, *diameter_mm),
        ShapeSpec::Ring { outer_diameter_mm, width_mm, .. } => round(0.5 * outer_diameter_mm, 0.5 * width_mm),
        ShapeSpec::Tube { outer_diameter_mm, length_mm, .. } => round(0.5 * outer_diameter_mm, 0.5 * length_mm),
        ShapeSpec::Wire { diameter, length_mm } => round(0.5 * diameter.mm, 0.5 * length_mm),
        ShapeSpec::Block { length_mm, width_mm, height_mm } => block(*length_mm, *width_mm, *height_mm),
        ShapeSpec::Sphere { diameter_mm } => ball(0.5 * diameter_mm),
    }
}

fn facet(at_mm: [f64; 3], normal: [f64; 3]) -> Facet {
    Facet { at_mm, normal }
}

/// A spherical cap, its crown facing out.
fn dome(diameter: f64, height: f64, hollow: bool) -> Vec<(&'static str, Facet)> {
    let edge = 0.5 * diameter;
    let radius = (edge * edge + height * height) / (2.0 * height);
    // How far the surface leans at the rim: past a quarter turn where the cap is more than half a ball.
    let (lean, straight) = (edge / radius, (radius - height) / radius);
    let mut list = vec![
        ("crown", facet([height, 0.0, 0.0], [1.0, 0.0, 0.0])),
        ("rim above", facet([0.0, 0.0, edge], [straight, 0.0, lean])),
        ("rim below", facet([0.0, 0.0, -edge], [straight, 0.0, -lean])),
        ("rim ahead", facet([0.0, edge, 0.0], [straight, lean, 0.0])),
        ("rim behind", facet([0.0, -edge, 0.0], [straight, -lean, 0.0])),
    ];
    if hollow {
        list.push(("hollow side", facet([height, 0.0, 0.0], [-1.0, 0.0, 0.0])));
    }
    list
}

/// A flat part, hung upright, its longer side up.
fn plate(length: f64, width: f64) -> Vec<(&'static str, Facet)> {
    let (up, along) = (0.5 * length.max(width), 0.5 * length.min(width));
    vec![
        ("front", front()),
        ("upper corner", facet([0.0, along, up], [1.0, 0.0, 0.0])),
        ("lower corner", facet([0.0, along, -up], [1.0, 0.0, 0.0])),
        ("back", facet([0.0; 3], [-1.0, 0.0, 0.0])),
    ]
}

/// Something round, standing upright.
fn round(radius: f64, up: f64) -> Vec<(&'static str, Facet)> {
    vec![
        ("front", facet([radius, 0.0, 0.0], [1.0, 0.0, 0.0])),
        ("front, upper end", facet([radius, 0.0, up], [1.0, 0.0, 0.0])),
        ("side ahead", facet([0.0, radius, 0.0], [0.0, 1.0, 0.0])),
        ("back", facet([-radius, 0.0, 0.0], [-1.0, 0.0, 0.0])),
    ]
}

fn block(length: f64, width: f64, height: f64) -> Vec<(&'static str, Facet)> {
    let (x, y, z) = (0.5 * width, 0.5 * length, 0.5 * height);
    vec![
        ("front", facet([x, 0.0, 0.0], [1.0, 0.0, 0.0])),
        ("side ahead", facet([0.0, y, 0.0], [0.0, 1.0, 0.0])),
        ("top", facet([0.0, 0.0, z], [0.0, 0.0, 1.0])),
        ("bottom", facet([0.0, 0.0, -z], [0.0, 0.0, -1.0])),
        ("back", facet([-x, 0.0, 0.0], [-1.0, 0.0, 0.0])),
    ]
}

fn ball(radius: f64) -> Vec<(&'static str, Facet)> {
    let at = |n: [f64; 3]| facet(n.map(|c| radius * c), n);
    vec![
        ("front", at([1.0, 0.0, 0.0])),
        ("top", at([0.0, 0.0, 1.0])),
        ("bottom", at([0.0, 0.0, -1.0])),
        ("side ahead", at([0.0, 1.0, 0.0])),
        ("back", at([-1.0, 0.0, 0.0])),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hemisphere_leans_a_quarter_turn_at_its_rim() {
        let shape = ShapeSpec::Dome { diameter_mm: 58.0, height_mm: 29.0, hollow: true };
        let list = facets(Some(&Extent::Shape(shape)));
        let (_, rim) = list.iter().find(|f| f.0 == "rim above").unwrap();
        assert!(rim.normal[0].abs() < 1e-12 && (rim.normal[2] - 1.0).abs() < 1e-12);
        for (name, facet) in &list {
            let length: f64 = facet.normal.iter().map(|c| c * c).sum();
            assert!((length - 1.0).abs() < 1e-12, "{name}");
        }
        assert_eq!(facets(None).len(), 1);
    }
}
