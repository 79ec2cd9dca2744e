//! The words of the notation, as tables: which word opens a stanza, which statement belongs where, what a layer takes.
//!
//! Invariant: a word is known to the reader only by standing here; case is put aside, nothing else.

use super::ast::{Control, JointKind, OpenAt, Rain, SurfaceKind};

/// What a stanza word opens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Opens {
    /// A stanza of statements.
    Block(Home),
    /// `material`: one line.
    Material,
    /// A surface.
    Surface(SurfaceKind),
    /// `include`: one line.
    Include,
    /// `accept`: one line.
    Accept,
    /// `detail`: one line.
    Detail,
    /// `use`: one line.
    Use,
    /// A joint, an opening or a penetration.
    Joint(JointKind),
}

/// The words that open a stanza.
pub static STANZAS: &[(&str, Opens)] = &[
    ("wall", Opens::Surface(SurfaceKind::Wall)),
    ("roof", Opens::Surface(SurfaceKind::Roof)),
    ("ceiling", Opens::Surface(SurfaceKind::Ceiling)),
    ("floor", Opens::Surface(SurfaceKind::Floor)),
    ("slab", Opens::Surface(SurfaceKind::Slab)),
    ("deck", Opens::Surface(SurfaceKind::Deck)),
    ("job", Opens::Block(Home::Job)),
    ("room", Opens::Block(Home::Room)),
    ("climate", Opens::Block(Home::Climate)),
    ("material", Opens::Material),
    ("joint", Opens::Joint(JointKind::Joint)),
    ("opening", Opens::Joint(JointKind::Opening)),
    ("penetration", Opens::Joint(JointKind::Penetration)),
    ("accept", Opens::Accept),
    ("include", Opens::Include),
    ("detail", Opens::Detail),
    ("use", Opens::Use),
];

/// The stanzas that hold statements.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Home {
    /// `job`.
    Job,
    /// `room`.
    Room,
    /// `climate`.
    Climate,
    /// `wall roof ceiling floor slab deck`.
    Surface,
}

/// The first words of statements, one each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is the word of the table below; docs/format.md says what it means")]
pub enum Lead {
    Place,
    Code,
    Units,
    Rain,
    Airtight,
    Ventilated,
    Wood,
    Height,
    Heated,
    Cooled,
    Always,
    Unheated,
    Open,
    Shares,
    Dehumidified,
    Like,
    File,
    Zone,
    Temperature,
    Humidity,
    Rainfall,
    Elevation,
    Design,
    Slope,
    Faces,
    Overhang,
    Clears,
    Existing,
    Framing,
    Port,
    Drains,
    Continues,
    Unjoined,
}

/// The first words of statements and the stanzas they belong to.
pub static STATEMENTS: &[(&str, Lead, &[Home])] = &[
    ("place", Lead::Place, &[Home::Job]),
    ("code", Lead::Code, &[Home::Job]),
    ("units", Lead::Units, &[Home::Job]),
    ("rain", Lead::Rain, &[Home::Job, Home::Surface]),
    ("airtight", Lead::Airtight, &[Home::Job]),
    ("ventilated", Lead::Ventilated, &[Home::Job]),
    ("wood", Lead::Wood, &[Home::Job]),
    ("height", Lead::Height, &[Home::Job]),
    ("heated", Lead::Heated, &[Home::Job, Home::Room]),
    ("cooled", Lead::Cooled, &[Home::Job, Home::Room]),
    ("always", Lead::Always, &[Home::Job, Home::Room]),
    ("unheated", Lead::Unheated, &[Home::Job, Home::Room]),
    ("open", Lead::Open, &[Home::Room]),
    ("shares", Lead::Shares, &[Home::Room]),
    ("dehumidified", Lead::Dehumidified, &[Home::Job, Home::Room]),
    ("like", Lead::Like, &[Home::Climate]),
    ("file", Lead::File, &[Home::Climate]),
    ("zone", Lead::Zone, &[Home::Climate]),
    ("temperature", Lead::Temperature, &[Home::Climate, Home::Job, Home::Room]),
    ("humidity", Lead::Humidity, &[Home::Climate, Home::Job, Home::Room]),
    ("rainfall", Lead::Rainfall, &[Home::Climate]),
    ("elevation", Lead::Elevation, &[Home::Climate]),
    ("design", Lead::Design, &[Home::Job, Home::Climate]),
    ("slope", Lead::Slope, &[Home::Surface]),
    ("faces", Lead::Faces, &[Home::Surface]),
    ("overhang", Lead::Overhang, &[Home::Surface]),
    ("clears", Lead::Clears, &[Home::Surface]),
    ("existing", Lead::Existing, &[Home::Surface]),
    ("framing", Lead::Framing, &[Home::Surface]),
    ("port", Lead::Port, &[Home::Surface]),
    ("drains", Lead::Drains, &[Home::Surface]),
    ("continues", Lead::Continues, &[Home::Surface]),
    ("unjoined", Lead::Unjoined, &[Home::Surface]),
];

/// The places that are no rooms.
pub static PLACES: &[&str] = &["outdoors", "indoors", "ground", "water"];

/// The first words of what a layer line says after a comma, one each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is the word of the table below; docs/format.md says what it means")]
pub enum LayerLead {
    Lapped,
    Taped,
    Sealed,
    Welded,
    Adhered,
    Edges,
    Holes,
    Partly,
    Reversed,
    In,
    Open,
    Closed,
    Bridged,
    Bays,
    Cores,
    Flutes,
    Painted,
    Covered,
    At,
    Existing,
    Catches,
    Frost,
    Screws,
    Ties,
    Pinched,
    Treated,
    CopperTreated,
    Primed,
    Level,
    Slope,
    Seams,
}

