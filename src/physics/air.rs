//! Moist air: saturation pressure, dew point, humidity.
//!
//! One formula is used throughout, that of ISO 13788 Annex E; others serve the tests as a second opinion.
//! Invariant: below 0 degC saturation is meant over ice, from 0 degC up over water, and both meet at 610.5 Pa.

use super::error::{OutOfRange, within};
use crate::base::math;
use crate::base::quantity::{Density, Length, Pressure, RelativeHumidity, Temperature};

/// Temperatures the formulas are used for, degC.
const TEMPERATURES: (f64, f64) = (-60.0, 100.0);
/// Saturation pressure at 0 degC, Pa: where the branches for ice and water meet.
const TRIPLE: f64 = 610.5;
/// Gas constant of water vapor, J/(kg K).
const GAS_CONSTANT: f64 = 461.5;
/// 0 degC in kelvin.
const ZERO_CELSIUS: f64 = 273.15;

/// Factor and offset of the exponent: over ice below 0 degC, else over water.
const fn branch(over_ice: bool) -> (f64, f64) {
    if over_ice { (21.875, 265.5) } else { (17.269, 237.3) }
}

/// [`saturation_pressure`] for a temperature known to be in range, degC to Pa.
pub(super) fn saturation(celsius: f64) -> f64 {
    let (a, b) = branch(celsius < 0.0);
    TRIPLE * math::exp(a * celsius / (b + celsius))
}

/// [`dew_point`] for a pressure known to be positive, Pa to degC.
pub(super) fn dew(pascal: f64) -> f64 {
    let x = math::ln(pascal / TRIPLE);
    let (a, b) = branch(pascal < TRIPLE);
    b * x / (a - x)
}

fn celsius(temperature: Temperature) -> Result<f64, OutOfRange> {
    within("temperature", "degC", temperature.si(), TEMPERATURES)
}

/// Saturation vapor pressure over ice below 0 degC, over water from 0 degC up.
///
/// # Equation
/// `p_sat = 610.5 exp(a theta/(b + theta))` Pa, with a = 17.269 and b = 237.3 over water, 21.875 and 265.5 over ice.
///
/// # Source
/// ISO 13788:2012 Annex E (constants read in secondary texts, clause from memory). Against IAPWS SR1-86 and R14-08 it
/// is off by -0.07 to -0.2 % from 0 to 60 degC, by -0.5 % at -20 degC and by -1.8 % at -40 degC.
///
/// # Range
/// -60 to 100 degC; else an error.
///
/// # Example
/// ```
/// # use dewlap::{base::quantity::Temperature, physics::air};
/// let p = air::saturation_pressure(Temperature::new(20.0))?;
/// assert_eq!(p.si().round(), 2337.0);
/// # Ok::<(), dewlap::physics::OutOfRange>(())
/// ```
pub fn saturation_pressure(temperature: Temperature) -> Result<Pressure, OutOfRange> {
    celsius(temperature).map(|theta| Pressure::new(saturation(theta)))
}

/// The temperature at which air of this vapor pressure is saturated, cooled at constant pressure.
///
/// # Equation
/// The inverse of [`saturation_pressure`]: `theta = b x/(a - x)`, `x = ln(p/610.5)`, ice below 610.5 Pa.
///
/// # Source
/// ISO 13788:2012 Annex E (as above).
///
/// # Range
/// The saturation pressures of -60 to 100 degC, 1.03 Pa to 102 kPa; else an error.
///
/// # Example
/// ```
/// # use dewlap::{base::quantity::Pressure, physics::air};
/// let dew = air::dew_point(Pressure::new(1168.5))?;
/// assert!((dew.si() - 9.27).abs() < 0.01);
/// # Ok::<(), dewlap::physics::OutOfRange>(())
/// ```
pub fn dew_point(pressure: Pressure) -> Result<Temperature, OutOfRange> {
    let (coldest, warmest) = TEMPERATURES;
    // The ends are widened by a rounding, so that both ends of the range survive the way there and back.
    let range = (saturation(coldest) * (1.0 - 1e-12), saturation(warmest) * (1.0 + 1e-12));
    within("vapor pressure", "Pa", pressure.si(), range).map(|p| Temperature::new(dew(p)))
}

