//! A detail that may stand on a shelf: a text without problems, whose head says what it is.
//!
//! Invariant: nothing else is written to a shelf, and no entry is added to anything else.

use super::store::Refused;
use crate::base::finding::{Finding, Weight};
use crate::base::span::FileId;
use crate::model::detail::{Head, Standing, Status};
use crate::review::{Input, detail};
use crate::shelf;
use crate::syntax;

/// What a review can't read of a text: names that nothing answers to, things that can't both be.
fn unread(input: &Input) -> Vec<Finding> {
    let again = detail::check(input.clone());
    let home = again.at.into_iter().next().map(|here| here.report.findings).unwrap_or_default();
    home.into_iter().filter(|f| f.weight == Weight::Stop && f.rule.starts_with("notation/")).collect()
}

/// What to do about a text without a head.
const WAY_OUT: &str = "begin it with a head between two lines `---`: title, meets, status, revision, source";

/// What a sound text says.
pub struct Sound {
    /// The name on its line `detail`, where it has one.
    pub name: Option<String>,
    /// What its head says.
    pub head: Head,
    /// The fingerprint of its form.
    pub form: String,
}

impl Sound {
    /// Reads a text.
    ///
    /// # Errors
    /// All its problems, or that it has no head.
    pub fn read(input: &Input) -> Result<Self, Refused> {
        Self::checked(input, false)
    }

    /// Reads a text that is to be put on a shelf.
    ///
    /// # Errors
    /// As for [`Sound::read`], and where it does not stand by itself.
    pub fn alone(input: &Input) -> Result<Self, Refused> {
        Self::checked(input, true)
    }

    fn checked(input: &Input, alone: bool) -> Result<Self, Refused> {
        let file = FileId::default();
        let Some(reading) = shelf::read(file, &input.text) else {
            let what = format!("{}: has no head, so it is no detail of a shelf", input.name);
            return Err(Refused::new(what, shelf::begun_late(&input.text).unwrap_or(WAY_OUT)));
        };
        let parsed = syntax::parse(file, &input.text);
        let mut problems = reading.problems;
        problems.extend(parsed.problems);
        if alone {
            problems.extend(shelf::alone::lacks(file, &input.text, &parsed.tree));
        }
        let head = reading.head.filter(|_| problems.is_empty());
        let Some(head) = head else { return Err(Refused::Problems(input.clone(), problems)) };
        if alone {
            let unread = unread(input);
            if !unread.is_empty() {
                return Err(Refused::Problems(input.clone(), unread));
            }
        }
        let name = parsed.tree.detail().map(|detail| detail.name.text.clone());
        Ok(Self { name, head, form: shelf::form::fingerprint(&input.text, &[]) })
    }

    /// What the evidence of its form bears out.
    pub fn standing(&self) -> Standing {
        self.head.standing(&self.form)
    }

    /// Its form, and where it stands.
    pub fn stands(&self) -> String {
        format!("form {}, which stands as {}", self.form, self.standing().status.word())
    }

    /// What its keeper may want to write, where the head claims less or more than is borne out.
    pub fn claim(&self) -> Option<String> {
        let (says, borne) = (self.head.status.value, self.standing().borne);
        let less = says < borne && borne > Status::Reviewed;
        (says != Status::Withdrawn && (less || says > borne)).then(|| {
            let (says, borne) = (says.word(), borne.word());
            format!("the head says `{says}`; the evidence of this form bears out `{borne}`: write `status: {borne}`")
        })
    }
}
