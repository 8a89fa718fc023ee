//! What a ray meets of a mesh, and whether one place sees another.

use crate::hierarchy::{STACK, Tree};
use crate::meet::{Met, Ray, Sheared};
use crate::mesh::Mesh;
use crate::vector::{Vec3, dot, doubled, minus, plus, times, unit};

/// Where a ray meets a mesh first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hit {
    /// From the ray's beginning, mm.
    pub distance_mm: f64,
    /// The place, mm.
    pub at_mm: [f64; 3],
    /// The smooth normal there, outward, of length 1.
    pub normal: [f64; 3],
    /// Which triangle.
    pub triangle: u32,
    /// The shares of its three corners, 0 to 1, together 1: what is known at the corners is known here
    /// ([`Mesh::between`], [`Mesh::uv_at`]).
    pub shares: [f64; 3],
    /// Whether the outer side of the triangle is seen; false: the back of an open surface, or the inside of a body.
    pub facing: bool,
}

impl Hit {
    /// Cosine of the angle between the smooth normal and the way back along `direction` (of length 1), 0 to 1: of the
    /// side that is seen. 0 too where a smooth normal already looks away while its flat triangle does not, as at the
    /// outline of what bulges.
    pub fn cosine(&self, direction: [f64; 3]) -> f64 {
        let towards = -dot(self.normal, direction);
        (if self.facing { towards } else { -towards }).clamp(0.0, 1.0)
    }

    /// The place lifted off the surface to the side that is seen, mm: from here [`Rays::free`] is not stopped by the
    /// surface that was met. `lift_mm` is [`Mesh::lift_mm`].
    pub fn lifted_mm(&self, lift_mm: f64) -> [f64; 3] {
        plus(self.at_mm, times(self.normal, if self.facing { lift_mm } else { -lift_mm }))
    }
}

/// Which sides of triangles stop a ray.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stops {
    /// Both. Of two triangles at the same place, back to back, the one that faces the ray.
    Both,
    /// The outer side: a ray passes backs, so that one sees into a body from within.
    Outer,
}

/// Two triangles within this share of the mesh's size along a ray count as back to back.
const SAME_PLACE: f64 = 1e-9;

/// A mesh made ready for rays. It keeps a copy of the corners, not the mesh.
#[derive(Debug, Clone)]
pub struct Rays {
    corners: Vec<[Vec3; 3]>,
    normals: Vec<[Vec3; 3]>,
    tree: Tree,
    size_mm: f64,
}

/// The nearest so far; the lower number wins where two are equally near.
type Nearest = Option<(Met, u32)>;

impl Rays {
    /// Makes a mesh ready: n log n for n triangles, about a second for a million.
    pub fn new(mesh: &Mesh) -> Self {
        let taken = |list: &[Vec3], named: &[u32; 3]| named.map(|c| list[c as usize]);
        let corners: Vec<_> = mesh.triangles().iter().map(|named| taken(mesh.points_mm(), named)).collect();
        let normals = mesh.triangles().iter().map(|named| taken(mesh.normals(), named)).collect();
        let [low, high] = mesh.box_mm();
        let size_mm = low.iter().chain(&high).fold(0.0_f64, |most, x| most.max(x.abs()));
        let tree = Tree::new(&corners, 1e-10 * size_mm + f64::MIN_POSITIVE);
        Self { corners, normals, tree, size_mm }
    }

    /// What the ray meets first, ahead of its beginning or at it; `None`: nothing.
    pub fn nearest(&self, ray: &Ray, stops: Stops) -> Option<Hit> {
        self.first(ray, stops, |sheared, outer, most| self.search(sheared, outer, most))
    }

    /// As [`Rays::nearest`], asking every triangle: slow, to check it by.
    pub fn nearest_of_all(&self, ray: &Ray, stops: Stops) -> Option<Hit> {
        self.first(ray, stops, |sheared, outer, most| {
            (0..self.corners.len() as u32).fold(None, |best, t| self.nearer(sheared, t, outer, most, best))
        })
    }

    /// Whether nothing lies between two places, mm. What touches the stretch, ends included, is in the way, so that one
    /// begins at [`Hit::lifted_mm`]. Two equal places see one another.
    pub fn free(&self, from_mm: [f64; 3], to_mm: [f64; 3]) -> bool {
        let along = minus(to_mm, from_mm);
        unit(along).is_none() || !self.any(&Sheared::new(from_mm, along), 1.0)
    }

