//! `completions`: the script that lets a shell finish commands and flags.
//!
//! Invariant: made from the same description as the command line itself.

use super::Exit;
use super::args::Args;
use super::streams::Streams;
use clap::CommandFactory;
use clap_complete::Shell;
use std::io::{Result, Write};

/// Runs the command.
pub fn run(shell: Shell, streams: &mut Streams) -> Result<Exit> {
    // The generator panics where writing fails, so it writes to memory.
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Args::command(), "dewlap", &mut script);
    streams.out.write_all(&script)?;
    Ok(Exit::Clean)
}
