//! One period with given saturation pressures: the balance of standards that prescribe them instead of temperatures.
//!
//! Invariant: the same string as the monthly profile; only where the saturation pressures come from differs.

use super::solver::Solver;
use super::string::{Conditions, Stretched};
use crate::base::quantity::{Duration, MoistureMass, Pressure, STILL_AIR, VaporThickness};
use crate::physics::error::{Error, within};

/// A period during which all stays the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Period<'a> {
    /// Vapor thickness of the layers, outside to inside, each above 0 m.
    pub vapor: &'a [VaporThickness],
    /// Saturation pressure at the interfaces, both surfaces included: one more than there are layers.
    pub saturation: &'a [Pressure],
    /// Outdoor vapor pressure.
    pub outdoor: Pressure,
    /// Indoor vapor pressure.
    pub indoor: Pressure,
    /// How long the period is.
    pub duration: Duration,
}

/// The interfaces after the period, both surfaces included.
#[derive(Clone, Debug, PartialEq)]
pub struct PeriodResult {
    /// Vapor pressure at the beginning.
    pub pressure: Vec<Pressure>,
    /// Water at the end.
    pub mass: Vec<MoistureMass>,
}

impl Solver {
    /// Takes `water` (one figure an interface, surfaces included) through one period with given saturation pressures.
    ///
    /// # Source
    /// DIN 4108-3:2014 and later: 90 days at -5/20 degC with their own temperatures, then 90 days with 1200 Pa on both
    /// sides and 1700 Pa (walls) or 2000 Pa (roofs) at wet planes (read in a digest of a textbook).
    ///
    /// # Errors
    /// Lists that do not fit together, a layer without vapor thickness, pressures outside 0 to 100 kPa, negative water.
    pub fn period(&mut self, period: &Period<'_>, water: &[MoistureMass]) -> Result<PeriodResult, Error> {
        let expected = period.vapor.len() + 1;
        for found in [period.saturation.len(), water.len()] {
            if found != expected {
                return Err(Error::Lengths { expected, found });
            }
        }
        if period.vapor.is_empty() {
            return Err(Error::NoLayers);
        }
        let pressure = |p: Pressure| within("vapor pressure", "Pa", p.si(), (0.0, 1e5));
        let sd = |(layer, sd): (usize, &VaporThickness)| {
            within("vapor thickness", "m", sd.si(), (1e-12, 1e12)).map_err(|range| Error::Layer { layer, range })
        };
        let width = period.vapor.iter().enumerate().map(sd).collect::<Result<Vec<_>, _>>()?;
        let saturation = period.saturation.iter().map(|p| pressure(*p)).collect::<Result<Vec<_>, _>>()?;
        let held = |m: &MoistureMass| within("water", "kg/m2", m.si(), (0.0, 1000.0));
        let mut mass = water.iter().map(held).collect::<Result<Vec<_>, _>>()?;
        let ends = (pressure(period.outdoor)?, pressure(period.indoor)?);
        let seconds = within("duration", "s", period.duration.si(), (1e-3, 3.2e9))?;
        let still_air = STILL_AIR.si();
        let at = Conditions { width: &width, saturation: &saturation, ends, seconds, still_air };
        let (mut first, mut last) = (Vec::new(), Vec::new());
        Stretched::default().month(&at, &mut mass, &mut first, &mut last)?;
        Ok(PeriodResult {
            pressure: first.into_iter().map(Pressure::new).collect(),
            mass: mass.into_iter().map(MoistureMass::new).collect(),
        })
    }
}
