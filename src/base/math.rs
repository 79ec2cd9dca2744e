//! Transcendental functions with the same bits on every machine (`libm`, pure Rust).
//!
//! Invariant: no other file of the crate calls the platform's `exp`, `ln` or `powf` (a lint holds this).

/// e to the power `x`.
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// e to the power `x`, less one; exact for small `x`.
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
}

/// Natural logarithm.
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// `x` to the power `y`.
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Sine of an angle in radians.
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of an angle in radians.
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Tangent of an angle in radians.
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// Angle of the point (`x`, `y`) in radians, -pi to pi.
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}
