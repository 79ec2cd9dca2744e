//! `profile --spread`: how sure the answers for a surface are.
//!
//! Invariant: what was sampled is told with its seed, so that it can be had again.

use super::args::ProfileArgs;
use super::meter::Meter;
use super::streams::Streams;
use super::{Exit, profile, review, texts};
use crate::output::{json_spread, spread};
use crate::review::Ask;
use crate::review::spread::{Asked, Spread, spread as sample};
use std::io::{Result, Write};

/// Runs the command.
pub fn run(options: &ProfileArgs, samples: usize, streams: &mut Streams) -> Result<Exit> {
    let files: Vec<_> = options.file.iter().cloned().collect();
    let Some(texts) = review::gather(&files, None, streams)? else { return Ok(Exit::Failed) };
    let mut failed = !review::told(&texts, streams)?.is_empty();
    let asked = Asked { surface: options.surface.as_deref(), samples, seed: options.seed, width: 1.0 };
    let meter = Meter::new("samples", streams);
    let of = |text: texts::Text| {
        let mut load = |from: &str, ask: Ask<'_>| texts::load(from, ask);
        sample(text.input, &mut load, &asked, &|done, total| meter.show(done, total))
    };
    let all: Vec<Spread> = texts.found.into_iter().map(of).collect();
    meter.clear();
    let names: Vec<&str> = all.iter().flat_map(|s| &s.names).map(String::as_str).collect();
    let mut sampled = all.iter().flat_map(|s| &s.surfaces).peekable();
    if sampled.peek().is_none() {
        if !failed {
            profile::no_such_surface(options.surface.as_deref(), &names, streams)?;
        }
        return Ok(Exit::Failed);
    }
    if !sampled.any(|s| s.answers.is_ok()) {
        streams.say("nothing could be sampled")?;
        failed = true;
    }
    if options.json {
        json_spread::write(&mut streams.out, &all)?;
    } else {
        let look = streams.looks.out;
        for (index, surface) in all.iter().flat_map(|s| &s.surfaces).enumerate() {
            if index > 0 {
                writeln!(streams.out)?;
            }
            spread::write(&mut streams.out, surface, &look)?;
        }
    }
    if all.iter().any(|s| s.incomplete) {
        streams.say("the text could not be read in full; `dewlap review` shows why")?;
        failed = true;
    }
    Ok(if failed { Exit::Failed } else { Exit::Clean })
}
