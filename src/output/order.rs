//! The order of work at a joint, printed: numbered steps, what is made at each, where to stop and look.
//!
//! Invariant: readable without color at 40 columns; a joint that cannot be built is told turn by turn.

use super::clean::clean_line;
use super::figure::line;
use super::look::{Ink, Look};
use super::wrap::hang;
use crate::base::source::Sources;
use crate::review::order::{CycleLine, JointOrder, Ordered, StepLine, Work};
use std::io::{Result, Write};

/// Writes the order of one joint.
pub fn write(out: &mut dyn Write, ordered: &Ordered, joint: &JointOrder, look: &Look) -> Result<()> {
    let head = format!("{} ({})", clean_line(&joint.name), line(&ordered.sources, joint.span));
    writeln!(out, "{}", look.paint(Ink::Head, &head))?;
    if let Some(title) = &joint.title {
        hang(out, look, "  ", 2, &format!("\"{}\"", clean_line(title)))?;
    }
    match &joint.work {
        Work::Steps { standing, steps } => {
            if !standing.is_empty() {
                let names: Vec<String> = standing.iter().map(|n| format!("`{}`", clean_line(n))).collect();
                hang(out, look, "  ", 4, &end(look, &format!("stands already: {}", names.join(", "))))?;
            }
            for (index, step) in steps.iter().enumerate() {
                write_step(out, &ordered.sources, index + 1, step, look)?;
            }
        }
        Work::Cycle(turns) => write_cycle(out, &ordered.sources, turns, look)?,
    }
    match joint.undecided {
        Some(span) => {
            let why = format!("not all of it is shown ({}): more may go on in between", line(&ordered.sources, span));
            hang(out, look, "  ", 4, &end(look, &why))
        }
        None => Ok(()),
    }
}

fn write_step(out: &mut dyn Write, sources: &Sources, number: usize, step: &StepLine, look: &Look) -> Result<()> {
    let of = if step.of.is_empty() { String::new() } else { format!(": {}", clean_line(&step.of)) };
    let what = end(look, &format!("`{}`{of}", clean_line(&step.what)));
    let lead = if look.plain { format!("  Step {number}: ") } else { format!("{number:>4}. ") };
    hang(out, look, &lead, 6, &what)?;
    for (sentence, span) in &step.made {
        hang(out, look, "      ", 8, &end(look, &format!("{} ({})", clean_line(sentence), line(sources, *span))))?;
    }
    match &step.hold {
        Some(hold) if look.plain => {
            hang(out, look, "  ", 4, &format!("Stop and look before step {}: {hold}.", number + 1))
        }
        Some(hold) => hang(out, look, "  ==== ", 7, &format!("stop and look: {hold}")),
        None => Ok(()),
    }
}

fn write_cycle(out: &mut dyn Write, sources: &Sources, turns: &[CycleLine], look: &Look) -> Result<()> {
    hang(
        out,
        look,
        "  ",
        4,
        "cannot be built as drawn: each of these has to be there before the next, the last before the first.",
    )?;
    for (index, turn) in turns.iter().enumerate() {
        let text = format!(
            "`{}` before `{}`: {} ({})",
            clean_line(&turn.first),
            clean_line(&turn.next),
            clean_line(&turn.sentence),
            line(sources, turn.span)
        );
        hang(out, look, &format!("{:>4}. ", index + 1), 6, &end(look, &text))?;
    }
    Ok(())
}

/// A full stop where whole sentences are asked for.
fn end(look: &Look, text: &str) -> String {
    if look.plain { format!("{text}.") } else { text.to_string() }
}
