//! The tree of one text: stanzas, their lines, and holes where a line could not be read.
//!
//! Invariant: everything carries its span, nothing is looked up, and the order is the author's.

use crate::base::span::{FileId, Span, Spanned};
use crate::base::unit::{Dimension, Unit};

pub use super::ast_reuse::{Argument, Detail, Parameter, Sort, Use};

pub use super::ast_joint::{
    Attribute, Edge, EndRef, Half, Hollow, Item, Joint, JointKind, JointLine, PieceLine, PieceSeams, Sentence, Shape,
    Spot, Toward, Verb, Way,
};

/// One text, read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tree {
    /// Which text.
    pub file: FileId,
    /// The stanzas in the order they stand.
    pub stanzas: Vec<Stanza>,
}

/// A name as written: `mill-board`, `panel.outside`, `irc-2021`.
#[derive(Clone, Debug, PartialEq)]
pub struct Name {
    /// The letters.
    pub text: String,
    /// Where.
    pub span: Span,
}

/// A remark in quotes, without them: printed, never judged.
pub type Note = Name;

/// A stanza.
#[derive(Clone, Debug, PartialEq)]
pub enum Stanza {
    /// `job NAME "note"`.
    Job(Block),
    /// `room NAME`.
    Room(Block),
    /// `climate NAME`.
    Climate(Block),
    /// `material NAME: …`: one layer line with a name.
    Material(LayerLine),
    /// `wall roof ceiling floor slab deck`.
    Surface(Surface),
    /// `include PATH`.
    Include(Name),
    /// `accept RULE in X because "…"`.
    Accept(Accept),
    /// `joint opening penetration`.
    Joint(Joint),
    /// `detail NAME(TYPE NAME = DEFAULT, …)`.
    Detail(Detail),
    /// `use DETAIL revision N as NAME with NAME = VALUE, …`.
    Use(Use),
    /// A head that could not be read; its body was skipped without further reports.
    Hole(Span),
}

/// A stanza of statements only.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// What it is called; a hole when the name is missing.
    pub name: Option<Name>,
    /// The remark of the head line.
    pub note: Option<Note>,
    /// The head line.
    pub head: Span,
    /// Its statements.
    pub statements: Vec<Statement>,
}

/// What sort of surface a stanza draws.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SurfaceKind {
    /// From outdoors to indoors.
    Wall,
    /// Outdoors on top.
    Roof,
    /// Attic on top.
    Ceiling,
    /// A room on top.
    Floor,
    /// On the ground.
    Slab,
    /// Outdoors on both sides.
    Deck,
}

/// A wall, roof, ceiling, floor, slab or deck.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    /// Which word stood at the start.
    pub kind: Spanned<SurfaceKind>,
    /// What it is called.
    pub name: Option<Name>,
    /// The remark of the head line.
    pub note: Option<Note>,
    /// The head line.
    pub head: Span,
    /// Statements above the section.
    pub statements: Vec<Statement>,
    /// The section as written.
    pub rows: Vec<Row>,
}

/// A line of a section.
#[derive(Clone, Debug, PartialEq)]
pub enum Row {
    /// `outdoors`, `indoors`, a room, `ground`, `water`.
    Place(PlaceLine),
    /// `LABEL: …`.
    Layer(LayerLine),
    /// `not shown`: layers left undrawn.
    NotShown(Span),
    /// A line that could not be read, in its place.
    Hole(Span),
}

/// Where a section begins or ends.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceLine {
    /// The line.
    pub span: Span,
    /// What is there.
    pub place: PlaceWord,
    /// The remark.
    pub note: Option<Note>,
}

