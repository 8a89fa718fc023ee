//! The table of limits: one row an input.

use crate::text::QuantityError;
use crate::unit::Dimension;

/// One input: what it is called, in which unit, between which ends, and why.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// Field name, as in files and JSON.
    pub key: &'static str,
    /// Symbol of the field's unit; a bare number is in it.
    pub unit: &'static str,
    /// What the unit measures.
    pub dimension: Dimension,
    /// The input in words, for messages.
    pub words: &'static str,
    /// Least allowed value, in `unit`.
    pub min: f64,
    /// Greatest allowed value, in `unit`.
    pub max: f64,
    /// Why it ends there.
    pub why: &'static str,
}

impl Limit {
    /// Checks a number that is already in this row's unit.
    ///
    /// # Errors
    /// [`QuantityError::NotFinite`] or [`QuantityError::OutOfRange`].
    pub fn check(&self, value: f64) -> Result<f64, QuantityError> {
        if !value.is_finite() {
            return Err(QuantityError::NotFinite {
                words: self.words,
                given: value.to_string(),
                min: self.min,
                max: self.max,
                unit: self.unit,
            });
        }
        if value < self.min || value > self.max {
            return Err(QuantityError::OutOfRange {
                words: self.words,
                given: value,
                unit: self.unit,
                min: self.min,
                max: self.max,
                why: self.why,
            });
        }
        Ok(value)
    }
}

macro_rules! limits {
    ($($key:ident, $unit:literal, $dimension:ident, $words:literal, $min:literal ..= $max:literal, $why:literal;)*) => {
        /// Every input of files and options, in alphabetical order within its subject.
        pub const LIMITS: &[Limit] = &[$(Limit {
            key: stringify!($key), unit: $unit, dimension: Dimension::$dimension, words: $words,
            min: $min, max: $max, why: $why,
        }),*];
    };
}

