//! The machine form of reviews: one JSON document. `docs/outputs.md` and `docs/report.schema.json` describe it.
//!
//! Invariant: field order and meaning are fixed by `VERSION`; figures are SI and rounded on purpose; paths have `/`;
//! what kept a review from being complete is in the document, so an empty list of findings means that nothing was found.

use super::json_surface::{self, SurfaceJson};
use super::numbers::six_digits;
use super::profile::ASSUMPTIONS;
use super::tail::CAUTIONS;
use super::tally::Tally;
use crate::base::finding::{Answer, Finding, Label};
use crate::base::source::Sources;
use crate::base::span::Span;
use crate::review::report::{Accepted, Assumed, DetailLine, NotRun, Report};
use serde::Serialize;
use std::io::{Result, Write};

/// Version of the document's shape; raised when a field changes its meaning or goes.
pub const VERSION: u32 = 1;

/// A text that could not be read at all.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Unreadable {
    /// Its path.
    pub file: String,
    /// Why.
    pub why: String,
}

#[derive(Serialize)]
struct Document<'a> {
    version: u32,
    complete: bool,
    unreadable: &'a [Unreadable],
    jobs: Vec<JobJson<'a>>,
    findings: Vec<FindingJson<'a>>,
    accepted: Vec<AcceptedJson<'a>>,
    not_run: Vec<NotRunJson<'a>>,
    surfaces: Vec<SurfaceJson<'a>>,
    assumed: Vec<AssumedJson<'a>>,
    unknown: usize,
    cautions: &'static str,
}

#[derive(Serialize)]
struct Profiles<'a> {
    version: u32,
    jobs: Vec<JobJson<'a>>,
    surfaces: Vec<SurfaceJson<'a>>,
    cautions: &'static str,
}

#[derive(Serialize)]
struct JobJson<'a> {
    file: String,
    name: &'a str,
    title: Option<&'a str>,
    place: &'a str,
    zone: Option<&'a str>,
    code: Option<&'a str>,
    climate: &'a str,
    year: Option<&'static str>,
    notes: &'a [String],
    credits: &'a [String],
    units: &'static str,
    details: Vec<DetailJson<'a>>,
}

#[derive(Serialize)]
struct DetailJson<'a> {
    name: &'a str,
    used_as: Option<&'a str>,
    title: &'a str,
    revision: u32,
    status: &'static str,
    claimed: &'static str,
    form: Option<&'a str>,
}

#[derive(Serialize)]
struct PlaceJson {
    file: String,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

#[derive(Serialize)]
struct FindingJson<'a> {
    rule: &'a str,
    weight: &'static str,
    message: &'a str,
    detail: &'a str,
    help: &'a str,
    #[serde(flatten)]
    place: PlaceJson,
    surface: Option<&'a str>,
    joint: Option<&'a str>,
    numbers: Vec<NumberJson>,
    answers: Vec<AnswerJson<'a>>,
    labels: Vec<LabelJson<'a>>,
}

#[derive(Serialize)]
struct AnswerJson<'a> {
    change: &'static str,
    does: bool,
    value: Option<f64>,
    unit: &'static str,
    words: &'a str,
}

#[derive(Serialize)]
struct NumberJson {
    name: &'static str,
    value: Option<f64>,
    unit: &'static str,
}

#[derive(Serialize)]
struct LabelJson<'a> {
    text: &'a str,
    primary: bool,
    #[serde(flatten)]
    place: PlaceJson,
}

#[derive(Serialize)]
struct AcceptedJson<'a> {
    because: &'a str,
    file: String,
    line: usize,
    finding: FindingJson<'a>,
}

#[derive(Serialize)]
struct NotRunJson<'a> {
    rule: &'a str,
    surface: Option<&'a str>,
    joint: Option<&'a str>,
    why: &'a str,
    file: String,
    line: Option<usize>,
    column: Option<usize>,
}

#[derive(Serialize)]
struct AssumedJson<'a> {
    surface: Option<&'a str>,
    what: &'a str,
    file: String,
    line: usize,
    column: usize,
}

/// Writes all reports of a run as one document.
pub fn write(out: &mut dyn Write, sources: &Sources, reports: &[Report], unreadable: &[Unreadable]) -> Result<()> {
    let each = |part: fn(&Report) -> usize| reports.iter().map(part).sum::<usize>();
    let document = Document {
        version: VERSION,
        complete: unreadable.is_empty() && !Tally::of(reports).incomplete,
        unreadable,
        jobs: jobs(sources, reports),
        findings: reports.iter().flat_map(|r| &r.findings).map(|f| finding(sources, f)).collect(),
        accepted: reports.iter().flat_map(|r| &r.accepted).map(|a| accepted(sources, a)).collect(),
        not_run: reports.iter().flat_map(|r| r.not_run.iter().map(|n| not_run(sources, r, n))).collect(),
        surfaces: json_surface::all(sources, reports, |_| true),
        assumed: reports.iter().flat_map(|r| &r.assumed).map(|a| assumed(sources, a)).collect(),
        unknown: each(|r| r.unknown),
        cautions: CAUTIONS,
    };
    finish(out, &document)
}