/// The places a section can end at.
#[derive(Clone, Debug, PartialEq)]
pub enum PlaceWord {
    /// Outdoor air.
    Outdoors,
    /// The job's own room air; `splashed`: liquid water on this side.
    Indoors {
        /// Liquid water on this side.
        splashed: bool,
    },
    /// A room by name.
    Room {
        /// Its name.
        name: Name,
        /// Liquid water on this side.
        splashed: bool,
    },
    /// Soil.
    Ground {
        /// How deep the surface goes; none when left out.
        depth: Option<Amount>,
        /// How much of it stands above grade.
        above_grade: Option<Amount>,
        /// `drained` true, `wet` false, none when nothing is said.
        drained: Option<bool>,
    },
    /// Retained water at its winter and summer temperature.
    Water {
        /// Winter.
        winter: Amount,
        /// Summer; the winter value when only one is given.
        summer: Option<Amount>,
    },
}

/// `LABEL: MATERIAL QUANTITIES, WORDS -> CONTROLS "note"`.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerLine {
    /// The label before the colon.
    pub label: Name,
    /// What it is made of.
    pub stuff: Stuff,
    /// The words after the first comma.
    pub words: Vec<Spanned<Word>>,
    /// What the author relies on the layer for.
    pub controls: Vec<Spanned<Control>>,
    /// The remark.
    pub note: Option<Note>,
    /// The whole logical line.
    pub span: Span,
}

/// What a layer is made of.
#[derive(Clone, Debug, PartialEq)]
pub enum Stuff {
    /// One build.
    One(Build),
    /// `A or B`: allowed stand-ins, the first is the one drawn.
    Choices(Vec<Build>),
    /// `A + B + C`: a factory panel, outermost first (`material` stanzas only).
    Parts(Vec<Build>),
    /// Could not be read.
    Hole(Span),
}

/// A material with its figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Build {
    /// Which material.
    pub material: MaterialRef,
    /// Thickness, R, permeance, gauge and so on, in the order written.
    pub amounts: Vec<Amount>,
    /// `at 16 in`: members at a spacing.
    pub spacing: Option<Amount>,
    /// All of it.
    pub span: Span,
}

/// How a material is named.
#[derive(Clone, Debug, PartialEq)]
pub enum MaterialRef {
    /// By name.
    Named(Name),
    /// `unknown`, `unknown wood-panel`.
    Unknown {
        /// The kind, if said.
        kind: Option<Name>,
        /// Where.
        span: Span,
    },
    /// `2x6`, `larch 2x6`, `38x140 mm`: a member by its section; sizes in metres as sawn (2x6 is 0.0381 by 0.1397).
    Section {
        /// The species, `softwood` when left out.
        species: Option<Name>,
        /// The narrow side, metres.
        width: f64,
        /// The deep side, metres.
        depth: f64,
        /// Where.
        span: Span,
    },
}

/// A written figure with its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    /// What it measures.
    pub dimension: Dimension,
    /// The figure in SI.
    pub si: f64,
    /// The unit it was written in.
    pub unit: &'static Unit,
    /// Where.
    pub span: Span,
}

/// A figure, a range or `unknown`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// One figure.
    Known(Quantity),
    /// `1/2 in to 1 in`, both of one dimension, low first.
    Range(Quantity, Quantity),
    /// `unknown`.
    Unknown(Span),
}

impl Amount {
    /// Where it stands.
    pub fn span(&self) -> Span {
        match self {
            Self::Known(q) => q.span,
            Self::Range(low, high) => low.span.to(high.span),
            Self::Unknown(span) => *span,
        }
    }

    /// What it measures; none for `unknown`.
    pub fn dimension(&self) -> Option<Dimension> {
        match self {
            Self::Known(q) | Self::Range(q, _) => Some(q.dimension),
            Self::Unknown(_) => None,
        }
    }
}

/// What fills bays, cores or flutes, in section order.
#[derive(Clone, Debug, PartialEq)]
pub enum Fill {
    /// `bays unknown`.
    Unknown(Span),
    /// `spf-closed 2 in + glass-batt R-15`.
    Parts(Vec<Build>),
}

/// What the author relies on a layer for. Heat is never written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Control {
    /// Rain.
    Water,
    /// Air.
    Air,
    /// Vapor.
    Vapor,
}

