//! The tree of a joint, an opening or a penetration: edges that meet, pieces, and sentences about how they are tied.
//!
//! Invariant: as in the rest of the tree: spans everywhere, nothing looked up, order and holes kept.

use super::ast::{Amount, Build, Name, Note};
use crate::base::span::{Span, Spanned};

/// What sort of stanza it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum JointKind {
    /// Edges that meet, one free edge, or a level line across one wall.
    Joint,
    /// A bought unit in a hole.
    Opening,
    /// One thing through one surface.
    Penetration,
}

/// A joint, an opening or a penetration.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// Which word stood at the start.
    pub kind: Spanned<JointKind>,
    /// What it is called.
    pub name: Option<Name>,
    /// The remark of the head line.
    pub note: Option<Note>,
    /// The head line.
    pub head: Span,
    /// `opening NAME in SURFACE`, `penetration NAME through SURFACE`; none for a joint or when missing.
    pub host: Option<Name>,
    /// Its lines as written.
    pub lines: Vec<JointLine>,
}

/// A line of a joint.
#[derive(Clone, Debug, PartialEq)]
pub enum JointLine {
    /// `joins new left, old face`.
    Joins(Vec<EndRef>, Span),
    /// `NAME: MATERIAL …`.
    Piece(Box<PieceLine>),
    /// `SUBJECT verb OBJECT …`.
    Sentence(Box<Sentence>),
    /// `fRsi 0.82`: a surface temperature factor worked out elsewhere.
    Factor(Spanned<f64>),
    /// `moves 1/4 in across`: how far the two sides move against each other.
    Moves {
        /// How far.
        by: Amount,
        /// Which way.
        way: Spanned<Way>,
        /// The line.
        span: Span,
    },
    /// `not shown`: what holds here is not drawn.
    NotShown(Span),
    /// A line that could not be read, in its place.
    Hole(Span),
}

/// The way two sides of a seam move.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// Apart and together.
    Across,
    /// Past each other along the seam.
    Along,
}

/// An edge of a surface at a joint.
#[derive(Clone, Debug, PartialEq)]
pub struct EndRef {
    /// The surface, or an opening (`door sill`).
    pub surface: Name,
    /// Which of its edges.
    pub edge: Spanned<Edge>,
}

/// The edges a surface or an opening has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Edge {
    /// Of a wall.
    Top,
    /// Of a wall.
    Bottom,
    /// Of a wall or floor, seen from outdoors.
    Left,
    /// Of a wall or floor, seen from outdoors.
    Right,
    /// The exposed side of a surface that carries on.
    Face,
    /// The room side of a surface that carries on.
    InsideFace,
    /// Of a roof: water runs to it.
    Eave,
    /// Of a roof: away from which water runs.
    High,
    /// Of a roof.
    Ridge,
    /// Of a roof: its sloping side.
    Rake,
    /// Of a floor, slab, deck or balcony: where water leaves.
    Front,
    /// Of a floor, slab, deck or balcony.
    Back,
    /// Of a floor or slab, all round.
    Edge,
    /// Of an opening.
    Head,
    /// Of an opening.
    Jambs,
    /// Of an opening.
    Sill,
}

impl Edge {
    /// As written.
    pub fn word(self) -> &'static str {
        match self {
            Self::Top => "top",
            Self::Bottom => "bottom",
            Self::Left => "left",
            Self::Right => "right",
            Self::Face => "face",
            Self::InsideFace => "inside face",
            Self::Eave => "eave",
            Self::High => "high",
            Self::Ridge => "ridge",
            Self::Rake => "rake",
            Self::Front => "front",
            Self::Back => "back",
            Self::Edge => "edge",
            Self::Head => "head",
            Self::Jambs => "jambs",
            Self::Sill => "sill",
        }
    }
}

