//! The table of units that text may carry.

/// What kind of thing a unit measures. Text is read only in the dimension of its field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// Length, thickness, gap.
    Length,
    /// Temperature (with offset: Celsius, Fahrenheit, kelvin).
    Temperature,
    /// A difference or scatter of temperature (without offset).
    TemperatureStep,
    /// Electric potential difference.
    Voltage,
    /// Electric current.
    Current,
    /// Time.
    Time,
    /// Angle.
    Angle,
    /// Growth of thickness per time.
    Rate,
    /// A plain share or number; `%` means a hundredth.
    Share,
    /// A share given in per cent; the bare number is already per cent.
    Percent,
}

/// One unit: the value in the base unit is `number * factor + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// How it is written; the first symbol is the one we print.
    pub symbols: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// Multiplier to the base unit of its dimension (m, K, V, A, s, rad, m/s, 1).
    pub factor: f64,
    /// Offset to the base unit, after the factor.
    pub offset: f64,
}

const fn scale(symbols: &'static [&'static str], dimension: Dimension, factor: f64) -> Unit {
    Unit { symbols, dimension, factor, offset: 0.0 }
}

const INCH_M: f64 = 0.0254; // exact, international inch 1959
const RANKINE_K: f64 = 5.0 / 9.0; // exact

/// Every unit that is understood. Factors are exact by definition (SI brochure; international inch 1959).
pub const UNITS: &[Unit] = &[
    scale(&["nm"], Dimension::Length, 1e-9),
    scale(&["um", "µm", "μm", "micron", "microns"], Dimension::Length, 1e-6),
    scale(&["mm"], Dimension::Length, 1e-3),
    scale(&["cm"], Dimension::Length, 1e-2),
    scale(&["m"], Dimension::Length, 1.0),
    scale(&["angstrom", "Å"], Dimension::Length, 1e-10),
    scale(&["in", "inch", "inches"], Dimension::Length, INCH_M),
    scale(&["mil", "thou"], Dimension::Length, INCH_M * 1e-3),
    scale(&["uin", "µin", "microinch"], Dimension::Length, INCH_M * 1e-6),
    Unit { symbols: &["C", "°C", "degC"], dimension: Dimension::Temperature, factor: 1.0, offset: 273.15 },
    Unit {
        symbols: &["F", "°F", "degF"],
        dimension: Dimension::Temperature,
        factor: RANKINE_K,
        offset: 459.67 * RANKINE_K,
    },
    scale(&["K"], Dimension::Temperature, 1.0),
    scale(&["C", "°C", "degC", "K"], Dimension::TemperatureStep, 1.0),
    scale(&["F", "°F", "degF"], Dimension::TemperatureStep, RANKINE_K),
    scale(&["V", "volt", "volts"], Dimension::Voltage, 1.0),
    scale(&["mV"], Dimension::Voltage, 1e-3),
    scale(&["kV"], Dimension::Voltage, 1e3),
    scale(&["A", "amp", "amps"], Dimension::Current, 1.0),
    scale(&["mA"], Dimension::Current, 1e-3),
    scale(&["s", "sec", "seconds"], Dimension::Time, 1.0),
    scale(&["min", "minute", "minutes"], Dimension::Time, 60.0),
    scale(&["h", "hour", "hours"], Dimension::Time, 3600.0),
    scale(&["deg", "°", "degrees"], Dimension::Angle, std::f64::consts::PI / 180.0),
    scale(&["rad"], Dimension::Angle, 1.0),
    scale(&["nm/min"], Dimension::Rate, 1e-9 / 60.0),
    scale(&["nm/s"], Dimension::Rate, 1e-9),
    scale(&["um/h", "µm/h", "μm/h"], Dimension::Rate, 1e-6 / 3600.0),
    scale(&["1"], Dimension::Share, 1.0),
    scale(&["%", "percent"], Dimension::Share, 1e-2),
    scale(&["%", "percent"], Dimension::Percent, 1.0),
];

/// Finds the unit written `symbol` in `dimension`; letter case counts, since `mA` and `MA` differ.
pub fn unit(symbol: &str, dimension: Dimension) -> Option<&'static Unit> {
    UNITS.iter().find(|u| u.dimension == dimension && u.symbols.contains(&symbol))
}

/// The symbols that `dimension` understands, for messages: `nm, um, mm, ...`.
pub(crate) fn known(dimension: Dimension) -> String {
    let symbols: Vec<&str> = UNITS.iter().filter(|u| u.dimension == dimension).map(|u| u.symbols[0]).collect();
    symbols.join(", ")
}
