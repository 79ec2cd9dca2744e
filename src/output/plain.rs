//! A review in full sentences, for screen readers and for reading aloud: no art, no color, no columns.
//!
//! Invariant: says everything that the drawn form says; every line can be understood by itself.

use super::answers;
use super::clean::{clean_line, one_line};
use super::figure::count;
use super::look::Look;
use super::summary::{resistance, units, water_lines};
use super::tail::{CAUTIONS, assumed_line, credits, not_run_groups};
use super::tally::{Tally, shown};
use super::terminal::{Extent, detail_named, job_facts};
use super::wrap::hang;
use crate::base::finding::{Finding, Label};
use crate::base::source::Sources;
use crate::review::report::Report;
use std::io::{Result, Write};

/// Writes one report.
pub fn write(out: &mut dyn Write, sources: &Sources, report: &Report, look: &Look, extent: Extent) -> Result<()> {
    let mut say = |text: &str| hang(out, look, "", 0, text);
    let name = sources.get(report.file).map_or("", |s| s.name());
    say(&format!("Review of {}.", clean_line(name)))?;
    match &report.job {
        Some(job) => {
            let title = job.title.as_ref().map_or_else(String::new, |t| format!(" Title: {t}."));
            let climate = if job.climate.is_empty() { String::new() } else { format!(" Climate: {}.", job.climate) };
            let notes: String = job.notes.iter().map(|n| format!(" Note: {n}.")).collect();
            say(&format!("This is {}.{title}{climate}{notes}", job_facts(job)))?;
        }
        None => say("There is no job in this text.")?,
    }
    for detail in &report.details {
        let verb = if detail.used_as.is_some() { "Uses" } else { "This is" };
        say(&format!("{verb} {}.", detail_named(detail)))?;
    }
    say(&format!("Found: {}.", Tally::of([report]).closing(0)))?;
    for (number, finding) in shown(&report.findings, extent.limit) {
        for sentence in finding_sentences(sources, report.findings.len(), number, finding) {
            say(&sentence)?;
        }
    }
    for item in &report.accepted {
        let (message, because) = (one_line(&item.finding.message), one_line(&item.because));
        say(&format!("Accepted by the author: {}, {message}. The reason given: {because}.", item.finding.rule))?;
    }
    for group in not_run_groups(report) {
        let places = [(" on ", &group.surfaces), (" at joint ", &group.joints)];
        let named = places.iter().filter(|(_, names)| !names.is_empty());
        let on = named.map(|(word, names)| format!("{word}{}", names.join(", "))).collect::<Vec<_>>().join(" and");
        say(&format!("Not checked{on}: {}. The reason: {}.", group.rules.join(", "), group.why))?;
    }
    if let Some(line) = assumed_line(report, extent.assumed) {
        say(&format!("Values: {line}."))?;
    }
    for item in report.assumed.iter().filter(|_| extent.assumed) {
        let on = item.surface.as_ref().map_or_else(String::new, |s| format!(" for {s}"));
        say(&format!("Assumed{on}: {}.", item.what))?;
    }
    for surface in &report.surfaces {
        let water = water_lines(surface).join(". ");
        let notes: String = surface.notes.iter().map(|n| format!(" Note: {n}.")).collect();
        let title = format!("Surface {}, a {}", clean_line(&surface.name), surface.kind);
        say(&format!("{title}: {}. Water: {water}.{notes}", resistance(surface, units(report))))?;
    }
    say(CAUTIONS)?;
    credits(report).map_or(Ok(()), |text| say(&text))
}

/// Writes findings alone.
pub fn findings(out: &mut dyn Write, sources: &Sources, findings: &[Finding], look: &Look) -> Result<()> {
    for (index, finding) in findings.iter().enumerate() {
        for sentence in finding_sentences(sources, findings.len(), index + 1, finding) {
            hang(out, look, "", 0, &sentence)?;
        }
    }
    Ok(())
}

fn finding_sentences(sources: &Sources, of: usize, number: usize, finding: &Finding) -> Vec<String> {
    let all = count(of, "finding", "findings");
    let (file, at) = sources.place(finding.primary.span);
    let place = format!("{}, line {}, column {}", clean_line(file), at.line, at.column);
    let written = |label: &Label| {
        let text = one_line(sources.text(label.span));
        let words = if label.text.is_empty() { String::new() } else { format!(": {}", one_line(&label.text)) };
        format!("`{text}`{words}")
    };
    let mut said = vec![
        format!("Finding {number} of {all}, weight {}, rule {}.", finding.weight.word(), finding.rule),
        format!("{}.", one_line(&finding.message)),
        format!("At {place}, where it reads {}.", written(&finding.primary)),
    ];
    for label in &finding.others {
        let (of, at) = sources.place(label.span);
        let other = if of == file { String::new() } else { format!(" of {}", clean_line(of)) };
        said.push(format!("See also line {}{other}, {}.", at.line, written(label)));
    }
    let or = answers::sentence(finding);
    for (word, text) in [("Why it matters", &finding.detail), ("What to do", &finding.help), ("Or", &or)] {
        if !text.trim().is_empty() {
            said.push(format!("{word}: {}", one_line(text)));
        }
    }
    said
}
