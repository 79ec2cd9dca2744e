//! The inner surface: temperature factor and the monthly criterion against mold.
//!
//! In one dimension only: no corners, no frames.
//! Invariant: a factor is never computed from a temperature difference of zero, and a mild month is named, not judged.

use super::air;
use super::error::{Error, within};
use super::profile::MonthInput;
use crate::base::quantity::{
    Pressure, RelativeHumidity, Temperature, TemperatureDifference, TemperatureFactor, ThermalResistance,
};

/// Months in which indoors is less than this above outdoors are not judged by a factor. Our own choice; see [`needs`].
pub const MILD: TemperatureDifference = TemperatureDifference::new(5.0);

/// Humidity at the surface above which mold is expected on opaque components, a monthly mean (ISO 13788 clause 5, from memory).
pub const MOLD_HUMIDITY: RelativeHumidity = RelativeHumidity::new(0.8);

/// Temperature factor of a plane component: `f = 1 - R_si/R`, R from air to air with this R_si in it.
///
/// # Source
/// ISO 13788:2012 clause 5 (from memory); with [`super::heat::Purpose::SurfaceMold`] for R_si.
///
/// # Range
/// R above 0 and not below R_si; else an error.
pub fn factor(inner_film: ThermalResistance, total: ThermalResistance) -> Result<TemperatureFactor, Error> {
    let total = within("thermal resistance", "m2.K/W", total.si(), (1e-9, 1e4))?;
    let film = within("inner film resistance", "m2.K/W", inner_film.si(), (0.0, total))?;
    Ok(TemperatureFactor::new(1.0 - film / total))
}

/// Temperature factor from temperatures: `f = (theta_si - theta_e)/(theta_i - theta_e)`.
///
/// # Source
/// ISO 13788:2012 3.1 and ISO 10211 (definition, from memory).
///
/// # Errors
/// [`Error::NoDifference`] when indoors and outdoors are equally warm; temperatures outside -60 to 100 degC.
pub fn factor_of(
    surface: Temperature,
    outdoors: Temperature,
    indoors: Temperature,
) -> Result<TemperatureFactor, Error> {
    for temperature in [surface, outdoors, indoors] {
        within("temperature", "degC", temperature.si(), (-60.0, 100.0))?;
    }
    let difference = (indoors - outdoors).si();
    if difference == 0.0 {
        return Err(Error::NoDifference);
    }
    Ok(TemperatureFactor::new((surface - outdoors).si() / difference))
}

/// Temperature of the inner surface: `theta_si = theta_e + f (theta_i - theta_e)`, the definition of the factor turned round.
pub fn temperature(factor: TemperatureFactor, outdoors: Temperature, indoors: Temperature) -> Temperature {
    outdoors.lerp(indoors, factor.si())
}

/// The coldest surface on which air stays at or below a relative humidity: where its vapor is at `limit` of saturation.
///
/// # Source
/// ISO 13788:2012 clause 5 (from memory): `p_sat(theta_si) = p_i/0.8`.
///
/// # Range
/// `limit` above 0 to 1; a pressure of which the quotient is a saturation pressure of -60 to 100 degC; else an error.
///
/// # Example
/// ```
/// # use dewlap::{base::quantity::*, physics::{air, surface}};
/// let vapor = air::vapor_pressure(Temperature::new(20.0), RelativeHumidity::new(0.5))?;
/// let least = surface::least_temperature(vapor, surface::MOLD_HUMIDITY)?;
/// assert!((least.si() - 12.6).abs() < 0.05);
/// # Ok::<(), dewlap::physics::Error>(())
/// ```
pub fn least_temperature(indoor: Pressure, limit: RelativeHumidity) -> Result<Temperature, Error> {
    let limit = within("relative humidity", "1", limit.si(), (1e-3, 1.0))?;
    Ok(air::dew_point(indoor / limit)?)
}

/// What one month asks of the inner surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// Which of the given months, from 0.
    pub month: usize,
    /// The least surface temperature.
    pub temperature: Temperature,
    /// The least factor; `None` in a mild month, which is not judged.
    pub factor: Option<TemperatureFactor>,
}

/// What all months ask.
#[derive(Clone, Debug, PartialEq)]
pub struct Needs {
    /// Month by month.
    pub months: Vec<Need>,
    /// The critical month and its factor; `None` when all months are mild.
    pub critical: Option<(usize, TemperatureFactor)>,
}

impl Needs {
    /// The months that were not judged, because indoors is less than [`MILD`] above outdoors.
    pub fn skipped(&self) -> impl Iterator<Item = usize> {
        self.months.iter().filter(|n| n.factor.is_none()).map(|n| n.month)
    }
}

/// The temperature factor that keeps the surface at or below `limit` in every month.
///
/// # Equation
/// `p_sat(theta_min) = p_i/limit`; `f_min = (theta_min - theta_e)/(theta_i - theta_e)`; the largest decides.
///
/// # Source
/// ISO 13788:2012 clause 5 (from memory). That mild months are left out is ours: with indoors hardly warmer than
/// outdoors the quotient grows without bound, or changes its sign in a cooled building.
///
/// # Errors
/// A month out of range, named; see [`least_temperature`].
pub fn needs(months: &[MonthInput], limit: RelativeHumidity) -> Result<Needs, Error> {
    let mut all = Vec::with_capacity(months.len());
    let mut critical: Option<(usize, TemperatureFactor)> = None;
    for (month, MonthInput { outdoor, indoor, .. }) in months.iter().enumerate() {
        let named = |error| match error {
            Error::Range(range) => Error::Month { month, range },
            other => other,
        };
        let temperature = least_temperature(indoor.vapor, limit).map_err(named)?;
        let mild = indoor.temperature - outdoor.temperature < MILD;
        let factor = if mild {
            None
        } else {
            Some(factor_of(temperature, outdoor.temperature, indoor.temperature).map_err(named)?)
        };
        if let Some(f) = factor.filter(|f| critical.is_none_or(|(_, largest)| *f > largest)) {
            critical = Some((month, f));
        }
        all.push(Need { month, temperature, factor });
    }
    Ok(Needs { months: all, critical })
}

/// Limits of a national rule at its own design climate. The two are not the same limit: at -5/20 degC a factor of 0.70
/// is 12.5 degC, and 12.6 degC is a factor of 0.704.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Least temperature of the inner surface.
    pub temperature: Temperature,
    /// Least temperature factor.
    pub factor: TemperatureFactor,
}

impl Limits {
    /// DIN 4108-2, section 6.2: 12.6 degC and 0.70 at -5 degC outdoors, 20 degC and 50 % indoors (page read).
    pub const DIN_4108_2: Self = Self { temperature: Temperature::new(12.6), factor: TemperatureFactor::new(0.70) };
}

/// Whether a surface meets each of the two limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Met {
    /// The temperature rule.
    pub temperature: bool,
    /// The factor rule.
    pub factor: bool,
}

/// Holds a surface temperature against both limits; they can differ, so both answers are given.
///
/// # Source
/// The limits' own; see [`Limits::DIN_4108_2`].
///
/// # Errors
/// As [`factor_of`].
pub fn meets(limits: Limits, surface: Temperature, outdoors: Temperature, indoors: Temperature) -> Result<Met, Error> {
    let factor = factor_of(surface, outdoors, indoors)?;
    Ok(Met { temperature: surface >= limits.temperature, factor: factor >= limits.factor })
}
