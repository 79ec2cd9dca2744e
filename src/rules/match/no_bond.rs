//! Something put on a face that it does not stick to.

use super::{about, contact, from};
use crate::base::finding::Weight;
use crate::catalog::pairs::{self, Does};
use crate::model::Job;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/no-bond",
    summary: "something glued to what nothing sticks to",
    weight: Weight::Stop,
    page: include_str!("no_bond.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    for contact in contact::all(job) {
        let Some(pair) = pairs::pair(contact.a.material, contact.b.material) else { continue };
        if pair.does != Does::NoBond || contact.link.is_some_and(|l| l.tested_pair) {
            continue;
        }
        let message = format!("`{}` does not stick to `{}`", contact.name(&contact.a), contact.name(&contact.b));
        let detail = format!("{}. {}.", capital(&pair.why), from(pair.citation()));
        sink.found(about(&contact, &RULE, pair.weight(), message).detail(detail).help(pair.mend.clone()));
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|c| c.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
