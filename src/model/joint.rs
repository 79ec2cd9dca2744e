//! A joint as it is meant: which edges meet, the pieces there, and how each is tied to the next.
//!
//! Invariant: an index in a [`Thing`] is into this joint's own lists; what could not be resolved is a hole, never left out.

use super::layer::Stuff;
use super::surface::Surface;
use super::value::Value;
use crate::base::quantity::{Length, Slope, Temperature};
use crate::base::span::{Span, Spanned};
use crate::syntax::ast::{Edge, Half, Hollow, JointKind, Spot, Verb, Way};

/// A joint, an opening or a penetration.
#[derive(Clone, Debug)]
pub struct Joint {
    /// Its name.
    pub name: String,
    /// Where the name stands.
    pub span: Span,
    /// The head line.
    pub head: Span,
    /// Its title.
    pub title: Option<String>,
    /// What sort.
    pub kind: JointKind,
    /// The edges that meet. Of an opening or a penetration: the host, with no edge of its own.
    pub ends: Vec<End>,
    /// Of an opening: the edges of its unit that meet something in a joint of their own.
    pub met: Vec<Edge>,
    /// The pieces; of an opening the first is the unit, of a penetration the thing that goes through.
    pub pieces: Vec<Piece>,
    /// The sentences.
    pub links: Vec<Link>,
    /// A surface temperature factor worked out elsewhere.
    pub factor: Option<Spanned<f64>>,
    /// Expected movement.
    pub moves: Vec<Movement>,
    /// `not shown`: what is not written may be there; nothing that is missing can be judged.
    pub not_shown: Option<Span>,
    /// Lines that could not be read or resolved: nothing that is missing can be judged.
    pub holes: Vec<Span>,
}

/// One side of a joint.
#[derive(Clone, Debug)]
pub struct End {
    /// Whose edge.
    pub of: EndOf,
    /// Which edge; none for the host of an opening or penetration, which lies all round it.
    pub edge: Option<Edge>,
    /// Where it is written.
    pub span: Span,
}

/// What has an edge at a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EndOf {
    /// A surface, an index into [`super::Job::surfaces`].
    Surface(usize),
    /// The unit of an opening (`door sill`), an index into [`super::Job::joints`].
    Opening(usize),
    /// Could not be told.
    Hole,
}

/// Expected movement.
#[derive(Clone, Debug)]
pub struct Movement {
    /// How far.
    pub by: Value<Length>,
    /// Which way.
    pub way: Way,
    /// The line.
    pub span: Span,
}

/// A piece.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Its name.
    pub name: String,
    /// Where the name stands.
    pub span: Span,
    /// The whole line.
    pub line: Span,
    /// What it is made of; none when that could not be read or resolved.
    pub stuff: Option<Stuff>,
    /// Where its material stands.
    pub stuff_span: Span,
    /// Center to center, of members.
    pub spacing: Option<Value<Length>>,
    /// Its shape.
    pub shape: PieceShape,
    /// Where along the joint; empty: all along.
    pub places: Vec<Spot>,
}

/// The shape of a piece.
#[derive(Clone, Debug, Default)]
pub struct PieceShape {
    /// Turned up at its ends; the height where said.
    pub end_dams: Option<Dam>,
    /// Turned up at its back; the height where said.
    pub back_dam: Option<Dam>,
    /// Its lower edge throws water clear.
    pub drip: bool,
    /// Its edge is folded.
    pub hemmed: bool,
    /// Without a seam.
    pub one_piece: bool,
    /// How the seams within it are closed; none: nothing said.
    pub seams: Option<PieceSeams>,
    /// Which way it falls.
    pub slope: Option<Fall>,
    /// It has no fall, and where that is written.
    pub level: Option<Span>,
    /// Height.
    pub high: Option<Value<Length>>,
    /// Width.
    pub wide: Option<Value<Length>>,
    /// Something firm lies behind it.
    pub backed: bool,
    /// Without hollows.
    pub solid: bool,
    /// Preservative-treated, kind not said.
    pub treated: bool,
    /// Treated with a copper preservative.
    pub copper_treated: bool,
    /// Has a nailing flange; none: as its catalog row says.
    pub flanged: Option<bool>,
    /// Has a thermal break.
    pub thermal_break: bool,
    /// Nobody has drawn its ends.
    pub ends_not_shown: bool,
    /// Left unbonded or folded over the seam.
    pub slack: Option<Value<Length>>,
    /// A unit in line with this layer: an index into the host's layers.
    pub set_in: Option<Spanned<usize>>,
    /// Stands already.
    pub existing: bool,
    /// Coated on all faces before it went up.
    pub coated: bool,
    /// A word of it could not be read: what is not said of its shape may be there.
    pub unread: bool,
}