impl Control {
    /// The word in the notation.
    pub fn word(self) -> &'static str {
        match self {
            Self::Water => "water",
            Self::Air => "air",
            Self::Vapor => "vapor",
        }
    }
}

/// Where a gap, a bay or a room is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum OpenAt {
    /// High end of a wall.
    Top,
    /// Low end of a wall.
    Bottom,
    /// Low end of a roof.
    Eave,
    /// High end of a roof.
    Ridge,
    /// The gables of an attic.
    Gables,
    /// From below, along its length.
    Below,
    /// The hips of a roof.
    Hips,
    /// One side only.
    OneSide,
    /// Both sides.
    BothSides,
    /// Front (decks, floors).
    Front,
    /// Back (decks, floors).
    Back,
}

/// A word of a layer line; `docs/format.md` says what each does.
#[derive(Clone, Debug, PartialEq)]
pub enum Word {
    /// `lapped 6 in`; the length may be left out.
    Lapped(Option<Amount>),
    /// `taped`, `taped inside`.
    Taped {
        /// On the room side of a panel.
        inside: bool,
    },
    /// `sealed`, `sealed with foam`.
    Sealed {
        /// With what.
        with: Option<Name>,
    },
    /// `welded`.
    Welded,
    /// `adhered`: bonded all over.
    Adhered,
    /// `edges sealed` true, `edges open` false.
    Edges(bool),
    /// `holes sealed` true, `holes open` false.
    Holes(bool),
    /// `partly TREATMENT`: counted as open.
    Partly(Box<Word>),
    /// `reversed`: laps that catch water.
    Reversed,
    /// `in 2 layers`.
    InLayers(u32),
    /// `open top and bottom`, `open eave and ridge 1/150`.
    Open {
        /// Where.
        at: Vec<Spanned<OpenAt>>,
        /// How large; the full gap when left out.
        size: Option<Amount>,
    },
    /// `open unknown`: nobody knows where.
    OpenUnknown,
    /// `closed`.
    Closed,
    /// `bridged`.
    Bridged,
    /// `bays A + B`.
    Bays(Fill),
    /// `cores A`.
    Cores(Fill),
    /// `flutes A`.
    Flutes(Fill),
    /// `painted`, `painted PAINT`.
    Painted(Option<Name>),
    /// `covered at 28 days`, `covered at 16 %`, `at 16 %`: built-in water to start from.
    WetAt(Amount),
    /// `existing`.
    Existing,
    /// `catches water`.
    CatchesWater,
    /// `frost tested`.
    FrostTested,
    /// `screws 16x24 in`: spacing across and along.
    Screws(Box<[Amount; 2]>),
    /// `ties 16x24 in`.
    Ties(Box<[Amount; 2]>),
    /// `pinched 5/8 in`.
    Pinched(Amount),
    /// `treated`.
    Treated,
    /// `copper-treated`.
    CopperTreated,
    /// `primed`: coated on all faces before it went up.
    Primed,
    /// `level`: has no fall.
    Level,
    /// `slope 1:40`: a fall of its own.
    Slope(Amount),
    /// A word that could not be read, in its place.
    Hole(Span),
}

/// A statement of a block or surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Statement {
    /// The line.
    pub span: Span,
    /// What it says.
    pub fact: Fact,
    /// The remark.
    pub note: Option<Note>,
}

/// Which part of the year a room line is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Season {
    /// While heated.
    Heated,
    /// While cooled.
    Cooled,
    /// All year.
    Always,
}

/// A room's humidity as written.
#[derive(Clone, Debug, PartialEq)]
pub enum Humidity {
    /// `35 %`, `30 % to 45 %`, `unknown`.
    Amount(Amount),
    /// `class 3 iso-13788`.
    Class {
        /// 1 to 5.
        class: u32,
        /// The standard's name.
        standard: Name,
    },
}

