//! Floor 5: the whole chain, from texts to a report as plain data.
//!
//! Invariant: pure. Reads no file, clock or environment; what it needs from outside comes in by [`Loader`].

mod accept;
pub mod detail;
mod details;
mod ensemble;
mod gather;
mod limits;
mod merge;
mod notes;
mod numbers;
pub mod order;
pub mod report;
mod solve;
pub mod spread;
pub mod swap;
pub mod trace;
mod weather;

use crate::base::finding::{Finding, Label, Weight};
use crate::base::near;
use crate::base::source::{Source, Sources};
use crate::base::span::{FileId, Span};
use crate::graph::envelope::{self, Fate};
use crate::model::Job;
use crate::model::detail::Placed;
use crate::model::surface::Surface;
use crate::model::value::{Axis, Reach};
use crate::rules;
use crate::syntax::ast::Edge;
use gather::Gathered;
use report::{Assumed, DetailLine, JobLine, NotRun, Report};
use std::collections::BTreeMap;

/// A text to review, with the name its findings print.
#[derive(Clone, Debug)]
pub struct Input {
    /// What findings print before the line; a path where there is one.
    pub name: String,
    /// The text.
    pub text: String,
}

/// What a text asks for from outside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ask<'a> {
    /// The path of an `include` or of a climate's `file`, relative to the text it stands in.
    File(&'a str),
    /// A detail of the shelf, its newest revision.
    Detail(&'a str),
    /// An earlier revision of a detail.
    Revision(&'a str, u32),
}

impl std::fmt::Display for Ask<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::File(path) => f.write_str(path),
            Self::Detail(name) => write!(f, "detail {name}"),
            Self::Revision(name, revision) => write!(f, "revision {revision} of detail {name}"),
        }
    }
}

/// Fetches what a text asks for: (name of the asking text, what) to the text, or why not.
pub type Loader<'a> = dyn FnMut(&str, Ask<'_>) -> Result<Input, String> + 'a;

/// What came of a review: the texts, and one report for each text that was asked for.
#[derive(Debug, Default)]
pub struct Review {
    /// All texts read, included ones too.
    pub sources: Sources,
    /// One report a root text, in the order asked.
    pub reports: Vec<Report>,
}

/// Reviews each root text with what it includes: read, lower, judge, accept, order.
pub fn review(roots: Vec<Input>, load: &mut Loader<'_>) -> Review {
    let mut done = Review::default();
    for root in roots {
        let file = done.sources.add(Source::new(root.name, root.text));
        let report = review_one(file, &mut done.sources, load);
        done.reports.push(report);
    }
    done
}

fn review_one(file: FileId, sources: &mut Sources, load: &mut Loader<'_>) -> Report {
    let gathered = gather::gather(file, sources, load);
    report_of(file, gathered, sources)
}

fn report_of(file: FileId, gathered: Gathered, sources: &Sources) -> Report {
    let lowered = gathered.lower();
    let mut findings = gathered.problems;
    findings.extend(lowered.problems);
    let job = lowered.job;

    let judged = ensemble::judge(&job, sources);
    findings.extend(judged.findings);
    let mut not_run = judged.not_run;
    not_run.extend(unjoined(&job));

    let (mut findings, accepted) = accept::accept(&job, sources, findings);
    // What the head of a used detail accepts and this job does not show is no promise of this author's.
    let borrowed = |f: &Finding| gathered.uses.contains_key(&f.primary.span.file);
    findings.retain(|f| !(f.rule == rules::IDLE_ACCEPTANCE && f.weight == Weight::Watch && borrowed(f)));
    findings.iter_mut().for_each(|f| point_at_use(f, &gathered.uses));
    order(&mut findings);
    Report {
        file,
        job: job_line(&job),
        details: job.details.iter().map(detail_line).collect(),
        findings,
        accepted,
        not_run,
        assumed: assumed(&job, sources),
        unknown: written_as_unknown(&job),
        surfaces: judged.surfaces,
    }
}

/// A finding in the text of a used detail speaks of the line that uses it too.
fn point_at_use(finding: &mut Finding, uses: &BTreeMap<FileId, Span>) {
    if let Some(span) = uses.get(&finding.primary.span.file) {
        finding.others.push(Label::new(*span, "used here"));
    }
}

/// How many figures the author left open. What was not written at all is among the assumed ones.
fn written_as_unknown(job: &Job) -> usize {
    let figure = |a: &&Axis| matches!(a.reach, Reach::Between { dimension: Some(_), .. });
    let assumed = |a: &Axis| job.assumed.iter().any(|taken| taken.span == a.span);
    job.axes.iter().filter(figure).filter(|a| !assumed(a)).count()
}

/// Edges that nobody speaks of, in a job that draws joints. A job of sections alone says nothing of edges at all.
fn unjoined(job: &Job) -> Vec<NotRun> {
    if job.joints.is_empty() {
        return Vec::new();
    }
    let told = |(surface, edges): (&Surface, Vec<(Edge, Fate)>)| {
        let open: Vec<&str> = edges.iter().filter(|(_, f)| *f == Fate::Unsaid).map(|(e, _)| e.word()).collect();
        (!open.is_empty()).then(|| NotRun {
            rule: "joints",
            surface: Some(surface.name.clone()),
            joint: None,
            span: Some(surface.span),
            why: format!(
                "no joint speaks of its {}; `continues` or `unjoined` says that it is meant so",
                near::all_of(&open)
            ),
        })
    };
    job.surfaces.iter().zip(envelope::all_edges(job)).filter_map(told).collect()
}

/// Family, then weight (heaviest first), then place, then rule and words, so that no two runs differ.
fn order(findings: &mut [Finding]) {
    findings.sort_by(|a, b| {
        let rank = |f: &Finding| (rules::family_rank(f.rule), std::cmp::Reverse(f.weight), f.primary.span);
        rank(a).cmp(&rank(b)).then_with(|| (a.rule, &a.message).cmp(&(b.rule, &b.message)))
    });
}

fn job_line(job: &Job) -> Option<JobLine> {
    let name = job.name.as_ref()?;
    let climate = job.climate.as_ref();
    Some(JobLine {
        name: name.value.clone(),
        title: job.title.clone(),
        place: climate.map_or_else(|| "place not known".to_string(), |c| c.title.clone()),
        zone: climate.and_then(|c| c.zone).map(|z| format!("{z} ({})", z.basis.words())),
        code: job.code.as_ref().map(|c| c.value.key().to_string()),
        climate: climate.map_or_else(String::new, |c| weather::year(job, c)),
        year: climate.map(|c| weather::kind(job, c).word()),
        notes: climate.map_or_else(Vec::new, |c| weather::notes(job, c)),
        credits: climate.map_or_else(Vec::new, |c| c.credits.iter().map(ToString::to_string).collect()),
        metric: job.metric,
    })
}

fn detail_line(placed: &Placed) -> DetailLine {
    DetailLine {
        name: placed.name.clone(),
        used_as: placed.used.as_ref().map(|u| u.name.clone()),
        title: placed.head.title.value.clone(),
        revision: placed.head.revision.value,
        claimed: placed.head.status.value,
        standing: placed.head.standing(&placed.form),
        form: Some(placed.form.clone()).filter(|f| !f.is_empty()),
    }
}

fn assumed(job: &Job, sources: &Sources) -> Vec<Assumed> {
    job.assumed
        .iter()
        .map(|a| Assumed {
            surface: a.surface.and_then(|i| job.surfaces.get(i)).map(|s| s.name.clone()),
            span: a.span,
            what: format!("{}: {}", sources.text(a.span), a.what),
        })
        .collect()
}
