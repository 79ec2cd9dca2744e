//! The temperature of undisturbed soil through the year.
//!
//! Not in it: the heat that a building gives to the soil beside it, snow, ground water, freezing of the soil.
//! Invariant: the swing dies away and lags with depth; its yearly mean is that of the surface at every depth.

use super::error::{Error, OutOfRange, within};
use super::profile::MONTH_DAYS;
use crate::base::math;
use crate::base::quantity::{Conductivity, Fraction, Length, Temperature, TemperatureDifference, ThermalResistance};
use std::f64::consts::{PI, TAU};

/// Days of a year.
const YEAR: f64 = 365.0;
/// Seconds of a day.
const DAY: f64 = 86_400.0;
/// Depths the sine is used for, m.
const DEPTHS: (f64, f64) = (0.0, 100.0);

/// What the soil is made of, as far as heat goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Soil {
    /// Thermal conductivity.
    pub conductivity: Conductivity,
    /// Heat capacity by volume, J/(m3 K).
    pub capacity: f64,
}

impl Soil {
    /// Clay or silt. ISO 13370 (from memory), like the two below.
    pub const CLAY: Self = Self { conductivity: Conductivity::new(1.5), capacity: 3.0e6 };
    /// Sand or gravel.
    pub const SAND: Self = Self { conductivity: Conductivity::new(2.0), capacity: 2.0e6 };
    /// Homogeneous rock.
    pub const ROCK: Self = Self { conductivity: Conductivity::new(3.5), capacity: 2.0e6 };

    /// Depth at which the yearly swing has shrunk to 1/e: `d = sqrt(365 a/pi)`, a = lambda/(rho c) in m2 a day.
    ///
    /// The same as the periodic penetration depth of ISO 13370 (from memory).
    pub fn penetration(self) -> Length {
        let diffusivity = self.conductivity.si() / self.capacity * DAY;
        Length::new((YEAR * diffusivity / PI).sqrt())
    }

    /// What 2 m of it resist: the layer below a ground floor in the monthly vapor sum (ISO 13788, from memory).
    pub fn two_meters(self) -> ThermalResistance {
        Length::new(2.0) / self.conductivity
    }
}

/// How far the air of a ventilated crawlspace over soil swings through the year, as a share of outdoor air's swing.
///
/// # Equation
/// `(U_x + 0.74 lambda/B ln(d/d_g + 1))/(lambda/d + U_x)`, at most 1: air that comes in and heat round the foundation against
/// what the soil below holds back. `U_x = 1450 (a/2) v f`, a the free area of the vents over the floor area, v = 4 m/s, f =
/// 0.05 for average shelter; B = 8 m twice the floor over its edge; `d_g = 0.3 + 0.21 lambda` m; d from
/// [`Soil::penetration`].
///
/// # Source
/// ISO 13370, suspended floors, periodic part (from memory), with the heat through floor and foundation walls left out
/// (our own choice: both are small beside the rest, and unlike in every house).
///
/// # Range
/// Free area 0 to 1 of the floor; else an error.
pub fn crawlspace_swing(soil: Soil, free_area: Fraction) -> Result<f64, OutOfRange> {
    let vents = within("free area", "1", free_area.si(), (0.0, 1.0))?;
    let (lambda, depth) = (soil.conductivity.si(), soil.penetration().si());
    let air = 1450.0 * (vents / 2.0) * 4.0 * 0.05;
    let edge = 0.74 * lambda / 8.0 * math::ln(depth / (0.3 + 0.21 * lambda) + 1.0);
    Ok(((air + edge) / (lambda / depth + air)).min(1.0))
}

/// A year of surface temperature as one sine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// Mean of the year.
    pub mean: Temperature,
    /// Half the way from the coldest to the warmest day, 0 K and up.
    pub amplitude: TemperatureDifference,
    /// The coldest day, counted from 1 January, 0 to 365.
    pub coldest: f64,
}

/// The middle of each month, in days from 1 January (definition).
pub fn mid_months() -> [f64; 12] {
    let mut begin = 0.0;
    MONTH_DAYS.map(|days| {
        begin += days;
        begin - days / 2.0
    })
}

impl Swing {
    /// The sine nearest to temperatures on some days, by least squares.
    ///
    /// # Equation
    /// `T = mean + b cos(2 pi t/365) + c sin(2 pi t/365)`; amplitude `sqrt(b2 + c2)`, coldest day `atan2(-c, -b) 365/2 pi`.
    ///
    /// # Source
    /// Kusuda and Achenbach 1965 for the form (from memory); least squares is our own choice. Half of the warmest less
    /// the coldest month, with its middle as the coldest day, differs by up to 1 K and two weeks.
    ///
    /// # Errors
    /// Temperatures outside -60 to 100 degC; fewer than three days, or days that do not tell a sine.
    pub fn fit(days: &[(f64, Temperature)]) -> Result<Self, Error> {
        let mut rows = [[0.0; 4]; 3];
        for (day, temperature) in days {
            let value = within("temperature", "degC", temperature.si(), (-60.0, 100.0))?;
            let turn = TAU * day / YEAR;
            let known = [1.0, math::cos(turn), math::sin(turn), value];
            for (row, weight) in rows.iter_mut().zip(known) {
                row.iter_mut().zip(known).for_each(|(sum, k)| *sum += weight * k);
            }
        }
        let found = Error::Lengths { expected: 3, found: days.len() };
        let [mean, b, c] = solve(rows).ok_or(found)?;
        let turn = math::atan2(-c, -b);
        Ok(Self {
            mean: Temperature::new(mean),
            amplitude: TemperatureDifference::new((b * b + c * c).sqrt()),
            coldest: (turn * YEAR / TAU).rem_euclid(YEAR),
        })
    }

