//! A control layer followed round a job, printed: what carries it, where it goes on, where it lifts.
//!
//! Invariant: readable without color at 40 columns; every way is told place by place.

use super::clean::clean_line;
use super::figure::{count, line};
use super::look::{Ink, Look};
use super::wrap::hang;
use crate::review::trace::{JointTrace, Lift, StationTrace, Traced, Traces, Verdict};
use std::io::{Result, Write};

/// Writes one control layer.
pub fn write(out: &mut dyn Write, traced: &Traced, of: &Traces, look: &Look) -> Result<()> {
    let job = traced.job.as_ref().map_or_else(String::new, |j| format!(", followed round {}", clean_line(j)));
    writeln!(out, "{}", look.paint(Ink::Head, &format!("{}{job}", of.agent)))?;
    for carrier in &of.carriers {
        let what = match (&carrier.layer, carrier.relied_on) {
            (Some(layer), true) if carrier.closed => format!("`{layer}`"),
            (Some(layer), true) => format!("`{layer}`, relied on but not closed by itself; `dewlap review` judges it"),
            (Some(layer), false) if of.agent == "heat" => format!("`{layer}`, the most insulation"),
            (Some(layer), false) => format!("`{layer}`, the best there is; nothing is relied on"),
            (None, _) => "nothing carries it".to_owned(),
        };
        let text = format!("{}: {what} ({})", carrier.surface, line(&traced.sources, carrier.span));
        hang(out, look, "  ", 4, &text)?;
    }
    for joint in &of.joints {
        at_joint(out, traced, joint, look)?;
    }
    if !of.unsaid.is_empty() {
        let edges: Vec<String> =
            of.unsaid.iter().map(|(surface, edges)| format!("{} of `{surface}`", edges.join(", "))).collect();
        writeln!(out)?;
        hang(out, look, "", 2, &format!("not judged, no joint speaks of it: {}", edges.join("; ")))?;
    }
    Ok(())
}

fn at_joint(out: &mut dyn Write, traced: &Traced, joint: &JointTrace, look: &Look) -> Result<()> {
    writeln!(out)?;
    writeln!(
        out,
        "{}",
        look.paint(Ink::Head, &format!("{} ({})", clean_line(&joint.name), line(&traced.sources, joint.span)))
    )?;
    if let Some(title) = &joint.title {
        hang(out, look, "  ", 2, &format!("\"{}\"", clean_line(title)))?;
    }
    let mut rest = joint.stations.as_slice();
    while let Some((first, _)) = rest.split_first() {
        let same = rest
            .iter()
            .take_while(|s| s.chains == first.chains && s.lifts == first.lifts && s.lines == first.lines)
            .count();
        let (group, after) = rest.split_at(same.max(1));
        at_stations(out, traced, group, look)?;
        rest = after;
    }
    match joint.undecided {
        Some(span) => {
            let why =
                format!("not decided: something here is not written or not known ({})", line(&traced.sources, span));
            hang(out, look, "  ", 4, &why)
        }
        None => Ok(()),
    }
}

/// Stations of one answer.
fn at_stations(out: &mut dyn Write, traced: &Traced, group: &[StationTrace], look: &Look) -> Result<()> {
    let Some(first) = group.first() else { return Ok(()) };
    let places: Vec<&str> = group.iter().map(|s| if s.place.is_empty() { "along the seam" } else { s.place }).collect();
    let place = if places == ["along the seam"] { String::new() } else { format!("{}: ", places.join(", ")) };
    if first.chains.is_empty() && first.lifts.is_empty() {
        return hang(out, look, "  ", 4, &format!("{place}nothing to close here"));
    }
    for (names, sentences) in &first.chains {
        let names: Vec<String> = names.iter().map(|n| format!("`{}`", clean_line(n))).collect();
        let lines: Vec<String> = sentences.iter().map(|s| line(&traced.sources, *s)).collect();
        let tied = if lines.is_empty() { String::new() } else { format!(" ({})", lines.join(", ")) };
        hang(out, look, "  ", 4, &format!("{place}goes on: {}{tied}", names.join(" - ")))?;
    }
    for lift in &first.lifts {
        lifts(out, traced, &place, lift, look)?;
    }
    if !first.lines.is_empty() {
        let count = count(first.lines.len(), "line", "lines");
        hang(out, look, "  ", 4, &format!("{place}{count} against rain, outermost first"))?;
        for (index, (words, span)) in first.lines.iter().enumerate() {
            let text = format!("{} ({})", clean_line(words), line(&traced.sources, *span));
            hang(out, look, &format!("    {}. ", index + 1), 7, &text)?;
        }
    }
    Ok(())
}

fn lifts(out: &mut dyn Write, traced: &Traced, place: &str, lift: &Lift, look: &Look) -> Result<()> {
    let how = match lift.verdict {
        Verdict::Lifts => "lifts",
        Verdict::May => "may lift",
        Verdict::Accepted => "lifts, accepted",
        Verdict::Little => "lets little by",
    };
    hang(out, look, "  ", 4, &format!("{place}{how}: {}", lift.why))?;
    for (index, (words, span)) in lift.steps.iter().enumerate() {
        let at = span.map_or_else(String::new, |s| format!(" ({})", line(&traced.sources, s)));
        hang(out, look, &format!("    {}. ", index + 1), 7, &format!("{}{at}", clean_line(words)))?;
    }
    Ok(())
}
