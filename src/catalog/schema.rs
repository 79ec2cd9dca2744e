//! The shape of one material in the data files. An unknown word or a figure without its unit is refused.
//!
//! Invariant: every group of figures names its source and how the figures were obtained.

use serde::Deserialize;

use super::figure::Given;
use crate::base::quantity::{
    AirPermeance, Conductivity, Density, Duration, Fraction, Length, Permeance, SpecificHeat, Temperature,
    ThermalResistance, VaporFactor, VaporThickness, WaterAbsorption,
};

/// How a figure was obtained: how far it can be relied on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Access {
    /// Read in the document named.
    Read,
    /// Taken from the open general-purpose library named, which cites the document.
    Library,
    /// Recalled, believed to stand in the document named; not checked against it.
    Memory,
    /// Common practice of the trade, no source.
    Practice,
    /// Worked out from other figures here.
    Computed,
    /// Follows from the nature of the thing (a metal sheet passes no vapor).
    Reasoned,
}

impl Access {
    /// The words a report prints.
    pub fn words(self) -> &'static str {
        match self {
            Self::Read => "read in the source",
            Self::Library => "from a published library",
            Self::Memory => "from memory",
            Self::Practice => "common practice, no source",
            Self::Computed => "computed",
            Self::Reasoned => "by reasoning",
        }
    }
}

/// Where a group of figures comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Citation<'a> {
    /// Document and table, and what to know of them.
    pub source: &'a str,
    /// How the figures were obtained.
    pub access: Access,
}

/// Which vapor test a permeance comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cup {
    /// Dry cup, mean humidity near 25 %: judges retarders.
    Dry,
    /// Wet cup, mean humidity near 75 %: judges drying.
    Wet,
}

impl Cup {
    /// Mean relative humidity in it, 0 to 1 (ASTM E96, from memory).
    pub fn humidity(self) -> f64 {
        match self {
            Self::Dry => 0.25,
            Self::Wet => 0.75,
        }
    }
}

/// How a material meets itself: what its seams are like before anybody treats them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Seams {
    /// Rigid boards or panels, butted.
    Boards,
    /// Rigid boards with tongued edges made to shed water.
    Tongued,
    /// A sheet from a roll, lapped or butted.
    Sheet,
    /// Sprayed, poured, rolled on or plastered: none.
    Seamless,
    /// Batts and blankets between members.
    Batts,
    /// Blown or poured fill that settles against its neighbors.
    Fill,
    /// Units in mortar or laid dry: brick, block, stone.
    Units,
    /// Siding, shingles, tiles that overlap and stay open to air.
    LappedCladding,
    /// A single piece: trim, flashing, frame, bead.
    Piece,
}

/// How a material holds to what it lies on, by its nature.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bond {
    /// Lies or is fastened; nothing keeps water or air from running behind.
    Loose,
    /// Factory adhesive on its back.
    SelfAdhered,
    /// Put on wet and sticks: coating, fluid membrane, spray foam, plaster, mortar.
    Liquid,
    /// A narrow self-adhered strip.
    Tape,
    /// A bead that sticks to both sides.
    Sealant,
    /// Torched, mopped or heat-welded.
    Welded,
}

/// What water does to the material.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Sensitivity {
    /// Rots and molds as wood does.
    Wood,
    /// Molds as paper does.
    Paper,
    /// Corrodes.
    Steel,
    /// Not harmed.
    None,
}

/// How much water the material stores; in a cladding: rain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Reservoir {
    /// Enough that, in a cladding, sun on it drives vapor inward.
    Yes,
    /// A little.
    Minor,
    /// None that counts.
    No,
}

