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
    /// Mass: what a balance shows.
    Mass,
    /// Area.
    Area,
    /// Current per area of the part.
    CurrentDensity,
    /// Pressure of the gas in a chamber.
    Pressure,
    /// Mass per volume.
    Density,
    /// Volume: a spoon, a cup, a jar.
    Volume,
    /// Electric resistance.
    Resistance,
    /// Speed.
    Speed,
    /// Change of voltage per time.
    VoltageRate,
    /// Change of temperature per time (without offset).
    TemperatureRate,
    /// Turns per time.
    Rotation,
    /// Flow of a gas, as the volume that it would fill at 0 C and 1 atm.
    GasFlow,
    /// Volume per time: what a pump takes.
    VolumeRate,
    /// Electric charge: what a target has been used for.
    Charge,
}

/// One unit: the value in the base unit is `number * factor + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// How it is written; the first symbol is the one we print.
    pub symbols: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// Multiplier to the base unit of its dimension (m, K, V, A, s, rad, m/s, 1, kg, m2, A/m2, Pa, kg/m3, m3,
    /// ohm, V/s, K/s, 1/s, m3/s, m3/s, C).
    pub factor: f64,
    /// Offset to the base unit, after the factor.
    pub offset: f64,
}

const fn scale(symbols: &'static [&'static str], dimension: Dimension, factor: f64) -> Unit {
    Unit { symbols, dimension, factor, offset: 0.0 }
}

const INCH_M: f64 = 0.0254; // exact, international inch 1959
const RANKINE_K: f64 = 5.0 / 9.0; // exact
const FOOT_M: f64 = 0.3048; // exact, international foot 1959
const POUND_KG: f64 = 0.453_592_37; // exact, international (avoirdupois) pound 1959
const GRAIN_KG: f64 = 64.798_91e-6; // exact: a pound is 7000 grains
const GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M; // exact, US liquid gallon of 231 in3 (NIST Handbook 44, appendix C)
const TORR_PA: f64 = 101_325.0 / 760.0; // exact: a standard atmosphere (BIPM) is 760 Torr

