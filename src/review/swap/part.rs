//! Lowers no more than a candidate changes: its surface, beside what every surface is lowered with. The rest of the job is
//! taken as it was drawn.
//!
//! Invariant: where joints or what is open could come out otherwise, the whole job is lowered; the answer is the same.

use super::slot::{Place, Spot};
use crate::base::finding::Finding;
use crate::model::layer::Body;
use crate::model::surface::Surface;
use crate::model::{self, Job, Lowered, WeatherFiles};
use crate::syntax::ast::{Build, Stanza, Tree};

/// A job and its part that a candidate changes.
pub(super) struct Part<'a> {
    whole: &'a [Tree],
    weather: &'a WeatherFiles,
    place: &'a Place,
    /// The stanzas that the surface is lowered with, and the surface.
    cut: Vec<Tree>,
    /// The slot in them.
    spot: Spot,
    /// How many surfaces come before it in them.
    before: usize,
    /// What could not be resolved in them as drawn.
    pub problems: Vec<Finding>,
    /// How many axes they open as drawn; none where the surface lowered alone is not the one that is drawn.
    axes: Option<usize>,
}

/// What one thread works in.
pub(super) struct Bed {
    cut: Vec<Tree>,
    /// The job as drawn, but for its surface.
    lowered: Lowered,
    /// A job that had to be lowered whole.
    other: Lowered,
}

impl<'a> Part<'a> {
    pub fn new(whole: &'a [Tree], weather: &'a WeatherFiles, job: &Job, place: &'a Place) -> Self {
        let mut part = Self {
            whole,
            weather,
            place,
            cut: Vec::new(),
            spot: place.spot,
            before: 0,
            problems: Vec::new(),
            axes: None,
        };
        part.take(job);
        let lowered = model::lower_with(&part.cut, weather);
        let alone = lowered.job.surfaces.get(part.before);
        if alone.zip(job.surfaces.get(place.surface)).is_some_and(|(a, b)| (a.span, &a.axes) == (b.span, &b.axes)) {
            part.axes = Some(lowered.job.axes.len());
        }
        part.problems = lowered.problems;
        part
    }

    /// Takes the stanzas: surfaces that come before and leave something open stay, as axes are counted through.
    fn take(&mut self, job: &Job) {
        let mut surface = 0;
        for (t, tree) in self.whole.iter().enumerate() {
            let mut cut = Tree { stanzas: Vec::new(), ..tree.clone() };
            for stanza in &tree.stanzas {
                let keep = match stanza {
                    Stanza::Surface(_) => {
                        let open = job.surfaces.get(surface).is_some_and(|s| !s.axes.is_empty());
                        let keep = surface == self.place.surface || surface < self.place.surface && open;
                        if surface == self.place.surface {
                            self.spot = Spot { tree: t, stanza: cut.stanzas.len(), row: self.place.spot.row };
                        } else if keep {
                            self.before += 1;
                        }
                        surface += 1;
                        keep
                    }
                    Stanza::Material(_) | Stanza::Climate(_) | Stanza::Job(_) | Stanza::Room(_) => true,
                    _ => false,
                };
                if keep {
                    cut.stanzas.push(stanza.clone());
                }
            }
            self.cut.push(cut);
        }
    }

    /// A bed with the job as drawn in it.
    pub fn bed(&self, drawn: &Lowered) -> Bed {
        let lowered = Lowered { job: drawn.job.clone(), problems: Vec::new() };
        Bed { cut: self.cut.clone(), lowered, other: Lowered::default() }
    }

    /// The job with a candidate in the slot.
    pub fn with<'b>(&self, bed: &'b mut Bed, build: Build) -> &'b Lowered {
        self.place.put(&mut bed.cut, self.spot, build.clone());
        let mut alone = model::lower_with(&bed.cut, self.weather);
        let own = (self.before < alone.job.surfaces.len()).then(|| alone.job.surfaces.swap_remove(self.before));
        let slot = bed.lowered.job.surfaces.get_mut(self.place.surface);
        if self.axes == Some(alone.job.axes.len())
            && let Some((own, slot)) = own.zip(slot)
            && own.broken.is_none()
            && self.alike(&own, slot)
        {
            *slot = own;
            bed.lowered.problems = alone.problems;
            return &bed.lowered;
        }
        let mut trees = self.whole.to_vec();
        self.place.put(&mut trees, self.place.spot, build);
        bed.other = model::lower_with(&trees, self.weather);
        bed.other.job.details.clone_from(&bed.lowered.job.details);
        &bed.other
    }

    /// Whether sentences of joints mean the same of both: parts are named of factory panels alone.
    fn alike(&self, own: &Surface, slot: &Surface) -> bool {
        let body = |of: &'_ Surface| of.layers.get(self.place.layer).map(|l| std::mem::discriminant(&l.body));
        let panel = |of: &Surface| of.layers.get(self.place.layer).is_some_and(|l| matches!(l.body, Body::Panel(_)));
        body(own) == body(slot) && !panel(own)
    }
}
