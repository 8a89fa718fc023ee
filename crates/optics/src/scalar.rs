//! The number type that the formulas are written in: a plain `f64`, or one that carries derivatives.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// A real number. Comparisons and branches go by [`Real::value`], so that a derivative never changes the path taken.
pub trait Real:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
    + AddAssign
{
    /// A constant.
    fn of(value: f64) -> Self;
    /// The number itself.
    fn value(self) -> f64;
    /// Whether it carries no derivative: a shortcut that loses none may then be taken.
    fn is_constant(self) -> bool;
    /// Square root; domain: value >= 0 (the derivative at 0 is taken as 0).
    fn sqrt(self) -> Self;
    /// Exponential.
    fn exp(self) -> Self;
    /// Sine and cosine of an angle in radians.
    fn sin_cos(self) -> (Self, Self);
}

impl Real for f64 {
    fn of(value: f64) -> Self {
        value
    }
    fn value(self) -> f64 {
        self
    }
    fn is_constant(self) -> bool {
        true
    }
    fn sqrt(self) -> Self {
        self.sqrt()
    }
    fn exp(self) -> Self {
        libm::exp(self)
    }
    fn sin_cos(self) -> (Self, Self) {
        libm::sincos(self)
    }
}
