//! A detail carried to another place: both places, what is found there and not at home, what is gone, and the water.
//!
//! Invariant: what holds at home and there alike is not told again.

use super::clean::clean_line;
use super::figure::count;
use super::look::{Ink, Look};
use super::summary::water_lines;
use super::tail;
use super::terminal::{detail_facts, findings, job_facts};
use super::wrap::hang;
use crate::base::finding::{Finding, Label};
use crate::base::near;
use crate::model::detail::Status;
use crate::review::detail::{Again, Changes, Here};
use crate::review::report::DetailLine;
use crate::rules;
use std::io::{Result, Write};

/// Writes it.
pub fn write(out: &mut dyn Write, again: &Again, look: &Look) -> Result<()> {
    let (Some(home), Some(there)) = (again.at.first(), again.at.last()) else { return Ok(()) };
    if let Some(detail) = home.report.details.first() {
        writeln!(out, "{}", look.paint(Ink::Head, &clean_line(&detail.name)))?;
        hang(out, look, "  ", 2, &detail.title)?;
        hang(out, look, "  ", 2, &detail_facts(detail))?;
        if let Some(why) = out_of_use(detail) {
            hang(out, look, "  note: ", 8, why)?;
        }
    }
    for (word, here) in [("home", home), ("there", there)] {
        if let Some(job) = &here.report.job {
            hang(out, look, &format!("  {word:<6}"), 8, &job_facts(job))?;
        }
    }
    if there.without_code {
        hang(out, look, "  note: ", 8, "the job's code is one of another country: left out there")?;
    }
    let changes = again.changes();
    found(out, again, &changes, look)?;
    if !changes.gone.is_empty() {
        writeln!(out, "\n{}", look.paint(Ink::Head, "found at home and not there"))?;
        for finding in &changes.gone {
            hang(out, look, "  - ", 4, &format!("{}: {}", finding.rule, finding.message))?;
        }
    }
    tail::not_run(out, &there.report, look)?;
    water(out, home, there, look)?;
    writeln!(out)?;
    hang(
        out,
        look,
        "",
        0,
        "Local code and licensed practice decide; a place has more than its weather: soil, termites, wind, snow, water at \
         hand.",
    )
}

/// What is found there and not at home: first what its own head says, then the rest.
fn found(out: &mut dyn Write, again: &Again, changes: &Changes<'_>, look: &Look) -> Result<()> {
    let (outside, rest): (Vec<&Finding>, Vec<&Finding>) =
        changes.new.iter().partition(|f| f.rule == rules::OUTSIDE_CONDITIONS);
    let way_out = way_out(changes, !rest.is_empty());
    let told = |f: &&Finding| {
        if f.rule != rules::OUTSIDE_CONDITIONS {
            return (*f).clone();
        }
        // The line that is shown names the place it was carried from.
        let primary = Label::new(f.primary.span, "at home");
        Finding { help: way_out.clone(), primary, ..(*f).clone() }
    };
    for (title, some) in [("outside the conditions it holds for", &outside), ("found there and not at home", &rest)] {
        if !some.is_empty() {
            writeln!(out, "\n{}", look.paint(Ink::Head, title))?;
            let some: Vec<Finding> = some.iter().map(told).collect();
            findings(out, &again.sources, &some, look)?;
        }
    }
    if changes.new.is_empty() {
        writeln!(out, "\nnothing is found there that is not found at home")?;
    }
    Ok(())
}

/// What stands between the detail and a wider condition.
fn way_out(changes: &Changes<'_>, found: bool) -> String {
    if found {
        return "put right what is found there, below; then widen the condition in the head".to_owned();
    }
    if !changes.unjudged.is_empty() {
        return "what could not be checked there comes first, below; then the condition in the head".to_owned();
    }
    if changes.wetter.is_empty() {
        return "no rule finds more there: widen the condition in the head once the section there is trusted"
            .to_owned();
    }
    let verb = if changes.wetter.len() == 1 { "holds" } else { "hold" };
    format!("no rule finds more there, but {} {verb} more water than at home: see below", near::all_of(&changes.wetter))
}

/// What becomes of the water in each section.
fn water(out: &mut dyn Write, home: &Here, there: &Here, look: &Look) -> Result<()> {
    if there.report.surfaces.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n{}", look.paint(Ink::Head, "water in the sections"))?;
    for (own, other) in home.report.surfaces.iter().zip(&there.report.surfaces) {
        hang(out, look, "  ", 4, &format!("{} {}", own.kind, clean_line(&own.name)))?;
        let (before, after) = (water_lines(own), water_lines(other));
        if before == after {
            before.iter().try_for_each(|line| hang(out, look, "    both   ", 11, line))?;
            continue;
        }
        for (word, lines) in [("home", before), ("there", after)] {
            lines.iter().try_for_each(|line| hang(out, look, &format!("    {word:<7}"), 11, line))?;
        }
    }
    Ok(())
}

/// Why a detail should not be carried anywhere, if so.
pub fn out_of_use(detail: &DetailLine) -> Option<&'static str> {
    if detail.claimed == Status::Withdrawn {
        return Some("it was withdrawn: take another detail");
    }
    detail.standing.failed.then_some("this form failed where it was built: `dewlap shelf show` has what is known of it")
}

/// The closing line.
pub fn closing(changes: &Changes<'_>) -> String {
    let new = count(changes.new.len(), "thing", "things");
    match (changes.new.len(), changes.gone.len()) {
        (0, 0) => "nothing changes there".to_owned(),
        (_, 0) => format!("{new} found there and not at home"),
        (_, gone) => format!("{new} found there and not at home, {gone} the other way round"),
    }
}
