//! The samples of `profile --spread` as one JSON document. `docs/outputs.md` describes it.
//!
//! Invariant: field order and meaning are fixed by the version of the other documents; shares are of the samples judged.

use super::json::{VERSION, finish, slashes};
use super::numbers::{places, six_digits};
use crate::base::source::Sources;
use crate::review::spread::{Answer, Sampled, Spread};
use serde::Serialize;
use std::io::{Result, Write};

#[derive(Serialize)]
struct Document<'a> {
    version: u32,
    complete: bool,
    surfaces: Vec<SurfaceJson<'a>>,
}

#[derive(Serialize)]
struct SurfaceJson<'a> {
    name: &'a str,
    file: String,
    line: usize,
    kind: &'a str,
    samples: usize,
    refused: usize,
    seed: u64,
    sampling: &'static str,
    not_sampled: Option<&'a str>,
    as_drawn: Option<f64>,
    inputs: Vec<InputJson<'a>>,
    answers: Vec<AnswerJson<'a>>,
    notes: &'a [&'static str],
}

#[derive(Serialize)]
struct InputJson<'a> {
    what: &'a str,
    within: &'a str,
    source: &'a str,
}

#[derive(Serialize)]
struct AnswerJson<'a> {
    rule: &'a str,
    drawn: bool,
    share: Option<f64>,
    turned: Option<f64>,
    unit: &'static str,
    half_reach: Option<f64>,
    one_in_twenty_reach: Option<f64>,
    leans: Vec<LeanJson<'a>>,
}

#[derive(Serialize)]
struct LeanJson<'a> {
    input: &'a str,
    lean: Option<f64>,
}

/// Writes all that was sampled.
pub fn write(out: &mut dyn Write, all: &[Spread]) -> Result<()> {
    let surfaces = all.iter().flat_map(|of| of.surfaces.iter().map(|s| surface(&of.sources, s))).collect();
    finish(out, &Document { version: VERSION, complete: !all.iter().any(|s| s.incomplete), surfaces })
}

fn surface<'a>(sources: &Sources, s: &'a Sampled) -> SurfaceJson<'a> {
    let (file, at) = sources.place(s.span);
    let answers = s.answers.as_ref();
    SurfaceJson {
        name: &s.name,
        file: slashes(file),
        line: at.line,
        kind: s.kind,
        samples: s.samples,
        refused: s.refused,
        seed: s.seed,
        sampling: "latin hypercube",
        not_sampled: answers.err().map(String::as_str),
        as_drawn: answers.ok().and_then(|_| places(s.same, 4)),
        inputs: s.inputs.iter().map(|i| InputJson { what: &i.what, within: &i.within, source: i.source }).collect(),
        answers: answers.map(|a| a.iter().map(|a| answer(s, a)).collect()).unwrap_or_default(),
        notes: &s.notes,
    }
}

fn answer<'a>(s: &'a Sampled, a: &'a Answer) -> AnswerJson<'a> {
    let named =
        |(index, lean): &(usize, f64)| Some(LeanJson { input: &s.inputs.get(*index)?.what, lean: places(*lean, 4) });
    AnswerJson {
        rule: a.rule,
        drawn: a.drawn,
        share: places(a.share, 4),
        turned: places(a.turned(), 4),
        unit: match a.rule {
            "dew/lasting-condensate" => "kg/m2",
            "dew/peak-condensate" => "1",
            _ => "months",
        },
        half_reach: a.figures.and_then(|(half, _)| six_digits(half)),
        one_in_twenty_reach: a.figures.and_then(|(_, few)| six_digits(few)),
        leans: a.leans.iter().filter_map(named).collect(),
    }
}
