//! Moisture content of wood in air: the sorption isotherm.
//!
//! In balance with the air only: how long wood takes to get there is not told.
//! Invariant: rises with humidity at every temperature of the range.

use super::error::{OutOfRange, within};
use crate::base::quantity::{Fraction, RelativeHumidity, Temperature};

/// Moisture content of wood in balance with air, by dry mass.
///
/// # Equation
/// `M = 18/W [K h/(1 - K h) + (K1 K h + 2 K1 K2 K^2 h^2)/(1 + K1 K h + K1 K2 K^2 h^2)]`, theta in degC,
/// W = 349 + 1.29 theta + 0.0135 theta^2, K = 0.805 + 7.36e-4 theta - 2.73e-6 theta^2,
/// K1 = 6.27 - 9.38e-3 theta - 3.03e-4 theta^2, K2 = 1.91 + 4.07e-2 theta - 2.93e-4 theta^2.
///
/// # Source
/// The two-hydrate form of Hailwood and Horrobin with the constants of the Wood Handbook, FPL-GTR-190 chapter 4 (from
/// memory; it gives back the printed table of the same chapter, also from memory, to 0.1 %).
///
/// # Range
/// -20 to 70 degC, humidity 0 to 1; else an error. Below -1 degC the handbook prints nothing: it is carried on.
///
/// # Example
/// ```
/// # use dewlap::{base::quantity::*, physics::wood};
/// let content = wood::content(Temperature::new(21.1), RelativeHumidity::new(0.8))?;
/// assert!((content.si() - 0.160).abs() < 0.001);
/// # Ok::<(), dewlap::physics::OutOfRange>(())
/// ```
pub fn content(temperature: Temperature, humidity: RelativeHumidity) -> Result<Fraction, OutOfRange> {
    let t = within("temperature", "degC", temperature.si(), (-20.0, 70.0))?;
    let h = within("relative humidity", "1", humidity.si(), (0.0, 1.0))?;
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let kh = (0.805 + 7.36e-4 * t - 2.73e-6 * t * t) * h;
    let k1 = 6.27 - 9.38e-3 * t - 3.03e-4 * t * t;
    let k2 = 1.91 + 4.07e-2 * t - 2.93e-4 * t * t;
    let (once, twice) = (k1 * kh, k1 * k2 * kh * kh);
    Ok(Fraction::new(18.0 / w * (kh / (1.0 - kh) + (once + 2.0 * twice) / (1.0 + once + twice))))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Wood Handbook, table of equilibrium moisture contents, rows of 30, 70 and 110 F (from memory).
    #[test]
    fn the_printed_table_comes_back() {
        let rows = [
            (-1.1, [(0.3, 6.3), (0.5, 9.5), (0.8, 16.5), (0.9, 21.0)]),
            (21.1, [(0.3, 6.2), (0.5, 9.2), (0.8, 16.0), (0.9, 20.5)]),
            (43.3, [(0.3, 5.6), (0.5, 8.4), (0.8, 14.7), (0.9, 19.1)]),
        ];
        for (celsius, row) in rows {
            for (humidity, percent) in row {
                let found = content(Temperature::new(celsius), RelativeHumidity::new(humidity)).unwrap().si() * 100.0;
                assert!((found - percent).abs() <= 0.15, "{celsius} {humidity}: {found}, printed {percent}");
            }
        }
    }

    #[test]
    fn it_rises_with_humidity() {
        for celsius in [-20, 0, 20, 45, 70] {
            let at = |h: i32| {
                content(Temperature::new(f64::from(celsius)), RelativeHumidity::new(f64::from(h) / 100.0)).unwrap().si()
            };
            assert!((0..100).all(|h| at(h) < at(h + 1)), "{celsius}");
        }
        assert!(content(Temperature::new(20.0), RelativeHumidity::new(1.1)).is_err());
    }
}