/// A place along a joint: on a piece, or on a sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Spot {
    /// Of an opening.
    Head,
    /// Of an opening.
    Jambs,
    /// Of an opening.
    Sill,
    /// Of a penetration: uphill.
    Top,
    /// Of a penetration.
    Sides,
    /// Of a penetration: downhill.
    Bottom,
    /// Of a sloping seam.
    LowEnd,
    /// Of a sloping seam.
    HighEnd,
    /// Of an upright seam.
    TopEnd,
    /// Of an upright seam.
    BottomEnd,
    /// Both ends of a seam.
    BothEnds,
}

/// `NAME: MATERIAL [THICKNESS][, SHAPE]...[, at PLACE]`.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceLine {
    /// Its name.
    pub label: Name,
    /// What it is made of; none when that could not be read.
    pub build: Option<Build>,
    /// Its shape.
    pub shapes: Vec<Spanned<Shape>>,
    /// Where along the joint; empty: all along.
    pub places: Vec<Spanned<Spot>>,
    /// The remark.
    pub note: Option<Note>,
    /// The logical line.
    pub span: Span,
}

/// Which way a sloping piece falls.
#[derive(Clone, Debug, PartialEq)]
pub enum Toward {
    /// To daylight.
    Outward,
    /// To the room side.
    Inward,
    /// To both sides from the middle.
    BothWays,
    /// To a surface or piece of the joint.
    To(Name),
}

/// How the seams within a piece are closed.
#[derive(Clone, Debug, PartialEq)]
pub enum PieceSeams {
    /// `seams lapped 3 in`.
    Lapped(Option<Amount>),
    /// `seams taped`.
    Taped,
    /// `seams sealed`.
    Sealed,
    /// `seams welded`.
    Welded,
    /// `open joints`: butted, nothing closes them.
    Open,
}

/// A shape word of a piece.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// `end dams [3 in]`.
    EndDams(Option<Amount>),
    /// `back dam [1 in]`.
    BackDam(Option<Amount>),
    /// `drip`.
    Drip,
    /// `hemmed`.
    Hemmed,
    /// `one piece`.
    OnePiece,
    /// `seams …`, `open joints`.
    Seams(PieceSeams),
    /// `slope 1:12 outward`.
    Slope(Amount, Toward),
    /// `level`.
    Level,
    /// `6 in high`.
    High(Amount),
    /// `36 in wide`.
    Wide(Amount),
    /// `backed`.
    Backed,
    /// `solid`.
    Solid,
    /// `treated`.
    Treated,
    /// `copper-treated`.
    CopperTreated,
    /// `flanged`.
    Flanged,
    /// `thermal break`.
    ThermalBreak,
    /// `ends not shown`.
    EndsNotShown,
    /// `slack 1 in`: left unbonded or folded over the seam, so that it can move.
    Slack(Amount),
    /// `set in LAYER`: a unit in line with this layer.
    SetIn(Name),
    /// `existing`.
    Existing,
    /// `primed`, `painted`: all its faces were coated before it went up.
    Coated,
    /// A word that could not be read, in its place.
    Hole,
}

/// Which side of the joint a layer that is cut there lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Half {
    /// Above.
    Upper,
    /// Below.
    Lower,
}

/// What a sentence is about: `strip`, `upper membrane`, `old.stone`, `low eave`, `seam`, `outdoors`.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// `upper` or `lower`.
    pub half: Option<Spanned<Half>>,
    /// The name, with dots where written.
    pub name: Name,
    /// `low eave`: an edge of a surface, in place of a layer or piece.
    pub edge: Option<Spanned<Edge>>,
    /// All of it.
    pub span: Span,
}

