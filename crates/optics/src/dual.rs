//! A number with its exact partial derivatives by `N` quantities (forward differentiation).

#![expect(clippy::suspicious_arithmetic_impl, reason = "the product and quotient rules are made of sums")]

use crate::scalar::Real;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// `value` and its slope by each of `N` fitted quantities.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dual<const N: usize> {
    /// The number.
    pub value: f64,
    /// Its partial derivatives.
    pub slope: [f64; N],
}

impl<const N: usize> Dual<N> {
    /// The quantity number `which` itself: slope 1 by itself, 0 by the others.
    ///
    /// # Panics
    /// When `which >= N`.
    pub fn variable(value: f64, which: usize) -> Self {
        let mut slope = [0.0; N];
        slope[which] = 1.0;
        Self { value, slope }
    }

    fn chain(self, value: f64, derivative: f64) -> Self {
        Self { value, slope: self.slope.map(|s| s * derivative) }
    }
}

fn zip<const N: usize>(a: [f64; N], b: [f64; N], f: impl Fn(f64, f64) -> f64) -> [f64; N] {
    std::array::from_fn(|i| f(a[i], b[i]))
}

impl<const N: usize> Add for Dual<N> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { value: self.value + other.value, slope: zip(self.slope, other.slope, |a, b| a + b) }
    }
}
impl<const N: usize> Sub for Dual<N> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { value: self.value - other.value, slope: zip(self.slope, other.slope, |a, b| a - b) }
    }
}
impl<const N: usize> Mul for Dual<N> {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let (u, v) = (self.value, other.value);
        Self { value: u * v, slope: zip(self.slope, other.slope, |a, b| a * v + u * b) }
    }
}
impl<const N: usize> Div for Dual<N> {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let quotient = self.value / other.value;
        Self { value: quotient, slope: zip(self.slope, other.slope, |a, b| (a - quotient * b) / other.value) }
    }
}
impl<const N: usize> Neg for Dual<N> {
    type Output = Self;
    fn neg(self) -> Self {
        self.chain(-self.value, -1.0)
    }
}
impl<const N: usize> Add<f64> for Dual<N> {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        self.chain(self.value + other, 1.0)
    }
}
impl<const N: usize> Sub<f64> for Dual<N> {
    type Output = Self;
    fn sub(self, other: f64) -> Self {
        self.chain(self.value - other, 1.0)
    }
}
impl<const N: usize> Mul<f64> for Dual<N> {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        self.chain(self.value * other, other)
    }
}
impl<const N: usize> Div<f64> for Dual<N> {
    type Output = Self;
    fn div(self, other: f64) -> Self {
        self.chain(self.value / other, 1.0 / other)
    }
}
impl<const N: usize> AddAssign for Dual<N> {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl<const N: usize> Real for Dual<N> {
    fn of(value: f64) -> Self {
        Self { value, slope: [0.0; N] }
    }
    fn value(self) -> f64 {
        self.value
    }
    fn is_constant(self) -> bool {
        self.slope.iter().all(|s| *s == 0.0)
    }
    fn sqrt(self) -> Self {
        let root = self.value.sqrt();
        self.chain(root, if root > 0.0 { 0.5 / root } else { 0.0 })
    }
    fn exp(self) -> Self {
        let e = libm::exp(self.value);
        self.chain(e, e)
    }
    fn sin_cos(self) -> (Self, Self) {
        let (sin, cos) = libm::sincos(self.value);
        (self.chain(sin, cos), self.chain(cos, -sin))
    }
}
