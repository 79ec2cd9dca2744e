//! The words of joints, as tables: edges, places along a seam, verbs, shapes of pieces, attributes of sentences.
//!
//! Invariant: a word is known to the reader only by standing here; case is put aside, nothing else.

use super::ast::{Attribute, Edge, Half, Hollow, Spot, Verb};

/// The edges that have one word. `inside face` is told by its first.
pub static EDGES: &[(&str, Edge)] = &[
    ("top", Edge::Top),
    ("bottom", Edge::Bottom),
    ("left", Edge::Left),
    ("right", Edge::Right),
    ("face", Edge::Face),
    ("eave", Edge::Eave),
    ("high", Edge::High),
    ("ridge", Edge::Ridge),
    ("rake", Edge::Rake),
    ("front", Edge::Front),
    ("back", Edge::Back),
    ("edge", Edge::Edge),
    ("head", Edge::Head),
    ("jambs", Edge::Jambs),
    ("sill", Edge::Sill),
    ("inside", Edge::InsideFace),
];

/// The first words of places along a joint, and the word that must or may follow.
pub static SPOTS: &[(&str, Option<&str>, Spot)] = &[
    ("head", None, Spot::Head),
    ("jambs", None, Spot::Jambs),
    ("sill", None, Spot::Sill),
    ("top", Some("end"), Spot::TopEnd),
    ("bottom", Some("end"), Spot::BottomEnd),
    ("low", Some("end"), Spot::LowEnd),
    ("high", Some("end"), Spot::HighEnd),
    ("both", Some("ends"), Spot::BothEnds),
    ("top", None, Spot::Top),
    ("sides", None, Spot::Sides),
    ("bottom", None, Spot::Bottom),
];

/// Which side of the joint a layer lies on; these two are no names.
pub static HALVES: &[(&str, Half)] = &[("upper", Half::Upper), ("lower", Half::Lower)];

/// The hollows that a sentence can fill.
pub static HOLLOWS: &[(&str, Hollow)] =
    &[("bays", Hollow::Bays), ("cores", Hollow::Cores), ("flutes", Hollow::Flutes), ("gap", Hollow::Gap)];

/// A verb: with `s`, without, the words after it.
pub struct VerbForm {
    /// `laps`.
    pub one: &'static str,
    /// `lap`.
    pub many: &'static str,
    /// `over`.
    pub rest: &'static [&'static str],
    /// What it is.
    pub verb: Verb,
}

const fn verb(one: &'static str, many: &'static str, rest: &'static [&'static str], verb: Verb) -> VerbForm {
    VerbForm { one, many, rest, verb }
}

/// The verbs.
pub static VERBS: &[VerbForm] = &[
    verb("laps", "lap", &["over"], Verb::LapsOver),
    verb("seals", "seal", &["to"], Verb::SealsTo),
    verb("tucks", "tuck", &["into"], Verb::TucksInto),
    verb("turns", "turn", &["up"], Verb::TurnsUp),
    verb("butts", "butt", &[], Verb::Butts),
    verb("fills", "fill", &[], Verb::Fills),
    verb("touches", "touch", &[], Verb::Touches),
    verb("clears", "clear", &[], Verb::Clears),
    verb("fastens", "fasten", &["through"], Verb::FastensThrough),
    verb("fastens", "fasten", &["to"], Verb::FastensTo),
    verb("drains", "drain", &["to"], Verb::DrainsTo),
    verb("runs", "run", &["past"], Verb::RunsPast),
    verb("runs", "run", &["to"], Verb::RunsTo),
    verb("stops", "stop", &["short", "of"], Verb::StopsShort),
];

impl VerbForm {
    /// Whether a word is the first of this verb.
    pub fn begins(&self, word: &str) -> bool {
        self.one.eq_ignore_ascii_case(word) || self.many.eq_ignore_ascii_case(word)
    }
}

/// Whether a word is the first of a verb.
pub fn begins_verb(word: &str) -> bool {
    VERBS.iter().any(|form| form.begins(word))
}

/// Whether a verb stands at the start of these words and something follows it.
pub fn is_verb<'t>(words: impl Iterator<Item = &'t str> + Clone) -> bool {
    VERBS.iter().any(|form| {
        let mut words = words.clone();
        words.next().is_some_and(|word| form.begins(word))
            && form.rest.iter().all(|rest| words.next().is_some_and(|word| rest.eq_ignore_ascii_case(word)))
            && words.next().is_some()
    })
}

/// The first words of shapes, one each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is the word of the table below; docs/format.md says what it means")]
pub enum ShapeLead {
    EndDams,
    BackDam,
    Drip,
    Hemmed,
    OnePiece,
    Seams,
    OpenJoints,
    Slope,
    Level,
    Backed,
    Solid,
    Treated,
    CopperTreated,
    Flanged,
    ThermalBreak,
    EndsNotShown,
    Slack,
    SetIn,
    Existing,
    Coated,
}

/// The shapes of a piece: the words of each, and what it is.
pub static SHAPES: &[(&str, ShapeLead)] = &[
    ("end dams", ShapeLead::EndDams),
    ("back dam", ShapeLead::BackDam),
    ("drip", ShapeLead::Drip),
    ("hemmed", ShapeLead::Hemmed),
    ("one piece", ShapeLead::OnePiece),
    ("seams", ShapeLead::Seams),
    ("open joints", ShapeLead::OpenJoints),
    ("slope", ShapeLead::Slope),
    ("level", ShapeLead::Level),
    ("backed", ShapeLead::Backed),
    ("solid", ShapeLead::Solid),
    ("treated", ShapeLead::Treated),
    ("copper-treated", ShapeLead::CopperTreated),
    ("flanged", ShapeLead::Flanged),
    ("thermal break", ShapeLead::ThermalBreak),
    ("ends not shown", ShapeLead::EndsNotShown),
    ("slack", ShapeLead::Slack),
    ("set in", ShapeLead::SetIn),
    ("existing", ShapeLead::Existing),
    ("primed", ShapeLead::Coated),
    ("painted", ShapeLead::Coated),
    ("coated", ShapeLead::Coated),
];

