//! `trace`: follows a control layer round a job and shows where it lifts.
//!
//! Invariant: words may come in any order; a control layer, a file and a joint are told apart by what they are.

use super::args::TraceArgs;
use super::streams::Streams;
use super::{Exit, review, texts};
use crate::base::near::{nearest, one_of};
use crate::graph::plane::Agent;
use crate::output::trace;
use crate::review::Ask;
use crate::review::trace::{self as followed, Verdict};
use std::io::{Result, Write};
use std::path::PathBuf;

/// Runs the command.
pub fn run(options: &TraceArgs, streams: &mut Streams) -> Result<Exit> {
    let mut agents = Vec::new();
    let (mut files, mut joint) = (Vec::new(), None);
    for word in &options.words {
        match Agent::ALL.into_iter().find(|a| word.eq_ignore_ascii_case(a.word())) {
            Some(agent) => agents.push(agent),
            None if word == "-" || word.ends_with(".dew") || PathBuf::from(word).exists() => {
                files.push(PathBuf::from(word))
            }
            None if joint.is_none() => joint = Some(word.as_str()),
            None => {
                streams.trouble(&format!("`{word}` is a second joint"), "name one joint, or none for all")?;
                return Ok(Exit::Failed);
            }
        }
    }
    if agents.is_empty() {
        agents.extend(Agent::ALL);
    }
    let Some(texts) = review::gather(&files, None, streams)? else { return Ok(Exit::Failed) };
    let mut failed = !review::told(&texts, streams)?.is_empty();
    let mut lifts = false;
    for (index, text) in texts.found.into_iter().enumerate() {
        let mut load = |from: &str, ask: Ask<'_>| texts::load(from, ask);
        let traced = followed::trace(text.input, &mut load, &agents, joint);
        if let Some(name) = joint.filter(|_| traced.layers.is_empty()) {
            streams.trouble(&format!("no joint is called `{name}`"), &way_out(name, &traced.joints))?;
            return Ok(Exit::Failed);
        }
        let look = streams.looks.out;
        for (nth, layer) in traced.layers.iter().enumerate() {
            if index + nth > 0 {
                writeln!(streams.out)?;
            }
            trace::write(&mut streams.out, &traced, layer, &look)?;
            let open = layer.joints.iter().flat_map(|j| &j.stations).flat_map(|s| &s.lifts);
            lifts |= open.into_iter().any(|l| l.verdict == Verdict::Lifts);
        }
        if traced.incomplete {
            streams.say("the text could not be read in full; `dewlap review` shows why")?;
            failed = true;
        }
    }
    Ok(if failed {
        Exit::Failed
    } else if lifts {
        Exit::Found
    } else {
        Exit::Clean
    })
}

fn way_out(name: &str, joints: &[String]) -> String {
    let near = nearest(name, joints.iter().map(String::as_str));
    match (joints.is_empty(), near.is_empty()) {
        (true, _) => "the text draws no joint".to_owned(),
        (false, true) => "`dewlap trace` without a name follows all of them".to_owned(),
        (false, false) => format!("did you mean {}?", one_of(&near)),
    }
}
