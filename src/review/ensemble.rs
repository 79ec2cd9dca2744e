//! Runs the rules, under every draw of what is not decided, and puts the answers together.
//!
//! Up to four open axes are judged at all mixes of their points, beyond that one at a time. What is found under every
//! draw is found; what is found under some is not decided, unless it hangs on a named stand-in.
//! Invariant: findings and reasons come out in the same order every time.

use std::collections::{BTreeMap, HashSet};

use super::numbers;
use super::report::{NotRun, SurfaceReport};
use super::solve;
use crate::base::finding::{Finding, Weight};
use crate::base::near;
use crate::base::show::Show;
use crate::base::source::Sources;
use crate::base::span::Span;
use crate::model::Job;
use crate::model::joint::Joint;
use crate::model::surface::Surface;
use crate::model::value::{Axis, AxisId, Draw, Reach};
use crate::rules::facts::{JointLook, Look};
use crate::rules::{self, NOT_DECIDED, Rule, Run, Sink};
use rayon::prelude::*;

/// Up to how many open axes all mixes are judged.
pub(super) const MIXED: usize = 4;
/// Halvings with which the turning point of an axis is found.
const HALVINGS: usize = 12;
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

/// Runs every rule on one surface, on some joints and on the job as a whole, and looks for no mend: the same findings as
/// [`judge`] has there.
pub(super) fn judge_at(job: &Job, sources: &Sources, surface: &Surface, joints: &[&Joint]) -> Judged {
    let mut judged = of_job(job);
    judge_surface(job, surface, sources, &mut judged, Mends::Left);
    joints.iter().for_each(|joint| judge_joint(job, joint, &mut judged));
    judged
}

/// Whether a finding gets what mends it, and a thing not decided its turning point: most of the work.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Mends {
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

type SurfaceRun = fn(&Look<'_>, &mut Sink);

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

/// Puts the answers of one rule at one place together.
struct Merge<'l, 'a> {
    job: &'a Job,
    surface: &'a Surface,
    sources: &'l Sources,
    looks: &'l [Look<'a>],
    run: SurfaceRun,
    /// Rules beside which this one is silent.
    over: Vec<SurfaceRun>,
    /// The draws under which it is silent for one of those.
    silenced: Vec<usize>,
    mends: Mends,
}

impl Merge<'_, '_> {
    fn merge(&self, mut answers: Vec<(usize, Finding)>) -> Option<Finding> {
        answers.retain(|(index, _)| !self.silenced.contains(index));
        let found: Vec<usize> = answers.iter().map(|(i, _)| *i).collect();
        // Where a heavier rule speaks this one would have found something too.
        let under: Vec<usize> =
            (0..self.looks.len()).filter(|i| found.contains(i) || self.silenced.contains(i)).collect();
        let lightest = answers.iter().map(|(_, f)| f.weight).min()?;
        answers.sort_by_key(|(index, f)| (std::cmp::Reverse(f.weight), *index));
        let (at, first) = answers.into_iter().next()?;
        if under.len() == self.looks.len() {
            let finding = Finding { weight: lightest, ..self.in_full(at, first) };
            return Some(self.whatever(finding, at));
        }
        match self.by_name(&under) {
            Some(names) => {
                let first = self.in_full(at, first);
                let text = format!("only as {}", near::one_of(&names));
                let detail = format!("{} It holds for {} only.", first.detail, near::one_of(&names));
                Some(Finding { detail, ..first }.label(text))
            }
            None => Some(self.not_decided(first, &under)),
        }
    }

    /// The same finding with its mend: the draws are only probed.
    fn in_full(&self, look: usize, probed: Finding) -> Finding {
        let draw = self.looks.get(look).map(|l| l.draw.clone());
        let Some(draw) = draw.filter(|_| self.mends == Mends::Sought) else { return probed };
        let mut sink = Sink::default();
        let look = Look::new(self.job, self.surface, draw);
        (self.run)(&look, &mut sink);
        let found = sink.findings.into_iter().find(|f| f.primary.span == probed.primary.span).unwrap_or(probed);
        solve::answer(&look, found)
    }

    /// Says that the answer does not hang on what is open.
    fn whatever(&self, mut finding: Finding, look: usize) -> Finding {
        let figures = if look == 0 { "those midway" } else { "those of the worst case" };
        let open: Vec<&str> = self.open_axes().map(|(_, axis)| axis.what.as_str()).collect();
        let many = open.len();
        if let [what] = open.as_slice() {
            finding.detail = format!("{} This holds whatever the {what}; the figures are {figures}.", finding.detail)
                .trim()
                .to_string();
        } else if many > 1 {
            let alone = if many > MIXED { ", each tried with the others midway" } else { "" };
            finding.detail = format!(
                "{} This holds whatever the {many} things not decided{alone}; the figures are {figures}.",
                finding.detail
            )
            .trim()
            .to_string();
        }
        finding
    }