    /// Whether nothing lies ahead of a ray, however far.
    pub fn open(&self, ray: &Ray) -> bool {
        !self.any(&Sheared::new(ray.from, ray.direction), f64::INFINITY)
    }

    fn first(&self, ray: &Ray, stops: Stops, search: impl Fn(&Sheared, bool, f64) -> Nearest) -> Option<Hit> {
        let sheared = Sheared::new(ray.from, ray.direction);
        let (met, triangle) = match search(&sheared, stops == Stops::Outer, f64::INFINITY)? {
            // The back was met: is there a face at the same place?
            (back, t) if !back.facing => {
                let until = back.along + SAME_PLACE * self.size_mm;
                search(&sheared, true, until).unwrap_or((back, t))
            }
            met => met,
        };
        let normals = self.normals[triangle as usize];
        let mut normal = [0.0; 3];
        for (share, n) in met.shares.iter().zip(normals) {
            normal = plus(normal, times(n, *share));
        }
        let corners = self.corners[triangle as usize];
        let normal = unit(normal).or_else(|| unit(doubled(corners))).unwrap_or(normals[0]);
        let mut at_mm = [0.0; 3];
        for (share, corner) in met.shares.iter().zip(corners) {
            // On the triangle, not on the ray: no error grows with the distance.
            at_mm = plus(at_mm, times(corner, *share));
        }
        let Met { along: distance_mm, shares, facing } = met;
        Some(Hit { distance_mm, at_mm, normal, triangle, shares, facing })
    }

    /// The better of `best` and triangle `t`.
    fn nearer(&self, ray: &Sheared, t: u32, outer: bool, most: f64, best: Nearest) -> Nearest {
        let Some(met) = ray.triangle(&self.corners[t as usize]) else { return best };
        let stops = met.along >= 0.0 && met.along <= most && (met.facing || !outer);
        let before = best.is_none_or(|(b, number)| met.along < b.along || (met.along <= b.along && t < number));
        if stops && before { Some((met, t)) } else { best }
    }

    fn search(&self, ray: &Sheared, outer: bool, most: f64) -> Nearest {
        let mut best: Nearest = None;
        self.walk(ray, most, |t| {
            best = self.nearer(ray, t, outer, most, best);
            Some(best.map_or(most, |(met, _)| met.along))
        });
        best
    }

    fn any(&self, ray: &Sheared, most: f64) -> bool {
        let mut met_any = false;
        self.walk(ray, most, |t| {
            let met = ray.triangle(&self.corners[t as usize]);
            met_any = met.is_some_and(|met| met.along >= 0.0 && met.along <= most);
            (!met_any).then_some(most)
        });
        met_any
    }

    /// Visits triangles whose boxes the ray enters, near ones first; `visit` gives how far to go on, or `None` to stop.
    fn walk(&self, ray: &Sheared, mut most: f64, mut visit: impl FnMut(u32) -> Option<f64>) {
        let nodes = &self.tree.nodes;
        let mut stack = [(0.0_f64, 0_u32); STACK];
        let Some(enters) = ray.enters(&nodes[0].bounds, most) else { return };
        stack[0] = (enters, 0);
        let mut height = 1;
        while height > 0 {
            height -= 1;
            let (enters, number) = stack[height];
            // Rounded as in Sheared::enters: an equally near triangle with a lower number must not be lost.
            if enters > most * (1.0 + 1e-12) {
                continue;
            }
            let node = &nodes[number as usize];
            if node.count > 0 {
                for t in &self.tree.order[node.first as usize..(node.first + node.count) as usize] {
                    match visit(*t) {
                        Some(until) => most = until,
                        None => return,
                    }
                }
                continue;
            }
            let [near, far] = [node.first, node.first + 1]
                .map(|child| ray.enters(&nodes[child as usize].bounds, most).map(|enters| (enters, child)));
            let (near, far) = match (near, far) {
                (Some(a), Some(b)) if b.0 < a.0 => (Some(b), Some(a)),
                both => both,
            };
            for next in [far, near].into_iter().flatten() {
                stack[height] = next;
                height += 1;
            }
        }
    }
}

#[cfg(test)]
#[path = "rays_tests.rs"]
pub(crate) mod tests;
