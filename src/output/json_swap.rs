//! What would serve in the place of a layer as one JSON document. `docs/outputs.md` describes it.
//!
//! Invariant: field order and meaning are fixed by the version of the other documents; figures are SI.

use super::json::{Unreadable, VERSION, finish, slashes};
use super::numbers::{places, six_digits};
use crate::base::finding::Finding;
use crate::base::source::Sources;
use crate::review::report::NotRun;
use crate::review::swap::{Figures, Form, From, LeftOut, Refusal, Swap, Tried};
use serde::Serialize;
use std::io::{Result, Write};

#[derive(Default, Serialize)]
struct Document<'a> {
    version: u32,
    complete: bool,
    unreadable: &'a [Unreadable],
    problems: Vec<ProblemJson<'a>>,
    refused: Option<RefusedJson<'a>>,
    slot: Option<SlotJson<'a>>,
    serves: Vec<TriedJson<'a>>,
    loses_much: Vec<TriedJson<'a>>,
    other_kind: Vec<TriedJson<'a>>,
    cannot_tell: Vec<TriedJson<'a>>,
    stopped: Vec<TriedJson<'a>>,
    left_out: Vec<LeftOutJson<'a>>,
}

/// What is wrong with a yard, and where.
#[derive(Serialize)]
struct ProblemJson<'a> {
    rule: &'a str,
    weight: &'static str,
    message: &'a str,
    help: &'a str,
    file: String,
    line: usize,
    column: usize,
}

/// Why nothing could be tried.
#[derive(Serialize)]
struct RefusedJson<'a> {
    what: &'a str,
    way_out: &'a str,
}

#[derive(Serialize)]
struct SlotJson<'a> {
    surface: &'a str,
    kind: &'a str,
    layer: &'a str,
    what: &'a str,
    words: &'a str,
    form: Option<&'static str>,
    layer_kind: Option<&'static str>,
    file: String,
    line: usize,
    thickness: Option<f64>,
    #[serde(flatten)]
    figures: FiguresJson,
    findings: Vec<FindingJson<'a>>,
    heavy: usize,
    not_run: usize,
}

#[derive(Serialize)]
struct FiguresJson {
    margin: Option<f64>,
    peak: Option<f64>,
    u_value: Option<f64>,
}

#[derive(Serialize)]
struct TriedJson<'a> {
    name: &'a str,
    #[serde(flatten)]
    whence: WhenceJson<'a>,
    form: Option<&'static str>,
    kind: Option<&'static str>,
    nearness: &'static str,
    loses_much: bool,
    thickness: Option<f64>,
    thicker: Option<f64>,
    #[serde(flatten)]
    figures: FiguresJson,
    margin_more: Option<f64>,
    new: Vec<FindingJson<'a>>,
    gone: Vec<FindingJson<'a>>,
    instead: Vec<FindingJson<'a>>,
    not_run: Vec<NotRunJson<'a>>,
}

/// Where a candidate comes from; of the catalog nothing more is said.
#[derive(Serialize)]
struct WhenceJson<'a> {
    from: &'static str,
    state: &'static str,
    caution: Option<&'static str>,
    covers: Option<f64>,
    amount: Option<&'a str>,
    note: Option<&'a str>,
}

#[derive(Serialize)]
struct FindingJson<'a> {
    rule: &'a str,
    weight: &'static str,
    message: &'a str,
    surface: Option<&'a str>,
    joint: Option<&'a str>,
}

#[derive(Serialize)]
struct NotRunJson<'a> {
    rule: &'a str,
    surface: Option<&'a str>,
    joint: Option<&'a str>,
    why: &'a str,
}

#[derive(Serialize)]
struct LeftOutJson<'a> {
    name: &'a str,
    from: &'static str,
    why: &'a str,
}

/// Writes it all.
pub fn write(out: &mut dyn Write, swap: &Swap) -> Result<()> {
    let document = Document {
        version: VERSION,
        complete: !swap.incomplete,
        slot: Some(slot(swap)),
        serves: all(swap, &swap.serves),
        loses_much: all(swap, &swap.loses_much),
        other_kind: all(swap, &swap.other_kind),
        cannot_tell: all(swap, &swap.cannot_tell),
        stopped: all(swap, &swap.stopped),
        left_out: swap.left_out.iter().map(left_out).collect(),
        ..Document::default()
    };
    finish(out, &document)
}

