//! Vapor resistances in a row and side by side, retarder classes, indoor humidity classes.
//!
//! Conversions between mu, sd, permeance and resistance are in `base::quantity`.
//! Invariant: a resistance of zero and one that passes nothing are both legal values.

use super::air;
use super::error::{Error, OutOfRange, within};
use crate::base::curve::Curve;
use crate::base::quantity::{
    Fraction, Permeability, Permeance, Pressure, RelativeHumidity, STILL_AIR, Temperature, VaporThickness,
};
use crate::base::unit::PERM;

/// Mean humidity in the dry cup, between 0 and 50 % (ASTM E96, from memory).
pub const DRY_CUP: RelativeHumidity = RelativeHumidity::new(0.25);
/// Mean humidity in the wet cup, between 50 and 100 % (ASTM E96, from memory).
pub const WET_CUP: RelativeHumidity = RelativeHumidity::new(0.75);

/// How the permeance of a layer follows the humidity in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ByHumidity {
    /// Two cups: the natural logarithm of the wet cup's permeance over the dry cup's (-14 to 14); equal factors between
    /// them, held beyond.
    Cups(f64),
    /// Its permeance, in any unit, at relative humidities from 0 to 1.
    Points(&'static Curve),
}

impl ByHumidity {
    /// The natural logarithm of its permeance at a humidity over that in the dry cup.
    pub fn ln_gain(self, humidity: RelativeHumidity) -> f64 {
        match self {
            Self::Cups(ln_times) => {
                let share = (humidity.si() - DRY_CUP.si()) / (WET_CUP.si() - DRY_CUP.si());
                ln_times * share.clamp(0.0, 1.0)
            }
            Self::Points(curve) => curve.ln_at(humidity.si()) - curve.ln_at(DRY_CUP.si()),
        }
    }
}

/// Vapor thickness of layers in a row: they add, as resistances do (definition of sd, ISO 12572, from memory).
pub fn series(layers: &[VaporThickness]) -> VaporThickness {
    layers.iter().copied().sum()
}

/// Vapor thickness of areas side by side: the harmonic mean by area. Never the plain mean, which is unsafe.
///
/// # Equation
/// `sd = 1/sum(f_i/sd_i)`
///
/// # Source
/// Lehrbuch der Bauphysik, section 13.1 (digest).
///
/// # Range
/// sd 0 m and up (infinite is allowed), shares above 0 that add to 1; else an error.
///
/// # Example
/// ```
/// # use dewlap::base::quantity::{Fraction, VaporThickness};
/// # use dewlap::physics::vapor::parallel;
/// let half = Fraction::new(0.5);
/// let sd = parallel(&[(half, VaporThickness::new(0.5)), (half, VaporThickness::new(1.5))])?;
/// assert!((sd.si() - 0.75).abs() < 1e-12);
/// # Ok::<(), dewlap::physics::Error>(())
/// ```
pub fn parallel(areas: &[(Fraction, VaporThickness)]) -> Result<VaporThickness, Error> {
    let mut shares = 0.0;
    let mut flow = 0.0;
    for (share, sd) in areas {
        let share = within("share", "1", share.si(), (1e-9, 1.0))?;
        shares += share;
        flow += share / within("vapor thickness", "m", sd.si(), (0.0, f64::INFINITY))?;
    }
    if (shares - 1.0).abs() > 1e-6 { Err(Error::Shares { sum: shares }) } else { Ok(VaporThickness::new(1.0 / flow)) }
}

/// Vapor permeability of still air under an air pressure.
///
/// # Equation
/// `delta = 2e-10 p_0/p`, p_0 = 101325 Pa: diffusion goes with one over the pressure.
///
/// # Source
/// ISO 12572 and Schirmer's formula for the pressure (from memory); ISO 13788 takes 2e-10 kg/(s m Pa) everywhere. Its
/// change with temperature is left out as there.
///
/// # Range
/// 30 to 110 kPa; else an error.
pub fn still_air(pressure: Pressure) -> Result<Permeability, OutOfRange> {
    let pressure = within("air pressure", "Pa", pressure.si(), (30_000.0, 110_000.0))?;
    Ok(Permeability::new(STILL_AIR.si() * air::SEA_LEVEL.si() / pressure))
}

/// Vapor retarder class of North American codes, by permeance in the dry cup.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RetarderClass {
    /// Up to 0.1 perm: impermeable.
    I,
    /// Above 0.1, up to 1 perm: semi-impermeable.
    II,
    /// Above 1, up to 10 perm: semi-permeable.
    III,
    /// Above 10 perm: permeable, no retarder.
    Open,
}

