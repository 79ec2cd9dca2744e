//! What the physics refuses, and why.
//!
//! Invariant: every refusal names the quantity or the condition, so that a caller can say which input to change.

use std::fmt;

/// A figure outside the range for which a function is valid. An undefined figure (NaN) is always outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutOfRange {
    /// What the figure is: "temperature".
    pub quantity: &'static str,
    /// The figure that was given.
    pub value: f64,
    /// Smallest figure that is accepted.
    pub low: f64,
    /// Largest figure that is accepted.
    pub high: f64,
    /// The unit of all three.
    pub unit: &'static str,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { quantity, value, low, high, unit } = self;
        write!(f, "{quantity} {value} {unit} is outside {low} to {high} {unit}")
    }
}

impl std::error::Error for OutOfRange {}

/// Why no result is given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Error {
    /// A figure that belongs to no layer and no month.
    Range(OutOfRange),
    /// A figure of one layer, counted from 0 at the outside.
    Layer {
        /// Which layer.
        layer: usize,
        /// What is wrong with it.
        range: OutOfRange,
    },
    /// A figure of one month, counted from 0.
    Month {
        /// Which month.
        month: usize,
        /// What is wrong with it.
        range: OutOfRange,
    },
    /// An assembly without layers.
    NoLayers,
    /// Not twelve months for a year.
    MonthCount {
        /// How many there are.
        count: usize,
    },
    /// All resistances are zero: there is no temperature profile.
    NoThermalResistance,
    /// All vapor thicknesses are zero: there is no pressure profile.
    NoVaporResistance,
    /// Water was placed where none can stay: on an outer or inner surface, or with no vapor resistance before it.
    WaterPlace {
        /// The interface, 0 at the outer surface.
        interface: usize,
    },
    /// The two lists that belong together differ in length.
    Lengths {
        /// How many were expected.
        expected: usize,
        /// How many there are.
        found: usize,
    },
    /// The shares of the sections do not add to one.
    Shares {
        /// Their sum.
        sum: f64,
    },
    /// The limits of the combined method lie too far apart.
    LimitsApart {
        /// Upper limit over lower limit.
        ratio: f64,
    },
    /// Metal crosses the insulation: the combined method does not hold.
    MetalBridge,
    /// Indoors and outdoors are equally warm: a temperature factor has no meaning.
    NoDifference,
    /// The month did not come to an end within the steps allowed for it. Not met in any test.
    NotSettled,
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Range(range) => range.fmt(f),
            Self::Layer { layer, range } => write!(f, "layer {}: {range}", layer + 1),
            Self::Month { month, range } => write!(f, "month {}: {range}", month + 1),
            Self::NoLayers => f.write_str("the assembly has no layers"),
            Self::MonthCount { count } => write!(f, "a year has 12 months, not {count}"),
            Self::NoThermalResistance => f.write_str("the assembly has no thermal resistance"),
            Self::NoVaporResistance => f.write_str("the assembly has no vapor resistance"),
            Self::WaterPlace { interface } => write!(f, "no water can stay at interface {interface}"),
            Self::Lengths { expected, found } => write!(f, "expected {expected} figures, found {found}"),
            Self::Shares { sum } => write!(f, "the shares add to {sum}, not to 1"),
            Self::LimitsApart { ratio } => write!(f, "upper over lower limit is {ratio:.2}, above 1.5"),
            Self::MetalBridge => f.write_str("metal crosses the insulation"),
            Self::NoDifference => f.write_str("indoors and outdoors are equally warm"),
            Self::NotSettled => f.write_str("the month did not come to an end"),
        }
    }
}

impl std::error::Error for Error {}

impl From<OutOfRange> for Error {
    fn from(range: OutOfRange) -> Self {
        Self::Range(range)
    }
}

/// The figure itself when it lies in `low..=high`.
pub(super) fn within(
    quantity: &'static str,
    unit: &'static str,
    value: f64,
    (low, high): (f64, f64),
) -> Result<f64, OutOfRange> {
    if (low..=high).contains(&value) { Ok(value) } else { Err(OutOfRange { quantity, value, low, high, unit }) }
}
