//! `swap`: what else would serve in the place of a layer, from the yard and from the catalog.
//!
//! Invariant: 0 something serves, 1 nothing does (another kind of thing does not), 2 it could not be done, or not all of
//! it. Asked for a document it writes one, whatever comes.

use super::args::SwapArgs;
use super::streams::Streams;
use super::{Exit, review, texts};
use crate::base::source::{Source, Sources};
use crate::output::json::Unreadable;
use crate::output::{json_swap, swap, terminal};
use crate::review::swap::{Asked, Refusal, swap as tried};
use crate::review::{Ask, Input};
use crate::shelf::yard::{self, Row};
use std::io::{Result, Write};
use std::path::{Path, PathBuf};

/// Most of those that serve that are shown in full of the whole catalog.
const LIMIT: usize = 20;
/// The yard's file where none is named.
const YARD: &str = "yard.yaml";

/// Runs the command.
pub fn run(options: &SwapArgs, streams: &mut Streams) -> Result<Exit> {
    let Some(texts) = review::gather(std::slice::from_ref(&options.job), None, streams)? else {
        return Ok(Exit::Failed);
    };
    let unreadable = review::told(&texts, streams)?;
    if !unreadable.is_empty() {
        if options.json {
            json_swap::unreadable(&mut streams.out, &unreadable)?;
        }
        return Ok(Exit::Failed);
    }
    let mut found = texts.found.into_iter();
    let (Some(job), None) = (found.next(), found.next()) else {
        return refused("there is more than one job there", "name one file", options, streams);
    };
    let Some(rows) = yard(options, streams)? else { return Ok(Exit::Failed) };
    let asked = Asked { target: &options.slot, yard: &rows, all: options.all };
    let done = match tried(job.input, &mut |from: &str, ask: Ask<'_>| texts::load(from, ask), &asked) {
        Ok(done) => done,
        Err(refusal) => {
            return refused(&refusal.what, &refusal.way_out, options, streams);
        }
    };
    if options.json {
        json_swap::write(&mut streams.out, &done)?;
    } else {
        let look = streams.looks.out;
        swap::write(&mut streams.out, &done, options.all.then_some(LIMIT), &look)?;
    }
    if done.incomplete {
        streams.say("the text could not be read in full; `dewlap review` shows why")?;
    }
    Ok(match (done.incomplete, done.serves.is_empty() && done.loses_much.is_empty()) {
        (true, _) => Exit::Failed,
        (false, true) => Exit::Found,
        (false, false) => Exit::Clean,
    })
}

/// Complains, and in a document too where one is asked for.
fn refused(what: &str, way_out: &str, options: &SwapArgs, streams: &mut Streams) -> Result<Exit> {
    streams.trouble(what, way_out)?;
    if options.json {
        let refusal = Refusal { what: what.to_owned(), way_out: way_out.to_owned() };
        json_swap::refused(&mut streams.out, &refusal)?;
    }
    Ok(Exit::Failed)
}

/// The rows of the yard; none after a complaint.
fn yard(options: &SwapArgs, streams: &mut Streams) -> Result<Option<Vec<Row>>> {
    let beside = options.job.parent().unwrap_or(Path::new("")).join(YARD);
    let path = match &options.yard {
        Some(named) => named.clone(),
        None => match [beside, PathBuf::from(YARD)].into_iter().find(|p| p.is_file()) {
            Some(found) => found,
            None if options.all => return Ok(Some(Vec::new())),
            None => {
                let way_out = "`--yard FILE` names one, `--all` tries the catalog; docs/swap.md says how it is written";
                refused("there is no yard.yaml beside the job, and none here", way_out, options, streams)?;
                return Ok(None);
            }
        },
    };
    let name = texts::shown(&path);
    match texts::read_file(&path) {
        Ok(text) => read(Input { name, text }, options, streams),
        Err(why) => {
            streams.trouble(&format!("{name}: {why}"), "")?;
            if options.json {
                json_swap::unreadable(&mut streams.out, &[Unreadable { file: name, why }])?;
            }
            Ok(None)
        }
    }
}

/// Reads a yard, and shows everything that is wrong with it.
fn read(input: Input, options: &SwapArgs, streams: &mut Streams) -> Result<Option<Vec<Row>>> {
    let mut sources = Sources::default();
    let file = sources.add(Source::new(input.name.as_str(), input.text.as_str()));
    let yard = yard::read(file, &input.text);
    if yard.problems.is_empty() {
        return Ok(Some(yard.rows));
    }
    let look = streams.looks.err;
    streams.out.flush()?;
    terminal::findings(&mut streams.err, &sources, &yard.problems, &look)?;
    streams.say(&format!("{}: nothing was tried", input.name))?;
    if options.json {
        json_swap::problems(&mut streams.out, &sources, &yard.problems)?;
    }
    Ok(None)
}
