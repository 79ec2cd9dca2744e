//! How far a generic figure may lie from that of the product in hand.
//!
//! Invariant: one table for all who ask; every property has a row for every kind.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde::Deserialize;

use crate::base::math;

static TABLE: &str = include_str!("data/spread.yaml");

/// The kind of what the author wrote himself: one product and not a generic name.
pub const WRITTEN: &str = "written";

/// A figure that has a spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Property {
    /// Conductivity, or a resistance.
    Conductivity,
    /// Permeance, in both cups and along a curve alike.
    Permeance,
    /// Density.
    Density,
    /// Specific heat.
    SpecificHeat,
    /// Air through the material without its joints.
    AirPermeance,
    /// Water absorption coefficient.
    Absorption,
    /// Water held at 80 % humidity.
    WaterContent,
    /// Emittance.
    Emittance,
    /// Days of daylight.
    Daylight,
    /// Coldest and hottest service temperature.
    ServiceTemperature,
}

/// How far two figures of one name lie apart.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(try_from = "String")]
pub enum Apart {
    /// This share of the figure each way, below 1.
    Share(f64),
    /// This many times each way, above 1.
    Factor(f64),
    /// Not told, or counts for nothing.
    Nothing,
}

impl TryFrom<String> for Apart {
    type Error = String;

    /// Reads `10 %`, `factor 2`, `nothing`.
    fn try_from(text: String) -> Result<Self, String> {
        let share = text.strip_suffix(" %").and_then(|n| n.parse::<f64>().ok()).filter(|n| *n > 0.0 && *n < 100.0);
        let factor =
            text.strip_prefix("factor ").and_then(|n| n.parse::<f64>().ok()).filter(|n| *n > 1.0 && *n <= 10.0);
        match (share, factor) {
            (Some(share), _) => Ok(Self::Share(share / 100.0)),
            (_, Some(factor)) => Ok(Self::Factor(factor)),
            _ if text == "nothing" => Ok(Self::Nothing),
            _ => Err(format!("`{text}`: a spread is written `10 %`, `factor 2` or `nothing`")),
        }
    }
}

impl Apart {
    /// What a figure is multiplied by at a point of its spread: 0 the lowest, 0.5 as it stands, 1 the highest.
    pub fn multiplier(self, point: f64) -> f64 {
        match self {
            Self::Share(share) => 1.0 + share * (2.0 * point - 1.0),
            Self::Factor(factor) => math::pow(factor, 2.0 * point - 1.0),
            Self::Nothing => 1.0,
        }
    }

    /// "10 % each way", "a factor of 1.5 each way"; nothing for nothing.
    pub fn words(self) -> Option<String> {
        match self {
            Self::Share(share) => Some(format!("{:.0} % each way", share * 100.0)),
            Self::Factor(factor) => Some(format!("a factor of {factor:.1} each way")),
            Self::Nothing => None,
        }
    }
}

/// What a span rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// Our own judgment.
    Judgment,
    /// Common practice of the trade.
    Practice,
}

impl Basis {
    /// The words that a report prints.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Judgment => "our own judgment, no source",
            Self::Practice => "common practice, no source",
        }
    }
}

/// One row.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spread {
    kinds: Vec<String>,
    /// How far.
    pub apart: Apart,
    /// What it rests on.
    pub basis: Basis,
    /// Why so far, in a clause.
    pub why: String,
}

fn table() -> &'static BTreeMap<Property, Vec<Spread>> {
    static READ: OnceLock<BTreeMap<Property, Vec<Spread>>> = OnceLock::new();
    READ.get_or_init(|| serde_yaml::from_str(TABLE).unwrap_or_default())
}

/// The spread of a property for a kind of material as the catalog names it, or for [`WRITTEN`]. None only where the table
/// could not be read.
pub fn spread(kind: &str, property: Property) -> Option<&'static Spread> {
    let rows = table().get(&property)?;
    rows.iter().find(|row| row.kinds.is_empty() || row.kinds.iter().any(|k| k == kind))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog;

    #[test]
    fn every_kind_has_a_row_for_every_property_and_every_row_a_kind() {
        let rows: BTreeMap<Property, Vec<Spread>> = serde_yaml::from_str(TABLE).unwrap();
        assert_eq!(rows.len(), 10);
        let kinds: Vec<&str> = catalog::material_kinds().chain([WRITTEN]).collect();
        for (property, rows) in &rows {
            assert!(rows.last().is_some_and(|row| row.kinds.is_empty()), "{property:?}");
            for row in rows {
                assert!(row.kinds.iter().all(|k| kinds.contains(&k.as_str())), "{row:?}");
                assert!(row.why.len() > 3, "{row:?}");
            }
        }
    }

    #[test]
    fn a_bare_number_is_no_spread() {
        for text in ["0.1", "10", "120 %", "factor 0.5", "factor", ""] {
            assert!(Apart::try_from(text.to_string()).is_err(), "{text}");
        }
    }

    #[test]
    fn ends_and_middle_of_a_spread() {
        for apart in [Apart::Share(0.3), Apart::Factor(2.0), Apart::Nothing] {
            assert!((apart.multiplier(0.5) - 1.0).abs() < 1e-12);
        }
        assert!((Apart::Share(0.3).multiplier(0.0) - 0.7).abs() < 1e-12);
        assert!((Apart::Factor(2.0).multiplier(0.0) - 0.5).abs() < 1e-12);
        assert!((Apart::Factor(2.0).multiplier(1.0) - 2.0).abs() < 1e-12);
    }
}
