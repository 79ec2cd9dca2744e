//! A layer: what it is made of, how its seams are closed, what it is relied on for.
//!
//! Invariant: says what is there, not whether it will do; a hole is a layer too.

use super::value::{AxisId, Draw, Value};
use crate::base::curve::Curve;
use crate::base::quantity::{
    Conductivity, Density, Length, Permeance, STILL_AIR, Slope, ThermalResistance, VaporThickness,
};
use crate::base::span::{Span, Spanned};
use crate::catalog::{Cup, Material};
use crate::syntax::ast::{Control, OpenAt};

/// One layer of a section.
#[derive(Clone, Debug)]
pub struct Layer {
    /// Its label.
    pub label: String,
    /// Where the label stands.
    pub span: Span,
    /// The whole line.
    pub line: Span,
    /// Where its material stands.
    pub stuff_span: Span,
    /// What it is.
    pub body: Body,
    /// How its seams are closed.
    pub seams: Seams,
    /// What the author relies on it for.
    pub relied_on: Vec<Spanned<Control>>,
    /// Other words.
    pub words: LayerWords,
}

impl Layer {
    /// What is said of its ends: of a gap, of bays, of a mat that keeps a gap. None where nothing is said of a mat, and
    /// for what has no ends.
    pub fn openings(&self) -> Option<&Openings> {
        match &self.body {
            Body::Gap(gap) => Some(&gap.openings),
            Body::Members(members) => Some(&members.openings),
            Body::Sheet(_) => self.words.open.as_deref(),
            Body::Panel(_) | Body::Hole => None,
        }
    }
}

/// What a layer is.
#[derive(Clone, Debug)]
pub enum Body {
    /// Could not be read or resolved.
    Hole,
    /// One material, or stand-ins along an axis.
    Sheet(Choice),
    /// A factory panel: parts outermost first.
    Panel(Vec<Stuff>),
    /// An air gap.
    Gap(Gap),
    /// Members with what lies between them.
    Members(Box<Members>),
}

/// Stand-ins for one another; one build when there is no axis.
#[derive(Clone, Debug)]
pub struct Choice {
    /// The builds, the first is the one drawn.
    pub builds: Vec<Stuff>,
    /// Along which axis they are picked.
    pub axis: Option<AxisId>,
}

impl Choice {
    /// One build.
    pub fn one(stuff: Stuff) -> Self {
        Self { builds: vec![stuff], axis: None }
    }

    /// The build under a draw.
    pub fn at(&self, draw: &Draw) -> Option<&Stuff> {
        let index = self.axis.map_or(0, |a| draw.choice(a));
        self.builds.get(index).or_else(|| self.builds.first())
    }
}

/// A material with its figures.
#[derive(Clone, Debug)]
pub struct Stuff {
    /// How the author names it.
    pub name: String,
    /// Where.
    pub span: Span,
    /// The catalog's row; none for `unknown`.
    pub material: Option<&'static Material>,
    /// Thickness, written or the catalog's usual one.
    pub thickness: Option<Value<Length>>,
    /// Written or known resistance that outranks thickness over conductivity.
    pub resistance: Option<Value<ThermalResistance>>,
    /// Written conductivity.
    pub conductivity: Option<Value<Conductivity>>,
    /// Written or open permeance that outranks the catalog's.
    pub permeance: Option<Value<Permeance>>,
    /// Written vapor resistance factor, and where; with the thickness it gives a permeance.
    pub factor: Option<Spanned<f64>>,
    /// Written density.
    pub density: Option<Value<Density>>,
}

impl Stuff {
    /// Thermal resistance under a draw; none when neither written nor known.
    pub fn resistance_at(&self, draw: &Draw) -> Option<ThermalResistance> {
        if let Some(r) = &self.resistance {
            return Some(r.at(draw));
        }
        let thickness = self.thickness.as_ref().map(|t| t.at(draw));
        if let (Some(d), Some(lambda)) = (thickness, &self.conductivity) {
            return Some(d / lambda.at(draw));
        }
        self.material?.resistance(thickness.or(self.material?.usual_thickness())?)
    }

    /// Permeance under a draw; none when neither written nor known.
    pub fn permeance_at(&self, draw: &Draw, cup: Cup) -> Option<Permeance> {
        if let Some(w) = &self.permeance {
            return Some(w.at(draw));
        }
        let thickness = self.thickness.as_ref().map(|t| t.at(draw));
        let thickness = thickness.or(self.material.and_then(Material::usual_thickness))?;
        match &self.factor {
            Some(mu) => Some(Permeance::new(STILL_AIR.si() / (mu.value * thickness.si()))),
            None => self.material?.permeance(thickness, cup),
        }
    }

    /// Whether the material meets the limit of an air barrier in the thickness that it has; none where nothing is known.
    pub fn air_tight_at(&self, draw: &Draw) -> Option<bool> {
        let material = self.material?;
        let thickness = self.thickness.as_ref().map(|t| t.at(draw)).or(material.usual_thickness());
        let thin = material.air_tight_from().is_some_and(|least| thickness.is_some_and(|d| d < least * (1.0 - 1e-9)));
        material.air_tight().map(|tight| tight && !thin)
    }