/// Vapor pressure of air from its temperature and relative humidity: `p = phi p_sat(theta)`.
///
/// Below 0 degC the humidity is taken over ice, as ISO 13788 does; weather services report it over water.
///
/// # Range
/// -60 to 100 degC, humidity 0 to 1 (a fraction: 50 % is 0.5); else an error.
pub fn vapor_pressure(temperature: Temperature, humidity: RelativeHumidity) -> Result<Pressure, OutOfRange> {
    let phi = within("relative humidity", "1", humidity.si(), (0.0, 1.0))?;
    Ok(saturation_pressure(temperature)? * RelativeHumidity::new(phi))
}

/// Relative humidity of air from its vapor pressure and temperature: `phi = p/p_sat(theta)`.
///
/// Above 1 the air is supersaturated: that is given back as it is.
///
/// # Source
/// Definition; saturation after ISO 13788 Annex E (from memory), as [`saturation_pressure`].
///
/// # Range
/// -60 to 100 degC, pressure 0 to 1 MPa; else an error.
pub fn relative_humidity(pressure: Pressure, temperature: Temperature) -> Result<RelativeHumidity, OutOfRange> {
    let p = within("vapor pressure", "Pa", pressure.si(), (0.0, 1e6))?;
    Ok(RelativeHumidity::new(p / saturation_pressure(temperature)?.si()))
}

/// Humidity by volume: `v = p/(R_v T)`, R_v = 461.5 J/(kg K), in kg of vapor a cubic metre of air.
///
/// # Source
/// Ideal gas law, the form of ISO 13788:2012 (from memory). Cooling at constant content does not lead to the dew
/// point: air of 20 degC and 65 % reaches saturation at 12.8 degC that way, its dew point is 13.2 degC.
///
/// # Range
/// -60 to 100 degC, pressure 0 to 1 MPa; else an error.
pub fn vapor_content(pressure: Pressure, temperature: Temperature) -> Result<Density, OutOfRange> {
    let p = within("vapor pressure", "Pa", pressure.si(), (0.0, 1e6))?;
    let kelvin = celsius(temperature)? + ZERO_CELSIUS;
    Ok(Density::new(p / (GAS_CONSTANT * kelvin)))
}

/// Air pressure at sea level in the standard atmosphere.
///
/// # Source
/// ISO 2533:1975 (from memory).
pub const SEA_LEVEL: Pressure = Pressure::new(101_325.0);

/// Mean air pressure at a height above the sea.
///
/// # Equation
/// `p = 101325 (1 - 2.25577e-5 h)^5.25588` Pa, h in m.
///
/// # Source
/// ISO 2533:1975, the troposphere of the standard atmosphere (from memory). Weather moves it by some 3 %.
///
/// # Range
/// -500 to 9000 m; else an error.
///
/// # Example
/// ```
/// # use dewlap::{base::quantity::Length, physics::air};
/// let p = air::standard_pressure(Length::new(2000.0))?;
/// assert_eq!((p.si() / 100.0).round(), 795.0);
/// # Ok::<(), dewlap::physics::OutOfRange>(())
/// ```
pub fn standard_pressure(height: Length) -> Result<Pressure, OutOfRange> {
    let height = within("height above the sea", "m", height.si(), (-500.0, 9000.0))?;
    Ok(Pressure::new(SEA_LEVEL.si() * math::pow(1.0 - 2.25577e-5 * height, 5.25588)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ice_and_water_meet_at_freezing() {
        assert!((saturation(-1e-12) - saturation(0.0)).abs() < 1e-9);
        assert!((dew(TRIPLE)).abs() < 1e-12);
        // ISO 13788 over ice at -10 degC; the branch for water would give 285.6 Pa.
        assert!((saturation(-10.0) - 259.3).abs() < 0.05);
    }

    #[test]
    fn outside_the_range_is_an_error() {
        for bad in [-60.1, 100.1, f64::NAN, f64::INFINITY] {
            assert!(saturation_pressure(Temperature::new(bad)).is_err());
        }
        assert!(dew_point(Pressure::new(0.0)).is_err());
        assert!(vapor_pressure(Temperature::new(20.0), RelativeHumidity::new(50.0)).is_err());
        assert!(dew_point(saturation_pressure(Temperature::new(-60.0)).unwrap()).is_ok());
    }
}
