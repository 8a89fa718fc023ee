//! The few sums with points and directions that meshes, rays and views share.

/// A point or a direction: x, y, z.
pub(crate) type Vec3 = [f64; 3];

pub(crate) fn plus(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(crate) fn minus(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(crate) fn times(a: Vec3, by: f64) -> Vec3 {
    [a[0] * by, a[1] * by, a[2] * by]
}

pub(crate) fn dot(a: Vec3, b: Vec3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn cross(a: Vec3, b: Vec3) -> Vec3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(crate) fn length(a: Vec3) -> f64 {
    dot(a, a).sqrt()
}

/// `a` with length 1; `None` where it has no direction: zero, endless or no number.
pub(crate) fn unit(a: Vec3) -> Option<Vec3> {
    // Scaled first, so that neither tiny nor huge vectors lose their square.
    let most = a.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
    if !finite(a) || most <= 0.0 {
        return None;
    }
    let scaled = a.map(|x| x / most);
    let long = length(scaled);
    Some(scaled.map(|x| x / long))
}

pub(crate) fn finite(a: Vec3) -> bool {
    a.iter().all(|x| x.is_finite())
}

/// Twice the area of a triangle, along its normal.
pub(crate) fn doubled([a, b, c]: [Vec3; 3]) -> Vec3 {
    cross(minus(b, a), minus(c, a))
}

/// Smallest and largest coordinates of some points; `None` for no point.
pub(crate) fn bounds(points: impl IntoIterator<Item = Vec3>) -> Option<[Vec3; 2]> {
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for p in points {
        for i in 0..3 {
            low[i] = if p[i] < low[i] { p[i] } else { low[i] };
            high[i] = if p[i] > high[i] { p[i] } else { high[i] };
        }
    }
    (low[0] <= high[0]).then_some([low, high])
}
