//! `shelf check`: every detail of the shelves reviewed again, at every place it names.
//!
//! Invariant: what stays of a detail is a line or a few, so that ten thousand fit in memory; told in the shelves' order.

use super::args::CheckArgs;
use super::shelves::{Shelf, Shelves, Slot, Wrong};
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
    let (slots, wrong) = wanted(options, shelves);
    if slots.is_empty() {
        return super::refused(&wrong, options.json, streams);
    }
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
        checked::json(&mut streams.out, &all, &wrong)?;
    } else {
        checked::write(&mut streams.out, &all, &look)?;
    }
    wrong.iter().try_for_each(|(what, way_out)| streams.trouble(what, way_out))?;
    streams.say(&checked::closing(&all))?;
    Ok(if !wrong.is_empty() || all.iter().any(|c| !c.whole) {
        Exit::Failed
    } else if all.iter().any(|c| !c.troubles.is_empty()) {
        Exit::Found
    } else {
        Exit::Clean
    })
}

/// The details that are asked for, all without a name; and what is in the way of those that are not among them.
fn wanted(options: &CheckArgs, shelves: &Shelves) -> (Vec<Slot>, Vec<Wrong>) {
    let mut wrong: Vec<Wrong> = shelves.0.iter().filter_map(Shelf::trouble).collect();
    let mut slots = Vec::new();
    for name in &options.details {
        match shelves.find(name) {
            Ok(slot) => slots.push(slot),
            Err(way_out) => wrong.push((format!("there is no detail `{name}` on the shelf"), way_out)),
        }
    }
    if options.details.is_empty() {
        slots = shelves.slots();
    }
    if slots.is_empty() && wrong.is_empty() {
        let (what, way_out) = ("there is no detail on these shelves", "`dewlap shelf add FILE` puts one there");
        wrong.push((what.to_owned(), way_out.to_owned()));
    }
    (slots, wrong)
}

fn check(slot: &Slot) -> Checked {
    match slot.read() {
        Ok(input) => Checked::of(&slot.name, slot.whose.word(), &detail::check(input)),
        Err(why) => Checked::unread(&slot.name, slot.whose.word(), why),
    }
}
