//! A review for people at a terminal: each finding with its weight, its rule, the author's own lines, why and what to do.
//!
//! Invariant: the order is the report's; a weight is always a word; nothing wider than the look, the author's file
//! names and the art aside.

use super::clean::{clean_line, one_line};
use super::look::{Ink, Look};
use super::snippet::snippets;
use super::tally::shown;
use super::wrap::hang;
use super::{answers, plain, summary, tail};
use crate::base::finding::Finding;
use crate::base::source::Sources;
use crate::review::report::{DetailLine, JobLine, Report};
use std::io::{Result, Write};

/// What of a report is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Extent {
    /// List every value that was taken because nothing was written.
    pub assumed: bool,
    /// At most so many findings in full.
    pub limit: Option<usize>,
}

/// Writes one report.
pub fn write(out: &mut dyn Write, sources: &Sources, report: &Report, look: &Look, extent: Extent) -> Result<()> {
    head(out, sources, report, look)?;
    for (number, finding) in shown(&report.findings, extent.limit) {
        write_finding(out, sources, number, finding, look)?;
    }
    if report.findings.is_empty() {
        writeln!(out, "\nnothing found")?;
    }
    tail::accepted(out, sources, report, look)?;
    tail::not_run(out, report, look)?;
    tail::assumed(out, sources, report, look, extent.assumed)?;
    summary::write(out, report, look)?;
    tail::cautions(out, report, look)
}

/// Writes findings alone, in the form the look asks for.
pub fn findings(out: &mut dyn Write, sources: &Sources, findings: &[Finding], look: &Look) -> Result<()> {
    if look.plain {
        return plain::findings(out, sources, findings, look);
    }
    findings.iter().enumerate().try_for_each(|(i, f)| write_finding(out, sources, i + 1, f, look))
}

/// File, job and the facts the review stands on.
fn head(out: &mut dyn Write, sources: &Sources, report: &Report, look: &Look) -> Result<()> {
    let name = sources.get(report.file).map_or("", |s| s.name());
    writeln!(out, "{}", look.paint(Ink::Head, &clean_line(name)))?;
    let Some(job) = &report.job else {
        return writeln!(out, "  no job in this text");
    };
    if let Some(title) = &job.title {
        hang(out, look, "  ", 2, title)?;
    }
    hang(out, look, "  ", 2, &job_facts(job))?;
    report.details.iter().try_for_each(|detail| hang(out, look, "  ", 2, &detail_named(detail)))?;
    if job.climate.is_empty() {
        return Ok(());
    }
    hang(out, look, "  ", 2, &format!("climate: {}", job.climate))?;
    job.notes.iter().try_for_each(|note| hang(out, look, "  note: ", 8, note))
}

/// "job press-room, Roanoke, Virginia, zone 4A, code irc-2021".
pub fn job_facts(job: &JobLine) -> String {
    let zone = job.zone.as_ref().map_or_else(|| "zone not known".to_owned(), |z| format!("zone {z}"));
    let code = job.code.as_ref().map_or_else(|| "no code stated".to_owned(), |c| format!("code {c}"));
    format!("job {}; {}; {zone}; {code}", job.name, job.place)
}

/// "detail kick-out, revision 2, reviewed, as porch".
pub fn detail_named(detail: &DetailLine) -> String {
    let used = detail.used_as.as_ref().map_or_else(String::new, |name| format!(", as {name}"));
    format!("detail {}, {}{used}", detail.name, detail_facts(detail))
}

/// "revision 2, reviewed", with what is claimed where more is claimed than is borne out.
pub fn detail_facts(detail: &DetailLine) -> String {
    let (claimed, borne) = (detail.claimed.word(), detail.standing.status.word());
    let claims = if claimed == borne { String::new() } else { format!(" (says {claimed})") };
    format!("revision {}, {borne}{claims}", detail.revision)
}

/// One finding.
fn write_finding(out: &mut dyn Write, sources: &Sources, number: usize, finding: &Finding, look: &Look) -> Result<()> {
    let ink = Ink::Weight(finding.weight);
    let weight = look.paint(ink, &format!("{:<5}", finding.weight.word()));
    writeln!(out)?;
    writeln!(out, "{number:>3}  {weight} {}", look.paint(Ink::Faint, finding.rule))?;
    hang(out, look, "     ", 5, &one_line(&finding.message))?;
    out.write_all(snippets(sources, finding, look).as_bytes())?;
    let or = answers::sentence(finding);
    for (word, text) in [("why", &finding.detail), ("do", &finding.help), ("or", &or)] {
        if !text.trim().is_empty() {
            hang(out, look, &format!("     {} ", look.paint(Ink::Head, &format!("{word:<4}"))), 10, text)?;
        }
    }
    Ok(())
}
