//! What a check of the shelf found, a detail a line, and what is wrong with those that are not as their heads say.
//!
//! Invariant: a detail with nothing wrong is counted, and named in the JSON only; nothing wrong is left out.

use super::clean::{clean_line, one_line};
use super::figure::count;
use super::json::{VERSION, finish};
use super::json_shelf::{ErrorJson, Wrong, errors};
use super::look::{Ink, Look};
use super::wrap::hang;
use crate::base::finding::Finding;
use crate::model::detail::Status;
use crate::review::detail::{Again, Here};
use crate::rules::IDLE_ACCEPTANCE;
use serde::Serialize;
use std::io::{Result, Write};

#[derive(Serialize)]
struct Document<'a> {
    version: u32,
    complete: bool,
    errors: Vec<ErrorJson<'a>>,
    details: &'a [Checked],
}

/// What is kept of a detail that was checked.
#[derive(Clone, Debug, Serialize)]
pub struct Checked {
    /// Its name.
    pub name: String,
    /// On whose shelf it stands.
    pub shelf: &'static str,
    /// The status that its evidence bears out; none without a head.
    pub status: Option<&'static str>,
    /// At how many places it was reviewed.
    pub places: usize,
    /// How many findings its head declares, and shows.
    pub declared: usize,
    /// Checks that could not be run.
    pub not_run: usize,
    /// Whether it could be read in full.
    pub whole: bool,
    /// What is not as it should be.
    pub troubles: Vec<Trouble>,
}

/// One thing that is not as it should be.
#[derive(Clone, Debug, Serialize)]
pub struct Trouble {
    /// The rule; none where it is not of a review.
    pub rule: Option<&'static str>,
    /// Its weight.
    pub weight: &'static str,
    /// The line of the text, from 1.
    pub line: Option<usize>,
    /// Where it shows: the places, or everywhere where there is none.
    pub at: Vec<String>,
    /// In words.
    pub message: String,
}

impl Checked {
    /// What is kept of one that was reviewed again.
    pub fn of(name: &str, shelf: &'static str, again: &Again) -> Self {
        let home = again.at.first();
        let detail = home.and_then(|h| h.report.details.first());
        let mut troubles: Vec<Trouble> = Vec::new();
        match detail {
            None if again.whole() => troubles.push(Trouble::plain("it has no head, so nothing says what it holds for")),
            Some(detail) if detail.name != name => {
                troubles.push(Trouble::plain(&format!("its file is `{name}`, its own line says `{}`", detail.name)));
            }
            _ => {}
        }
        for (index, here) in again.at.iter().enumerate() {
            let before = again.at.get(..index).unwrap_or(&[]);
            let first = |f: &&Finding| !before.iter().any(|b| b.report.findings.iter().any(|o| same(o, f)));
            troubles.extend(here.report.findings.iter().filter(first).filter_map(|f| trouble(f, again)));
        }
        Self {
            name: name.to_owned(),
            shelf,
            status: detail.map(|d| d.standing.status.word()),
            places: again.at.len(),
            declared: again.at.iter().map(|h| h.report.accepted.len()).max().unwrap_or(0),
            not_run: again.at.iter().map(|h| h.report.not_run.len()).max().unwrap_or(0),
            whole: again.whole() && detail.is_some(),
            troubles,
        }
    }

    /// One whose text could not be read.
    pub fn unread(name: &str, shelf: &'static str, why: String) -> Self {
        let troubles = vec![Trouble::plain(&why)];
        let name = name.to_owned();
        Self { name, shelf, status: None, places: 0, declared: 0, not_run: 0, whole: false, troubles }
    }
}

impl Trouble {
    fn plain(message: &str) -> Self {
        Self { rule: None, weight: "stop", line: None, at: Vec::new(), message: message.to_owned() }
    }
}

fn same(a: &Finding, b: &Finding) -> bool {
    a.rule == b.rule && a.primary.span == b.primary.span && a.weight == b.weight
}

/// A finding as a trouble of the detail. A declared finding need not show at every place.
fn trouble(finding: &Finding, again: &Again) -> Option<Trouble> {
    let shows: Vec<&Here> = again.at.iter().filter(|h| h.report.findings.iter().any(|f| same(f, finding))).collect();
    let everywhere = shows.len() == again.at.len();
    if finding.rule == IDLE_ACCEPTANCE && !everywhere {
        return None;
    }
    let place = |h: &&Here| h.report.job.as_ref().map_or_else(|| "its own place".to_owned(), |j| j.place.clone());
    Some(Trouble {
        rule: Some(finding.rule),
        weight: finding.weight.word(),
        line: Some(again.sources.place(finding.primary.span).1.line),
        at: if everywhere { Vec::new() } else { shows.iter().map(place).collect() },
        message: finding.message.clone(),
    })
}

/// Writes the details with something wrong, in full.
pub fn write(out: &mut dyn Write, all: &[Checked], look: &Look) -> Result<()> {
    for checked in all.iter().filter(|c| !c.troubles.is_empty()) {
        let name = look.paint(Ink::Head, &clean_line(&checked.name));
        let status = checked.status.map_or_else(String::new, |s| format!(", {s}"));
        writeln!(out, "{name} ({}{status})", checked.shelf)?;
        for trouble in &checked.troubles {
            let rule = trouble.rule.map_or_else(String::new, |rule| format!("{rule}: "));
            let line = trouble.line.map_or_else(String::new, |line| format!("line {line}: "));
            let at = if trouble.at.is_empty() { String::new() } else { format!(" (at {})", trouble.at.join("; ")) };
            let message = one_line(&trouble.message);
            hang(out, look, &format!("  {:<5} ", trouble.weight), 8, &format!("{line}{rule}{message}{at}"))?;
        }
    }
    let of = |status: Status| all.iter().filter(|c| c.status == Some(status.word())).count();
    let counts = Status::ALL.iter().rev().map(|s| (of(*s), s.word())).filter(|(n, _)| *n > 0);
    let counts: Vec<String> = counts.map(|(n, word)| format!("{n} {word}")).collect();
    let declared = all.iter().filter(|c| c.declared > 0 && c.troubles.is_empty()).count();
    let beside = if declared > 0 { format!("; {declared} with declared findings") } else { String::new() };
    if counts.is_empty() {
        return Ok(());
    }
    hang(out, look, "", 0, &format!("as borne out: {}{beside}", counts.join(", ")))
}

/// Writes all of it as JSON, and what kept it from being complete.
pub fn json(out: &mut dyn Write, all: &[Checked], wrong: &[Wrong]) -> Result<()> {
    let complete = wrong.is_empty() && all.iter().all(|checked| checked.whole);
    finish(out, &Document { version: VERSION, complete, errors: errors(wrong), details: all })
}

/// The closing line.
pub fn closing(all: &[Checked]) -> String {
    let wrong = all.iter().filter(|c| !c.troubles.is_empty()).count();
    let places: usize = all.iter().map(|c| c.places).sum();
    let held = if wrong == 0 { "all as their heads say".to_owned() } else { format!("{wrong} not as their heads say") };
    format!("{} at {}: {held}", count(all.len(), "detail", "details"), count(places, "place", "places"))
}
