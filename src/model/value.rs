//! A value with its origin, and the axes along which a job is not decided.
//!
//! A range, an `unknown` and a set of stand-ins are each an [`Axis`]; a [`Draw`] picks one point on every axis.
//! Invariant: a value that is known reads the same under every draw.

use crate::base::quantity::{
    Conductivity, Density, Fraction, Length, Permeance, Pressure, RelativeHumidity, Slope, Temperature,
    ThermalResistance, VaporThickness,
};
use crate::base::span::Span;
use crate::base::unit::Dimension;

/// Where a value comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The author wrote it.
    Written(Span),
    /// The catalog knows it; the material's key.
    Catalog(&'static str),
    /// Left out, and taken by default.
    Assumed,
}

/// Which axis, as an index into [`super::Job::axes`].
pub type AxisId = usize;

/// Something about the job that is not decided.
#[derive(Clone, Debug)]
pub struct Axis {
    /// The words that leave it open.
    pub span: Span,
    /// What is open, for a message: "permeance of `board`".
    pub what: String,
    /// Between what.
    pub reach: Reach,
}

/// Between what an axis runs.
#[derive(Clone, Debug)]
pub enum Reach {
    /// From `low` to `high`, SI figures of one dimension.
    Between {
        /// At 0.
        low: f64,
        /// At 1.
        high: f64,
        /// Points are spaced by equal factors (permeances).
        by_factor: bool,
        /// What the figures measure; none for a share without a unit (an unheated room between its neighbors).
        dimension: Option<Dimension>,
    },
    /// One of several builds, by name; the first is the one drawn.
    OneOf(Vec<String>),
}

impl Axis {
    /// The points an axis is judged at: both ends and midway, or each stand-in; none for where it lies unmoved.
    pub fn points(&self) -> Vec<Option<f64>> {
        match &self.reach {
            Reach::Between { .. } => vec![Some(0.0), None, Some(1.0)],
            Reach::OneOf(names) => (0..names.len()).map(|i| (i > 0).then_some(i as f64)).collect(),
        }
    }
}

/// One point on every axis: those that were moved, all others midway or at the first of their stand-ins.
///
/// A job of many surfaces has many axes, a surface few: a draw holds only what a surface moves.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Draw(Vec<(AxisId, f64)>);

impl Draw {
    /// Midway on every axis, the first of every set of stand-ins.
    pub fn middle() -> Self {
        Self::default()
    }

    /// The same with one axis moved; a point of none moves it back.
    pub fn with(mut self, axis: AxisId, point: impl Into<Option<f64>>) -> Self {
        self.0.retain(|(moved, _)| *moved != axis);
        self.0.extend(point.into().map(|point| (axis, point)));
        self
    }

    fn moved(&self, axis: AxisId) -> Option<f64> {
        self.0.iter().find(|(moved, _)| *moved == axis).map(|(_, point)| *point)
    }

    /// The point on an axis, midway unless it was moved.
    pub fn at(&self, axis: AxisId) -> f64 {
        self.moved(axis).unwrap_or(0.5)
    }

    /// Which stand-in is drawn.
    pub fn choice(&self, axis: AxisId) -> usize {
        self.moved(axis).map_or(0, |p| p as usize)
    }
}

/// A quantity that can lie between two others.
pub trait Blend: Copy {
    /// `self` at 0, `other` at 1.
    fn blend(self, other: Self, t: f64, by_factor: bool) -> Self;
}

macro_rules! blend {
    ($($name:ident),*) => { $(
        impl Blend for $name {
            fn blend(self, other: Self, t: f64, by_factor: bool) -> Self {
                if by_factor && self.si() > 0.0 && other.si() > 0.0 {
                    Self::new(self.si() * crate::base::math::pow(other.si() / self.si(), t))
                } else {
                    self.lerp(other, t)
                }
            }
        }
    )* };
}

blend!(
    Conductivity,
    Density,
    Fraction,
    Length,
    Permeance,
    Pressure,
    RelativeHumidity,
    Slope,
    Temperature,
    ThermalResistance,
    VaporThickness
);

/// Along what a value is open. Small, because every layer holds many values: an axis is counted in 32 bits.
#[derive(Clone, Copy, Debug)]
struct Open {
    axis: u32,
    by_factor: bool,
}

/// A value: known, or open along an axis.
#[derive(Clone, Copy, Debug)]
pub struct Value<T> {
    low: T,
    high: T,
    open: Option<Open>,
    /// Where it comes from.
    pub origin: Origin,
}

impl<T: Blend> Value<T> {
    /// One value.
    pub fn known(value: T, origin: Origin) -> Self {
        Self { low: value, high: value, open: None, origin }
    }

    /// Open between two along an axis.
    pub fn open(low: T, high: T, by_factor: bool, axis: AxisId, origin: Origin) -> Self {
        let axis = u32::try_from(axis).unwrap_or(u32::MAX);
        Self { low, high, open: Some(Open { axis, by_factor }), origin }
    }

    /// The value under a draw.
    pub fn at(&self, draw: &Draw) -> T {
        match self.open {
            None => self.low,
            Some(Open { axis, by_factor }) => self.low.blend(self.high, draw.at(axis as AxisId), by_factor),
        }
    }

    /// The smallest it can be.
    pub fn low(&self) -> T {
        self.low
    }

    /// The largest it can be.
    pub fn high(&self) -> T {
        self.high
    }

    /// The value when nothing about it is open.
    pub fn sure(&self) -> Option<T> {
        self.open.is_none().then_some(self.low)
    }

    /// The axis it is open along.
    pub fn axis(&self) -> Option<AxisId> {
        self.open.map(|open| open.axis as AxisId)
    }
}
