//! Chromatic adaptation.

use crate::lab::Xyz;

type Matrix = [[f64; 3]; 3];

/// Bradford cone response (ICC.1:2022, annex E; digits as published).
const BRADFORD: Matrix = [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]];

/// The colour that looks under white `to` as `colour` does under white `from` (Bradford, complete adaptation).
pub fn adapt(colour: Xyz, from: Xyz, to: Xyz) -> Xyz {
    if from == to {
        return colour;
    }
    let (source, target) = (times(&BRADFORD, from), times(&BRADFORD, to));
    let cone = times(&BRADFORD, colour);
    let scaled = [0, 1, 2].map(|i| cone[i] * target[i] / source[i]);
    let back = times_array(&invert(&BRADFORD), scaled);
    Xyz { x: back[0], y: back[1], z: back[2] }
}

pub(crate) fn times(m: &Matrix, v: Xyz) -> [f64; 3] {
    times_array(m, [v.x, v.y, v.z])
}

pub(crate) fn times_array(m: &Matrix, v: [f64; 3]) -> [f64; 3] {
    m.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

/// Inverse by cofactors; every matrix here is well conditioned.
pub(crate) fn invert(m: &Matrix) -> Matrix {
    let cofactor = |r: usize, c: usize| {
        let (r1, r2) = ((r + 1) % 3, (r + 2) % 3);
        let (c1, c2) = ((c + 1) % 3, (c + 2) % 3);
        m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1]
    };
    let determinant = (0..3).map(|c| m[0][c] * cofactor(0, c)).sum::<f64>();
    std::array::from_fn(|r| std::array::from_fn(|c| cofactor(c, r) / determinant))
}
