//! What the flags of `shelf log` say, as an entry of a head.
//!
//! Not here: which detail it is for. Invariant: an entry that is made can be put down; what a head can't say is told in
//! the words of the flags, each mistake of them.

use super::args::LogArgs;
use super::store::Refused;
use crate::model::detail::{Evidence, Failure, Look, Outcome};
use crate::shelf::log;
use jiff::ZonedDateTime;
use jiff::civil::Date;

/// A head in which each flag is tried alone.
const BLANK: &str = "---\ntitle: a\nmeets: a\nstatus: drawn\nrevision: 1\nsource: a\n---\n";

/// An entry that is to be put down.
#[derive(Clone)]
pub enum Entry {
    /// A look at it.
    Seen(Evidence),
    /// A failure.
    Failed(Failure),
}

impl Entry {
    /// What the flags say.
    ///
    /// # Errors
    /// One for each flag that says what a head can't.
    pub fn of(options: &LogArgs) -> Result<Self, Refused> {
        let mut wrong = Vec::new();
        let today = ZonedDateTime::now().date();
        let date = options.date.clone().unwrap_or_else(|| today.to_string());
        if date.parse().is_ok_and(|date: Date| date > today) {
            let way_out = "write the day it was seen; left out, it is today";
            wrong.push((format!("`--date`: {date} lies ahead, today is {today}"), way_out.to_owned()));
        }
        if options.kind == Some(Look::OpenedUp) && options.winters.is_none() {
            let way_out = "write how many winters it had seen: `--winters 2`";
            wrong.push(("`opened up` needs `--winters`".to_owned(), way_out.to_owned()));
        }
        let entry = Self::said(options, date);
        wrong.extend(entry.by_flag().into_iter().filter_map(|(flag, one)| {
            let refused = one.put_into(BLANK).err()?;
            Some((format!("`{flag}`: {}", refused.message), refused.help))
        }));
        if wrong.is_empty() { Ok(entry) } else { Err(Refused::Words(wrong)) }
    }

    fn said(options: &LogArgs, date: String) -> Self {
        let words = |said: &Option<String>| said.clone().unwrap_or_default();
        if let Some(what) = options.failure.clone() {
            let (cause, cure) = (words(&options.cause), options.cure.clone());
            return Self::Failed(Failure { date, what, cause, cure, form: None });
        }
        Self::Seen(Evidence {
            date,
            // Both are there where no failure is told: the command line asks for them.
            kind: options.kind.unwrap_or(Look::Built),
            result: options.result.unwrap_or(Outcome::Unclear),
            by: words(&options.by),
            form: None,
            season: options.season.clone(),
            winters: options.winters,
            reading: options.reading.clone(),
            note: options.note.clone(),
            photo: options.photo.clone(),
            example: false,
        })
    }

    /// For each flag an entry that says this alone, and nothing else that could be wrong.
    fn by_flag(&self) -> Vec<(&'static str, Self)> {
        match self.clone() {
            Self::Seen(e) => {
                let all = [
                    ("--date", Evidence { date: e.date, ..plain() }),
                    ("--by", Evidence { by: e.by, ..plain() }),
                    ("--season", Evidence { season: e.season, ..plain() }),
                    ("--winters", Evidence { winters: e.winters, ..plain() }),
                    ("--reading", Evidence { reading: e.reading, ..plain() }),
                    ("--note", Evidence { note: e.note, ..plain() }),
                    ("--photo", Evidence { photo: e.photo, ..plain() }),
                ];
                all.map(|(flag, one)| (flag, Self::Seen(one))).into()
            }
            Self::Failed(e) => {
                let all = [
                    ("--date", Failure { date: e.date, ..plain_failure() }),
                    ("--failure", Failure { what: e.what, ..plain_failure() }),
                    ("--cause", Failure { cause: e.cause, ..plain_failure() }),
                    ("--cure", Failure { cure: e.cure, ..plain_failure() }),
                ];
                all.map(|(flag, one)| (flag, Self::Failed(one))).into()
            }
        }
    }

    /// The text with this entry in its head.
    ///
    /// # Errors
    /// Where the head can't take it.
    pub fn put_into(&self, text: &str) -> Result<String, log::Refused> {
        match self {
            Self::Seen(seen) => log::with_evidence(text, seen),
            Self::Failed(failed) => log::with_failure(text, failed),
        }
    }

    /// The entry for the form with this fingerprint.
    pub fn of_form(mut self, form: String) -> Self {
        match &mut self {
            Self::Seen(seen) => seen.form = Some(form),
            Self::Failed(failed) => failed.form = Some(form),
        }
        self
    }

    /// What it is, in a few words.
    pub fn told(&self) -> String {
        match self {
            Self::Seen(seen) => format!("{} {}, {}", seen.kind.words(), seen.result.word(), seen.date),
            Self::Failed(failed) => format!("failure, {}", failed.date),
        }
    }

    /// Whether it speaks against the form.
    pub fn speaks_against(&self) -> bool {
        !matches!(self, Self::Seen(seen) if seen.result != Outcome::Failed)
    }
}

fn plain() -> Evidence {
    Evidence {
        date: "2000-01-01".to_owned(),
        kind: Look::Built,
        result: Outcome::Passed,
        by: "a".to_owned(),
        form: None,
        season: None,
        winters: None,
        reading: None,
        note: None,
        photo: None,
        example: false,
    }
}

fn plain_failure() -> Failure {
    let (date, words) = ("2000-01-01".to_owned(), || "a".to_owned());
    Failure { date, what: words(), cause: words(), cure: None, form: None }
}
