//! Floor 4: the rules, one folder a family. A rule is two neighboring files, `<rule>.rs` and `<rule>.md`.
//!
//! Invariant: a rule sees the model, the graph and profiles, and writes findings; it knows no output and no other rule.

pub mod facts;

/// Declares the rules of a family: a module each, and the family's list. One line a rule.
macro_rules! family {
    ($($rule:ident),* $(,)?) => {
        $(mod $rule;)*

        /// The rules of this family.
        pub(super) const RULES: &[$crate::rules::Rule] = &[$($rule::RULE),*];
    };
}

mod air;
pub mod dew;
mod heat;
mod r#match;
mod notation;
mod record;
mod safety;
mod vapor;
mod water;

pub use record::{IDLE_ACCEPTANCE, NOT_DECIDED, OUTSIDE_CONDITIONS};

use crate::base::finding::{Finding, Weight};
use crate::model::Job;
use facts::{JointLook, Look, Missing};

/// One rule as its family lists it.
#[derive(Debug)]
pub struct Rule {
    /// `family/short-name`: a noun phrase for the defect.
    pub id: &'static str,
    /// One line.
    pub summary: &'static str,
    /// The weight it is raised with, at most.
    pub weight: Weight,
    /// Its page, Markdown.
    pub page: &'static str,
    /// How it is run.
    pub run: Run,
}

/// How a rule is run.
#[derive(Debug)]
pub enum Run {
    /// Once for each surface, under each draw of what is not decided.
    Surface(fn(&Look<'_>, &mut Sink)),
    /// Once for each joint, opening and penetration.
    Joint(fn(&JointLook<'_>, &mut Sink)),
    /// Once for the job.
    Job(fn(&Job, &mut Sink)),
    /// Raised while the text is read or the review put together; the page stands here, the code there.
    Chain,
}

/// Where a rule writes to.
#[derive(Debug, Default)]
pub struct Sink {
    /// What was found.
    pub findings: Vec<Finding>,
    /// Why the rule could not run, in part or at all.
    pub missing: Vec<Missing>,
}

impl Sink {
    /// Something was found.
    pub fn found(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    /// What came of asking: something found, nothing, or why it can't be told.
    pub fn take(&mut self, answer: Result<Option<Finding>, Missing>) {
        match answer {
            Ok(found) => self.findings.extend(found),
            Err(missing) => self.cannot(&missing),
        }
    }

    /// The rule can't run: something it needs is not there.
    pub fn cannot(&mut self, missing: &Missing) {
        self.missing.push(missing.clone());
    }
}

/// Families in the order findings are printed.
pub const FAMILIES: [&str; 9] = ["notation", "water", "air", "vapor", "dew", "heat", "match", "safety", "record"];

/// Where a rule's family stands in that order.
pub fn family_rank(id: &str) -> usize {
    let family = id.split('/').next().unwrap_or(id);
    FAMILIES.iter().position(|f| *f == family).unwrap_or(FAMILIES.len())
}

/// The rules beside which this one is silent, because they tell of the same fault and say more.
pub fn outranked_by(id: &str) -> &'static [&'static str] {
    match id {
        "dew/cold-inner-face" => &["dew/sweating-mass"],
        "dew/damp-layer" => &[
            "dew/lasting-condensate",
            "dew/one-ended-roof-gap",
            "dew/peak-condensate",
            "dew/wet-wood-in-service",
            "vapor/bare-open-foam",
            "vapor/fiber-against-cool-mass",
            "vapor/film-below-grade",
            "vapor/thin-roof-insulation",
        ],
        "dew/lasting-condensate" => &["vapor/fiber-against-cool-mass"],
        "dew/peak-condensate" => &[
            "dew/lasting-condensate",
            "vapor/bare-open-foam",
            "vapor/fiber-against-cool-mass",
            "vapor/thin-roof-insulation",
        ],
        "dew/sun-driven-vapor" => &["vapor/wet-cladding-drive"],
        "vapor/class-three-unearned" => &["vapor/thin-flash-coat"],
        "vapor/cold-side-tight" => &["vapor/class-three-unearned", "vapor/thin-flash-coat"],
        "vapor/double-barrier" | "vapor/fiber-against-cool-mass" => &["vapor/film-below-grade"],
        "vapor/humid-room-off-table" => &[
            "vapor/class-three-unearned",
            "vapor/no-room-retarder",
            "vapor/responsive-in-humid-room",
            "vapor/thin-flash-coat",
        ],
        "vapor/no-room-retarder" => &[
            "vapor/class-three-unearned",
            "vapor/cold-side-tight",
            "vapor/responsive-in-humid-room",
            "vapor/thin-flash-coat",
        ],
        "vapor/shut-roof-ceiling" => &["vapor/double-barrier"],
        "vapor/snug-both-sides" => &[
            "vapor/class-not-allowed",
            "vapor/double-barrier",
            "vapor/thin-foam-behind-kraft",
            "vapor/tight-finish",
            "vapor/wet-cladding-drive",
        ],
        "vapor/thin-roof-insulation" => &["dew/one-ended-roof-gap"],
        "vapor/tight-finish" => &["vapor/wet-cladding-drive"],
        "vapor/tight-floor-on-damp-slab" => &["dew/wet-when-covered"],
        "vapor/uneven-openness" => &[
            "vapor/class-three-unearned",
            "vapor/cold-side-tight",
            "vapor/no-room-retarder",
            "vapor/responsive-in-humid-room",
            "vapor/thin-flash-coat",
        ],
        "water/face-sealed-in-hard-rain" => &["water/undrained-render"],
        "water/far-weeps" => &["water/no-exit"],
        "water/layer-not-joined" => &[
            "water/blind-transfer",
            "water/missing-head-flashing",
            "water/missing-sill-pan",
            "water/no-exit",
            "water/open-pan-back",
            "water/pan-inside",
            "water/reversed-lap",
            "water/stranded-flashing",
        ],
        "water/sealant-alone" => &["water/bare-penetration"],
        _ => &[],
    }
}

/// All rules, in family order.
pub fn all() -> impl Iterator<Item = &'static Rule> {
    [
        notation::RULES,
        water::RULES,
        air::RULES,
        vapor::RULES,
        dew::RULES,
        heat::RULES,
        r#match::RULES,
        safety::RULES,
        record::RULES,
    ]
    .into_iter()
    .flatten()
}

/// The rule of an id.
pub fn find(id: &str) -> Option<&'static Rule> {
    all().find(|r| r.id == id)
}
