//! The drying reserve of a closed timber part: what it could lose in a summer beyond what a winter leaves in it.
//!
//! Two fixed periods, no climate. Invariant: a plane between two layers without vapor resistance is an error, not endless.

use super::error::{OutOfRange, within};
use crate::base::quantity::{Duration, MoistureMass, Permeance, Pressure, VaporThickness};

/// 90 days, each of the two periods (DIN 4108-3:2014 and later, read in a digest of a textbook).
pub const PERIOD: Duration = Duration::new(90.0 * 86_400.0);
/// Vapor pressure of the air on both sides in the drying period.
const AIR: Pressure = Pressure::new(1200.0);
/// Saturation pressure at the wet plane of walls and ceilings in the drying period.
const WALL: Pressure = Pressure::new(1700.0);
/// The same of roofs, which the sun warms.
const ROOF: Pressure = Pressure::new(2000.0);

/// What a wet plane can lose in the drying period, to both sides.
///
/// # Equation
/// `M = delta_0 (p_sat - 1200 Pa) (1/sd_e + 1/sd_i) 90 d`, p_sat = 1700 Pa in walls, 2000 Pa in roofs.
///
/// # Source
/// DIN 4108-3:2014 and later (read in a digest of a textbook).
///
/// # Range
/// Each vapor thickness 0.001 to 1e12 m; else an error.
///
/// # Example
/// ```
/// # use dewlap::{base::quantity::VaporThickness, physics::reserve};
/// let sd = VaporThickness::new;
/// let wall = reserve::drying(sd(1.0), sd(3.0), false)?;
/// assert!((wall.si() - 2e-10 * 500.0 * (1.0 + 1.0 / 3.0) * 7_776_000.0).abs() < 1e-9);
/// # Ok::<(), dewlap::physics::OutOfRange>(())
/// ```
pub fn drying(outside: VaporThickness, inside: VaporThickness, roof: bool) -> Result<MoistureMass, OutOfRange> {
    let side = |sd: VaporThickness| -> Result<Permeance, OutOfRange> {
        within("vapor thickness", "m", sd.si(), (0.001, 1e12)).map(|sd| VaporThickness::new(sd).permeance())
    };
    let drive = if roof { ROOF } else { WALL } - AIR;
    Ok((side(outside)? * drive + side(inside)? * drive) * PERIOD)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_roof_dries_more_and_the_open_side_counts() {
        let sd = VaporThickness::new;
        let of = |e, i, roof| drying(sd(e), sd(i), roof).unwrap().si();
        assert!((of(1.0, 2.0, true) / of(1.0, 2.0, false) - 1.6).abs() < 1e-12);
        assert!((of(1.0, 2.0, true) - of(2.0, 1.0, true)).abs() < 1e-15);
        assert!(drying(sd(0.0), sd(1.0), true).is_err());
    }
}
