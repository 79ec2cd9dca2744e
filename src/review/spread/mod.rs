//! A surface judged many times over, its figures varied within their spread: how often the answer turns, and on what.
//!
//! The criteria are those of the `dew` rules, the profile is that of the review; only figures are moved.
//! Invariant: the answer depends on the text, the seed and the number of samples, never on how the work was shared out.

mod inputs;
mod judge;
mod sampling;

use super::{Input as Text, Loader, gather};
use crate::base::source::{Source, Sources};
use crate::base::span::Span;
use crate::model::Job;
use crate::model::surface::Surface;
use inputs::{Input, Moves};
use judge::{Judge, Section};

/// Most samples that can be asked for.
pub const MOST: usize = 100_000;
/// Fewest samples: with less than this a share of one in a hundred could not be told.
pub const FEWEST: usize = 100;

/// What is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked<'a> {
    /// Only this surface; all without one.
    pub surface: Option<&'a str>,
    /// How many samples.
    pub samples: usize,
    /// Where the sequence begins.
    pub seed: u64,
    /// How much of each spread is used, 0 to 1; at 0 every sample is as drawn.
    pub width: f64,
}

/// What came of it.
#[derive(Debug)]
pub struct Spread {
    /// The texts.
    pub sources: Sources,
    /// Something in the text could not be read or resolved.
    pub incomplete: bool,
    /// The names of all surfaces of the job.
    pub names: Vec<String>,
    /// Those asked for, in the order written.
    pub surfaces: Vec<Sampled>,
}

/// One surface.
#[derive(Debug)]
pub struct Sampled {
    /// Its name.
    pub name: String,
    /// What sort.
    pub kind: &'static str,
    /// Where it is written.
    pub span: Span,
    /// How many samples were judged.
    pub samples: usize,
    /// How many of them could not be: a figure was out of the range of the method.
    pub refused: usize,
    /// Where the sequence began.
    pub seed: u64,
    /// What was varied.
    pub inputs: Vec<Varied>,
    /// What was not, though it is not known for sure.
    pub notes: Vec<&'static str>,
    /// Share of samples whose three answers are all as drawn.
    pub same: f64,
    /// The answers, or why there are none.
    pub answers: Result<[Answer; 3], String>,
}

/// Something that was varied.
#[derive(Clone, Debug, PartialEq)]
pub struct Varied {
    /// "permeance of `skin`".
    pub what: String,
    /// The figure of a layer and the layer, where it is one: ("permeance", "skin").
    pub part: Option<(&'static str, String)>,
    /// The two builds that stand in for one another, where there are two: the low one and the high one.
    pub builds: Vec<String>,
    /// "a factor of 1.5 each way".
    pub within: String,
    /// Whose range it is.
    pub source: &'static str,
}

/// One of the criteria.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// The rule whose criterion it is.
    pub rule: &'static str,
    /// Whether it is met as drawn: midway of all that is open, by the figures as they stand.
    pub drawn: bool,
    /// In what share of the samples it is met.
    pub share: f64,
    /// The figure that half, and one in twenty, of the samples that meet it reach: kg/m2 left, times the limit, months.
    pub figures: Option<(f64, f64)>,
    /// What it leans on most, strongest first: an index into [`Sampled::inputs`], and 1 (met when it is high, and it
    /// alone decides) to -1 (met when it is low).
    pub leans: Vec<(usize, f64)>,
}

impl Answer {
    /// In what share of the samples it is not as drawn.
    pub fn turned(&self) -> f64 {
        if self.drawn { 1.0 - self.share } else { self.share }
    }
}

