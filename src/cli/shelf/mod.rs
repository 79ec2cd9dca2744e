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
use crate::review::Input;
use args::{ShelfArgs, ShelfCommand};
use shelves::Shelves;
use std::io::Result;

/// Runs the command.
pub fn run(options: &ShelfArgs, streams: &mut Streams) -> Result<Exit> {
    let shelves = Shelves::named(&options.shelf);
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

/// The text of a detail; none after a complaint where no shelf has it.
fn text(shelves: &Shelves, name: &str, streams: &mut Streams) -> Result<Option<Input>> {
    match shelves.find(name) {
        Ok(slot) => match slot.read() {
            Ok(input) => return Ok(Some(input)),
            Err(why) => streams.trouble(&format!("`{name}`: {why}"), "")?,
        },
        Err(way_out) => streams.trouble(&format!("there is no detail `{name}` on the shelf"), &way_out)?,
    }
    Ok(None)
}
