//! Colours on screens: sRGB and Display P3.

use crate::adaptation::{invert, times, times_array};
use crate::difference::ciede2000;
use crate::lab::{Lab, Xyz};

/// A display's primaries; white is D65 as x 0.3127, y 0.3290, transfer curve that of sRGB.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Display {
    /// Name as standards write it.
    pub name: &'static str,
    primaries: [[f64; 2]; 3],
}

/// sRGB, IEC 61966-2-1.
pub const SRGB: Display = Display { name: "sRGB", primaries: [[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]] };
/// Display P3 (primaries of SMPTE RP 431-2, white and curve of sRGB).
pub const DISPLAY_P3: Display = Display { name: "Display P3", primaries: [[0.68, 0.32], [0.265, 0.69], [0.15, 0.06]] };

/// D65 as both displays define it, from x 0.3127, y 0.3290.
const WHITE: Xyz = Xyz { x: 31_270.0 / 329.0, y: 100.0, z: 35_830.0 / 329.0 };

/// Rounding of the eighth bit: a linear value this far outside is not called out of gamut.
const GAMUT_TOLERANCE: f64 = 1e-4;

/// A colour as a display shows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DisplayColour {
    /// Encoded red, green, blue, 0..=1.
    pub rgb: [f64; 3],
    /// Whether the display cannot show the colour: `rgb` then has less chroma at the same lightness and hue.
    pub out_of_gamut: bool,
    /// How far the shown colour is from the wanted one (CIEDE2000); 0 inside the gamut.
    pub shown_error: f64,
}

impl Display {
    /// Linear light to XYZ (white Y = 1), from the primaries' chromaticities.
    pub fn matrix(&self) -> [[f64; 3]; 3] {
        let column = |p: [f64; 2]| [p[0] / p[1], 1.0, (1.0 - p[0] - p[1]) / p[1]];
        let columns = self.primaries.map(column);
        let unscaled = std::array::from_fn(|r| std::array::from_fn(|c| columns[c][r]));
        let scale = times_array(&invert(&unscaled), [WHITE.x / 100.0, 1.0, WHITE.z / 100.0]);
        std::array::from_fn(|r| std::array::from_fn(|c| unscaled[r][c] * scale[c]))
    }

    /// Linear light (may leave 0..=1) of a D65 Lab value, taken against the display's own white.
    fn linear(&self, lab: Lab) -> [f64; 3] {
        let xyz = lab.to_xyz(WHITE);
        times(&invert(&self.matrix()), Xyz { x: xyz.x / 100.0, y: xyz.y / 100.0, z: xyz.z / 100.0 })
    }

    /// Shows a D65 Lab value.
    ///
    /// Outside the gamut the chroma is reduced at constant L* and hue until the display can show it; nothing is clipped
    /// in silence.
    pub fn show(&self, lab: Lab) -> DisplayColour {
        let inside = |rgb: [f64; 3]| rgb.iter().all(|v| (-GAMUT_TOLERANCE..=1.0 + GAMUT_TOLERANCE).contains(v));
        let direct = self.linear(lab);
        if inside(direct) {
            return DisplayColour { rgb: direct.map(encode), out_of_gamut: false, shown_error: 0.0 };
        }
        let wanted = lab.lch();
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            let less = crate::Lch { c: wanted.c * middle, ..wanted };
            if inside(self.linear(less.lab())) { low = middle } else { high = middle }
        }
        let shown = crate::Lch { c: wanted.c * low, ..wanted }.lab();
        DisplayColour { rgb: self.linear(shown).map(encode), out_of_gamut: true, shown_error: ciede2000(lab, shown) }
    }

    /// The D65 Lab value of encoded red, green, blue (0..=1).
    pub fn lab(&self, rgb: [f64; 3]) -> Lab {
        let xyz = times_array(&self.matrix(), rgb.map(decode));
        Xyz { x: 100.0 * xyz[0], y: 100.0 * xyz[1], z: 100.0 * xyz[2] }.to_lab(WHITE)
    }

    /// The white that `lab` and `show` refer to.
    pub fn white() -> Xyz {
        WHITE
    }
}

impl DisplayColour {
    /// `#rrggbb`.
    pub fn hex(&self) -> String {
        let [r, g, b] = self.bytes();
        format!("#{r:02x}{g:02x}{b:02x}")
    }

    /// Red, green, blue, 0..=255.
    pub fn bytes(&self) -> [u8; 3] {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0..=255 and rounded")]
        self.rgb.map(|v| (v.clamp(0.0, 1.0) * 255.0).round() as u8)
    }
}

/// Linear to encoded, IEC 61966-2-1.
fn encode(linear: f64) -> f64 {
    let v = linear.clamp(0.0, 1.0);
    if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * libm::pow(v, 1.0 / 2.4) - 0.055 }
}

/// Encoded to linear, IEC 61966-2-1.
fn decode(v: f64) -> f64 {
    if v <= 0.040_45 { v / 12.92 } else { libm::pow((v + 0.055) / 1.055, 2.4) }
}
