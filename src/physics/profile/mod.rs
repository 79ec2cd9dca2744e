//! The monthly vapor profile through a plane assembly: where water gathers, how much, when it is gone.
//!
//! Steady heat and vapor flow within each month, water remembered from month to month (ISO 13788:2012 clause 6). Not in
//! it: storage in materials, liquid flow, air flow, rain, sun.
//!
//! Invariant: vapor pressure lies nowhere above saturation at a node, and water neither appears nor vanishes: what a
//! month adds to the nodes is what came in through the two surfaces.

mod grid;
mod humid;
mod period;
mod report;
mod solver;
mod string;
mod warmth;

pub use period::{Period, PeriodResult};
pub use report::{Closest, Zone};
pub use solver::{Solver, Start};

use super::vapor::ByHumidity;
use crate::base::curve::Curve;
use crate::base::quantity::{
    Duration, Fraction, MoistureMass, Pressure, Temperature, ThermalResistance, VaporThickness,
};

/// Days of the months, January first; a February of 28 days. Our own choice: texts that take 30 or 30.4 days differ by 2 %.
pub const MONTH_DAYS: [f64; 12] = [31.0, 28.0, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0];

/// Water below this is none: 1e-9 kg/m2, a millionth of a gram. Our own choice, far below any effect.
pub const NO_WATER: MoistureMass = MoistureMass::new(1e-9);

/// One layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// 0 to 100 m2 K/W; of one that follows temperature, where its curve is 1.
    pub resistance: ThermalResistance,
    /// 0 to 1e12 m; of one that follows humidity, in the dry cup.
    pub vapor: VaporThickness,
    /// How its permeance follows the humidity in it; none for one that does not.
    pub by_humidity: Option<ByHumidity>,
    /// Its conductivity over the mean temperature of the layer in degC, as a multiple; none for one that does not follow.
    pub by_temperature: Option<&'static Curve>,
}

impl Layer {
    /// A layer whose figures follow nothing.
    pub const fn plain(resistance: ThermalResistance, vapor: VaporThickness) -> Self {
        Self { resistance, vapor, by_humidity: None, by_temperature: None }
    }
}

/// An assembly between its two surface films.
#[derive(Clone, Debug, PartialEq)]
pub struct Build {
    /// Resistance outside the outer surface.
    pub outer_film: ThermalResistance,
    /// Resistance inside the inner surface.
    pub inner_film: ThermalResistance,
    /// Outside to inside.
    pub layers: Vec<Layer>,
}

/// The state of air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// -60 to 100 degC.
    pub temperature: Temperature,
    /// Vapor pressure, 0 to 100 kPa.
    pub vapor: Pressure,
}

/// The two climates of one month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthInput {
    /// Outdoors.
    pub outdoor: Air,
    /// Indoors.
    pub indoor: Air,
    /// How long the month is; above 0, up to a hundred years.
    pub duration: Duration,
}

/// Water that is there at the start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water {
    /// The interface, counted from 0 at the outer surface; only 1 to layers - 1 can hold water.
    pub interface: usize,
    /// How much.
    pub mass: MoistureMass,
}

/// A plane at which pressures are computed: an interface between layers or between two slices of one layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// The layer it belongs to, 0 at the outside; an interface is counted to the layer on its inner side, the inner
    /// surface to the last layer.
    pub layer: usize,
    /// How far through that layer from its outer face.
    pub depth: Fraction,
    /// The interface it is, 0 at the outer surface and the number of layers at the inner one; `None` between slices.
    pub interface: Option<usize>,
}

/// How a year ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// No water in any month.
    Dry,
    /// Water in some months, none at the end of the year.
    Dries,
    /// Water at the end of the year.
    Stays,
    /// Water forms in each of the twelve months: there was no dry month to start from.
    WetAllYear,
}

/// One month. The lists have one figure for each node, outside to inside.
#[derive(Clone, Debug, PartialEq)]
pub struct MonthResult {
    /// Which of the given months, from 0.
    pub month: usize,
    /// Temperature.
    pub temperature: Vec<Temperature>,
    /// Saturation pressure.
    pub saturation: Vec<Pressure>,
    /// Vapor pressure at the month's beginning, with the water that was there; the highest of the month.
    pub pressure: Vec<Pressure>,
    /// Vapor pressure at the month's end; lower where water has dried within the month.
    pub pressure_end: Vec<Pressure>,
    /// Water at the month's end.
    pub mass: Vec<MoistureMass>,
    /// Water that settled in the month, at all nodes together.
    pub condensed: MoistureMass,
    /// Water that left nodes in the month; some of it may have settled again at others.
    pub evaporated: MoistureMass,
    /// Vapor that came in through the outer surface, less what left there.
    pub from_outdoors: MoistureMass,
    /// Vapor that came in through the inner surface, less what left there.
    pub from_indoors: MoistureMass,
    /// The outdoor vapor pressure was above saturation at the outer surface and was taken as saturation there.
    pub outdoor_capped: bool,
    /// The indoor vapor pressure was above saturation at the inner surface (or behind inner layers without any vapor
    /// resistance) and was taken as saturation there: water settles on that face, in an amount that is not computed.
    pub indoor_capped: bool,
    /// The permeances are those at the humidity they give, within the tolerance; false when the search for them ended
    /// without that, and they are the last ones tried.
    pub settled: bool,
}

impl MonthResult {
    /// Water at all nodes together at the month's end.
    pub fn total(&self) -> MoistureMass {
        self.mass.iter().copied().sum()
    }
}

/// A sequence of months.
#[derive(Clone, Debug, PartialEq)]
pub struct Year {
    /// The planes, outside to inside, both surfaces included.
    pub nodes: Vec<Node>,
    /// The months in the order of the computation: it begins with `first_month`, or with January.
    pub months: Vec<MonthResult>,
    /// The first month in which water forms after one in which none does; `None` when it forms in no month or in all.
    pub first_month: Option<usize>,
    /// How the year ends.
    pub verdict: Verdict,
}
