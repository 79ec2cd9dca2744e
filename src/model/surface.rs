//! A surface: a section of layers between two places.
//!
//! Invariant: layers run from outside in (flat surfaces from the top down), exactly as many as were written.

use super::layer::Layer;
use super::room::RoomId;
use super::value::{AxisId, Value};
use crate::base::quantity::{Fraction, Length, Slope, Temperature};
use crate::base::span::{Span, Spanned};
use crate::syntax::ast::{Edge, Rain, SurfaceKind};

/// A wall, roof, ceiling, floor, slab or deck.
#[derive(Clone, Debug)]
pub struct Surface {
    /// Its name.
    pub name: String,
    /// Where the name stands.
    pub span: Span,
    /// The head line.
    pub head: Span,
    /// Its title.
    pub title: Option<String>,
    /// What sort.
    pub kind: SurfaceKind,
    /// What is said above the section.
    pub facts: SurfaceFacts,
    /// What lies on the first side (outside, or on top).
    pub first: Side,
    /// What lies on the last side.
    pub last: Side,
    /// The layers in the order written.
    pub layers: Vec<Layer>,
    /// Why the section can't be judged whole, if so: a line that could not be read, a place that is missing.
    pub broken: Option<Broken>,
    /// The axes that leave this surface open, its rooms' included.
    pub axes: Vec<AxisId>,
}

/// Why a section can't be judged.
#[derive(Clone, Debug)]
pub struct Broken {
    /// The line.
    pub span: Span,
    /// One clause: "a layer could not be read".
    pub why: String,
}

/// Statements above a section.
#[derive(Clone, Debug, Default)]
pub struct SurfaceFacts {
    /// Rise over run.
    pub slope: Option<Value<Slope>>,
    /// Compass direction, as its letters in upper case.
    pub faces: Option<String>,
    /// Overhang above it.
    pub overhang: Option<Value<Length>>,
    /// Clearance to grade.
    pub clears_grade: Option<Value<Length>>,
    /// Rain on it; none: the job's.
    pub rain: Option<Rain>,
    /// To which edge it falls; none: its own low edge.
    pub slope_to: Option<Edge>,
    /// Something carries its water away.
    pub drains: Option<Drains>,
    /// Edges that carry on past what is drawn.
    pub continues: Vec<Spanned<Edge>>,
    /// Edges left open on purpose.
    pub unjoined: Vec<Spanned<Edge>>,
    /// Stands already.
    pub existing: bool,
    /// Share of wood with plates and headers.
    pub framing: Option<Value<Fraction>>,
    /// A vapor port: all above the bays cut and covered.
    pub port: Option<Port>,
}

/// What carries water off a surface.
#[derive(Clone, Debug)]
pub struct Drains {
    /// What it is: `outlet`, `gutter`.
    pub to: String,
    /// There is a second way out.
    pub overflow: bool,
    /// The statement.
    pub span: Span,
}

/// A vapor port of a roof.
#[derive(Clone, Debug)]
pub struct Port {
    /// How wide.
    pub width: Value<Length>,
    /// What covers it.
    pub cover: super::layer::Stuff,
    /// The statement.
    pub span: Span,
}

/// What lies on one side of a surface.
#[derive(Clone, Debug)]
pub struct Side {
    /// Where it is written; the head line when it is not.
    pub span: Span,
    /// What it is.
    pub place: SidePlace,
    /// Liquid water on this side.
    pub splashed: bool,
}

/// The places a surface can face.
#[derive(Clone, Debug)]
pub enum SidePlace {
    /// Outdoor air.
    Outdoors,
    /// A room.
    Room(RoomId),
    /// Soil.
    Ground {
        /// How deep, where said.
        depth: Option<Value<Length>>,
        /// How much stands above grade.
        above_grade: Option<Value<Length>>,
        /// Drained; nothing said counts as wet.
        drained: bool,
    },
    /// Retained water.
    Water {
        /// Winter temperature.
        winter: Value<Temperature>,
        /// Summer temperature.
        summer: Value<Temperature>,
    },
    /// Could not be told.
    Hole,
}

impl Surface {
    /// The part of a wall in the ground that stands above grade: the same layers, in outdoor air.
    pub fn above_grade(&self) -> Option<Self> {
        match &self.first.place {
            SidePlace::Ground { above_grade: Some(height), .. } if height.high() > Length::ZERO => {
                let first = Side { place: SidePlace::Outdoors, ..self.first.clone() };
                Some(Self { first, ..self.clone() })
            }
            _ => None,
        }
    }

    /// The word that starts its stanza.
    pub fn kind_word(&self) -> &'static str {
        kind_word(self.kind)
    }
}

/// The word that starts the stanza of such a surface.
pub fn kind_word(kind: SurfaceKind) -> &'static str {
    match kind {
        SurfaceKind::Wall => "wall",
        SurfaceKind::Roof => "roof",
        SurfaceKind::Ceiling => "ceiling",
        SurfaceKind::Floor => "floor",
        SurfaceKind::Slab => "slab",
        SurfaceKind::Deck => "deck",
    }
}