    fn open_axes(&self) -> impl Iterator<Item = (AxisId, &Axis)> {
        self.surface.axes.iter().filter_map(|id| Some((*id, self.job.axes.get(*id)?)))
    }

    /// The stand-ins that an answer hangs on, when it hangs on nothing else.
    fn by_name(&self, under: &[usize]) -> Option<Vec<String>> {
        let names: Vec<(AxisId, &Vec<String>)> = self
            .open_axes()
            .filter_map(|(id, axis)| if let Reach::OneOf(names) = &axis.reach { Some((id, names)) } else { None })
            .collect();
        let [(id, names)] = names.as_slice() else { return None };
        let fires = |choice: usize| {
            let of: Vec<usize> = (0..self.looks.len()).filter(|i| self.choice(*i, *id) == Some(choice)).collect();
            let count = of.iter().filter(|i| under.contains(i)).count();
            (count == 0 || count == of.len()).then_some(count > 0)
        };
        let verdicts: Option<Vec<bool>> = (0..names.len()).map(fires).collect();
        Some(names.iter().zip(verdicts?).filter(|(_, fires)| *fires).map(|(n, _)| n.clone()).collect())
    }

    fn choice(&self, look: usize, axis: AxisId) -> Option<usize> {
        self.looks.get(look).map(|l| l.draw.choice(axis))
    }

    /// One `watch` in place of a finding that comes and goes, with the figure where it turns.
    fn not_decided(&self, first: Finding, under: &[usize]) -> Finding {
        let show = Show { metric: self.job.metric };
        let mut turns: Vec<String> = Vec::new();
        let mut spans: Vec<(Span, String)> = Vec::new();
        for (id, axis) in self.open_axes() {
            if let Some((turn, above)) = self.turning_point(id, axis, &first) {
                let side = if above { "below" } else { "above" };
                let figure = match &axis.reach {
                    Reach::Between { dimension: Some(d), .. } => show.figure(*d, turn),
                    _ => format!("{:.0} % of the way from outdoors to indoors", turn * 100.0),
                };
                turns.push(format!("{}: it shows {side} {figure}, else not", axis.what));
                spans.push((axis.span, axis.what.clone()));
            }
        }
        let message = format!("`{}` is not decided: {} of {} cases show it", first.rule, under.len(), self.looks.len());
        let span = spans.first().map_or(first.primary.span, |(s, _)| *s);
        let detail = if turns.is_empty() {
            format!("It hangs on several things at once that are not decided. Where it shows: {}.", first.message)
        } else {
            format!("With all else midway, {}. Where it shows: {}.", turns.join("; "), first.message)
        };
        let help = match spans.first().map(|(s, _)| self.sources.text(*s)) {
            Some(words) => format!("find out what `{words}` is (a look, a maker's sheet or a test), and write it down"),
            None => "write down what is not decided, and review again".to_string(),
        };
        let mut finding = Finding::new(NOT_DECIDED, Weight::Watch, span, message).detail(detail).help(help);
        if first.primary.span != span {
            finding = finding.also(first.primary.span, "what it would be about");
        }
        finding.numbers = first.numbers;
        finding
    }

    /// Where, along one axis with the others midway, the finding comes or goes: the SI figure, and whether the safe
    /// side lies above it.
    fn turning_point(&self, id: AxisId, axis: &Axis, finding: &Finding) -> Option<(f64, bool)> {
        if self.mends == Mends::Left {
            return None;
        }
        let Reach::Between { low, high, by_factor, .. } = axis.reach else { return None };
        let middle = Draw::middle();
        let shows = |t: f64| {
            let mut sink = Sink::default();
            (self.run)(&Look::probe(self.job, self.surface, middle.clone().with(id, t)), &mut sink);
            let own = sink.findings.iter().any(|f| f.primary.span == finding.primary.span);
            own || self.over.iter().any(|run| {
                let mut sink = Sink::default();
                run(&Look::probe(self.job, self.surface, middle.clone().with(id, t)), &mut sink);
                !sink.findings.is_empty()
            })
        };
        let ends = [shows(0.0), shows(0.5), shows(1.0)];
        let (mut a, mut b) = match ends {
            [x, y, _] if x != y => (0.0, 0.5),
            [_, y, z] if y != z => (0.5, 1.0),
            _ => return None,
        };
        let at_low = shows(a);
        for _ in 0..HALVINGS {
            let t = (a + b) / 2.0;
            if shows(t) == at_low { a = t } else { b = t }
        }
        let t = (a + b) / 2.0;
        let si =
            if by_factor && low > 0.0 { low * crate::base::math::pow(high / low, t) } else { low + (high - low) * t };
        Some((si, at_low))
    }
}
