//! Means of a year without gaps.
//!
//! Invariant: a month is what its records say, whatever their year; vapor is averaged as pressure.

use super::Month;
use super::repair::State;
use crate::base::quantity::{Pressure, RelativeHumidity, Temperature};

/// Twelve months, January first.
pub(super) fn months(states: &[State]) -> [Month; 12] {
    std::array::from_fn(|index| {
        let of_month = || states.iter().filter(|s| usize::from(s.month) == index + 1);
        let count = of_month().count() as f64;
        let mean = |figure: fn(&State) -> f64| of_month().map(figure).sum::<f64>() / count;
        Month {
            temperature: Temperature::new(mean(|s| s.temperature)),
            vapor: Pressure::new(mean(|s| s.vapor)),
            humidity: RelativeHumidity::new(mean(|s| s.humidity) / 100.0),
            year: of_month().next().map_or(0, |s| s.year),
        }
    })
}

/// 65 F in degC, the usual base of heating degree days.
const HEATED_BELOW: f64 = (65.0 - 32.0) / 1.8;

/// Kelvin days below 65 F (18.33 C) and above 10 C, from the means of the days.
pub(super) fn degree_days(states: &[State], per_hour: usize) -> (f64, f64) {
    let day = 24 * per_hour.max(1);
    states.chunks(day).fold((0.0, 0.0), |(heating, cooling), records| {
        let mean = records.iter().map(|s| s.temperature).sum::<f64>() / records.len() as f64;
        (heating + (HEATED_BELOW - mean).max(0.0), cooling + (mean - 10.0).max(0.0))
    })
}
