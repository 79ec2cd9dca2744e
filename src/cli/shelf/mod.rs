//! `shelf`: proven details for the next job.
//!
//! Invariant: only `add` and `log` write, one detail at a time, under its shelf's lock.

mod add;
pub mod args;
mod carry;
mod check;
pub mod shelves;
mod sound;
pub mod store;

use super::Exit;
use super::streams::Streams;
use args::{ShelfArgs, ShelfCommand};
use shelves::Shelves;
use std::io::Result;

/// Runs the command.
pub fn run(options: &ShelfArgs, streams: &mut Streams) -> Result<Exit> {
    let shelves = Shelves::named(&options.shelf);
    match &options.command {
        ShelfCommand::Add(add) => add::run(add, &shelves, streams),
        ShelfCommand::Check(check) => check::run(check, &shelves, streams),
        ShelfCommand::Carry(carry) => carry::run(carry, &shelves, streams),
        ShelfCommand::List(_) | ShelfCommand::Find(_) | ShelfCommand::Show(_) | ShelfCommand::Log(_) => {
            streams.trouble("not there yet", "")?;
            Ok(Exit::Failed)
        }
    }
}
