//! Runs the rules, under every draw of what is not decided, and puts the answers together.
//!
//! Up to four open axes are judged at all mixes of their points, beyond that one at a time. What is found under every
//! draw is found; what is found under some is not decided, unless it hangs on a named stand-in.
//! Invariant: findings and reasons come out in the same order every time.

use std::collections::{BTreeMap, HashSet};

use super::merge::Merge;
use super::numbers;
use super::report::{NotRun, SurfaceReport};
use super::solve;
use crate::base::finding::Finding;
use crate::base::source::Sources;
use crate::base::span::Span;
use crate::model::Job;
use crate::model::joint::Joint;
use crate::model::surface::Surface;
use crate::model::value::{Axis, AxisId, Draw};
use crate::rules::facts::{JointLook, Look};
use crate::rules::{self, Rule, Run, Sink};
use rayon::prelude::*;

/// Up to how many open axes all mixes are judged.
pub(super) const MIXED: usize = 4;
/// Fewer surfaces or joints are judged in less time than it takes to share them out.
const WORTH_SHARING: usize = 32;

/// What came of running all rules.
#[derive(Default)]
pub(super) struct Judged {
    pub findings: Vec<Finding>,
    pub not_run: Vec<NotRun>,
    /// The numbers of each surface.
    pub surfaces: Vec<SurfaceReport>,
    /// What `not_run` says, so that each reason is told once.
    told: HashSet<(&'static str, Option<String>, Option<String>, String)>,
}

/// Runs every rule on a job.
pub(super) fn judge(job: &Job, sources: &Sources) -> Judged {
    let mut judged = of_job(job);
    judged.add(each(&job.surfaces, |surface, judged| judge_surface(job, surface, sources, judged, Mends::Sought)));
    judged.add(each(&job.joints, |joint, judged| judge_joint(job, joint, judged)));
    judged
}

/// Runs every rule on one surface and on the job as a whole, and looks for no mend: the same findings as [`judge`] has
/// there.
pub(super) fn judge_at(job: &Job, sources: &Sources, surface: &Surface) -> Judged {
    let mut judged = of_job(job);
    judge_surface(job, surface, sources, &mut judged, Mends::Left);
    judged
}

/// The same for some joints.
pub(super) fn judge_joints<'a>(job: &Job, joints: impl Iterator<Item = &'a Joint>) -> Judged {
    let mut judged = Judged::default();
    joints.for_each(|joint| judge_joint(job, joint, &mut judged));
    judged
}

/// Whether a finding gets what mends it, and a thing not decided its turning point: most of the work.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Mends {
    Sought,
    Left,
}

fn of_job(job: &Job) -> Judged {
    let mut judged = Judged::default();
    for rule in rules::all() {
        if let Run::Job(run) = rule.run {
            let mut sink = Sink::default();
            run(job, &mut sink);
            judged.take(rule, None, sink);
        }
    }
    judged
}

/// Judges each of many, on all processors where it is worth starting them; the answers come in the order written.
fn each<T: Sync>(items: &[T], judge: impl Fn(&T, &mut Judged) + Sync) -> Judged {
    let of = |some: &[T]| {
        let mut judged = Judged::default();
        some.iter().for_each(|item| judge(item, &mut judged));
        judged
    };
    if items.len() < WORTH_SHARING {
        return of(items);
    }
    let parts: Vec<Judged> = items.par_chunks(WORTH_SHARING / 2).map(of).collect();
    parts.into_iter().fold(Judged::default(), |mut all, part| {
        all.add(part);
        all
    })
}

/// Joints are judged as drawn; what hangs on something unknown is not run and says so.
fn judge_joint(job: &Job, joint: &Joint, judged: &mut Judged) {
    let look = JointLook::new(job, joint);
    let mut found: Vec<Finding> = Vec::new();
    for rule in rules::all() {
        let Run::Joint(run) = rule.run else { continue };
        let mut sink = Sink::default();
        run(&look, &mut sink);
        found.extend(sink.findings.into_iter().map(|f| Finding { joint: Some(joint.name.clone()), ..f }));
        for missing in sink.missing {
            judged.cannot(NotRun {
                rule: rule.id,
                surface: None,
                joint: Some(joint.name.clone()),
                span: Some(missing.span),
                why: missing.why,
            });
        }
    }
    judged.findings.extend(ranked(found));
}

/// Without those beside which a rule is silent: all are of one surface or joint.
fn ranked(found: Vec<Finding>) -> impl Iterator<Item = Finding> {
    let told: HashSet<&'static str> = found.iter().map(|f| f.rule).collect();
    found.into_iter().filter(move |f| !rules::outranked_by(f.rule).iter().any(|over| told.contains(over)))
}

impl Judged {
    fn add(&mut self, part: Self) {
        self.findings.extend(part.findings);
        self.surfaces.extend(part.surfaces);
        part.not_run.into_iter().for_each(|n| self.cannot(n));
    }

    fn take(&mut self, rule: &Rule, surface: Option<&Surface>, sink: Sink) {
        let name = surface.map(|s| s.name.clone());
        self.findings.extend(sink.findings.into_iter().map(|f| of_surface(f, surface)));
        for missing in sink.missing {
            let (rule, surface) = (rule.id, name.clone());
            self.cannot(NotRun { rule, surface, joint: None, span: Some(missing.span), why: missing.why });
        }
    }

