//! `profile`: the figures of each surface, month by month.
//!
//! Invariant: the figures are those of the review; nothing is computed here.

use super::args::ProfileArgs;
use super::streams::Streams;
use super::{Exit, review, spread};
use crate::base::near::{nearest, one_of};
use crate::output::tally::Tally;
use crate::output::{json, profile};
use std::io::{Result, Write};

/// Runs the command.
pub fn run(options: &ProfileArgs, streams: &mut Streams) -> Result<Exit> {
    if let Some(samples) = options.spread {
        return spread::run(options, samples, streams);
    }
    let files: Vec<_> = options.file.iter().cloned().collect();
    let Some(texts) = review::gather(&files, None, streams)? else { return Ok(Exit::Failed) };
    let failed = !review::told(&texts, streams)?.is_empty();
    let done = review::of(texts);
    let wanted = |name: &str| options.surface.as_deref().is_none_or(|s| s == name);
    let names: Vec<&str> = done.reports.iter().flat_map(|r| &r.surfaces).map(|s| s.name.as_str()).collect();
    if !names.iter().any(|n| wanted(n)) && !failed {
        no_such_surface(options.surface.as_deref(), &names, streams)?;
        return Ok(Exit::Failed);
    }
    if options.json {
        json::write_profiles(&mut streams.out, &done.sources, &done.reports, wanted)?;
    } else {
        let look = streams.looks.out;
        let mut first = true;
        for report in &done.reports {
            for surface in report.surfaces.iter().filter(|s| wanted(&s.name)) {
                if !std::mem::take(&mut first) {
                    writeln!(streams.out)?;
                }
                profile::write(&mut streams.out, report, surface, options.month, &look)?;
            }
        }
    }
    let tally = Tally::of(&done.reports);
    if tally.incomplete {
        streams.say("the text could not be read in full; `dewlap review` shows why")?;
    }
    Ok(if failed || tally.incomplete { Exit::Failed } else { Exit::Clean })
}

/// Complains that a surface is not there, and names those that are.
pub fn no_such_surface(asked: Option<&str>, names: &[&str], streams: &mut Streams) -> Result<()> {
    let asked = asked.unwrap_or("");
    let near = nearest(asked, names.iter().copied());
    let (what, way_out) = match (names.is_empty(), near.is_empty()) {
        (true, _) => ("the text draws no surface".to_owned(), String::new()),
        (false, true) => (format!("no surface is called `{asked}`"), format!("there is {}", one_of(names))),
        (false, false) => (format!("no surface is called `{asked}`"), format!("did you mean {}?", one_of(&near))),
    };
    streams.trouble(&what, &way_out)
}