/// A turned-up edge.
#[derive(Clone, Debug)]
pub struct Dam {
    /// How high, where said.
    pub high: Option<Value<Length>>,
    /// Where it is written.
    pub span: Span,
}

/// How the seams within a piece are closed.
#[derive(Clone, Debug)]
pub struct PieceSeams {
    /// How.
    pub how: PieceSeam,
    /// Lap, where said.
    pub lap: Option<Value<Length>>,
    /// Where it is written.
    pub span: Span,
}

/// One way to close a seam within a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PieceSeam {
    /// Lapped only.
    Lapped,
    /// Taped, sealed or welded.
    Closed,
    /// Butted.
    Open,
}

/// The fall of a piece.
#[derive(Clone, Debug)]
pub struct Fall {
    /// How steep.
    pub slope: Value<Slope>,
    /// Which way.
    pub toward: Toward,
    /// Where it is written.
    pub span: Span,
}

/// Which way a piece falls.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Toward {
    /// To daylight.
    Outward,
    /// To the room side.
    Inward,
    /// To both sides.
    BothWays,
    /// To a thing of the joint.
    To(Thing),
}

/// What a sentence speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Thing {
    /// A layer of an end.
    Layer {
        /// Index into [`Joint::ends`].
        end: usize,
        /// Index into the surface's layers.
        layer: usize,
        /// Which side of the joint, where the layer is cut there.
        half: Option<Half>,
        /// Of a factory panel: which part, outermost first.
        part: Option<usize>,
    },
    /// A whole surface at one of its ends.
    Surface {
        /// Index into [`Joint::ends`].
        end: usize,
        /// Which side of the joint.
        half: Option<Half>,
    },
    /// A piece of this joint.
    Piece(usize),
    /// A piece of another stanza: indices into [`super::Job::joints`] and its pieces.
    Other {
        /// Which stanza.
        joint: usize,
        /// Which of its pieces.
        piece: usize,
    },
    /// The seam itself, as in `return laps over seam`.
    Seam,
    /// Daylight: `outdoors`.
    Outdoors,
    /// Something that carries water away: `gutter`, `outlet`, `drain`, where no piece has that name; the word that is written.
    Outlet(&'static str),
    /// Soil at the surface.
    Grade,
    /// A hard surface one walks on.
    Paving,
    /// Room air, an index into [`super::Job::rooms`].
    Room(usize),
    /// Could not be resolved.
    Hole,
}

/// A thing and where it is named.
#[derive(Clone, Copy, Debug)]
pub struct Party {
    /// What.
    pub thing: Thing,
    /// Where.
    pub span: Span,
}

/// One sentence.
#[derive(Clone, Debug)]
pub struct Link {
    /// The line.
    pub span: Span,
    /// Where the verb stands.
    pub verb_span: Span,
    /// What it is about.
    pub subject: Party,
    /// What it does.
    pub verb: Verb,
    /// To what.
    pub object: Option<Party>,
    /// Which hollow of the object.
    pub hollow: Option<Hollow>,
    /// How far; where it is written is its origin.
    pub length: Option<Value<Length>>,
    /// Where the length stands.
    pub length_span: Option<Span>,
    /// Measured from where.
    pub above: Option<Party>,
    /// What lies between the two: a sealant, a tape, a gasket.
    pub with: Option<Stuff>,
    /// How it is held.
    pub hold: Hold,
    /// The face it was put on.
    pub face: FaceThatDay,
    /// The bead.
    pub bead: Bead,
    /// Spacing of fasteners.
    pub spacing: Option<Value<Length>>,
    /// It drains through weeps; their spacing where said.
    pub weeps: Option<Weeps>,
    /// There is a second way out.
    pub overflow: bool,
    /// Somebody tested this pair of materials.
    pub tested_pair: bool,
    /// Where along the joint; empty: all along.
    pub places: Vec<Spot>,
    /// `not shown`: how it is done is not known, and it is not judged.
    pub not_shown: bool,
    /// A word of it could not be read: what is not said may be there.
    pub unread: bool,
}

