//! A detail of the shelf: what its head says of it, and where a job places it.
//!
//! Not here: reading a head (shelf), judging whether it fits (rules). Invariant: every part knows where it is written, and
//! nothing here is a verdict but [`Standing`], which counts evidence and decides nothing else.

use crate::base::quantity::{Length, RelativeHumidity, Temperature};
use crate::base::span::{Span, Spanned};
use crate::syntax::ast::{Accept, Rain};
use serde::{Deserialize, Serialize};
use std::fmt;

/// How far a detail has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// Taken out of use; its failures say why.
    Withdrawn,
    /// On paper.
    Drawn,
    /// Reviewed: quiet, or with declared findings.
    Reviewed,
    /// Built at least once in this form.
    Built,
    /// Built in this form, and found dry after a winter at least.
    Proven,
}

impl Status {
    /// All, the least first.
    pub const ALL: [Self; 5] = [Self::Withdrawn, Self::Drawn, Self::Reviewed, Self::Built, Self::Proven];

    /// The word in a head.
    pub fn word(self) -> &'static str {
        match self {
            Self::Withdrawn => "withdrawn",
            Self::Drawn => "drawn",
            Self::Reviewed => "reviewed",
            Self::Built => "built",
            Self::Proven => "proven",
        }
    }
}

/// What a detail's head says.
#[derive(Clone, Debug)]
pub struct Head {
    /// One line on what it is.
    pub title: Spanned<String>,
    /// What meets what.
    pub meets: Vec<String>,
    /// As its keeper says.
    pub status: Spanned<Status>,
    /// From 1.
    pub revision: Spanned<u32>,
    /// Places it was reviewed at beside the one its job names, as the catalog calls them.
    pub places: Vec<Spanned<String>>,
    /// The conditions it holds for.
    pub holds: Holds,
    /// Findings that are accepted, and why.
    pub accepts: Vec<Accept>,
    /// Where it is from: published sources, or that it is our own drawing.
    pub sources: Vec<String>,
    /// What the crew minds.
    pub mind: Option<String>,
    /// What was seen of it where it was built.
    pub evidence: Vec<Evidence>,
    /// Where it failed.
    pub failures: Vec<Failure>,
}

/// The conditions a detail holds for. What is left out holds anywhere.
#[derive(Clone, Debug, Default)]
pub struct Holds {
    /// Climate zones; none named: any.
    pub zones: Vec<Spanned<ZoneMask>>,
    /// The most rain.
    pub rain: Option<Spanned<Rain>>,
    /// The dampest room air while it is heated.
    pub heated: Option<Spanned<RelativeHumidity>>,
    /// The coldest room air while it is cooled.
    pub cooled: Option<Spanned<Cooling>>,
    /// The tallest building.
    pub height: Option<Spanned<Length>>,
    /// Compass directions as their letters in upper case; none named: any.
    pub faces: Vec<Spanned<String>>,
}

/// How far rooms may be cooled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cooling {
    /// Not at all.
    Never,
    /// Down to this.
    DownTo(Temperature),
}

/// A climate zone, or all of one number: `4A`, `4`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ZoneMask {
    /// 0 to 8.
    pub number: u8,
    /// A, B, C; none: whatever the letter.
    pub letter: Option<char>,
}

impl fmt::Display for ZoneMask {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.number)?;
        self.letter.map_or(Ok(()), |letter| write!(f, "{letter}"))
    }
}

/// What was looked at, and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// It was built.
    Built,
    /// Water from a hose.
    HoseTest,
    /// A bonded or sealed part pulled off, or tried to.
    PullTest,
    /// A fan in a door.
    BlowerDoor,
    /// A meter in wood or masonry.
    MoistureReading,
    /// Taken apart to see.
    OpenedUp,
}

impl Look {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Built, Self::HoseTest, Self::PullTest, Self::BlowerDoor, Self::MoistureReading, Self::OpenedUp];

    /// The words in a head.
    pub fn words(self) -> &'static str {
        match self {
            Self::Built => "built",
            Self::HoseTest => "hose test",
            Self::PullTest => "pull test",
            Self::BlowerDoor => "blower door",
            Self::MoistureReading => "moisture reading",
            Self::OpenedUp => "opened up",
        }
    }

    /// Whether it shows that the detail stays dry in use: a look at it after weather, not a test of a day.
    pub fn shows_dry(self) -> bool {
        matches!(self, Self::MoistureReading | Self::OpenedUp)
    }
}