    /// Temperature at a depth on a day.
    ///
    /// # Equation
    /// `T(z, t) = mean - A exp(-z/d) cos(2 pi (t - t_0)/365 - z/d)`, d from [`Soil::penetration`].
    ///
    /// # Source
    /// Kusuda and Achenbach 1965 (from memory): conduction into a half-space under a sine.
    ///
    /// # Range
    /// Depth 0 to 100 m; else an error.
    pub fn at(&self, soil: Soil, depth: Length, day: f64) -> Result<Temperature, OutOfRange> {
        let x = within("depth", "m", depth.si(), DEPTHS)? / soil.penetration().si();
        let swing = self.amplitude * (math::exp(-x) * math::cos(self.turn(day) - x));
        Ok(self.mean - swing)
    }

    /// Mean temperature from the surface down to a depth on a day: what a wall in the ground borders on.
    ///
    /// # Equation
    /// `mean - A/(2 x) [cos w + sin w - exp(-x) (cos(w - x) + sin(w - x))]`, `x = z/d`, `w = 2 pi (t - t_0)/365`: the
    /// integral of [`Swing::at`] over the depth, divided by it.
    ///
    /// # Range
    /// Depth 0 to 100 m; else an error. At 0 it is the surface.
    pub fn mean_to(&self, soil: Soil, depth: Length, day: f64) -> Result<Temperature, OutOfRange> {
        let x = within("depth", "m", depth.si(), DEPTHS)? / soil.penetration().si();
        // The quotient loses all digits near zero; a millimeter differs from the surface by less than a thousandth of A.
        if x < 5e-4 {
            return self.at(soil, Length::ZERO, day);
        }
        let w = self.turn(day);
        let end = |angle: f64| math::cos(angle) + math::sin(angle);
        Ok(self.mean - self.amplitude * ((end(w) - math::exp(-x) * end(w - x)) / (2.0 * x)))
    }

    fn turn(&self, day: f64) -> f64 {
        TAU * (day - self.coldest) / YEAR
    }
}

/// Three equations, each with its right side last, by elimination; none where they do not tell three unknowns.
fn solve([first, second, third]: [[f64; 4]; 3]) -> Option<[f64; 3]> {
    let less = |row: [f64; 4], pivot: [f64; 4], factor: f64| {
        let [a, b, c, d] = pivot;
        let [e, f, g, h] = row;
        [e - factor * a, f - factor * b, g - factor * c, h - factor * d]
    };
    let ratio = |over: f64, under: f64| (under.abs() > 1e-9).then_some(over / under);
    // Sums of squares on the diagonal: no exchange of rows is needed.
    let second = less(second, first, ratio(second[0], first[0])?);
    let third = less(third, first, ratio(third[0], first[0])?);
    let third = less(third, second, ratio(third[1], second[1])?);
    let c = ratio(third[3], third[2])?;
    let b = ratio(second[3] - second[2] * c, second[1])?;
    let mean = ratio(first[3] - first[1] * b - first[2] * c, first[0])?;
    Some([mean, b, c])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fit_gives_back_the_sine_it_was_made_of() {
        let made = Swing { mean: Temperature::new(10.0), amplitude: TemperatureDifference::new(12.0), coldest: 35.0 };
        let days = mid_months().map(|day| (day, made.at(Soil::CLAY, Length::ZERO, day).unwrap()));
        let found = Swing::fit(&days).unwrap();
        assert!((found.mean - made.mean).si().abs() < 1e-9);
        assert!((found.amplitude - made.amplitude).si().abs() < 1e-9);
        assert!((found.coldest - 35.0).abs() < 1e-9);
        // Two days tell no sine.
        assert!(Swing::fit(&days[..2]).is_err());
        assert!(Swing::fit(&[(1.0, Temperature::new(f64::NAN)); 12]).is_err());
    }

    #[test]
    fn a_year_without_seasons_has_one_temperature_at_all_depths() {
        let days = mid_months().map(|day| (day, Temperature::new(27.0)));
        let flat = Swing::fit(&days).unwrap();
        for depth in [0.0, 0.4, 3.0] {
            let at = flat.mean_to(Soil::ROCK, Length::new(depth), 200.0).unwrap();
            assert!((at.si() - 27.0).abs() < 1e-9);
        }
        assert!(flat.at(Soil::SAND, Length::new(-0.1), 1.0).is_err());
    }
}
