//! Climate zones after ASHRAE 169-2013 and later, as IECC 2021 takes them over, from monthly means.
//!
//! Source: the thermal rows and the moisture tests as several public copies of IECC chapter 3 print them; the form of 2013
//! and later is from memory and was compared with the published zones of 1,925 weather stations. All bounds are "more than"
//! below and "up to" above. Invariant: letters stand only in zones 0 to 6, C only in 3, 4 and 5.

use std::fmt;

use crate::base::math;
use crate::base::quantity::{Length, Temperature};

/// Where a zone comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ZoneBasis {
    /// The county list of IECC 2021.
    County,
    /// Worked out from weather by the rules of this module.
    Computed,
    /// Written by the author.
    Written,
}

impl ZoneBasis {
    /// The words a report prints.
    pub fn words(self) -> &'static str {
        match self {
            Self::County => "county list, IECC 2021",
            Self::Computed => "computed from monthly means, ASHRAE 169 rules",
            Self::Written => "as written",
        }
    }
}

/// A climate zone such as 4A.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Zone {
    /// 0 (hottest) to 8.
    pub number: u8,
    /// A humid, B dry, C marine; none in zones 7 and 8, and where rain is not known.
    pub letter: Option<char>,
    /// Where it comes from.
    pub basis: ZoneBasis,
}

impl Zone {
    /// Reads `4A`, `7`. None for anything else, for a letter in 7 or 8, and for C outside 3 to 5.
    pub fn read(text: &str, basis: ZoneBasis) -> Option<Self> {
        let mut chars = text.trim().chars();
        let number = u8::try_from(chars.next()?.to_digit(10)?).ok().filter(|n| *n <= 8)?;
        let letter = chars.next().map(|c| c.to_ascii_uppercase());
        let fits = match letter {
            None => true,
            Some('A' | 'B') => number <= 6,
            Some('C') => (3..=5).contains(&number),
            Some(_) => false,
        };
        (fits && chars.next().is_none()).then_some(Self { number, letter, basis })
    }

    /// Whether it is marine 4, which the vapor tables treat as colder than the rest of 4.
    pub fn is_marine_four(self) -> bool {
        self.number == 4 && self.letter == Some('C')
    }
}

impl fmt::Display for Zone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.number)?;
        self.letter.map_or(Ok(()), |letter| write!(f, "{letter}"))
    }
}

/// Rain and snow, as water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ZoneRain {
    /// Month by month, January first.
    Months([Length; 12]),
    /// Of the year alone.
    Year(Length),
    /// Not known.
    Unknown,
}

/// Weather from which a zone is worked out.
#[derive(Clone, Copy, Debug)]
pub struct ZoneWeather {
    /// Mean temperatures, January first.
    pub temperatures: [Temperature; 12],
    /// Rain and snow.
    pub rain: ZoneRain,
    /// Kelvin days below 18.33 C and above 10 C in a year; estimated from the means where not known.
    pub degree_days: Option<(f64, f64)>,
    /// South of the equator, where the warm half of the year is October to March.
    pub southern: bool,
}

/// The zone of some weather.
pub fn zone_from(weather: &ZoneWeather) -> Zone {
    let (heating, cooling) = weather.degree_days.unwrap_or_else(|| degree_days(&weather.temperatures));
    let number = thermal_zone(heating, cooling);
    let letter = if number > 6 { None } else { letter(weather, number, cooling) };
    Zone { number, letter, basis: ZoneBasis::Computed }
}

fn thermal_zone(heating: f64, cooling: f64) -> u8 {
    let warm = [(6000.0, 0), (5000.0, 1), (3500.0, 2)];
    if let Some((_, zone)) = warm.iter().find(|(more_than, _)| cooling > *more_than) {
        return *zone;
    }
    let cold = [(2000.0, 3), (3000.0, 4), (4000.0, 5), (5000.0, 6), (7000.0, 7)];
    cold.iter().find(|(up_to, _)| heating <= *up_to).map_or(8, |(_, zone)| *zone)
}

fn letter(weather: &ZoneWeather, number: u8, cooling: f64) -> Option<char> {
    let ZoneRain::Months(rain) = &weather.rain else {
        // The fallback of IECC 2021 for places without monthly rain.
        let marine = matches!((number, cooling), (3, c) if c <= 2500.0)
            || matches!((number, cooling), (4, c) if c <= 1500.0)
            || matches!((number, cooling), (5, c) if c <= 1000.0);
        return if marine { Some('C') } else { letter_of_a_year(weather) };
    };
    if (3..=5).contains(&number) && is_marine(weather, rain) {
        return Some('C');
    }
    Some(if is_dry(weather, rain) { 'B' } else { 'A' })
}

/// A or B from a year's rain alone: told only where it is the same whatever the season in which the rain falls.
fn letter_of_a_year(weather: &ZoneWeather) -> Option<char> {
    let ZoneRain::Year(rain) = weather.rain else { return None };
    let mean = weather.temperatures.iter().map(|t| t.si()).sum::<f64>() / 12.0;
    let dry = |shift: f64| rain.si() * 1000.0 < dry_below(mean, shift);
    match [0.0, 7.0, 14.0].map(dry) {
        [true, true, true] => Some('B'),
        [false, false, false] => Some('A'),
        _ => None,
    }
}

