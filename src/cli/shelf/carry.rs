//! `shelf carry`: a detail at another place, and what changes there.
//!
//! Invariant: the detail's own text is reviewed at both places, and nothing is written.

use super::args::CarryArgs;
use super::shelves::Shelves;
use crate::base::finding::Weight;
use crate::base::near;
use crate::catalog::{self, Lookup};
use crate::cli::Exit;
use crate::cli::streams::Streams;
use crate::output::carry;
use crate::review::detail;
use std::io::Result;

/// Runs the command.
pub fn run(options: &CarryArgs, shelves: &Shelves, streams: &mut Streams) -> Result<Exit> {
    let place = match catalog::place(&options.to) {
        Lookup::Found(place) => place.key,
        Lookup::Ambiguous { choices: near, .. } | Lookup::Unknown { near } => {
            let way_out = if near.is_empty() {
                "`dewlap places WORD` finds places".to_owned()
            } else {
                format!("did you mean {}?", near::one_of(&near))
            };
            streams.trouble(&format!("there is no place `{}`", options.to), &way_out)?;
            return Ok(Exit::Failed);
        }
    };
    let Some(input) = super::text(shelves, &options.detail, streams)? else { return Ok(Exit::Failed) };
    let again = detail::carry(input, place);
    if again.at.iter().any(|here| here.report.job.is_none()) {
        streams.trouble("this detail has no job to be reviewed in", "give it one: `job NAME` and its air")?;
        return Ok(Exit::Failed);
    }
    let look = streams.looks.out;
    carry::write(&mut streams.out, &again, &look)?;
    let changes = again.changes();
    streams.say(&carry::closing(&changes))?;
    let unfit = again.at.iter().flat_map(|h| &h.report.details).any(|d| carry::out_of_use(d).is_some());
    let heavy = unfit || changes.new.iter().any(|f| f.weight > Weight::Watch);
    Ok(match (again.whole(), heavy) {
        (false, _) => Exit::Failed,
        (true, true) => Exit::Found,
        (true, false) => Exit::Clean,
    })
}
