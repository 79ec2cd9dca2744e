//! How sure an answer is: in what share of the samples each criterion is met, and which input decides it.
//!
//! Invariant: what was varied, within what and whose range that is stands below the shares, every time.

use super::clean::clean_line;
use super::figure::{count, decimals, water_full};
use super::look::{Ink, Look};
use super::profile::ASSUMPTIONS;
use super::wrap::{columns, hang, pad};
use crate::base::quantity::MoistureMass;
use crate::review::spread::{Answer, Sampled, Varied};
use std::io::{Result, Write};

/// So many inputs are named at most; the rest hardly count.
const NAMED: usize = 3;

/// Writes one surface.
pub fn write(out: &mut dyn Write, s: &Sampled, look: &Look) -> Result<()> {
    let title = format!("{} {}", s.kind, clean_line(&s.name));
    writeln!(out, "{}", look.paint(Ink::Head, &title))?;
    let answers = match &s.answers {
        Ok(answers) => answers,
        Err(why) => return item(out, look, &format!("not sampled: {why}")),
    };
    let head = format!("{} (Latin hypercube, seed {})", count(s.samples, "sample", "samples"), s.seed);
    item(out, look, &head)?;
    item(out, look, &format!("all three answers are as drawn in {}", share(s.same)))?;
    if s.refused > 0 {
        item(out, look, &format!("{} more were out of the range of the method", s.refused))?;
    }
    for answer in answers {
        write_answer(out, s, answer, look)?;
    }
    writeln!(out)?;
    varied(out, s, look)?;
    writeln!(out)?;
    for note in &s.notes {
        hang(out, look, "note: ", 6, note)?;
    }
    hang(out, look, "", 0, ASSUMPTIONS)
}

/// A line below a heading.
fn item(out: &mut dyn Write, look: &Look, text: &str) -> Result<()> {
    if look.plain {
        let mut first = text.chars();
        let capital: String = first.next().into_iter().flat_map(char::to_uppercase).chain(first).collect();
        let end = if text.ends_with(':') { "" } else { "." };
        hang(out, look, "", 0, &format!("{capital}{end}"))
    } else {
        hang(out, look, "  ", 4, text)
    }
}

fn write_answer(out: &mut dyn Write, s: &Sampled, answer: &Answer, look: &Look) -> Result<()> {
    writeln!(out)?;
    let title = format!("{} ({})", question(answer.rule), answer.rule);
    if columns(&title) <= look.width {
        writeln!(out, "{}", look.paint(Ink::Head, &title))?;
    } else {
        hang(out, look, "", 0, &title)?;
    }
    let drawn = if answer.drawn { "yes" } else { "no" };
    item(out, look, &format!("as drawn: {drawn}; yes in {} of the samples", share(answer.share)))?;
    if let Some((half, few)) = answer.figures {
        let (half, few) = (figure(answer.rule, half), figure(answer.rule, few));
        let more = if few == half { String::new() } else { format!(", one in twenty {few}") };
        item(out, look, &format!("of those, half have at least {half}{more}"))?;
    }
    if answer.share <= 0.0 || answer.share >= 1.0 {
        return Ok(());
    }
    if answer.leans.is_empty() {
        return item(out, look, "no input alone stands out");
    }
    item(out, look, "what decides it most (1: alone, 0: not at all):")?;
    let named: Vec<(String, String)> = answer.leans.iter().take(NAMED).filter_map(|l| lean(s, *l)).collect();
    let widest = named.iter().map(|(what, _)| columns(what)).max().unwrap_or(0);
    for (what, figure) in &named {
        if look.plain || widest + 10 > look.width {
            item(out, look, &format!("{what}: {figure}"))?;
        } else {
            writeln!(out, "    {}  {figure}", pad(what, widest))?;
        }
    }
    Ok(())
}

/// "high indoor humidity", "0.71".
fn lean(s: &Sampled, (index, lean): (usize, f64)) -> Option<(String, String)> {
    let input = s.inputs.get(index)?;
    let what = clean_line(&input.what);
    let words = match (input.builds.as_slice(), lean > 0.0) {
        ([_, build], true) | ([build, _], false) => format!("{what}: {}", clean_line(build)),
        (_, true) => format!("high {what}"),
        (_, false) => format!("low {what}"),
    };
    Some((words, decimals(lean.abs(), 2)))
}

/// By whose range it is; layers of one figure and one spread on one line.
fn varied(out: &mut dyn Write, s: &Sampled, look: &Look) -> Result<()> {
    writeln!(out, "{}", look.paint(Ink::Head, "what was varied"))?;
    let mut sources: Vec<&str> = s.inputs.iter().map(|i| i.source).collect();
    sources.sort_unstable();
    sources.dedup();
    for source in sources {
        item(out, look, &format!("{source}:"))?;
        for line in lines(s.inputs.iter().filter(|i| i.source == source)) {
            if look.plain { item(out, look, &line)? } else { hang(out, look, "    ", 6, &line)? }
        }
    }
    Ok(())
}

fn lines<'a>(inputs: impl Iterator<Item = &'a Varied>) -> Vec<String> {
    let mut out: Vec<(String, Vec<String>)> = Vec::new();
    for input in inputs {
        let (head, member) = match &input.part {
            Some((figure, layer)) => (format!("{figure}, {}", input.within), format!("`{}`", clean_line(layer))),
            None => (clean_line(&input.what).into_owned(), clean_line(&input.within).into_owned()),
        };
        match out.iter_mut().find(|(known, _)| *known == head) {
            Some((_, members)) => members.push(member),
            None => out.push((head, vec![member])),
        }
    }
    out.into_iter().map(|(head, members)| format!("{head}: {}", members.join(", "))).collect()
}

fn question(rule: &str) -> &'static str {
    match rule {
        "dew/lasting-condensate" => "water left after a year",
        "dew/peak-condensate" => "peak over its limit",
        _ => "wood or paper over 80 % for months",
    }
}

fn figure(rule: &str, value: f64) -> String {
    match rule {
        "dew/lasting-condensate" => water_full(MoistureMass::new(value)),
        "dew/peak-condensate" => format!("{} times the limit", decimals(value, 1)),
        _ => format!("{} months", decimals(value, 0)),
    }
}

/// A share in per cent; what is not none or all is not printed as such.
fn share(part: f64) -> String {
    let percent = part * 100.0;
    if percent > 0.0 && percent < 0.5 {
        "under 1 %".to_owned()
    } else if percent < 100.0 && percent > 99.5 {
        "over 99 %".to_owned()
    } else {
        format!("{} %", decimals(percent, 0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rare_thing_is_not_printed_as_none() {
        assert_eq!(share(0.0), "0 %");
        assert_eq!(share(0.001), "under 1 %");
        assert_eq!(share(0.999), "over 99 %");
        assert_eq!(share(1.0), "100 %");
    }
}