/// What a statement says. Each stanza kind knows its own; the parser refuses the others.
#[derive(Clone, Debug, PartialEq)]
pub enum Fact {
    /// `place NAME`.
    Place(Name),
    /// `code NAME`.
    Code(Name),
    /// `units inch` false, `units metric` true.
    Units {
        /// Metric.
        metric: bool,
    },
    /// `rain normal`.
    Rain(Rain),
    /// `airtight 1.5 ach50`.
    Airtight(Amount),
    /// `ventilated 60 cfm`.
    Ventilated(Amount),
    /// `wood 16 % at cover`.
    WoodAtCover(Amount),
    /// `height 24 ft`: of the building, from grade to its highest eave.
    Height(Amount),
    /// `heated 70 F 35 %, held`.
    Air {
        /// When.
        season: Season,
        /// Air temperature.
        temperature: Amount,
        /// Humidity; `unknown` when left out is not allowed: the parser asks for it.
        humidity: Humidity,
        /// The use or a machine keeps it so.
        held: bool,
    },
    /// `unheated`.
    Unheated,
    /// `open eave and ridge 1/150`: outdoor air.
    OpenRoom {
        /// Where.
        at: Vec<Spanned<OpenAt>>,
        /// Free area over floor area.
        ratio: Option<Amount>,
    },
    /// `shares indoors, supplied 50 cfm per 1000 ft2`.
    Shares {
        /// Whose air.
        room: Name,
        /// Supplied flow.
        supplied: Option<Amount>,
        /// Per floor area.
        per: Option<Amount>,
    },
    /// `dehumidified 55 %`.
    Dehumidified(Amount),
    /// `like PLACE`.
    Like(Name),
    /// `file PATH`: a weather file.
    File(Name),
    /// `zone 4A`.
    Zone(Name),
    /// `temperature` and twelve figures, January first.
    Temperatures(Box<[f64; 12]>),
    /// `humidity` and twelve figures: relative humidity as a fraction.
    Humidities(Box<[f64; 12]>),
    /// `rainfall 1400 mm` a year.
    Rainfall(Amount),
    /// `elevation 300 m`.
    Elevation(Amount),
    /// `design year`: of a job, what to judge in; of a climate, what its months are.
    DesignYear,
    /// `slope 5:12`, `slope 1:80 to front`.
    Slope {
        /// How steep.
        by: Amount,
        /// To which edge; the surface's own low edge when left out.
        to: Option<Spanned<Edge>>,
    },
    /// `faces W`.
    Faces(Name),
    /// `overhang 30 in`.
    Overhang(Amount),
    /// `clears grade 8 in`.
    Clears {
        /// What is cleared.
        what: Name,
        /// By how much.
        by: Amount,
    },
    /// `existing`.
    Existing,
    /// `drains to gutter`, `drains to outlet, overflow`.
    Drains {
        /// Where to.
        to: Name,
        /// There is a second way out.
        overflow: bool,
    },
    /// `continues top and left`: carries on past what is drawn.
    Continues(Vec<Spanned<Edge>>),
    /// `unjoined bottom "why"`: left open on purpose.
    Unjoined(Vec<Spanned<Edge>>),
    /// `framing 23 %`.
    Framing(Amount),
    /// `port ridge and hips 4 in, MATERIAL`.
    Port {
        /// Where.
        at: Vec<Spanned<OpenAt>>,
        /// How wide.
        width: Amount,
        /// What covers it.
        cover: Box<Build>,
    },
    /// A statement that could not be read, in its place.
    Hole {
        /// Its first word when that is known: the fact it stands for is not missing, it is unreadable.
        word: Option<&'static str>,
    },
}

/// How much rain the surface sees.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rain {
    /// `sheltered`.
    Sheltered,
    /// `normal`.
    Normal,
    /// `severe`.
    Severe,
    /// `very-severe`.
    VerySevere,
}

/// `accept RULE in X because "…"`.
#[derive(Clone, Debug, PartialEq)]
pub struct Accept {
    /// The rule.
    pub rule: Name,
    /// A surface, or `surface.layer`.
    pub target: Name,
    /// Why.
    pub because: Note,
    /// The line.
    pub span: Span,
}
