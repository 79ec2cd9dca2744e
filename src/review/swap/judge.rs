//! Judges the part of the job that a layer has to do with.
//!
//! Invariant: a state holds what the ordinary review would say of the surface and of the whole job, and of the joints at the
//! surface once they were judged.

use super::super::accept;
use super::super::ensemble;
use super::super::gather::Gathered;
use super::super::report::{NotRun, PathReport, SurfaceReport};
use super::slot::Place;
use super::{Figures, Form, Slot, Thing};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, MoistureMass, TemperatureDifference};
use crate::base::source::Sources;
use crate::base::span::Span;
use crate::model::joint::EndOf;
use crate::model::layer::Body;
use crate::model::value::Draw;
use crate::model::{Job, Lowered};
use crate::rules::IDLE_ACCEPTANCE;
use crate::syntax;
use crate::syntax::ast::{Argument, Stanza};

/// What every candidate is judged with.
pub(super) struct Bench<'a> {
    gathered: &'a Gathered,
    sources: &'a Sources,
    surface: usize,
    layer: usize,
    /// The joints at the surface, as indices into the job's.
    joints: Vec<usize>,
}

/// What is said of the part with something in the slot.
#[derive(Clone, Debug, Default)]
pub(super) struct State {
    /// Found and not accepted; what is wrong with acceptances left out, as most of the job is not judged.
    pub findings: Vec<Finding>,
    pub not_run: Vec<NotRun>,
    /// What could not be resolved.
    pub problems: Vec<Finding>,
    pub form: Option<Form>,
    pub thing: Option<Thing>,
    pub thickness: Option<Length>,
    pub figures: Figures,
}

impl<'a> Bench<'a> {
    pub fn new(gathered: &'a Gathered, sources: &'a Sources, job: &Job, place: &Place) -> Self {
        let mut touching = vec![false; job.joints.len()];
        // An opening comes before or after the joints of its edges: what touches it touches its host.
        loop {
            let before = touching.clone();
            for (touches, joint) in touching.iter_mut().zip(&job.joints) {
                *touches = joint.ends.iter().any(|end| match end.of {
                    EndOf::Surface(surface) => surface == place.surface,
                    EndOf::Opening(opening) => before.get(opening).is_some_and(|t| *t),
                    EndOf::Hole => false,
                });
            }
            if touching == before {
                break;
            }
        }
        let joints = touching.iter().enumerate().filter(|(_, t)| **t).map(|(index, _)| index).collect();
        Self { gathered, sources, surface: place.surface, layer: place.layer, joints }
    }

    /// Judges the surface and what is asked of the whole job.
    pub fn surface(&self, lowered: &Lowered) -> State {
        let job = &lowered.job;
        let Some(surface) = job.surfaces.get(self.surface) else { return State::default() };
        let judged = ensemble::judge_at(job, self.sources, surface);
        let body = surface.layers.get(self.layer).map(|l| &l.body);
        State {
            findings: self.left(job, judged.findings),
            not_run: judged.not_run,
            problems: lowered.problems.clone(),
            form: body.and_then(Form::of),
            thing: body.and_then(Thing::of),
            thickness: body.and_then(thickness),
            figures: judged.surfaces.first().map(figures).unwrap_or_default(),
        }
    }

    /// Judges the joints at the surface too.
    pub fn joints(&self, lowered: &Lowered, state: &mut State) {
        let job = &lowered.job;
        let judged = ensemble::judge_joints(job, self.joints.iter().filter_map(|i| job.joints.get(*i)));
        state.findings.extend(self.left(job, judged.findings));
        state.not_run.extend(judged.not_run);
    }

    /// What is not accepted.
    fn left(&self, job: &Job, findings: Vec<Finding>) -> Vec<Finding> {
        let (mut left, _) = accept::accept(job, self.sources, findings);
        left.retain(|f| f.rule != IDLE_ACCEPTANCE);
        left
    }

    /// What follows the material on its line.
    fn words(&self, place: &Place) -> String {
        let rest = Span { start: place.stuff.end, ..place.line };
        self.filled(rest).trim_start_matches([',', ' ']).split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// The text of a span; in a detail with its blanks filled, by the line that uses it or as it says itself.
    fn filled(&self, span: Span) -> String {
        let mut text = self.sources.text(span).to_string();
        let Some(source) = self.sources.get(span.file).filter(|_| text.contains('<')) else { return text };
        let stanzas = self.gathered.trees.iter().flat_map(|tree| &tree.stanzas);
        let line = self.gathered.uses.get(&span.file);
        let mut uses = stanzas.filter_map(|s| if let Stanza::Use(u) = s { Some(u) } else { None });
        let with: &[Argument] = uses.find(|u| Some(&u.span) == line).map_or(&[], |u| &u.with);
        // The line of a placed detail is left out of its tree.
        let own = syntax::parse(span.file, source.text()).tree.stanzas;
        let details = own.iter().filter_map(|s| if let Stanza::Detail(d) = s { Some(d) } else { None });
        for blank in details.flat_map(|d| &d.parameters).filter(|p| p.sort.is_blank()) {
            let said = with.iter().find(|a| a.name.text == blank.name.text).map(|a| &a.value);
            if let Some(value) = said.or(blank.default.as_ref()) {
                text = text.replace(&format!("<{}>", blank.name.text), &value.text);
            }
        }
        text
    }

    /// The slot as it is drawn.
    pub fn slot(&self, place: &Place, drawn: &State) -> Slot {
        let on_line = |f: &&Finding| {
            let mut spans = std::iter::once(&f.primary).chain(&f.others).map(|l| l.span);
            spans.any(|s| s.file == place.line.file && s.start >= place.line.start && s.end <= place.line.end)
        };
        Slot {
            surface: place.names.0.clone(),
            kind: place.kind,
            layer: place.names.1.clone(),
            span: place.line,
            what: self.filled(place.stuff),
            words: self.words(place),
            form: drawn.form,
            thing: drawn.thing,
            thickness: drawn.thickness,
            figures: drawn.figures.clone(),
            findings: drawn.findings.iter().filter(on_line).cloned().collect(),
            heavy: drawn.findings.iter().filter(|f| f.weight > Weight::Watch).count(),
            not_run: drawn.not_run.len(),
        }
    }
}

/// How much of the section a layer takes.
fn thickness(body: &Body) -> Option<Length> {
    let middle = Draw::middle();
    match body {
        Body::Sheet(choice) => Some(choice.at(&middle)?.thickness.as_ref()?.at(&middle)),
        Body::Panel(parts) => parts.iter().map(|p| Some(p.thickness.as_ref()?.at(&middle))).sum(),
        Body::Gap(gap) => Some(gap.thickness.at(&middle)),
        Body::Members(members) => Some(members.depth.at(&middle)),
        Body::Hole => None,
    }
}

fn figures(report: &SurfaceReport) -> Figures {
    let least = report.paths.iter().filter_map(margin).reduce(TemperatureDifference::min);
    let peak = report.paths.iter().map(|p| p.peak).reduce(MoistureMass::max);
    Figures { margin: least, peak, u: report.u_value }
}

/// The least margin between layers; the two faces of the surface are not counted where there are other places.
fn margin(path: &PathReport) -> Option<TemperatureDifference> {
    let last = path.interfaces.len().saturating_sub(1);
    let inner = |at: usize| last < 2 || (at > 0 && at < last);
    let points = path.months.iter().flat_map(|m| m.points.iter().enumerate());
    points.filter(|(at, _)| inner(*at)).map(|(_, p)| p.margin).reduce(TemperatureDifference::min)
}
