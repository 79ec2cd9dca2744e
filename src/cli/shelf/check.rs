//! `shelf check`.

use super::args::CheckArgs;
use super::shelves::Shelves;
use crate::cli::Exit;
use crate::cli::streams::Streams;
use std::io::Result;

/// Runs the command.
pub fn run(_options: &CheckArgs, _shelves: &Shelves, streams: &mut Streams) -> Result<Exit> {
    streams.trouble("not there yet", "")?;
    Ok(Exit::Failed)
}
