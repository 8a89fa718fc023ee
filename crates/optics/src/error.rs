//! What optics refuses.

/// A question that the formulas cannot answer. Each message says what was given and what is allowed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OpticsError {
    /// The rms roughness is beyond where the loss formula holds.
    #[error(
        "roughness_nm of the base is {given_nm:.1} nm rms; the loss formula holds up to {limit_nm:.1} nm (a tenth of the shortest wavelength). \
         For a rougher surface describe its facets: slope_deg, or texture = \"satin\" or \"blasted\""
    )]
    RoughnessBeyondFormula {
        /// What was given, nm rms.
        given_nm: f64,
        /// The largest allowed, nm rms.
        limit_nm: f64,
    },
    /// More uneven films than are averaged over.
    #[error("{given} films have a spread; at most {most} are averaged over: give it to the films that matter")]
    TooManyUneven {
        /// How many.
        given: usize,
        /// How many are allowed.
        most: usize,
    },
    /// The tilt is outside 0 to 85 degrees.
    #[error("tilt is {given_deg:.2} degrees; allowed is 0 to 85 degrees from the normal")]
    TiltOutOfRange {
        /// What was given, degrees.
        given_deg: f64,
    },
}
