//! `shelf check`: every detail of the shelves reviewed again, at every place it names.
//!
//! Invariant: what stays of a detail is a line or a few, so that ten thousand fit in memory; told in the shelves' order.

use super::args::CheckArgs;
use super::shelves::{Shelves, Slot};
use crate::cli::Exit;
use crate::cli::meter::Meter;
use crate::cli::streams::Streams;
use crate::output::checked::{self, Checked};
use crate::review::detail;
use rayon::prelude::*;
use std::io::Result;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Runs the command.
pub fn run(options: &CheckArgs, shelves: &Shelves, streams: &mut Streams) -> Result<Exit> {
    let Some(slots) = wanted(options, shelves, streams)? else { return Ok(Exit::Failed) };
    let meter = Meter::new("details", streams);
    let done = AtomicUsize::new(0);
    let one = |slot: &Slot| {
        let checked = check(slot);
        meter.show(done.fetch_add(1, Ordering::Relaxed) + 1, slots.len());
        checked
    };
    let all: Vec<Checked> = slots.par_iter().map(one).collect();
    meter.clear();
    let look = streams.looks.out;
    if options.json {
        checked::json(&mut streams.out, &all)?;
    } else {
        checked::write(&mut streams.out, &all, &look)?;
    }
    streams.say(&checked::closing(&all))?;
    Ok(if all.iter().any(|c| !c.whole) {
        Exit::Failed
    } else if all.iter().any(|c| !c.troubles.is_empty()) {
        Exit::Found
    } else {
        Exit::Clean
    })
}

/// The details that are asked for; all without a name.
fn wanted(options: &CheckArgs, shelves: &Shelves, streams: &mut Streams) -> Result<Option<Vec<Slot>>> {
    let slots = if options.details.is_empty() {
        shelves.slots()
    } else {
        let mut some = Vec::new();
        for name in &options.details {
            match shelves.find(name) {
                Ok(slot) => some.push(slot),
                Err(way_out) => {
                    streams.trouble(&format!("there is no detail `{name}` on the shelf"), &way_out)?;
                    return Ok(None);
                }
            }
        }
        some
    };
    if slots.is_empty() {
        streams.trouble("there is no detail on these shelves", "`dewlap shelf add FILE` puts one there")?;
        return Ok(None);
    }
    Ok(Some(slots))
}

fn check(slot: &Slot) -> Checked {
    match slot.read() {
        Ok(input) => Checked::of(&slot.name, slot.whose, &detail::check(input)),
        Err(why) => Checked::unread(&slot.name, slot.whose, why),
    }
}