/// Samples the surfaces asked for; `tick` is told how many samples are done and how many there are to do.
pub fn spread(root: Text, load: &mut Loader<'_>, asked: &Asked<'_>, tick: &(dyn Fn(usize, usize) + Sync)) -> Spread {
    let mut sources = Sources::default();
    let file = sources.add(Source::new(root.name, root.text));
    let gathered = gather::gather(file, &mut sources, load);
    let lowered = gathered.lower();
    let job = lowered.job;
    let wanted = job.surfaces.iter().filter(|s| asked.surface.is_none_or(|name| name == s.name));
    Spread {
        incomplete: !gathered.problems.is_empty() || !lowered.problems.is_empty(),
        names: job.surfaces.iter().map(|s| s.name.clone()).collect(),
        surfaces: wanted.map(|surface| sampled(&job, surface, asked, tick)).collect(),
        sources,
    }
}

fn sampled(job: &Job, surface: &Surface, asked: &Asked<'_>, tick: &(dyn Fn(usize, usize) + Sync)) -> Sampled {
    let mut job = job.clone();
    let inputs = inputs::inputs(&mut job, surface);
    let above = surface.above_grade();
    let sections = std::iter::once(surface).chain(above.as_ref()).map(Section::new).collect();
    let judge = Judge { job: &job, sections, inputs: &inputs, width: asked.width };
    let mut out = Sampled {
        name: surface.name.clone(),
        kind: surface.kind_word(),
        span: surface.head,
        samples: 0,
        refused: 0,
        seed: asked.seed,
        inputs: inputs.iter().map(varied).collect(),
        notes: inputs::not_varied(&job, surface),
        same: 0.0,
        answers: Err("there is nothing to vary".to_owned()),
    };
    match judge.drawn() {
        Err(missing) => out.answers = Err(missing.why),
        Ok(_) if inputs.is_empty() => {}
        Ok(drawn) => {
            let columns = sampling::columns(inputs.len(), asked.samples, asked.seed);
            let met = judge.all(&columns, asked.samples, tick);
            let told: Vec<&judge::Met3> = met.iter().flatten().collect();
            out.samples = told.len();
            out.refused = met.len() - told.len();
            let same = told.iter().filter(|m| m.iter().zip(&drawn).all(|(a, b)| a.is_some() == b.is_some())).count();
            out.same = same as f64 / told.len().max(1) as f64;
            out.answers = Ok([0, 1, 2].map(|at| answer(at, &drawn, &met, &columns, &inputs)));
        }
    }
    out
}

fn varied(input: &Input) -> Varied {
    Varied {
        what: input.what.clone(),
        part: input.part.clone(),
        builds: input.builds.clone(),
        within: input.within.clone(),
        source: input.source,
    }
}

fn answer(
    at: usize,
    drawn: &judge::Met3,
    met: &[Option<judge::Met3>],
    columns: &[Vec<f64>],
    inputs: &[Input],
) -> Answer {
    let of = |met: &judge::Met3| met.get(at).copied().flatten();
    let answers: Vec<Option<bool>> = met.iter().map(|m| m.as_ref().map(|m| of(m).is_some())).collect();
    let told = answers.iter().flatten().count().max(1);
    let mut figures: Vec<f64> = met.iter().flatten().filter_map(of).collect();
    figures.sort_by(f64::total_cmp);
    let reached_by = |share: f64| figures.get(((1.0 - share) * figures.len() as f64) as usize).copied();
    // Among builds that stand in for one another there is no higher and lower, so the share alone is told.
    let lean = |(index, (column, input)): (usize, (&Vec<f64>, &Input))| match input.moves {
        Moves::OneOf(_, many) if many > 2 => None,
        _ => Some((index, sampling::lean(column, &answers)?)),
    };
    let mut leans: Vec<(usize, f64)> = columns.iter().zip(inputs).enumerate().filter_map(lean).collect();
    leans.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()).then(a.0.cmp(&b.0)));
    Answer {
        rule: judge::RULES.get(at).copied().unwrap_or_default(),
        drawn: of(drawn).is_some(),
        share: figures.len() as f64 / told as f64,
        figures: reached_by(0.5).zip(reached_by(0.05)),
        leans,
    }
}