/// One material as a data file gives it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Row {
    #[serde(default)]
    pub aliases: Vec<String>,
    pub what: String,
    pub kind: String,
    pub family: String,
    /// Usual thickness.
    pub thickness: Option<Given<Length>>,
    pub seams: Seams,
    pub bond: Bond,
    pub heat: Option<Heat>,
    pub vapor: Option<Vapor>,
    pub air: Option<Air>,
    pub moisture: Option<Moisture>,
    pub limits: Option<Limits>,
    pub cladding: Option<Cladding>,
    pub unit: Option<Unit>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Heat {
    pub conductivity: Option<Given<Conductivity>>,
    /// With `at`: at that thickness, in proportion; without: of the thing as it is built.
    pub resistance: Option<Given<ThermalResistance>>,
    pub at: Option<Given<Length>>,
    /// Conductivity by the mean temperature of the layer; the figure above is one of these.
    #[serde(rename = "by-temperature")]
    pub by_temperature: Option<Series<Temperature, Conductivity>>,
    pub density: Option<Given<Density>>,
    #[serde(rename = "specific-heat")]
    pub specific_heat: Option<Given<SpecificHeat>>,
    pub source: String,
    pub access: Access,
}

/// Figures at rising places, and in words how each was obtained.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, bound = "X: super::figure::Quantity, Y: super::figure::Quantity")]
pub(super) struct Series<X, Y> {
    pub points: Vec<(Given<X>, Given<Y>)>,
    pub basis: String,
}

/// Exactly one of `permeance`, `mu`, `sd` and `curve`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Vapor {
    pub permeance: Option<Measured>,
    pub mu: Option<Cups<VaporFactor>>,
    pub sd: Option<Cups<VaporThickness>>,
    /// Permeance over relative humidity; the cups are read off it.
    pub curve: Option<Series<Fraction, Permeance>>,
    /// With a curve: at that thickness, in inverse proportion; without: whatever the thickness.
    pub at: Option<Given<Length>>,
    pub source: String,
    pub access: Access,
}

/// A permeance in both cups. With `at`: at that thickness, in inverse proportion; without: whatever the thickness.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Measured {
    pub dry: Given<Permeance>,
    pub wet: Given<Permeance>,
    pub at: Option<Given<Length>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, bound = "Q: super::figure::Quantity")]
pub(super) struct Cups<Q> {
    pub dry: Given<Q>,
    pub wet: Given<Q>,
}

/// Exactly one of `permeance` and `passes`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Air {
    /// At 75 Pa, of the material without its joints.
    pub permeance: Option<Given<AirPermeance>>,
    pub passes: Option<Passes>,
    /// Of what is sprayed: the thickness from which the above holds.
    pub from: Option<Given<Length>>,
    pub source: String,
    pub access: Access,
}

/// Air through a material for which no figure is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Passes {
    /// Too little to measure.
    Nothing,
    /// Enough that it never stops air.
    Freely,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Moisture {
    pub sensitive: Sensitivity,
    pub reservoir: Reservoir,
    /// Whether it draws liquid water in.
    pub capillary: bool,
    pub absorption: Option<Given<WaterAbsorption>>,
    /// Water content at 80 % relative humidity.
    pub w80: Option<Given<Density>>,
    pub source: String,
    pub access: Access,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Limits {
    pub coldest: Option<Given<Temperature>>,
    pub hottest: Option<Given<Temperature>>,
    /// Days it is usually left to daylight.
    pub daylight: Option<Given<Duration>>,
    pub emittance: Option<Given<Fraction>>,
    pub source: String,
    pub access: Access,
}

/// What is peculiar to a cladding.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Cladding {
    /// Whether air moves behind or through it as it is usually hung.
    pub vented: bool,
    /// Outward permeance that vented cladding is worth, openings and all.
    pub allowance: Option<Given<Permeance>>,
    pub source: String,
    pub access: Access,
}

/// What comes with a bought window or door.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Unit {
    /// Whether it usually has a nailing flange.
    pub flanged: bool,
    /// Whether its frame drains through weeps.
    pub weeps: bool,
    pub source: String,
    pub access: Access,
}