/// Writes the surfaces that are wanted, and nothing of the findings.
pub fn write_profiles(
    out: &mut dyn Write,
    sources: &Sources,
    reports: &[Report],
    wanted: impl Fn(&str) -> bool,
) -> Result<()> {
    let surfaces = json_surface::all(sources, reports, wanted);
    let jobs = jobs(sources, reports);
    finish(out, &Profiles { version: VERSION, jobs, surfaces, cautions: ASSUMPTIONS })
}

/// Writes a document, with a line break at its end.
pub(super) fn finish(out: &mut dyn Write, document: &impl Serialize) -> Result<()> {
    serde_json::to_writer_pretty(&mut *out, document)?;
    out.write_all(b"\n")
}

fn jobs<'a>(sources: &Sources, reports: &'a [Report]) -> Vec<JobJson<'a>> {
    let named = |r: &Report| sources.get(r.file).map_or_else(String::new, |s| slashes(s.name()));
    reports
        .iter()
        .filter_map(|r| {
            let job = r.job.as_ref()?;
            Some(JobJson {
                file: named(r),
                name: &job.name,
                title: job.title.as_deref(),
                place: &job.place,
                zone: job.zone.as_deref(),
                code: job.code.as_deref(),
                climate: &job.climate,
                year: job.year,
                notes: &job.notes,
                credits: &job.credits,
                units: if job.metric { "metric" } else { "inch" },
                details: r.details.iter().map(detail).collect(),
            })
        })
        .collect()
}

fn detail(detail: &DetailLine) -> DetailJson<'_> {
    DetailJson {
        name: &detail.name,
        used_as: detail.used_as.as_deref(),
        title: &detail.title,
        revision: detail.revision,
        status: detail.standing.status.word(),
        claimed: detail.claimed.word(),
        form: detail.form.as_deref(),
    }
}

/// A path with `/` on every system.
pub fn slashes(path: &str) -> String {
    if std::path::MAIN_SEPARATOR == '/' { path.to_owned() } else { path.replace(std::path::MAIN_SEPARATOR, "/") }
}

fn place(sources: &Sources, span: Span) -> PlaceJson {
    let (file, start) = sources.place(span);
    let (_, end) = sources.place(Span { start: span.end, ..span });
    PlaceJson {
        file: slashes(file),
        line: start.line,
        column: start.column,
        end_line: end.line,
        end_column: end.column,
    }
}

fn finding<'a>(sources: &Sources, f: &'a Finding) -> FindingJson<'a> {
    let label = |l: &'a Label, primary| LabelJson { text: &l.text, primary, place: place(sources, l.span) };
    FindingJson {
        rule: f.rule,
        weight: f.weight.word(),
        message: &f.message,
        detail: &f.detail,
        help: &f.help,
        place: place(sources, f.primary.span),
        surface: f.surface.as_deref(),
        joint: f.joint.as_deref(),
        numbers: f
            .numbers
            .iter()
            .map(|n| NumberJson { name: n.name, value: six_digits(n.value), unit: n.unit })
            .collect(),
        answers: f.answers.iter().map(answer).collect(),
        labels: std::iter::once(label(&f.primary, true)).chain(f.others.iter().map(|l| label(l, false))).collect(),
    }
}

fn answer(a: &Answer) -> AnswerJson<'_> {
    AnswerJson { change: a.change, does: a.does, value: a.value.and_then(six_digits), unit: a.unit, words: &a.words }
}

fn accepted<'a>(sources: &Sources, a: &'a Accepted) -> AcceptedJson<'a> {
    let (file, at) = sources.place(a.span);
    AcceptedJson { because: &a.because, file: slashes(file), line: at.line, finding: finding(sources, &a.finding) }
}

fn not_run<'a>(sources: &Sources, report: &Report, n: &'a NotRun) -> NotRunJson<'a> {
    let at = n.span.map(|s| sources.place(s));
    let root = sources.get(report.file).map_or("", |s| s.name());
    NotRunJson {
        rule: n.rule,
        surface: n.surface.as_deref(),
        joint: n.joint.as_deref(),
        why: &n.why,
        file: slashes(at.map_or(root, |(file, _)| file)),
        line: at.map(|(_, at)| at.line),
        column: at.map(|(_, at)| at.column),
    }
}

fn assumed<'a>(sources: &Sources, a: &'a Assumed) -> AssumedJson<'a> {
    let (file, at) = sources.place(a.span);
    AssumedJson { surface: a.surface.as_deref(), what: &a.what, file: slashes(file), line: at.line, column: at.column }
}
