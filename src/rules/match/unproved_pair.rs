//! Two materials that hold in some makes and fail in others, with no test written.

use super::{about, contact, from};
use crate::base::finding::Weight;
use crate::catalog::pairs::{self, Does};
use crate::model::Job;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/unproved-pair",
    summary: "two materials that hold in some makes and fail in others",
    weight: Weight::Watch,
    page: include_str!("unproved_pair.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    for contact in contact::all(job) {
        let Some(pair) = pairs::pair(contact.a.material, contact.b.material) else { continue };
        if pair.does != Does::Unproved || contact.link.is_some_and(|l| l.tested_pair) {
            continue;
        }
        let message = format!("`{}` on `{}` is not proved", contact.name(&contact.a), contact.name(&contact.b));
        let detail = format!("Families alone do not decide it: {}. {}.", pair.why, from(pair.citation()));
        sink.found(about(&contact, &RULE, pair.weight(), message).detail(detail).help(pair.mend.clone()));
    }
}