/// How a look came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// As it should be.
    Passed,
    /// Not as it should be.
    Failed,
    /// Can't be told.
    Unclear,
}

impl Outcome {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Passed, Self::Failed, Self::Unclear];

    /// The word in a head.
    pub fn word(self) -> &'static str {
        match self {
            Self::Passed => "passed",
            Self::Failed => "failed",
            Self::Unclear => "unclear",
        }
    }
}

/// One entry of evidence.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// When, as `2026-04-02`.
    pub date: String,
    /// What was done.
    pub kind: Look,
    /// How it came out.
    pub result: Outcome,
    /// Who looked.
    pub by: String,
    /// The fingerprint of the detail that was looked at.
    pub form: Option<String>,
    /// In which season.
    pub season: Option<String>,
    /// How many winters it had seen.
    pub winters: Option<u32>,
    /// What was read off.
    pub reading: Option<String>,
    /// A remark.
    pub note: Option<String>,
    /// A file with a photo.
    pub photo: Option<String>,
    /// Invented to show the form; it proves nothing.
    pub example: bool,
}

/// A failure and what was learned.
#[derive(Clone, Debug, PartialEq)]
pub struct Failure {
    /// When, as `2026-04-02`.
    pub date: String,
    /// What failed.
    pub what: String,
    /// Why.
    pub cause: String,
    /// What mended it; none: nothing yet.
    pub cure: Option<String>,
    /// The fingerprint of the detail that failed.
    pub form: Option<String>,
}

/// What the evidence bears out for one form of a detail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standing {
    /// The highest status that the evidence of this form bears.
    pub borne: Status,
    /// What is claimed, brought down to what is borne.
    pub status: Status,
    /// This form failed: an entry says so, or a failure names it.
    pub failed: bool,
    /// How many entries are of another form.
    pub other_forms: usize,
    /// How many entries name no form.
    pub unnamed: usize,
}

impl Head {
    /// What the evidence says of the form with this fingerprint. Examples count for nothing.
    ///
    /// Proven needs a moisture reading or an opening up that passed after one winter at least; anything that was looked at
    /// was built. A form that failed is at most reviewed: a cure is a change, and makes another form.
    pub fn standing(&self, form: &str) -> Standing {
        let of_form = |f: &Option<String>| f.as_deref() == Some(form);
        let real = || self.evidence.iter().filter(|e| !e.example);
        let own = || real().filter(|e| of_form(&e.form));
        let failed = own().any(|e| e.result == Outcome::Failed) || self.failures.iter().any(|f| of_form(&f.form));
        let dry = |e: &Evidence| {
            e.kind.shows_dry() && e.result == Outcome::Passed && e.winters.is_some_and(|winters| winters >= 1)
        };
        let borne = if failed {
            Status::Reviewed
        } else if own().any(dry) {
            Status::Proven
        } else if own().next().is_some() {
            Status::Built
        } else {
            Status::Reviewed
        };
        let status = self.status.value.min(borne);
        let unnamed = real().filter(|e| e.form.is_none()).count();
        Standing { borne, status, failed, other_forms: real().count() - own().count() - unnamed, unnamed }
    }
}

/// A detail where a job has it: its own text under review, or a `use`.
#[derive(Clone, Debug)]
pub struct Placed {
    /// The detail's name.
    pub name: String,
    /// What its head says.
    pub head: Head,
    /// The fingerprint of the form that stands here; empty where surfaces of the job took the place of drawn ones.
    pub form: String,
    /// The fingerprint of the form as it is drawn.
    pub form_on_shelf: String,
    /// The `use`; none where the text under review is the detail itself.
    pub used: Option<Used>,
    /// The names of its surfaces in the job.
    pub surfaces: Vec<String>,
}

/// How a job says that it uses a detail.
#[derive(Clone, Debug)]
pub struct Used {
    /// The name it is placed as.
    pub name: String,
    /// Where the detail is named.
    pub detail: Span,
    /// The revision the job was drawn with, where it says so.
    pub revision: Option<Spanned<u32>>,
    /// What the head on the shelf says, where an earlier revision stands here.
    pub newest: Option<Box<Head>>,
}
