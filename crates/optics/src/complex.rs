//! Complex numbers over any [`Real`], with the two square roots that optics needs.

use crate::scalar::Real;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// `re + i im`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cx<T> {
    /// Real part.
    pub re: T,
    /// Imaginary part.
    pub im: T,
}

impl<T: Real> Cx<T> {
    /// `re + i im`.
    pub fn new(re: T, im: T) -> Self {
        Self { re, im }
    }
    /// A complex constant.
    pub fn of(re: f64, im: f64) -> Self {
        Self { re: T::of(re), im: T::of(im) }
    }
    /// The square of the modulus.
    pub fn norm_sqr(self) -> T {
        self.re * self.re + self.im * self.im
    }
    /// Complex conjugate.
    pub fn conj(self) -> Self {
        Self { re: self.re, im: -self.im }
    }
    /// Product with a real number.
    pub fn scale(self, factor: T) -> Self {
        Self { re: self.re * factor, im: self.im * factor }
    }
    /// exp(i z): never overflows while Im z >= 0.
    pub fn exp_i(self) -> Self {
        let size = (-self.im).exp();
        let (sin, cos) = self.re.sin_cos();
        Self { re: size * cos, im: size * sin }
    }

    /// The root with Re >= 0. Both parts are formed without cancellation.
    pub fn sqrt(self) -> Self {
        let modulus = self.norm_sqr().sqrt();
        if modulus.value() <= 0.0 {
            return Self::of(0.0, 0.0);
        }
        if self.re.value() >= 0.0 {
            let re = ((modulus + self.re) * 0.5).sqrt();
            Self { re, im: self.im / (re * 2.0) }
        } else {
            let size = ((modulus - self.re) * 0.5).sqrt();
            let im = if self.im.value() < 0.0 { -size } else { size };
            Self { re: self.im / (im * 2.0), im }
        }
    }

    /// The root with Im >= 0, and with Re >= 0 when there is no loss: a wave that dies away from where it came.
    pub fn sqrt_decaying(self) -> Self {
        let root = self.sqrt();
        if root.im.value() < 0.0 { -root } else { root }
    }
}

impl Cx<f64> {
    /// The same number as constants of another [`Real`].
    pub fn lift<T: Real>(self) -> Cx<T> {
        Cx::of(self.re, self.im)
    }
}

impl<T: Real> Add for Cx<T> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { re: self.re + other.re, im: self.im + other.im }
    }
}
impl<T: Real> Sub for Cx<T> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { re: self.re - other.re, im: self.im - other.im }
    }
}
impl<T: Real> Mul for Cx<T> {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self { re: self.re * other.re - self.im * other.im, im: self.re * other.im + self.im * other.re }
    }
}
impl<T: Real> Div for Cx<T> {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let size = other.norm_sqr();
        let top = self * other.conj();
        Self { re: top.re / size, im: top.im / size }
    }
}
impl<T: Real> Neg for Cx<T> {
    type Output = Self;
    fn neg(self) -> Self {
        Self { re: -self.re, im: -self.im }
    }
}
