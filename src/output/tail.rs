//! What stands after the findings: accepted ones, checks that did not run, values taken, and the cautions.
//!
//! Invariant: nothing that was not judged is passed over in silence.

use super::clean::{clean_line, one_line};
use super::figure::count;
use super::look::{Ink, Look};
use super::wrap::hang;
use crate::base::source::Sources;
use crate::review::report::Report;
use std::collections::{HashMap, HashSet};
use std::io::{Result, Write};

/// What every review leaves to others.
pub const CAUTIONS: &str = "Local code and licensed practice decide. The moisture figures are steady monthly means from a \
    dry start, by diffusion alone: no storage, no liquid water, no moving air, no rain, no sun. Mold is judged by the \
    month's 80 %; an index would need every hour and is not given. To pass proves no building dry; to fail is a reason \
    to change the section, or to have it simulated.";

/// Findings the author accepted, with the reasons.
pub fn accepted(out: &mut dyn Write, sources: &Sources, report: &Report, look: &Look) -> Result<()> {
    if report.accepted.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n{}", look.paint(Ink::Head, "accepted by the author"))?;
    for item in &report.accepted {
        let (file, at) = sources.place(item.finding.primary.span);
        let (weight, rule) = (item.finding.weight.word(), item.finding.rule);
        let text = format!(
            "{weight} {rule} at {}:{}: {}; accepted because \"{}\"",
            clean_line(file),
            at.line,
            one_line(&item.finding.message),
            one_line(&item.because)
        );
        hang(out, look, "  - ", 4, &text)?;
    }
    Ok(())
}

/// Checks that could not run, those with the same reason together.
pub fn not_run(out: &mut dyn Write, report: &Report, look: &Look) -> Result<()> {
    let groups = not_run_groups(report);
    if groups.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n{}", look.paint(Ink::Head, "not checked"))?;
    for group in groups {
        let places: Vec<&str> = group.surfaces.iter().chain(&group.joints).copied().collect();
        let on = if places.is_empty() { String::new() } else { format!(" ({})", places.join(", ")) };
        hang(out, look, "  - ", 4, &format!("{}{on}: {}", group.rules.join(", "), group.why))?;
    }
    Ok(())
}

/// Checks that did not run for one reason.
pub struct Group<'r> {
    /// The reason.
    pub why: &'r str,
    /// The rules.
    pub rules: Vec<&'r str>,
    /// On which surfaces.
    pub surfaces: Vec<&'r str>,
    /// At which joints.
    pub joints: Vec<&'r str>,
}

/// Checks that did not run, by reason, in the order they first come.
pub fn not_run_groups(report: &Report) -> Vec<Group<'_>> {
    let mut groups: Vec<Group<'_>> = Vec::new();
    let mut of_reason: HashMap<&str, usize> = HashMap::new();
    let mut named: HashSet<(usize, &str)> = HashSet::new();
    for item in &report.not_run {
        let index = *of_reason.entry(&item.why).or_insert_with(|| {
            groups.push(Group { why: &item.why, rules: Vec::new(), surfaces: Vec::new(), joints: Vec::new() });
            groups.len() - 1
        });
        let Some(group) = groups.get_mut(index) else { continue };
        if !group.rules.contains(&item.rule) {
            group.rules.push(item.rule);
        }
        if let Some(surface) = item.surface.as_deref().filter(|s| named.insert((index, s))) {
            group.surfaces.push(surface);
        }
        if let Some(joint) = item.joint.as_deref().filter(|j| named.insert((index, j))) {
            group.joints.push(joint);
        }
    }
    groups
}

/// How much was taken because it was not written; each value where `list` is set.
pub fn assumed(out: &mut dyn Write, sources: &Sources, report: &Report, look: &Look, list: bool) -> Result<()> {
    let Some(line) = assumed_line(report, list) else { return Ok(()) };
    writeln!(out)?;
    hang(out, look, "", 0, &line)?;
    if list {
        for item in &report.assumed {
            let (file, at) = sources.place(item.span);
            let on = item.surface.as_ref().map_or_else(String::new, |s| format!("{s}: "));
            hang(out, look, "  - ", 4, &format!("{on}{} ({}:{})", item.what, clean_line(file), at.line))?;
        }
    }
    Ok(())
}

/// "1 value written as unknown; 5 values assumed …"; none when there are none of either.
pub fn assumed_line(report: &Report, list: bool) -> Option<String> {
    let taken = report.assumed.len();
    if taken == 0 && report.unknown == 0 {
        return None;
    }
    let mut parts = Vec::new();
    if report.unknown > 0 {
        parts.push(format!("{} written as unknown", count(report.unknown, "value", "values")));
    }
    if taken > 0 {
        let hint = if list { "" } else { " (`--assumed` lists them)" };
        parts.push(format!("{} assumed where nothing is written{hint}", count(taken, "value", "values")));
    }
    Some(parts.join("; "))
}

/// The cautions, and whose weather it was.
pub fn cautions(out: &mut dyn Write, report: &Report, look: &Look) -> Result<()> {
    writeln!(out)?;
    hang(out, look, "", 0, CAUTIONS)?;
    credits(report).map_or(Ok(()), |text| hang(out, look, "", 0, &text))
}

/// "Weather: …"; none where nobody has to be named.
pub fn credits(report: &Report) -> Option<String> {
    let credits = report.job.as_ref().map(|j| j.credits.join("; ")).filter(|c| !c.is_empty())?;
    Some(format!("Weather: {credits}."))
}
