//! Figures in the data files: text with a unit, read through the unit table.
//!
//! Invariant: a bare number never becomes a quantity.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{self, Deserialize, Deserializer, Visitor};

use crate::base::quantity::{
    AirPermeance, Conductivity, Density, Duration, Fraction, Length, Permeance, SpecificHeat, Temperature,
    ThermalResistance, VaporFactor, VaporThickness, WaterAbsorption,
};
use crate::base::unit::{self, Dimension, Side, UNITS, Unit};

/// Seconds in a day.
const DAY: f64 = 86_400.0;

/// A quantity that can stand in a data file.
pub(super) trait Quantity: Sized {
    /// What it measures.
    const DIMENSION: Dimension;
    /// From the figure in the unit table's SI unit.
    fn of(si: f64) -> Self;
}

macro_rules! quantities {
    ($($name:ident: $dimension:ident),* $(,)?) => { $(
        impl Quantity for $name {
            const DIMENSION: Dimension = Dimension::$dimension;
            fn of(si: f64) -> Self { Self::new(si) }
        }
    )* };
}

quantities!(
    AirPermeance: AirPermeance,
    Conductivity: Conductivity,
    Density: Density,
    Fraction: Ratio,
    Length: Length,
    Permeance: Permeance,
    SpecificHeat: SpecificHeat,
    Temperature: Temperature,
    ThermalResistance: ThermalResistance,
    VaporFactor: VaporFactor,
    VaporThickness: VaporThickness,
    WaterAbsorption: WaterAbsorption,
);

impl Quantity for Duration {
    const DIMENSION: Dimension = Dimension::Days;
    fn of(days: f64) -> Self {
        Self::new(days * DAY)
    }
}

/// A quantity as a data file gives it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Given<Q>(pub Q);

/// Reads `0.036 W/(m.K)`, `RSI 0.12`, `sd 2 m`, `mu 50`.
///
/// # Errors
/// When the text has no unit, a unit of another dimension, or no number.
pub(super) fn read<Q: Quantity>(text: &str) -> Result<Q, String> {
    let wanted = || format!("`{text}`: {} is written {}", Q::DIMENSION.name(), Q::DIMENSION.examples());
    let (figure, unit) = split(text.trim()).ok_or_else(wanted)?;
    if unit.dimension == Q::DIMENSION && figure.is_finite() { Ok(Q::of(unit.to_si(figure))) } else { Err(wanted()) }
}

fn split(text: &str) -> Option<(f64, &'static Unit)> {
    if text.starts_with(|c: char| c.is_ascii_digit() || c == '-') {
        let (number, word) = text.split_once(' ')?;
        let unit = unit::find(word.trim()).filter(|u| u.side == Side::After)?;
        return Some((number.parse().ok()?, unit));
    }
    UNITS.iter().filter(|u| u.side == Side::Before).find_map(|unit| {
        let rest = unit.words.iter().find_map(|word| text.strip_prefix(word))?.trim();
        let rest = if unit.dimension == Dimension::VaporThickness { rest.strip_suffix(" m")? } else { rest };
        Some((rest.parse().ok()?, unit))
    })
}

impl<'de, Q: Quantity> Deserialize<'de> for Given<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Text(PhantomData)).map(Given)
    }
}

/// Accepts text only; numbers fall through to serde's refusal, which quotes `expecting`.
struct Text<Q>(PhantomData<Q>);

impl<Q: Quantity> Visitor<'_> for Text<Q> {
    type Value = Q;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} with its unit, such as {}", Q::DIMENSION.name(), Q::DIMENSION.examples())
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Q, E> {
        read(text).map_err(E::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_need_their_unit() {
        let conductivity: Conductivity = read("0.036 W/(m.K)").unwrap();
        assert!((conductivity.si() - 0.036).abs() < 1e-12);
        let r: ThermalResistance = read("RSI 0.12").unwrap();
        assert!((r.si() - 0.12).abs() < 1e-12);
        let r: ThermalResistance = read("R-13").unwrap();
        assert!((r.si() - 2.289).abs() < 1e-3);
        let sd: VaporThickness = read("sd 2 m").unwrap();
        assert!((sd.si() - 2.0).abs() < 1e-12);
        let cold: Temperature = read("-54 C").unwrap();
        assert!((cold.si() + 54.0).abs() < 1e-12);
        assert!(read::<Length>("12.7").is_err());
        assert!(read::<Length>("12.7 kg/m3").is_err());
        assert!(read::<Length>("thick mm").is_err());
    }

    #[test]
    fn a_bare_number_is_refused_with_the_units_that_fit() {
        let error = serde_yaml::from_str::<Given<Length>>("12.7").unwrap_err().to_string();
        assert!(error.contains("with its unit") && error.contains("38 mm"), "{error}");
        assert!(serde_yaml::from_str::<Given<Length>>("12.7 mm").is_ok());
    }
}
