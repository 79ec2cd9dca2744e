//! Water that leaking air leaves on the first cold face it meets.
//!
//! No way through the material: air that warms what it passes leaves less, so the figure is the most it can be.
//! Invariant: what air leaves is never negative, and none where the face is warmer than its dew point.

use super::air;
use super::error::{OutOfRange, within};
use super::profile::Air;
use crate::base::quantity::{AirFlow, Density, MoistureRate, Pressure, Temperature};

/// Pressure of the air at sea level.
const SEA_LEVEL: Pressure = Pressure::new(101_325.0);
/// Mass of water vapor over that of dry air at equal numbers of molecules.
const MASS_RATIO: f64 = 0.622;
/// Gas constant of dry air, J/(kg K).
const DRY_AIR: f64 = 287.05;
/// 0 degC in kelvin.
const ZERO_CELSIUS: f64 = 273.15;

/// A leak to speak of: 0.1 m3 of room air an hour through each square meter. A section of 1 m3/(h.m2) at 50 Pa passes
/// about twice that at 4 Pa (exponent 0.65, from memory). Our own choice, told wherever a figure rests on it.
pub const STATED_LEAK: AirFlow = AirFlow::new(0.1 / 3600.0);

/// Water that `flow` of this air leaves on a face.
///
/// # Equation
/// `g = q rho (w - w_sat(theta))`, where positive, with `w = 0.622 p/(P - p)`, `rho` the density of the dry air in the
/// flow as it leaves the room, P = 101325 Pa.
///
/// # Source
/// Mass balance of moist air (ideal gases). The form by volume, `g = q (v - v_sat(theta))`, lets the air shrink as it
/// cools and comes out 7 % lower for 22 K.
///
/// # Range
/// Flow 0 to 1 m3/(s m2), temperatures -60 to 60 degC; else an error.
///
/// # Example
/// ```
/// # use dewlap::base::quantity::*;
/// # use dewlap::physics::{air, leak, profile::Air};
/// let temperature = Temperature::new(20.0);
/// let vapor = air::vapor_pressure(temperature, RelativeHumidity::new(0.5))?;
/// let rate = leak::left_on(leak::STATED_LEAK, Air { temperature, vapor }, Temperature::new(-2.0))?;
/// let grams_a_day = rate.si() * 1000.0 * 86_400.0;
/// assert!((grams_a_day - 11.6).abs() < 0.1);
/// # Ok::<(), dewlap::physics::OutOfRange>(())
/// ```
pub fn left_on(flow: AirFlow, of: Air, face: Temperature) -> Result<MoistureRate, OutOfRange> {
    let flow = AirFlow::new(within("air flow", "m3/(s.m2)", flow.si(), (0.0, 1.0))?);
    let celsius = within("temperature", "degC", of.temperature.si(), (-60.0, 60.0))?;
    let vapor = within("vapor pressure", "Pa", of.vapor.si(), (0.0, 2.0e4))?;
    let held = air::saturation_pressure(Temperature::new(within("temperature", "degC", face.si(), (-60.0, 60.0))?))?;
    let content = |p: f64| MASS_RATIO * p / (SEA_LEVEL.si() - p);
    let dry = (SEA_LEVEL.si() - vapor) / (DRY_AIR * (celsius + ZERO_CELSIUS));
    Ok(Density::new(dry * (content(vapor) - content(held.si())).max(0.0)) * flow)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::quantity::RelativeHumidity;

    fn room(celsius: f64, humidity: f64) -> Air {
        let temperature = Temperature::new(celsius);
        Air { temperature, vapor: air::vapor_pressure(temperature, RelativeHumidity::new(humidity)).unwrap() }
    }

    #[test]
    fn a_face_above_the_dew_point_stays_dry() {
        let grams = |face: f64| left_on(STATED_LEAK, room(20.0, 0.5), Temperature::new(face)).unwrap().si() * 1000.0;
        assert!(grams(9.3).abs() < 1e-12 && grams(9.2) > 0.0 && grams(-10.0) > grams(-2.0));
    }

    #[test]
    fn outside_the_range_is_an_error() {
        assert!(left_on(AirFlow::new(-1.0), room(20.0, 0.5), Temperature::new(0.0)).is_err());
        assert!(left_on(STATED_LEAK, room(20.0, 0.5), Temperature::new(f64::NAN)).is_err());
    }
}
