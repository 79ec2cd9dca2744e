//! Rounds figures for machines, on purpose: as many digits as the calculation can answer for.
//!
//! Invariant: what is not a number is left out (`null`), never written; no minus zero.

/// Rounded to `places` decimals.
pub fn places(value: f64, places: i32) -> Option<f64> {
    let scale = 10_f64.powi(places);
    let rounded = (value * scale).round() / scale;
    rounded.is_finite().then_some(rounded + 0.0)
}

/// Rounded to six digits that count, whatever the size.
pub fn six_digits(value: f64) -> Option<f64> {
    let text = format!("{value:.5e}");
    text.parse::<f64>().ok().filter(|v| v.is_finite()).map(|v| v + 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_and_refuses() {
        assert_eq!(places(0.123_456, 3), Some(0.123));
        assert_eq!(places(f64::INFINITY, 3), None);
        assert_eq!(places(-0.000_1, 2).map(f64::is_sign_negative), Some(false));
        assert_eq!(six_digits(5.721_354_321e-11), Some(5.721_35e-11));
        assert_eq!(six_digits(f64::NAN), None);
    }
}
