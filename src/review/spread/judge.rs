//! Judges one sample, and all of them on every processor.
//!
//! Invariant: a sample's answer depends on its own shares alone; samples are shared out in fixed blocks and their answers
//! come back in order.

use super::inputs::{self, Input, Moves, Slots};
use crate::model::Job;
use crate::model::layer::Stuff;
use crate::model::surface::Surface;
use crate::model::value::Draw;
use crate::rules::dew::criteria::{self, Met};
use crate::rules::facts::path::Path;
use crate::rules::facts::{Look, Missing};
use rayon::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Samples that are judged one after the other.
const BLOCK: usize = 250;

/// The rules whose criteria are asked, in the order of their answers.
pub(super) const RULES: [&str; 3] = ["dew/lasting-condensate", "dew/peak-condensate", "dew/damp-layer"];

/// How far each of the criteria is met; none where it is not.
pub(super) type Met3 = [Option<f64>; 3];

/// A section with its materials: of a wall in the ground there are two, below grade and above.
pub(super) struct Section<'a> {
    surface: &'a Surface,
    slots: Slots<'a>,
}

impl<'a> Section<'a> {
    pub fn new(surface: &'a Surface) -> Self {
        Self { surface, slots: inputs::slots(surface) }
    }

    fn slot(&self, stuff: &Stuff) -> Option<usize> {
        self.slots.iter().position(|builds| builds.iter().any(|build| std::ptr::eq(*build, stuff)))
    }
}

/// What a sample does to the figures as they stand.
struct Moved {
    draw: Draw,
    /// For each slot: the factors of its conductivity and of its permeance.
    factors: Vec<(f64, f64)>,
}

/// Judges samples of one surface.
pub(super) struct Judge<'a> {
    pub job: &'a Job,
    pub sections: Vec<Section<'a>>,
    pub inputs: &'a [Input],
    pub width: f64,
}

impl Judge<'_> {
    /// The answer midway of everything.
    pub fn drawn(&self) -> Result<Met3, Missing> {
        self.met(&Moved { draw: Draw::middle(), factors: self.unmoved() })
    }

    /// The answers of all samples in their order; none where the method refuses.
    pub fn all(&self, columns: &[Vec<f64>], samples: usize, tick: &(dyn Fn(usize, usize) + Sync)) -> Vec<Option<Met3>> {
        let done = AtomicUsize::new(0);
        let block = |first: usize| {
            let last = (first + BLOCK).min(samples);
            let met: Vec<Option<Met3>> = (first..last).map(|at| self.met(&self.moved(columns, at)).ok()).collect();
            tick(done.fetch_add(last - first, Ordering::Relaxed) + last - first, samples);
            met
        };
        let starts: Vec<usize> = (0..samples).step_by(BLOCK).collect();
        let blocks: Vec<Vec<Option<Met3>>> = starts.into_par_iter().map(block).collect();
        blocks.into_iter().flatten().collect()
    }

    fn unmoved(&self) -> Vec<(f64, f64)> {
        self.sections.first().map_or_else(Vec::new, |s| vec![(1.0, 1.0); s.slots.len()])
    }

    fn moved(&self, columns: &[Vec<f64>], sample: usize) -> Moved {
        let mut out = Moved { draw: Draw::middle(), factors: self.unmoved() };
        for (input, column) in self.inputs.iter().zip(columns) {
            let share = column.get(sample).copied().unwrap_or(0.5);
            let point = 0.5 + self.width * (share - 0.5);
            match input.moves {
                Moves::Axis(axis) => out.draw = out.draw.with(axis, point),
                Moves::OneOf(axis, many) if self.width > 0.0 => {
                    out.draw = out.draw.with(axis, (share * many as f64).floor());
                }
                Moves::OneOf(..) => {}
                Moves::Heat(slot, by) => {
                    if let Some((heat, _)) = out.factors.get_mut(slot) {
                        *heat = by.multiplier(point);
                    }
                }
                Moves::Vapor(slot, by) => {
                    if let Some((_, vapor)) = out.factors.get_mut(slot) {
                        *vapor = by.multiplier(point);
                    }
                }
            }
        }
        out
    }

    /// Each criterion at its worst over all paths and sections.
    fn met(&self, moved: &Moved) -> Result<Met3, Missing> {
        let mut worst: Met3 = [None; 3];
        for section in &self.sections {
            let look = Look::probe(self.job, section.surface, moved.draw.clone());
            let months = look.months().map_err(Clone::clone)?;
            for path in look.paths().map_err(Clone::clone)? {
                let of = look.year_of(with_factors(path.clone(), section, &moved.factors), months)?;
                let Met { lasting, peak, damp, .. } = criteria::met(&look, months, &of);
                for (worst, new) in worst.iter_mut().zip([lasting, peak, damp]) {
                    *worst = match (*worst, new) {
                        (Some(a), Some(b)) => Some(a.max(b)),
                        (a, b) => a.or(b),
                    };
                }
            }
        }
        Ok(worst)
    }
}

fn with_factors<'a>(mut path: Path<'a>, section: &Section<'_>, factors: &[(f64, f64)]) -> Path<'a> {
    for part in &mut path.parts {
        let slot = part.stuff().and_then(|stuff| section.slot(stuff));
        if let Some((heat, vapor)) = slot.and_then(|slot| factors.get(slot)) {
            part.resistance = part.resistance / *heat;
            part.vapor = (part.vapor.0 / *vapor, part.vapor.1 / *vapor);
        }
    }
    path
}