/// How a link is held.
#[derive(Clone, Debug, Default)]
pub struct Hold {
    /// Glued.
    pub bonded: bool,
    /// With sealant.
    pub sealed: bool,
    /// With tape.
    pub taped: bool,
    /// By heat.
    pub welded: bool,
    /// Under pressure.
    pub clamped: bool,
    /// With nails.
    pub nailed: bool,
    /// With wedges.
    pub wedged: bool,
    /// With mortar.
    pub pointed: bool,
    /// Course by course.
    pub woven: bool,
    /// With an open flame.
    pub torched: bool,
    /// Its edge lies under this.
    pub edge_under: Option<Party>,
}

/// What the face was like on the day.
#[derive(Clone, Debug, Default)]
pub struct FaceThatDay {
    /// With primer.
    pub primed: bool,
    /// Pressed on with a roller.
    pub rolled: bool,
    /// Clean.
    pub clean: bool,
    /// Dry.
    pub dry: bool,
    /// Damp, and where that is written.
    pub damp: Option<Span>,
    /// Dusty, and where that is written.
    pub dusty: Option<Span>,
    /// Painted, and where that is written.
    pub painted: Option<Span>,
    /// How warm.
    pub temperature: Option<Spanned<Value<Temperature>>>,
}

/// A bead of sealant.
#[derive(Clone, Debug, Default)]
pub struct Bead {
    /// Across the joint.
    pub wide: Option<Value<Length>>,
    /// Into the joint.
    pub deep: Option<Value<Length>>,
    /// A rod or bond breaker lies behind it.
    pub backed: bool,
}

/// Weeps.
#[derive(Clone, Debug)]
pub struct Weeps {
    /// Center to center, where said.
    pub spacing: Option<Value<Length>>,
    /// Where they are written.
    pub span: Span,
}

impl Joint {
    /// Whether what is not written may be there all the same.
    pub fn incomplete(&self) -> Option<Span> {
        self.not_shown.or_else(|| self.holes.first().copied())
    }

    /// The surface of an end.
    pub fn surface<'a>(&self, job: &'a super::Job, end: usize) -> Option<&'a Surface> {
        match self.ends.get(end)?.of {
            EndOf::Surface(index) => job.surfaces.get(index),
            EndOf::Opening(_) | EndOf::Hole => None,
        }
    }

    /// The piece that a thing is.
    pub fn piece<'a>(&'a self, job: &'a super::Job, thing: Thing) -> Option<&'a Piece> {
        match thing {
            Thing::Piece(index) => self.pieces.get(index),
            Thing::Other { joint, piece } => job.joints.get(joint)?.pieces.get(piece),
            _ => None,
        }
    }

    /// The layer that a thing is.
    pub fn layer<'a>(&self, job: &'a super::Job, thing: Thing) -> Option<&'a super::layer::Layer> {
        match thing {
            Thing::Layer { end, layer, .. } => self.surface(job, end)?.layers.get(layer),
            _ => None,
        }
    }

    /// The links that name a thing, as subject or object.
    pub fn links_of(&self, thing: Thing) -> impl Iterator<Item = &Link> {
        self.links.iter().filter(move |l| l.subject.thing == thing || l.object.is_some_and(|o| o.thing == thing))
    }
}

impl Link {
    /// The other party, seen from one of the two.
    pub fn other(&self, thing: Thing) -> Option<Party> {
        if self.subject.thing == thing { self.object } else { Some(self.subject) }
    }

    /// Where its bead is described: the width where written, else what lies between, else the verb.
    pub fn bead_span(&self) -> Span {
        let written =
            |v: &Value<Length>| if let super::value::Origin::Written(span) = v.origin { Some(span) } else { None };
        let wide = self.bead.wide.as_ref().and_then(written);
        wide.or_else(|| self.with.as_ref().map(|s| s.span)).unwrap_or(self.verb_span)
    }

    /// Whether it ties both of these, in either order.
    pub fn ties(&self, a: Thing, b: Thing) -> bool {
        let Some(object) = self.object.map(|o| o.thing) else { return false };
        (self.subject.thing, object) == (a, b) || (self.subject.thing, object) == (b, a)
    }
}
