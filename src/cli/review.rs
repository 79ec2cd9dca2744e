//! `review`: reads the texts, reviews them, shows what was found.
//!
//! Invariant: the exit code depends on what was found and what could be read, never on what was shown.

use super::Exit;
use super::args::ReviewArgs;
use super::streams::Streams;
use super::texts::{self, Texts};
use crate::base::finding::Finding;
use crate::output::json::{self, Unreadable};
use crate::output::look::Look;
use crate::output::tally::Tally;
use crate::output::terminal::{self, Extent};
use crate::output::{lines, plain};
use crate::review::{Ask, Input, Review};
use std::io::{Result, Write};
use std::path::PathBuf;

/// Most findings that a terminal gets in full of one text.
const LIMIT: usize = 200;

/// Runs the command.
pub fn run(options: &ReviewArgs, streams: &mut Streams) -> Result<Exit> {
    let Some(texts) = gather(&options.files, options.named.as_ref(), streams)? else { return Ok(Exit::Failed) };
    let unreadable = told(&texts, streams)?;
    let done = of(texts);
    let limit = Some(LIMIT).filter(|_| streams.looks.terminal && !options.all);
    if options.json {
        json::write(&mut streams.out, &done.sources, &done.reports, &unreadable)?;
    } else if options.lines {
        done.reports.iter().try_for_each(|r| lines::write(&mut streams.out, &done.sources, r))?;
    } else {
        show(&done, Extent { assumed: options.assumed, limit }, streams)?;
    }
    let hidden = if options.json || options.lines { 0 } else { hidden(&done, limit) };
    close(&done, hidden, streams)?;
    let tally = Tally::of(&done.reports);
    Ok(if tally.incomplete || !unreadable.is_empty() {
        Exit::Failed
    } else if tally.at_least(options.until.weight()) > 0 {
        Exit::Found
    } else {
        Exit::Clean
    })
}

/// The texts asked for; none after a complaint when there are none.
pub fn gather(files: &[PathBuf], named: Option<&PathBuf>, streams: &mut Streams) -> Result<Option<Texts>> {
    if let Some(name) = named {
        if files.iter().any(|f| f.as_os_str() != "-") {
            streams.trouble("`--as` names standard input, so no files can be given with it", "leave the files out")?;
            return Ok(None);
        }
        return Ok(Some(texts::read_all(&[PathBuf::from("-")], Some(name))));
    }
    if files.is_empty() {
        streams.say("no file given: this is the built-in demo, an invented job")?;
        let input = Input { name: texts::DEMO_NAME.to_owned(), text: texts::DEMO.to_owned() };
        return Ok(Some(Texts { found: vec![texts::Text { input, path: None }], failed: Vec::new() }));
    }
    let texts = texts::read_all(files, None);
    if texts.found.is_empty() && texts.failed.is_empty() {
        streams.trouble("no .dew file there", "name a file, a folder that holds .dew files, or `-`")?;
        return Ok(None);
    }
    Ok(Some(texts))
}

/// Complains about each text that could not be read.
pub fn told(texts: &Texts, streams: &mut Streams) -> Result<Vec<Unreadable>> {
    let mut out = Vec::new();
    for (file, why) in &texts.failed {
        streams.trouble(&format!("{file}: {why}"), "")?;
        out.push(Unreadable { file: file.clone(), why: why.clone() });
    }
    Ok(out)
}

/// Reviews texts, with includes read from files.
pub fn of(texts: Texts) -> Review {
    let roots = texts.found.into_iter().map(|t| t.input).collect();
    crate::review::review(roots, &mut |from: &str, ask: Ask<'_>| texts::load(from, ask))
}

fn show(done: &Review, extent: Extent, streams: &mut Streams) -> Result<()> {
    let look: Look = streams.looks.out;
    for (index, report) in done.reports.iter().enumerate() {
        if index > 0 {
            writeln!(streams.out)?;
        }
        let write = if look.plain { plain::write } else { terminal::write };
        write(&mut streams.out, &done.sources, report, &look, extent)?;
    }
    Ok(())
}

fn hidden(done: &Review, limit: Option<usize>) -> usize {
    limit.map_or(0, |limit| done.reports.iter().map(|r| r.findings.len().saturating_sub(limit)).sum())
}

/// The closing line on standard error.
fn close(done: &Review, hidden: usize, streams: &mut Streams) -> Result<()> {
    if done.reports.is_empty() {
        return streams.say("nothing was reviewed");
    }
    let tally = Tally::of(&done.reports);
    if tally.incomplete {
        streams.say("the text could not be read in full, so the review is not complete")?;
    }
    let mut line = tally.closing(hidden);
    if done.reports.len() > 1 {
        line = format!("{} files: {line}", done.reports.len());
    }
    let all = done.reports.iter().flat_map(|r| &r.findings);
    if let Some(heaviest) = all.rev().max_by_key(|f: &&Finding| f.weight) {
        line = format!("{line}; `dewlap why {}` tells more", heaviest.rule);
    }
    streams.say(&line)
}