    /// Its permeance over humidity, as a shape; none where the author wrote one figure, or no curve is known.
    pub fn by_humidity(&self) -> Option<&'static Curve> {
        let written = self.permeance.is_some() || self.factor.is_some();
        self.material.filter(|_| !written)?.by_humidity()
    }

    /// Its conductivity over mean temperature, as a multiple. A figure that the author wrote is taken to hold at the
    /// temperature of the catalog's where cold makes the material worse, and at any temperature where it makes it better.
    pub fn by_temperature(&self) -> Option<&'static Curve> {
        let curve = self.material?.by_temperature()?;
        let written = self.conductivity.is_some() || self.resistance.is_some();
        let worse_in_cold = curve.points().next().is_some_and(|(_, times)| times > 1.0);
        (!written || worse_in_cold).then_some(curve)
    }

    /// Vapor-equivalent thickness under a draw.
    pub fn vapor_at(&self, draw: &Draw, cup: Cup) -> Option<VaporThickness> {
        self.permeance_at(draw, cup).map(Permeance::vapor_thickness)
    }
}

/// An air gap.
#[derive(Clone, Debug)]
pub struct Gap {
    /// How thick.
    pub thickness: Value<Length>,
    /// Where its ends are open.
    pub openings: Openings,
    /// Mortar or crumbs across it.
    pub bridged: bool,
}

/// What the author says of a gap's ends.
#[derive(Clone, Debug)]
pub enum Openings {
    /// Nothing, or `unknown`.
    Unknown,
    /// `closed`.
    Closed,
    /// Open at these places.
    At {
        /// Where.
        at: Vec<OpenAt>,
        /// Size of the slot; none: the full gap.
        size: Option<Value<Length>>,
    },
}

impl Openings {
    /// Open low and high, so that air passes through and what lies outside leaves the vapor sum.
    pub fn vented(&self) -> bool {
        let Self::At { at, .. } = self else { return false };
        let low = at.iter().any(|a| matches!(a, OpenAt::Bottom | OpenAt::Eave | OpenAt::Front | OpenAt::Below));
        let high = at.iter().any(|a| matches!(a, OpenAt::Top | OpenAt::Ridge | OpenAt::Back | OpenAt::Gables));
        (low && high) || at.contains(&OpenAt::BothSides)
    }
}

/// Members at a spacing and what lies between them.
#[derive(Clone, Debug)]
pub struct Members {
    /// What the members are.
    pub member: Stuff,
    /// Their narrow side; none for a fill of unknown width.
    pub width: Value<Length>,
    /// Their deep side, across the section.
    pub depth: Value<Length>,
    /// Center to center.
    pub spacing: Value<Length>,
    /// Metal members never use the wood method.
    pub metal: bool,
    /// What fills the bays, in section order.
    pub fill: Fill,
    /// Where empty bays are open.
    pub openings: Openings,
}

/// What fills bays.
#[derive(Clone, Debug)]
pub enum Fill {
    /// Nobody knows, or nothing was said.
    Unknown(Span),
    /// Parts in section order.
    Parts(Vec<BayPart>),
}

/// One part of a fill.
#[derive(Clone, Debug)]
#[allow(clippy::large_enum_variant, reason = "one a layer; a box would cost more time than the bytes are worth")]
pub enum BayPart {
    /// Air.
    Air(Value<Length>),
    /// A material.
    Stuff(Stuff),
}

/// How a seam is closed. The author states facts; a rule draws the verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Treatment {
    /// Nothing closes it: butted boards, a lap of unknown length.
    Open,
    /// Lapped only: sheds rain.
    Lapped,
    /// Taped, sealed, welded or adhered.
    Closed,
    /// Has no seams: sprayed, poured, brushed on.
    Seamless,
    /// The author says so himself: treated only here and there.
    Partly,
    /// Nobody knows.
    Unknown,
}

impl Treatment {
    /// Whether air and vapor are kept from passing.
    pub fn closed(self) -> bool {
        matches!(self, Self::Closed | Self::Seamless)
    }
}

/// The seams of a layer.
#[derive(Clone, Debug)]
pub struct Seams {
    /// How they are closed.
    pub treatment: Treatment,
    /// Where that is written; none when it is the default.
    pub span: Option<Span>,
    /// Lap length, where said.
    pub lap: Option<Value<Length>>,
    /// Laps that catch water.
    pub reversed: bool,
    /// Bonded all over.
    pub adhered: bool,
}

/// The rest of what was said of a layer.
#[derive(Clone, Debug, Default)]
pub struct LayerWords {
    /// `edges sealed` true, `edges open` false.
    pub edges: Option<Spanned<bool>>,
    /// `holes sealed` true, `holes open` false.
    pub holes: Option<Spanned<bool>>,
    /// Layers with staggered seams.
    pub staggered: u32,
    /// The paint on its room face.
    pub paint: Option<Box<Stuff>>,
    /// Stands already.
    pub existing: bool,
    /// Where the gap that a mat keeps is open.
    pub open: Option<Box<Openings>>,
    /// Holds rain on ledges.
    pub catches_water: bool,
    /// Passed a frost test.
    pub frost_tested: bool,
    /// Fastener spacing across and along.
    pub screws: Option<Box<(Value<Length>, Value<Length>)>>,
    /// Tie spacing across and along.
    pub ties: Option<Box<(Value<Length>, Value<Length>)>>,
    /// Preservative-treated, kind not said.
    pub treated: bool,
    /// Coated on all faces before it went up.
    pub primed: bool,
    /// Treated with a copper preservative.
    pub copper_treated: bool,
    /// Has no fall, and where that is written.
    pub level: Option<Span>,
    /// A fall of its own.
    pub slope: Option<Value<Slope>>,
    /// Blanket pinched at members to this thickness.
    pub pinched: Option<Value<Length>>,
    /// Built-in water: days before cover, or moisture content as written.
    pub wet: Option<Wet>,
}

/// Built-in water.
#[derive(Clone, Copy, Debug)]
pub enum Wet {
    /// Covered this many days after pouring or placing.
    Days(f64, Span),
    /// Moisture content by mass, as a share.
    Content(f64, Span),
}
