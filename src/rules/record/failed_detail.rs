//! A job that uses a detail that was withdrawn, or that failed in this form.

use crate::base::finding::{Finding, Weight};
use crate::model::Job;
use crate::model::detail::{Failure, Head, Outcome, Placed, Status};
use crate::rules::facts::short;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/failed-detail",
    summary: "a detail in use that was withdrawn or failed",
    weight: Weight::Stop,
    page: include_str!("failed_detail.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    for placed in &job.details {
        let Some(used) = &placed.used else { continue };
        let name = short(&placed.name);
        let withdrawn = heads(placed).any(|head| head.status.value == Status::Withdrawn);
        let (message, weight) = if withdrawn {
            (format!("`{name}` was withdrawn"), Weight::Stop)
        } else if failed(placed) {
            (format!("`{name}` failed where it was built"), Weight::Fix)
        } else {
            continue;
        };
        let finding = Finding::new(RULE.id, weight, used.detail, message)
            .detail(told(placed))
            .help(cure(placed).unwrap_or_else(|| "take another detail from the shelf".to_owned()));
        sink.found(finding.also(placed.head.status.span, "its status"));
    }
}

/// What is said of a detail: in its own head, and on the shelf where an earlier revision stands here.
fn heads(placed: &Placed) -> impl Iterator<Item = &Head> {
    let newest = placed.used.as_ref().and_then(|used| used.newest.as_deref());
    std::iter::once(&placed.head).chain(newest)
}

/// The form that stands here or is drawn on the shelf failed; or a failure has no cure; or one that the earlier revision here
/// knows nothing of is told since, of this form or of none that is named.
fn failed(placed: &Placed) -> bool {
    let forms = [&placed.form, &placed.form_on_shelf];
    let here = |f: &Failure| f.form.as_ref().is_none_or(|form| forms.contains(&form));
    let known = |f: &Failure| placed.head.failures.iter().any(|own| own.date == f.date && own.what == f.what);
    let uncured = |f: &Failure| f.cure.is_none();
    heads(placed).any(|head| {
        forms.iter().any(|form| head.standing(form).failed)
            || head.failures.iter().any(|f| uncured(f) || (!known(f) && here(f)))
    })
}

/// What is on record of it.
fn told(placed: &Placed) -> String {
    let failures = heads(placed).flat_map(|h| &h.failures).map(|f| format!("{}: {}; {}.", f.date, f.what, f.cause));
    let looks = heads(placed).flat_map(|h| &h.evidence).filter(|e| e.result == Outcome::Failed && !e.example);
    let mut all: Vec<String> = Vec::new();
    for line in failures.chain(looks.map(|e| format!("{}: {} failed.", e.date, e.kind.words()))) {
        if !all.contains(&line) {
            all.push(line);
        }
    }
    if all.is_empty() { "Its head does not say why.".to_owned() } else { all.join(" ") }
}

fn cure(placed: &Placed) -> Option<String> {
    let failures = heads(placed).flat_map(|h| &h.failures);
    failures.filter_map(|f| f.cure.as_ref()).last().map(|cure| format!("what mended it then: {cure}"))
}