/// What follows the words of an attribute: nothing, or something of its own to read.
#[derive(Clone, Copy, Debug)]
pub enum AttributeLead {
    /// Nothing: the words are the whole of it.
    Alone(fn() -> Attribute),
    /// Perhaps `with` and a sealant.
    Sealed,
    /// Perhaps `with` and a tape.
    Taped,
    /// The piece it lies under.
    EdgeUnder,
    /// A place, a spacing or a temperature.
    At,
    /// Perhaps `at` and a spacing.
    Weeps,
}

/// The attributes of a sentence: the words of each, and what it is.
pub static ATTRIBUTES: &[(&str, AttributeLead)] = &[
    ("bonded", AttributeLead::Alone(|| Attribute::Bonded)),
    ("sealed", AttributeLead::Sealed),
    ("taped", AttributeLead::Taped),
    ("at", AttributeLead::At),
    ("primed", AttributeLead::Alone(|| Attribute::Primed)),
    ("rolled", AttributeLead::Alone(|| Attribute::Rolled)),
    ("weeps", AttributeLead::Weeps),
    ("edge under", AttributeLead::EdgeUnder),
    ("backed", AttributeLead::Alone(|| Attribute::Backed)),
    ("clamped", AttributeLead::Alone(|| Attribute::Clamped)),
    ("nailed", AttributeLead::Alone(|| Attribute::Nailed)),
    ("wedged", AttributeLead::Alone(|| Attribute::Wedged)),
    ("pointed", AttributeLead::Alone(|| Attribute::Pointed)),
    ("woven", AttributeLead::Alone(|| Attribute::Woven)),
    ("welded", AttributeLead::Alone(|| Attribute::Welded)),
    ("torched", AttributeLead::Alone(|| Attribute::Torched)),
    ("clean", AttributeLead::Alone(|| Attribute::Clean)),
    ("dry", AttributeLead::Alone(|| Attribute::Dry)),
    ("damp", AttributeLead::Alone(|| Attribute::Damp)),
    ("dusty", AttributeLead::Alone(|| Attribute::Dusty)),
    ("painted", AttributeLead::Alone(|| Attribute::Painted)),
    ("overflow", AttributeLead::Alone(|| Attribute::Overflow)),
    ("tested pair", AttributeLead::Alone(|| Attribute::TestedPair)),
    ("not shown", AttributeLead::Alone(|| Attribute::NotShown)),
];

/// Words of earlier forms or other habits, and what is written instead.
pub static DROPPED: &[(&str, &str)] = &[
    ("bonds", "`laps over X 5 in, bonded`"),
    ("bond", "`laps over X 5 in, bonded`"),
    ("adheres", "`laps over X 5 in, bonded`"),
    ("sticks", "`laps over X 5 in, bonded`"),
    ("covers", "`laps over seam 3 in`"),
    ("cover", "`laps over seam 3 in`"),
    ("overlaps", "`laps over`"),
    ("projects", "`runs past X 45 mm`"),
    ("project", "`runs past X 45 mm`"),
    ("extends", "`runs past X 45 mm`"),
    ("overhangs", "`runs past X 45 mm`"),
    ("has", "shapes on the piece's own line: `cap: galvanized-steel, end dams`"),
    ("have", "shapes on the piece's own line: `cap: galvanized-steel, end dams`"),
    ("slopes", "the fall on the piece's own line: `pan: copper, slope 1:12 outward`"),
    ("falls", "the fall on the piece's own line: `pan: copper, slope 1:12 outward`"),
    ("ends", "`drains to`, `fills`, or the layer's own `open bottom`"),
    ("screened", "`drains to`, `fills`, or the layer's own `open bottom`"),
    ("vented", "the holes of the gap in its surface: `open top and bottom`"),
    ("turned", "a sentence of its own: `roofing turns up curb 8 in`"),
    ("meets", "`butts` or `touches`"),
    ("abuts", "`butts`"),
    ("rests", "`touches`"),
    ("sits", "`touches`"),
    ("bears", "`touches`"),
    ("nails", "`fastens to X` or `fastens through X`"),
    ("screws", "`fastens to X` or `fastens through X`"),
    ("attaches", "`fastens to X` or `fastens through X`"),
    ("screwed", "a sentence of its own: `X fastens to Y`"),
    ("passes", "a `penetration NAME through SURFACE`, or `runs past`"),
    ("penetrates", "a `penetration NAME through SURFACE`, or `fastens through`"),
    ("leads", "`drains to`"),
    ("empties", "`drains to`"),
    ("inserts", "`tucks into`"),
    ("sealed", "`seals to`, or `sealed` after a comma"),
    ("bonded", "`laps over X 5 in, bonded`"),
    ("caulked", "`sealed`"),
    ("glued", "`bonded`"),
    ("adhered", "`bonded`"),
    ("soldered", "`welded`"),
    ("hung", "`fastens to X`"),
    ("tall", "`6 in high`"),
    ("sloped", "`slope 1:12 outward`"),
    ("pitched", "`slope 1:12 outward`"),
    ("flat", "`level`"),
    ("gasket", "`with` and the gasket's material"),
];
