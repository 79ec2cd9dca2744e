//! `order`: what goes on first at a joint, step by step, with the points at which to stop and look.
//!
//! Invariant: a joint and a file are told apart by what they are, in whichever order they are typed.

use super::args::OrderArgs;
use super::streams::Streams;
use super::{Exit, review, texts};
use crate::base::near::{nearest, one_of};
use crate::output::order;
use crate::review::Ask;
use crate::review::order::{self as ordered, Ordered, Work};
use std::io::{Result, Write};
use std::path::PathBuf;

/// Runs the command.
pub fn run(options: &OrderArgs, streams: &mut Streams) -> Result<Exit> {
    let is_text = |w: &&String| *w == "-" || w.ends_with(".dew") || PathBuf::from(w).exists();
    let (files, joints): (Vec<&String>, Vec<&String>) = options.words.iter().partition(is_text);
    if let Some(second) = joints.get(1) {
        streams.trouble(&format!("`{second}` is a second joint"), "name one joint, or none for all")?;
        return Ok(Exit::Failed);
    }
    let joint = joints.first().map(|j| j.as_str());
    let files: Vec<PathBuf> = files.into_iter().map(PathBuf::from).collect();
    let Some(texts) = review::gather(&files, None, streams)? else { return Ok(Exit::Failed) };
    let mut failed = !review::told(&texts, streams)?.is_empty();
    let mut load = |from: &str, ask: Ask<'_>| texts::load(from, ask);
    let all: Vec<Ordered> = texts.found.into_iter().map(|t| ordered::order(t.input, &mut load, joint)).collect();
    if all.iter().all(|o| o.found.is_empty()) {
        let names: Vec<String> = all.iter().flat_map(|o| o.joints.iter().cloned()).collect();
        let (what, way_out) = nothing(joint, &names);
        streams.trouble(&what, &way_out)?;
        return Ok(Exit::Failed);
    }
    let look = streams.looks.out;
    let mut first = true;
    for ordered in &all {
        for joint in &ordered.found {
            if !std::mem::take(&mut first) {
                writeln!(streams.out)?;
            }
            order::write(&mut streams.out, ordered, joint, &look)?;
        }
    }
    if all.iter().any(|o| o.incomplete) {
        streams.say("the text could not be read in full; `dewlap review` shows why")?;
        failed = true;
    }
    let cycle = all.iter().flat_map(|o| &o.found).any(|j| matches!(j.work, Work::Cycle(_)));
    Ok(match (failed, cycle) {
        (true, _) => Exit::Failed,
        (false, true) => Exit::Found,
        (false, false) => Exit::Clean,
    })
}

fn nothing(joint: Option<&str>, names: &[String]) -> (String, String) {
    let Some(name) = joint.filter(|_| !names.is_empty()) else {
        return ("the text draws no joint".to_owned(), String::new());
    };
    let known = || names.iter().map(String::as_str);
    let near = nearest(name, known());
    let way_out = if near.is_empty() {
        format!("there is {}", one_of(&known().collect::<Vec<_>>()))
    } else {
        format!("did you mean {}?", one_of(&near))
    };
    (format!("no joint is called `{name}`"), way_out)
}