/// Rain of a year, mm, below which a place is dry.
fn dry_below(mean: f64, shift: f64) -> f64 {
    20.0 * (mean + shift)
}

/// Whether a month (0 is January) lies in the warm half of the year.
fn is_warm_half(month: usize, southern: bool) -> bool {
    (3..=8).contains(&month) != southern
}

fn is_marine(weather: &ZoneWeather, rain: &[Length; 12]) -> bool {
    let temperatures = weather.temperatures.map(Temperature::si);
    let coldest = temperatures.iter().copied().fold(f64::INFINITY, f64::min);
    let warmest = temperatures.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mild = temperatures.iter().filter(|t| **t > 10.0).count() >= 4;
    let half = |warm: bool| {
        let months = rain.iter().enumerate();
        months.filter(move |(m, _)| is_warm_half(*m, weather.southern) == warm).map(|(_, r)| r.si())
    };
    let wettest_cold = half(false).fold(0.0, f64::max);
    let driest_warm = half(true).fold(f64::INFINITY, f64::min);
    coldest > -3.0 && coldest < 18.0 && warmest < 22.0 && mild && wettest_cold >= 3.0 * driest_warm
}

fn is_dry(weather: &ZoneWeather, rain: &[Length; 12]) -> bool {
    let millimetres = |r: f64| r * 1000.0;
    let year: f64 = millimetres(rain.iter().map(|r| r.si()).sum());
    let months = rain.iter().enumerate();
    let warm: f64 = months.filter(|(m, _)| is_warm_half(*m, weather.southern)).map(|(_, r)| millimetres(r.si())).sum();
    let mean = weather.temperatures.iter().map(|t| t.si()).sum::<f64>() / 12.0;
    let share = if year > 0.0 { warm / year } else { 0.0 };
    // From 70 %, above 30 %, and up to that.
    let shift = match share {
        s if s >= 0.7 => 14.0,
        s if s > 0.3 => 7.0,
        _ => 0.0,
    };
    year < dry_below(mean, shift)
}

/// Heating (base 18.333 C) and cooling (base 10 C) degree days of a year of monthly means, K d.
///
/// Each month's days are taken as normally distributed about the mean; their standard deviation in K is
/// 2.6 - 0.04 T + 0.22 s with s the standard deviation of the twelve means. The three figures were fitted here to the degree
/// days of the 192 places that have them: rms error 34 K d, largest 96. A zone nearer to a bound than that is doubtful.
pub fn degree_days(temperatures: &[Temperature; 12]) -> (f64, f64) {
    const DAYS: [f64; 12] = [31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0];
    let mean = temperatures.iter().map(|t| t.si()).sum::<f64>() / 12.0;
    let spread = (temperatures.iter().map(|t| (t.si() - mean) * (t.si() - mean)).sum::<f64>() / 12.0).sqrt();
    let months = temperatures.iter().zip(DAYS);
    months.fold((0.0, 0.0), |(heating, cooling), (t, days)| {
        let sd = (2.6 - 0.04 * t.si() + 0.22 * spread).max(0.3);
        let below = days * mean_excess(18.333 - t.si(), sd);
        let above = days * mean_excess(t.si() - 10.0, sd);
        (heating + below, cooling + above)
    })
}

/// Mean of the positive part of a normal variable with this mean and standard deviation.
fn mean_excess(mean: f64, sd: f64) -> f64 {
    let z = mean / sd;
    let density = math::exp(-0.5 * z * z) / (2.0 * std::f64::consts::PI).sqrt();
    mean * normal_share(z) + sd * density
}

/// Share of a standard normal variable below z: Abramowitz and Stegun 26.2.17, error below 7.5e-8.
fn normal_share(z: f64) -> f64 {
    let t = 1.0 / (1.0 + 0.231_641_9 * z.abs());
    let coefficients = [1.330_274_429, -1.821_255_978, 1.781_477_937, -0.356_563_782, 0.319_381_530];
    let series = coefficients.iter().fold(0.0, |sum, c| (sum + c) * t);
    let tail = math::exp(-0.5 * z * z) / (2.0 * std::f64::consts::PI).sqrt() * series;
    if z >= 0.0 { 1.0 - tail } else { tail }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_belong_to_the_colder_side_of_heat_and_the_milder_of_cold() {
        assert_eq!(thermal_zone(0.0, 6000.0), 1);
        assert_eq!(thermal_zone(0.0, 6000.1), 0);
        assert_eq!(thermal_zone(2000.0, 3500.0), 3);
        assert_eq!(thermal_zone(2000.1, 3500.0), 4);
        assert_eq!(thermal_zone(7000.1, 0.0), 8);
    }

    #[test]
    fn written_zones_are_checked() {
        let read = |text| Zone::read(text, ZoneBasis::Written).map(|z| z.to_string());
        assert_eq!(read("4c").as_deref(), Some("4C"));
        assert_eq!(read("7").as_deref(), Some("7"));
        for wrong in ["7A", "2C", "9", "4AA", "A4", ""] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn normal_share_meets_the_table() {
        // Standard normal table: 0.5, 0.841345, 0.977250.
        for (z, share) in [(0.0, 0.5), (1.0, 0.841_345), (2.0, 0.977_250), (-1.0, 0.158_655)] {
            assert!((normal_share(z) - share).abs() < 1e-6);
        }
    }
}