/// The verbs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verb {
    /// `laps over`: the subject is on the weather side.
    LapsOver,
    /// `seals to`.
    SealsTo,
    /// `tucks into`.
    TucksInto,
    /// `turns up`.
    TurnsUp,
    /// `butts`.
    Butts,
    /// `fills`.
    Fills,
    /// `touches`.
    Touches,
    /// `clears`.
    Clears,
    /// `fastens through`.
    FastensThrough,
    /// `fastens to`.
    FastensTo,
    /// `drains to`.
    DrainsTo,
    /// `runs past`.
    RunsPast,
    /// `runs to`.
    RunsTo,
    /// `stops short of`.
    StopsShort,
}

impl Verb {
    /// As written, in the singular.
    pub fn words(self) -> &'static str {
        match self {
            Self::LapsOver => "laps over",
            Self::SealsTo => "seals to",
            Self::TucksInto => "tucks into",
            Self::TurnsUp => "turns up",
            Self::Butts => "butts",
            Self::Fills => "fills",
            Self::Touches => "touches",
            Self::Clears => "clears",
            Self::FastensThrough => "fastens through",
            Self::FastensTo => "fastens to",
            Self::DrainsTo => "drains to",
            Self::RunsPast => "runs past",
            Self::RunsTo => "runs to",
            Self::StopsShort => "stops short of",
        }
    }
}

/// The hollow of a layer that `fills` names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hollow {
    /// Between members.
    Bays,
    /// Of blocks.
    Cores,
    /// Of a fluted deck or sheet.
    Flutes,
    /// An air gap.
    Gap,
}

/// `SUBJECT verb OBJECT [LENGTH] [with MATERIAL][, ATTRIBUTE]...`.
#[derive(Clone, Debug, PartialEq)]
pub struct Sentence {
    /// What it is about.
    pub subject: Item,
    /// What it does.
    pub verb: Spanned<Verb>,
    /// To what; none for `turns up 6 in`.
    pub object: Option<Item>,
    /// `fills deck flutes`: which hollow of the object.
    pub hollow: Option<Spanned<Hollow>>,
    /// How far.
    pub length: Option<Amount>,
    /// `turns up 75 mm above membrane`: measured from where.
    pub above: Option<Item>,
    /// `with gun-foam`.
    pub with: Option<Build>,
    /// How held, on what face, proved how, where.
    pub attributes: Vec<Spanned<Attribute>>,
    /// The remark.
    pub note: Option<Note>,
    /// The logical line.
    pub span: Span,
}

/// What a sentence says after a comma.
#[derive(Clone, Debug, PartialEq)]
pub enum Attribute {
    /// `bonded`.
    Bonded,
    /// `sealed`, `sealed with urethane`.
    Sealed(Option<Build>),
    /// `taped`, `taped with butyl-tape`.
    Taped(Option<Build>),
    /// `welded`.
    Welded,
    /// `clamped`.
    Clamped,
    /// `nailed`.
    Nailed,
    /// `wedged`.
    Wedged,
    /// `pointed`.
    Pointed,
    /// `woven`.
    Woven,
    /// `edge under bar`.
    EdgeUnder(Item),
    /// `primed`.
    Primed,
    /// `rolled`.
    Rolled,
    /// `clean`.
    Clean,
    /// `dry`.
    Dry,
    /// `damp`.
    Damp,
    /// `dusty`.
    Dusty,
    /// `painted`.
    Painted,
    /// `torched`: bonded with an open flame.
    Torched,
    /// `at 2 C`: the day's temperature.
    Temperature(Amount),
    /// `at 16 in oc`: a spacing.
    Spacing(Amount),
    /// `weeps`, `weeps at 24 in oc`.
    Weeps(Option<Amount>),
    /// `overflow`.
    Overflow,
    /// `tested pair`.
    TestedPair,
    /// `3/8 in wide`.
    Wide(Amount),
    /// `1/4 in deep`.
    Deep(Amount),
    /// `backed`: a rod or bond breaker lies behind the bead.
    Backed,
    /// `at head and jambs`.
    At(Vec<Spanned<Spot>>),
    /// `not shown`.
    NotShown,
    /// A word that could not be read, in its place.
    Hole,
}