/// The words a layer takes after a comma.
pub static LAYER_WORDS: &[(&str, LayerLead)] = &[
    ("lapped", LayerLead::Lapped),
    ("taped", LayerLead::Taped),
    ("sealed", LayerLead::Sealed),
    ("painted", LayerLead::Painted),
    ("edges", LayerLead::Edges),
    ("bays", LayerLead::Bays),
    ("open", LayerLead::Open),
    ("adhered", LayerLead::Adhered),
    ("welded", LayerLead::Welded),
    ("holes", LayerLead::Holes),
    ("partly", LayerLead::Partly),
    ("reversed", LayerLead::Reversed),
    ("in", LayerLead::In),
    ("closed", LayerLead::Closed),
    ("bridged", LayerLead::Bridged),
    ("cores", LayerLead::Cores),
    ("flutes", LayerLead::Flutes),
    ("covered", LayerLead::Covered),
    ("at", LayerLead::At),
    ("existing", LayerLead::Existing),
    ("catches", LayerLead::Catches),
    ("frost", LayerLead::Frost),
    ("screws", LayerLead::Screws),
    ("ties", LayerLead::Ties),
    ("pinched", LayerLead::Pinched),
    ("treated", LayerLead::Treated),
    ("copper-treated", LayerLead::CopperTreated),
    ("primed", LayerLead::Primed),
    ("level", LayerLead::Level),
    ("slope", LayerLead::Slope),
    ("seams", LayerLead::Seams),
];

/// Where a gap, bay or room is open. `one side` and `both sides` are told by their first word.
pub static OPEN_AT: &[(&str, OpenAt)] = &[
    ("top", OpenAt::Top),
    ("bottom", OpenAt::Bottom),
    ("eave", OpenAt::Eave),
    ("ridge", OpenAt::Ridge),
    ("hips", OpenAt::Hips),
    ("gables", OpenAt::Gables),
    ("below", OpenAt::Below),
    ("front", OpenAt::Front),
    ("back", OpenAt::Back),
    ("one", OpenAt::OneSide),
    ("both", OpenAt::BothSides),
];

/// What a layer may be relied on for.
pub static CONTROLS: &[(&str, Control)] =
    &[("water", Control::Water), ("air", Control::Air), ("vapor", Control::Vapor)];

/// How much rain a surface sees.
pub static RAINS: &[(&str, Rain)] = &[
    ("sheltered", Rain::Sheltered),
    ("normal", Rain::Normal),
    ("severe", Rain::Severe),
    ("very-severe", Rain::VerySevere),
];

/// The directions a surface may face.
pub static COMPASS: &[&str] = &[
    "n",
    "ne",
    "e",
    "se",
    "s",
    "sw",
    "w",
    "nw",
    "north",
    "northeast",
    "east",
    "southeast",
    "south",
    "southwest",
    "west",
    "northwest",
];

/// How many of [`COMPASS`] are letters; their words follow in the same order.
const LETTERS: usize = 8;

/// The letters of a direction, upper case: `NE` for `ne` and for `northeast`.
pub fn compass(word: &str) -> Option<String> {
    let at = COMPASS.iter().position(|known| known.eq_ignore_ascii_case(word))?;
    COMPASS.get(at % LETTERS).map(|letters| letters.to_uppercase())
}

/// The letters of the directions.
pub fn directions() -> impl Iterator<Item = &'static str> {
    COMPASS.iter().copied().take(LETTERS)
}

/// Words of earlier forms or other habits, and what is written instead.
pub static RENAMED: &[(&str, &str)] = &[
    ("junction", "joint"),
    ("connection", "joint"),
    ("window", "opening"),
    ("door", "opening"),
    ("project", "job"),
    ("space", "room"),
    ("assembly", "wall"),
    ("vapour", "vapor"),
    ("waterproof", "water"),
    ("outside", "outdoors"),
    ("exterior", "outdoors"),
    ("inside", "indoors"),
    ("interior", "indoors"),
    ("soil", "ground"),
    ("earth", "ground"),
    ("pitch", "slope"),
    ("glued", "adhered"),
    ("overlapped", "lapped"),
    ("ventilated", "open top and bottom"),
    ("vented", "open top and bottom"),
    ("drained", "open bottom"),
];

/// The value of a word in a table whose rows are pairs.
pub fn find<T: Copy>(table: &[(&str, T)], word: &str) -> Option<T> {
    table.iter().find(|(known, _)| known.eq_ignore_ascii_case(word)).map(|(_, value)| *value)
}

/// The words of a table whose rows are pairs.
pub fn list<T>(table: &'static [(&'static str, T)]) -> impl Iterator<Item = &'static str> {
    table.iter().map(|(word, _)| *word)
}

/// The statement that a word begins, and where it belongs.
pub fn statement(word: &str) -> Option<&'static (&'static str, Lead, &'static [Home])> {
    STATEMENTS.iter().find(|(known, ..)| known.eq_ignore_ascii_case(word))
}

/// The first words of the statements of a stanza.
pub fn statements_of(home: Home) -> impl Iterator<Item = &'static str> {
    STATEMENTS.iter().filter(move |(_, _, homes)| homes.contains(&home)).map(|(word, ..)| *word)
}

/// Whether a word is a place that is no room.
pub fn is_place(word: &str) -> bool {
    PLACES.iter().any(|known| known.eq_ignore_ascii_case(word))
}
