//! `shelf carry`.

use super::args::CarryArgs;
use super::shelves::Shelves;
use crate::cli::Exit;
use crate::cli::streams::Streams;
use std::io::Result;

/// Runs the command.
pub fn run(_options: &CarryArgs, _shelves: &Shelves, streams: &mut Streams) -> Result<Exit> {
    streams.trouble("not there yet", "")?;
    Ok(Exit::Failed)
}