/// Every unit that is understood. Factors are exact by definition (SI brochure; international yard and pound 1959, of which
/// inch, foot, ounce and grain are parts; torr: 1/760 of the standard atmosphere of 101325 Pa; US gallon: 231 cubic inches).
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
    scale(&["g", "gram", "grams"], Dimension::Mass, 1e-3),
    scale(&["kg"], Dimension::Mass, 1.0),
    scale(&["mg"], Dimension::Mass, 1e-6),
    scale(&["oz", "ounce", "ounces"], Dimension::Mass, POUND_KG / 16.0),
    scale(&["lb", "lbs", "pound", "pounds"], Dimension::Mass, POUND_KG),
    // Silver and gold are weighed so; plain `oz` never means it.
    scale(&["ozt"], Dimension::Mass, GRAIN_KG * 480.0),
    scale(&["dwt"], Dimension::Mass, GRAIN_KG * 24.0),
    scale(&["mm2", "mm²"], Dimension::Area, 1e-6),
    scale(&["cm2", "cm²"], Dimension::Area, 1e-4),
    scale(&["dm2", "dm²"], Dimension::Area, 1e-2),
    scale(&["m2", "m²"], Dimension::Area, 1.0),
    scale(&["in2", "in²", "sq in"], Dimension::Area, INCH_M * INCH_M),
    scale(&["ft2", "ft²", "sq ft"], Dimension::Area, FOOT_M * FOOT_M),
    scale(&["A/dm2", "A/dm²"], Dimension::CurrentDensity, 100.0),
    scale(&["A/ft2", "A/ft²"], Dimension::CurrentDensity, 1.0 / (FOOT_M * FOOT_M)),
    scale(&["mA/cm2", "mA/cm²"], Dimension::CurrentDensity, 10.0),
    scale(&["Pa"], Dimension::Pressure, 1.0),
    scale(&["mbar"], Dimension::Pressure, 100.0),
    scale(&["mTorr"], Dimension::Pressure, TORR_PA * 1e-3),
    scale(&["Torr"], Dimension::Pressure, TORR_PA),
    scale(&["g/cm3", "g/cm³"], Dimension::Density, 1e3),
    scale(&["kg/m3", "kg/m³"], Dimension::Density, 1.0),
    scale(&["lb/in3", "lb/in³"], Dimension::Density, POUND_KG / (INCH_M * INCH_M * INCH_M)),
    // US measures for liquids: 4 quarts, 8 pints, 16 cups, 256 tablespoons, 768 teaspoons in a gallon.
    scale(&["ml", "mL", "cm3", "cm³"], Dimension::Volume, 1e-6),
    scale(&["l", "L", "litre", "litres", "liter", "liters"], Dimension::Volume, 1e-3),
    scale(&["gal", "gallon", "gallons"], Dimension::Volume, GALLON_M3),
    scale(&["quart", "quarts", "qt"], Dimension::Volume, GALLON_M3 / 4.0),
    scale(&["pint", "pints", "pt"], Dimension::Volume, GALLON_M3 / 8.0),
    scale(&["cup", "cups"], Dimension::Volume, GALLON_M3 / 16.0),
    scale(&["tbsp", "tablespoon", "tablespoons"], Dimension::Volume, GALLON_M3 / 256.0),
    scale(&["tsp", "teaspoon", "teaspoons"], Dimension::Volume, GALLON_M3 / 768.0),
    scale(&["ohm", "Ω", "ohms"], Dimension::Resistance, 1.0),
    scale(&["mohm", "mΩ"], Dimension::Resistance, 1e-3),
    scale(&["kohm", "kΩ"], Dimension::Resistance, 1e3),
    scale(&["mm/s"], Dimension::Speed, 1e-3),
    scale(&["mm/min"], Dimension::Speed, 1e-3 / 60.0),
    scale(&["cm/s"], Dimension::Speed, 1e-2),
    scale(&["cm/min"], Dimension::Speed, 1e-2 / 60.0),
    scale(&["in/s"], Dimension::Speed, INCH_M),
    scale(&["in/min"], Dimension::Speed, INCH_M / 60.0),
    scale(&["V/s"], Dimension::VoltageRate, 1.0),
    scale(&["V/min"], Dimension::VoltageRate, 1.0 / 60.0),
    scale(&["C/min", "K/min"], Dimension::TemperatureRate, 1.0 / 60.0),
    scale(&["F/min"], Dimension::TemperatureRate, RANKINE_K / 60.0),
    scale(&["C/s", "K/s"], Dimension::TemperatureRate, 1.0),
    scale(&["C/h", "K/h"], Dimension::TemperatureRate, 1.0 / 3600.0),
    scale(&["F/h"], Dimension::TemperatureRate, RANKINE_K / 3600.0),
    scale(&["rpm", "1/min", "turns/min"], Dimension::Rotation, 1.0 / 60.0),
    scale(&["1/s", "turns/s"], Dimension::Rotation, 1.0),
    scale(&["sccm"], Dimension::GasFlow, 1e-6 / 60.0),
    scale(&["slm"], Dimension::GasFlow, 1e-3 / 60.0),
    scale(&["l/s", "L/s"], Dimension::VolumeRate, 1e-3),
    scale(&["m3/h", "m³/h"], Dimension::VolumeRate, 1.0 / 3600.0),
    scale(&["m3/s", "m³/s"], Dimension::VolumeRate, 1.0),
    scale(&["Ah", "A h"], Dimension::Charge, 3600.0),
    scale(&["kAh", "kA h"], Dimension::Charge, 3.6e6),
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed factors to SI: NIST SP 811 (2008), appendix B (digits from memory); those that it prints in bold are exact.
    #[test]
    fn factors_are_the_printed_ones() {
        for (symbol, dimension, printed, half_digit) in [
            ("oz", Dimension::Mass, 2.834_952e-2, 5e-9),
            ("lb", Dimension::Mass, 4.535_924e-1, 5e-8),
            ("ozt", Dimension::Mass, 3.110_348e-2, 5e-9),
            ("dwt", Dimension::Mass, 1.555_174e-3, 5e-10),
            ("in2", Dimension::Area, 6.4516e-4, 1e-18),
            ("ft2", Dimension::Area, 9.290_304e-2, 1e-16),
            ("mbar", Dimension::Pressure, 100.0, 1e-12),
            ("Torr", Dimension::Pressure, 1.333_224e2, 5e-5),
            ("lb/in3", Dimension::Density, 2.767_990e4, 5e-3),
            ("gal", Dimension::Volume, 3.785_412e-3, 5e-10),
            ("quart", Dimension::Volume, 9.463_529e-4, 5e-11),
            ("pint", Dimension::Volume, 4.731_765e-4, 5e-11),
            ("cup", Dimension::Volume, 2.365_882e-4, 5e-11),
            ("tbsp", Dimension::Volume, 1.478_676e-5, 5e-12),
            ("tsp", Dimension::Volume, 4.928_922e-6, 5e-13),
        ] {
            let factor = unit(symbol, dimension).unwrap().factor;
            assert!((factor - printed).abs() <= half_digit, "{symbol}: {factor} against {printed}");
        }
    }

    /// 1 A/dm2 is 10 mA/cm2 and 9.290304 A/ft2: all three are the same current over the same area.
    #[test]
    fn current_densities_are_currents_over_areas() {
        for (density, current, area) in [("A/dm2", "A", "dm2"), ("A/ft2", "A", "ft2"), ("mA/cm2", "mA", "cm2")] {
            let over = unit(current, Dimension::Current).unwrap().factor / unit(area, Dimension::Area).unwrap().factor;
            let given = unit(density, Dimension::CurrentDensity).unwrap().factor;
            assert!((given / over - 1.0).abs() < 1e-14, "{density}");
        }
    }

    #[test]
    fn no_symbol_stands_for_two_units_of_one_dimension() {
        for (i, a) in UNITS.iter().enumerate() {
            for b in UNITS[i + 1..].iter().filter(|b| b.dimension == a.dimension) {
                assert!(a.symbols.iter().all(|s| !b.symbols.contains(s)), "{:?} and {:?}", a.symbols, b.symbols);
            }
        }
    }
}
