//! `shelf`: proven details for the next job.
//!
//! Invariant: only `add` and `log` write, one detail at a time, under its shelf's lock.

mod add;
pub mod args;
mod carry;
mod check;
mod entry;
mod find;
mod index;
mod list;
mod log;
pub mod shelves;
mod show;
mod sound;
mod stock;
pub mod store;

use super::Exit;
use super::streams::Streams;
use crate::output::json_shelf;
use crate::review::Input;
use args::{ShelfArgs, ShelfCommand};
use shelves::{Shelf, Shelves, Slot, Whose, Wrong};
use std::io::Result;

/// Runs the command.
pub fn run(options: &ShelfArgs, streams: &mut Streams) -> Result<Exit> {
    let shelves = Shelves::named(&options.shelf);
    // What lists and checks shelves tells of those it can't, and goes on with the others.
    let goes_on = matches!(&options.command, ShelfCommand::List(_) | ShelfCommand::Find(_) | ShelfCommand::Check(_));
    let named = shelves.0.iter().filter(|shelf| !goes_on && shelf.whose == Whose::Named);
    let wrong: Vec<Wrong> = named.filter_map(Shelf::trouble).collect();
    if !wrong.is_empty() {
        return refused(&wrong, options.command.json(), streams);
    }
    match &options.command {
        ShelfCommand::Add(add) => add::run(add, &shelves, streams),
        ShelfCommand::Log(log) => log::run(log, &shelves, streams),
        ShelfCommand::Check(check) => check::run(check, &shelves, streams),
        ShelfCommand::Carry(carry) => carry::run(carry, &shelves, streams),
        ShelfCommand::List(list) => list::run(list, &shelves, streams),
        ShelfCommand::Find(find) => find::run(find, &shelves, streams),
        ShelfCommand::Show(show) => show::run(show, &shelves, streams),
    }
}

/// Tells why there is no answer, as JSON too where that was asked for.
fn refused(wrong: &[Wrong], json: bool, streams: &mut Streams) -> Result<Exit> {
    if json {
        json_shelf::failed(&mut streams.out, wrong)?;
    }
    wrong.iter().try_for_each(|(what, way_out)| streams.trouble(what, way_out))?;
    Ok(Exit::Failed)
}

/// The detail of a name, and its text.
fn found(shelves: &Shelves, name: &str) -> std::result::Result<(Slot, Input), Wrong> {
    let slot = shelves.find(name).map_err(|way_out| (format!("there is no detail `{name}` on the shelf"), way_out))?;
    let input = slot.read().map_err(|why| (format!("`{name}`: {why}"), String::new()))?;
    Ok((slot, input))
}

/// The text of a detail; none after a complaint where no shelf has it.
fn text(shelves: &Shelves, name: &str, streams: &mut Streams) -> Result<Option<Input>> {
    match found(shelves, name) {
        Ok((_, input)) => return Ok(Some(input)),
        Err(wrong) => refused(&[wrong], false, streams)?,
    };
    Ok(None)
}