/// Writes why nothing was tried: texts that can't be read.
pub fn unreadable(out: &mut dyn Write, unreadable: &[Unreadable]) -> Result<()> {
    finish(out, &Document { version: VERSION, unreadable, ..Document::default() })
}

/// The same: what is wrong with the yard.
pub fn problems(out: &mut dyn Write, sources: &Sources, problems: &[Finding]) -> Result<()> {
    let problems = problems.iter().map(|p| problem(sources, p)).collect();
    finish(out, &Document { version: VERSION, problems, ..Document::default() })
}

/// The same: there is no such slot, or none that could be judged.
pub fn refused(out: &mut dyn Write, refusal: &Refusal) -> Result<()> {
    let refused = Some(RefusedJson { what: &refusal.what, way_out: &refusal.way_out });
    finish(out, &Document { version: VERSION, refused, ..Document::default() })
}

fn problem<'a>(sources: &Sources, p: &'a Finding) -> ProblemJson<'a> {
    let (file, at) = sources.place(p.primary.span);
    ProblemJson {
        rule: p.rule,
        weight: p.weight.word(),
        message: &p.message,
        help: &p.help,
        file: slashes(file),
        line: at.line,
        column: at.column,
    }
}

fn slot(swap: &Swap) -> SlotJson<'_> {
    let slot = &swap.slot;
    let (file, at) = swap.sources.place(slot.span);
    SlotJson {
        surface: &slot.surface,
        kind: slot.kind,
        layer: &slot.layer,
        what: &slot.what,
        words: &slot.words,
        form: slot.form.map(Form::words),
        layer_kind: slot.thing.map(|t| t.kind.words()),
        file: slashes(file),
        line: at.line,
        thickness: slot.thickness.and_then(|t| six_digits(t.si())),
        figures: figures(&slot.figures),
        findings: slot.findings.iter().map(finding).collect(),
        heavy: slot.heavy,
        not_run: slot.not_run,
    }
}

fn figures(of: &Figures) -> FiguresJson {
    FiguresJson {
        margin: of.margin.and_then(|m| places(m.si(), 2)),
        peak: of.peak.and_then(|p| places(p.si(), 6)),
        u_value: of.u.and_then(|u| places(u.si(), 4)),
    }
}

fn all<'a>(swap: &'a Swap, list: &'a [Tried]) -> Vec<TriedJson<'a>> {
    list.iter().map(|t| tried(swap, t)).collect()
}

fn tried<'a>(swap: &'a Swap, t: &'a Tried) -> TriedJson<'a> {
    let thicker = t.thickness.zip(swap.slot.thickness).map(|(own, slot)| own - slot);
    let more = t.figures.margin.zip(swap.slot.figures.margin).map(|(own, slot)| own - slot);
    TriedJson {
        name: &t.name,
        whence: whence(&t.from),
        form: t.form.map(Form::words),
        kind: t.thing.map(|t| t.kind.words()),
        nearness: t.nearness.word(),
        loses_much: t.loses_much,
        thickness: t.thickness.and_then(|d| six_digits(d.si())),
        thicker: thicker.and_then(|d| places(d.si(), 6)),
        figures: figures(&t.figures),
        margin_more: more.and_then(|m| places(m.si(), 2)),
        new: t.new.iter().map(finding).collect(),
        gone: t.gone.iter().map(finding).collect(),
        instead: t.instead.iter().map(finding).collect(),
        not_run: t.untold.iter().map(not_run).collect(),
    }
}

fn word(from: &From) -> &'static str {
    if from.row().is_some() { "yard" } else { "catalog" }
}

fn whence(from: &From) -> WhenceJson<'_> {
    let row = from.row();
    WhenceJson {
        from: word(from),
        state: from.state().word(),
        caution: from.state().caution(),
        covers: row.and_then(|r| r.covers).and_then(|a| six_digits(a.si())),
        amount: row.and_then(|r| r.amount.as_deref()),
        note: row.and_then(|r| r.note.as_deref()),
    }
}

fn finding(f: &Finding) -> FindingJson<'_> {
    FindingJson {
        rule: f.rule,
        weight: f.weight.word(),
        message: &f.message,
        surface: f.surface.as_deref(),
        joint: f.joint.as_deref(),
    }
}

fn not_run(n: &NotRun) -> NotRunJson<'_> {
    NotRunJson { rule: n.rule, surface: n.surface.as_deref(), joint: n.joint.as_deref(), why: &n.why }
}

fn left_out(l: &LeftOut) -> LeftOutJson<'_> {
    LeftOutJson { name: &l.name, from: word(&l.from), why: &l.why }
}
