//! A job that uses a detail that was withdrawn, or that failed in this form.

use crate::base::finding::{Finding, Weight};
use crate::model::Job;
use crate::model::detail::{Outcome, Placed, Status};
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
        let name = &placed.name;
        let withdrawn = placed.head.status.value == Status::Withdrawn;
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

/// A failure without a cure, or evidence that failed in the form that is on the shelf.
fn failed(placed: &Placed) -> bool {
    placed.head.standing(&placed.form).failed || placed.head.failures.iter().any(|f| f.cure.is_none())
}

/// What is on record of it.
fn told(placed: &Placed) -> String {
    let failures = placed.head.failures.iter().map(|f| format!("{}: {}; {}.", f.date, f.what, f.cause));
    let failed = placed.head.evidence.iter().filter(|e| e.result == Outcome::Failed && !e.example);
    let evidence = failed.map(|e| format!("{}: {} failed.", e.date, e.kind.words()));
    let all: Vec<String> = failures.chain(evidence).collect();
    if all.is_empty() { "Its head does not say why.".to_owned() } else { all.join(" ") }
}

fn cure(placed: &Placed) -> Option<String> {
    placed.head.failures.iter().rev().find_map(|f| f.cure.as_ref()).map(|cure| format!("what mended it then: {cure}"))
}