limits! {
    // finish
    thickness_nm, "nm", Length, "film thickness", 0.0 ..= 20000.0, "20 um is thicker than any film here; thicker clear coats go under [[over]]";
    thickness_um, "um", Length, "coat thickness", 0.0 ..= 5000.0, "5 mm is no longer a coat";
    spread, "1", Share, "relative spread of thickness", 0.0 ..= 0.5, "beyond a half, thickness would turn negative";
    porosity, "1", Share, "void fraction", 0.0 ..= 0.9, "beyond 0.9 there is no film to speak of";
    composition, "1", Share, "composition", 0.0 ..= 1.0, "a family runs from 0 to 1";
    n, "1", Share, "refractive index n", 0.001 ..= 20.0, "n must be positive";
    k, "1", Share, "extinction coefficient k", 0.0 ..= 50.0, "k below 0 would make light";
    roughness_nm, "nm", Length, "roughness (rms)", 0.0 ..= 5000.0, "5 um rms is a blasted surface: give slope_deg instead";
    slope_deg, "deg", Angle, "facet slope (rms)", 0.0 ..= 35.0, "steeper facets shade one another, which is not modelled";
    tilt_deg, "deg", Angle, "tilt", 0.0 ..= 85.0, "beyond 85 degrees nothing of the part is seen";
    thickness_sd_nm, "nm", Length, "doubt about the film thickness", 0.0 ..= 2000.0, "one standard deviation, as gauging gives it";
    // bath and supply
    voltage_v, "V", Voltage, "voltage", 0.0 ..= 400.0, "400 V is beyond every bath that is known here";
    max_voltage_v, "V", Voltage, "greatest voltage of the supply", 1.0 ..= 400.0, "400 V is beyond every bath that is known here";
    max_current_a, "A", Current, "greatest current of the supply", 0.001 ..= 10000.0, "from a milliampere to a plating line";
    repeatability_v, "V", Voltage, "repeatability of the voltage", 0.0 ..= 50.0, "one standard deviation";
    step_v, "V", Voltage, "what each battery adds", 0.5 ..= 100.0, "from one cell to a block";
    internal_ohm, "ohm", Resistance, "resistance within the supply and its leads", 0.0 ..= 100000.0, "beyond it no current flows that colours anything";
    gap_mm, "mm", Length, "gap between part and cathode", 1.0 ..= 5000.0, "from a brush to a tank";
    percent, "%", Percent, "strength of the bath", 0.001 ..= 100.0, "mass per cent";
    bath_temperature_c, "C", Temperature, "bath temperature", -10.0 ..= 110.0, "an aqueous bath is liquid";
    ramp_v_per_s, "V/s", VoltageRate, "rise of the voltage", 0.0001 ..= 10000.0, "slower takes days, faster is at once: leave it out";
    hold_s, "s", Time, "hold at the voltage", 0.0 ..= 1000000.0, "beyond eleven days nothing grows any more";
    stop_current_a, "A", Current, "current at which to stop", 0.000001 ..= 10000.0, "from a microampere to a plating line";
    at, "%", Percent, "place along the part", 0.0 ..= 100.0, "0 is the end that leaves first or is cooler, 100 the other";
    speed_mm_per_s, "mm/s", Speed, "speed of lifting or brushing", 0.0001 ..= 10000.0, "from a clock's hand to a throw";
    contact_mm2, "mm2", Area, "area of the moving contact", 0.01 ..= 1000000.0, "from a pencil's point to a square metre";
    passes, "1", Share, "number of passes", 1.0 ..= 10000.0, "a whole number";
    // heat
    max_temperature_c, "C", Temperature, "greatest temperature of the oven", 50.0 ..= 1400.0, "from a kitchen oven to a kiln";
    repeatability_c, "C", TemperatureStep, "repeatability of the oven", 0.0 ..= 100.0, "one standard deviation";
    temperature_c, "C", Temperature, "temperature", 50.0 ..= 1400.0, "from a kitchen oven to a kiln";
    minutes, "min", Time, "time at temperature", 0.05 ..= 100000.0, "from three seconds to ten weeks";
    ramp_c_per_min, "C/min", TemperatureRate, "rise of the temperature", 0.01 ..= 100000.0, "from a kiln that takes a week to a flame";
    cool_minutes, "min", Time, "time constant of cooling", 0.01 ..= 10000.0, "the time in which all but 37 % of the warmth is gone";
    // coater
    thinnest_nm, "nm", Length, "thinnest film that the machine lays", 0.0 ..= 20000.0, "20 um is thicker than any film here";
    thickest_nm, "nm", Length, "thickest film that the machine lays", 1.0 ..= 20000.0, "20 um is thicker than any film here";
    repeatability, "1", Share, "relative repeatability of thickness", 0.0 ..= 1.0, "one standard deviation as a share of the thickness";
    repeatability_composition, "1", Share, "repeatability of the composition", 0.0 ..= 0.5, "one standard deviation of the slider";
    rate_nm_per_min, "nm/min", Rate, "deposition rate", 0.01 ..= 100000.0, "from a slow magnetron to far beyond an arc";
    part_temperature_c, "C", Temperature, "temperature of the part", -50.0 ..= 1200.0, "beyond it no part survives";
    pressure_pa, "Pa", Pressure, "pressure in the chamber", 0.00001 ..= 1000.0, "from a good vacuum to far above what a magnetron or an arc works at";
    seconds, "s", Time, "time with the shutter open", 0.0 ..= 10000000.0, "beyond it the machine is worn out first";
    shutter_s, "s", Time, "repeatability of the shutter", 0.0 ..= 600.0, "one standard deviation; what strays by more than ten minutes is no shutter";
    // chamber
    axis_mm, "mm", Length, "distance of the axis of the table from the face of the target", 10.0 ..= 10000.0, "from a bell jar to a chamber of 20 m";
    bearing_deg, "deg", Angle, "bearing of the target", -360.0 ..= 360.0, "once around the chamber";
    centre_mm, "mm", Length, "middle of the target above the middle of the load", -5000.0 ..= 5000.0, "below it the number is negative";
    emission, "1", Share, "exponent of the cosine law", 0.3 ..= 5.0, "1 is the plain cosine law, more is a narrower beam";
    groove_mm, "mm", Length, "depth of the worn track", 0.0 ..= 100.0, "deeper than any target is thick";
    inner_mm, "mm", Length, "how much nearer the axis the innermost parts stand", 0.0 ..= 5000.0, "0 is one row";
    load_height_mm, "mm", Length, "height of the load", 0.0 ..= 10000.0, "from one row of parts to a chamber of 10 m";
    pin_ratio, "1", Share, "turns of a pin for each turn of the table", -1000.0 ..= 1000.0, "negative turns the other way";
    rotation, "1", Share, "number of turning axes", 0.0 ..= 3.0, "0 still, 1 table, 2 table and satellites, 3 and each part on its own pin";
    rpm, "rpm", Rotation, "turning of the table", 0.001 ..= 1000.0, "from one turn in seventeen hours to a spin drier";
    satellite_radius_mm, "mm", Length, "axis of a satellite to its parts", 0.1 ..= 5000.0, "a satellite stands on the table";
    satellite_ratio, "1", Share, "turns of a satellite for each turn of the table", -1000.0 ..= 1000.0, "negative turns the other way";
    satellites, "1", Share, "number of satellites", 1.0 ..= 100.0, "a whole number";
    table_radius_mm, "mm", Length, "axis of the table to what it carries", 0.0 ..= 5000.0, "from a part on the axis to a table of 10 m";
    target_cm2, "cm2", Area, "area of the target", 0.1 ..= 1000000.0, "from a fingertip to 100 m2";
    track_height_mm, "mm", Length, "height of the erosion track", 1.0 ..= 10000.0, "from a small round target to one of 10 m";
    track_width_mm, "mm", Length, "width of the erosion track", 1.0 ..= 2000.0, "from a small round target to one of 2 m";
    wall_cm2, "cm2", Area, "area that is coated: parts, shields and walls", 1.0 ..= 100000000.0, "up to one hectare";
    // gas and log of a coater
    acetylene_sccm, "sccm", GasFlow, "flow of acetylene", 0.0 ..= 100000.0, "100 slm is beyond every flow meter of a coater";
    ampere_hours, "Ah", Charge, "charge that the target has been used for", 0.0 ..= 10000000.0, "beyond it any target is gone";
    argon_sccm, "sccm", GasFlow, "flow of argon", 0.0 ..= 100000.0, "100 slm is beyond every flow meter of a coater";
    bias_v, "V", Voltage, "bias of the parts", -3000.0 ..= 3000.0, "either sign; its size counts";
    cathode_v, "V", Voltage, "voltage of the cathode", -3000.0 ..= 3000.0, "either sign; its size counts";
    current_a, "A", Current, "current of the cathode", 0.001 ..= 10000.0, "from a milliampere to a row of arcs";
    flow_sccm, "sccm", GasFlow, "flow of the reactive gas", 0.0 ..= 100000.0, "100 slm is beyond every flow meter of a coater";
    nitrogen_sccm, "sccm", GasFlow, "flow of nitrogen", 0.0 ..= 100000.0, "100 slm is beyond every flow meter of a coater";
    oxygen_sccm, "sccm", GasFlow, "flow of oxygen", 0.0 ..= 100000.0, "100 slm is beyond every flow meter of a coater";
    pumping_l_per_s, "l/s", VolumeRate, "pumping speed at the chamber", 0.01 ..= 10000000.0, "from a small rotary pump to a hall of cryogenic ones";
    witness_height_mm, "mm", Length, "height of the witness above the middle of the load", -5000.0 ..= 5000.0, "below it the number is negative";
    // recipe
    limit, "1", Share, "limit on either side of the wanted colour", 0.01 ..= 200.0, "a hundredth of L*, a* or b* is finer than any instrument";
    turns, "1", Share, "turns of the table with the shutter open", 0.01 ..= 10000000.0, "beyond it the machine is worn out first";
    share, "1", Share, "share of the area", 0.0001 ..= 1.0, "an area is a part of the whole";
    delta_e, "1", Share, "difference that was foretold", 0.0 ..= 1000.0, "CIEDE2000 between any two colours is less";
    expected_delta_e, "1", Share, "mean difference that was foretold", 0.0 ..= 1000.0, "CIEDE2000 between any two colours is less";
    chance, "1", Share, "chance that was foretold", 0.0 ..= 1.0, "a chance runs from 0 to 1";
    chance_alike, "1", Share, "chance of being alike that was foretold", 0.0 ..= 1.0, "a chance runs from 0 to 1";
    // part
    tempered_c, "C", Temperature, "temperature of the last heat treatment", 50.0 ..= 1400.0, "from an oven to a kiln";
    count, "1", Share, "number of parts alike", 1.0 ..= 1000000.0, "a whole number; a million is more than any rack holds";
    density_g_cm3, "g/cm3", Density, "density", 0.5 ..= 25.0, "osmium, the densest metal, has 22.6";
    diameter_mm, "mm", Length, "diameter", 0.01 ..= 10000.0, "from the finest wire to 10 m";
    height_mm, "mm", Length, "height", 0.001 ..= 10000.0, "from a scratch to 10 m";
    inner_diameter_mm, "mm", Length, "inner diameter", 0.01 ..= 10000.0, "from the finest bore to 10 m";
    length_mm, "mm", Length, "length", 0.01 ..= 100000.0, "from a speck to a coil of 100 m";
    outer_diameter_mm, "mm", Length, "outer diameter", 0.01 ..= 10000.0, "from the finest tube to 10 m";
    thickness_mm, "mm", Length, "thickness of the metal", 0.001 ..= 1000.0, "from foil to a block of 1 m";
    weight_g, "g", Mass, "weight of one part", 0.0001 ..= 1000000.0, "from a tenth of a milligram to a tonne";
    width_mm, "mm", Length, "width", 0.01 ..= 10000.0, "from a speck to 10 m";
}

/// The row of `key`.
///
/// # Panics
/// When no such row exists: keys are written in our own code, and a test reads every one.
pub fn limit(key: &str) -> &'static Limit {
    LIMITS.iter().find(|l| l.key == key).unwrap_or_else(|| panic!("no row '{key}' in the table of limits"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::unit;

    #[test]
    fn every_row_is_consistent() {
        for row in LIMITS {
            assert!(row.min < row.max, "{}", row.key);
            assert!(unit(row.unit, row.dimension).is_some(), "{} has the unknown unit {}", row.key, row.unit);
            assert_eq!(LIMITS.iter().filter(|l| l.key == row.key).count(), 1, "{} twice", row.key);
            assert!(row.check(row.min).is_ok() && row.check(row.max).is_ok());
            assert!(row.check(f64::NAN).is_err() && row.check(f64::INFINITY).is_err());
        }
    }
}
