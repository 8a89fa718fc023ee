//! Tristimulus values and CIELAB.

/// CIE tristimulus values; the white of the same viewing has y = 100.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Xyz {
    /// X.
    pub x: f64,
    /// Y.
    pub y: f64,
    /// Z.
    pub z: f64,
}

/// CIELAB 1976 against the white of the viewing that made it. Only compare colours of one viewing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lab {
    /// L*, 0..=100 for reflecting samples.
    pub l: f64,
    /// a*.
    pub a: f64,
    /// b*.
    pub b: f64,
}

/// Lightness, chroma and hue angle of a [`Lab`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lch {
    /// L*.
    pub l: f64,
    /// C*ab.
    pub c: f64,
    /// h_ab, degrees in 0..360 (0 where the chroma is 0).
    pub h: f64,
}

const DELTA: f64 = 6.0 / 29.0; // CIE 015:2018, exact fractions

fn forward(t: f64) -> f64 {
    if t > DELTA * DELTA * DELTA { libm::cbrt(t) } else { t / (3.0 * DELTA * DELTA) + 4.0 / 29.0 }
}

fn inverse(f: f64) -> f64 {
    if f > DELTA { f * f * f } else { 3.0 * DELTA * DELTA * (f - 4.0 / 29.0) }
}

impl Xyz {
    /// CIELAB against `white`. Source: CIE 015:2018, section 8.2.1 (ISO/CIE 11664-4).
    pub fn to_lab(self, white: Xyz) -> Lab {
        let (x, y, z) = (forward(self.x / white.x), forward(self.y / white.y), forward(self.z / white.z));
        Lab { l: 116.0 * y - 16.0, a: 500.0 * (x - y), b: 200.0 * (y - z) }
    }
}

impl Lab {
    /// Tristimulus values against `white`; inverse of [`Xyz::to_lab`].
    pub fn to_xyz(self, white: Xyz) -> Xyz {
        let y = (self.l + 16.0) / 116.0;
        Xyz {
            x: white.x * inverse(y + self.a / 500.0),
            y: white.y * inverse(y),
            z: white.z * inverse(y - self.b / 200.0),
        }
    }

    /// Lightness, chroma, hue.
    pub fn lch(self) -> Lch {
        let c = libm::hypot(self.a, self.b);
        let h = if c > 0.0 { libm::atan2(self.b, self.a).to_degrees().rem_euclid(360.0) } else { 0.0 };
        Lch { l: self.l, c, h }
    }
}

impl Lch {
    /// Back to a*, b*.
    pub fn lab(self) -> Lab {
        let (sin, cos) = libm::sincos(self.h.to_radians());
        Lab { l: self.l, a: self.c * cos, b: self.c * sin }
    }
}