impl RetarderClass {
    /// The class of a permeance.
    ///
    /// # Source
    /// IRC/IECC definitions with their borders 0.1, 1 and 10 perm (read in a paper on vapor permeance). A figure on a
    /// border, as far as a rounding tells, belongs to the tighter class.
    pub fn of(permeance: Permeance) -> Self {
        let perms = permeance.si() / PERM * (1.0 - 1e-9);
        match perms {
            p if p <= 0.1 => Self::I,
            p if p <= 1.0 => Self::II,
            p if p <= 10.0 => Self::III,
            _ => Self::Open,
        }
    }
}

/// Indoor humidity class of ISO 13788 Annex A. The number names different buildings in the two editions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HumidityClass {
    /// Up to 270 Pa over outdoors.
    One,
    /// Up to 540 Pa.
    Two,
    /// Up to 810 Pa.
    Three,
    /// Up to 1080 Pa.
    Four,
    /// Above that; 1360 Pa is taken.
    Five,
}

/// Edition of ISO 13788.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Edition {
    /// The first, 2001.
    E2001,
    /// The second, 2012.
    E2012,
}

impl HumidityClass {
    /// The excess at 0 degC outdoors and below.
    const fn limit(self) -> f64 {
        match self {
            Self::One => 270.0,
            Self::Two => 540.0,
            Self::Three => 810.0,
            Self::Four => 1080.0,
            Self::Five => 1360.0,
        }
    }

    /// What the class stands for in an edition (sense from memory, not the standard's words).
    pub const fn meaning(self, edition: Edition) -> &'static str {
        match (self, edition) {
            (Self::One, Edition::E2001) => "dry storage",
            (Self::One, Edition::E2012) => "empty buildings, dry storage",
            (Self::Two, Edition::E2001) => "offices and shops",
            (Self::Two, Edition::E2012) => "offices, dwellings with usual occupancy and ventilation",
            (Self::Three, Edition::E2001) => "dwellings with few occupants",
            (Self::Three, Edition::E2012) => "buildings whose occupancy is not known",
            (Self::Four, Edition::E2001) => "dwellings with many occupants, sports halls, kitchens",
            (Self::Four, Edition::E2012) => "sports halls, kitchens, canteens",
            (Self::Five, _) => "laundries, breweries, pools",
        }
    }
}

/// How far the indoor vapor pressure lies above the outdoor one, upper limit of the class.
///
/// # Equation
/// The class limit (270, 540, 810, 1080, 1360 Pa) up to 0 degC outdoors, falling straight to 0 at 20 degC. The 2001
/// edition asks for 1.10 times that with monthly means, which is what this crate computes with.
///
/// # Source
/// ISO 13788:2001 and 2012, Annex A (from memory).
///
/// # Range
/// -60 to 100 degC; else an error.
pub fn class_excess(class: HumidityClass, outdoors: Temperature, edition: Edition) -> Result<Pressure, OutOfRange> {
    let theta = within("temperature", "degC", outdoors.si(), (-60.0, 100.0))?;
    let margin = match edition {
        Edition::E2001 => 1.10,
        Edition::E2012 => 1.0,
    };
    Ok(Pressure::new(class.limit() * margin * (1.0 - theta / 20.0).clamp(0.0, 1.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn classes_at_their_borders() {
        let class = |perms: f64| RetarderClass::of(Permeance::new(perms * PERM));
        assert_eq!([class(0.0), class(0.1), class(0.11)], [RetarderClass::I, RetarderClass::I, RetarderClass::II]);
        assert_eq!(
            [class(1.0), class(10.0), class(10.1)],
            [RetarderClass::II, RetarderClass::III, RetarderClass::Open]
        );
    }

    #[test]
    fn side_by_side_with_a_hole_and_with_foil() {
        let half = Fraction::new(0.5);
        let of = |a, b| parallel(&[(half, VaporThickness::new(a)), (half, VaporThickness::new(b))]).unwrap().si();
        assert!(of(0.0, 1.0).abs() < 1e-12);
        assert!((of(f64::INFINITY, 1.0) - 2.0).abs() < 1e-12);
        assert!((series(&[VaporThickness::new(0.5), VaporThickness::new(1.5)]).si() - 2.0).abs() < 1e-12);
    }
}