    fn cannot(&mut self, not_run: NotRun) {
        let NotRun { rule, surface, joint, why, .. } = &not_run;
        if self.told.insert((*rule, surface.clone(), joint.clone(), why.clone())) {
            self.not_run.push(not_run);
        }
    }
}

fn of_surface(finding: Finding, surface: Option<&Surface>) -> Finding {
    match surface {
        Some(s) if finding.surface.is_none() => finding.surface(s.name.clone()),
        _ => finding,
    }
}

fn judge_surface(job: &Job, surface: &Surface, sources: &Sources, judged: &mut Judged, mends: Mends) {
    let part = looks(job, surface, mends);
    judge_part(&part, sources, judged, mends, |_| true);
    let above = surface.above_grade();
    let above = above.as_ref().map(|above| looks(job, above, mends));
    // The numbers are those that the rules had, so they cost nothing more.
    let middle = part.first().map(|look| numbers::surface_report(look, above.as_ref().and_then(|a| a.first())));
    judged.surfaces.extend(middle);
    if let Some(above) = &above {
        let mut part = Judged::default();
        // What stops air and vapor goes through both parts; only the air outside differs.
        judge_part(above, sources, &mut part, mends, |rule| rule.id.starts_with("dew/"));
        for mut finding in part.findings {
            finding.detail = format!("This is the part above grade. {}", finding.detail);
            judged.findings.push(finding);
        }
        for n in part.not_run {
            judged.cannot(n);
        }
    }
}

/// The answers of one rule: for each place, under which draws it was found.
type Answers = BTreeMap<Span, Vec<(usize, Finding)>>;

/// A surface under every draw, the middle one first; where nothing is open under that alone.
fn looks<'a>(job: &'a Job, surface: &'a Surface, mends: Mends) -> Vec<Look<'a>> {
    if surface.axes.is_empty() {
        let look = if mends == Mends::Sought { Look::new } else { Look::probe };
        return vec![look(job, surface, Draw::middle())];
    }
    draws(job, surface).into_iter().map(|d| Look::probe(job, surface, d)).collect()
}

fn judge_part(looks: &[Look<'_>], sources: &Sources, judged: &mut Judged, mends: Mends, wanted: fn(&Rule) -> bool) {
    let Some((job, surface)) = looks.first().map(|look| (look.job, look.surface)) else { return };
    let rules = surface_rules().filter(|(rule, _)| wanted(rule));
    if let ([look], true) = (looks, surface.axes.is_empty()) {
        let mut found = Vec::new();
        for (rule, run) in rules {
            let mut sink = Sink::default();
            run(look, &mut sink);
            found.append(&mut sink.findings);
            judged.take(rule, Some(surface), sink);
        }
        let answered = ranked(found).map(|f| of_surface(solve::answer(look, f), Some(surface)));
        judged.findings.extend(answered);
        return;
    }
    let mut told: Vec<(&Rule, SurfaceRun, Answers)> = Vec::new();
    for (rule, run) in rules {
        let mut answers = Answers::new();
        for (index, look) in looks.iter().enumerate() {
            let mut sink = Sink::default();
            run(look, &mut sink);
            for finding in sink.findings {
                answers.entry(finding.primary.span).or_default().push((index, finding));
            }
            for missing in sink.missing {
                judged.cannot(NotRun {
                    rule: rule.id,
                    surface: Some(surface.name.clone()),
                    joint: None,
                    span: Some(missing.span),
                    why: missing.why,
                });
            }
        }
        told.push((rule, run, answers));
    }
    for (rule, run, answers) in &told {
        let over = told.iter().filter(|(r, ..)| rules::outranked_by(rule.id).contains(&r.id));
        let silenced = over.clone().flat_map(|(_, _, a)| a.values().flatten().map(|(index, _)| *index)).collect();
        let over = over.map(|(_, run, _)| *run).collect();
        let merge = Merge { job, surface, sources, looks, run: *run, over, silenced, mends };
        let merged = answers.values().filter_map(|of_place| merge.merge(of_place.clone()));
        judged.findings.extend(merged.map(|f| of_surface(f, Some(surface))));
    }
}

pub(super) type SurfaceRun = fn(&Look<'_>, &mut Sink);

fn surface_rules() -> impl Iterator<Item = (&'static Rule, SurfaceRun)> {
    rules::all().filter_map(|rule| if let Run::Surface(run) = rule.run { Some((rule, run)) } else { None })
}

/// The draws a surface is judged under; the middle one first.
fn draws(job: &Job, surface: &Surface) -> Vec<Draw> {
    let middle = Draw::middle();
    let mut draws = vec![middle.clone()];
    let points = |axis: &AxisId| job.axes.get(*axis).map(Axis::points).unwrap_or_default();
    if surface.axes.len() <= MIXED {
        for axis in &surface.axes {
            let every: Vec<Draw> =
                draws.iter().flat_map(|d| points(axis).into_iter().map(|p| d.clone().with(*axis, p))).collect();
            draws = every;
        }
        draws.retain(|d| *d != middle);
        draws.insert(0, middle);
        return draws;
    }
    for axis in &surface.axes {
        draws.extend(points(axis).into_iter().flatten().map(|p| middle.clone().with(*axis, p)));
    }
    draws
}
