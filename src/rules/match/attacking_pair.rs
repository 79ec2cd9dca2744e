//! A material that softens, dissolves, swells or corrodes the one it touches.

use super::{about, contact, from};
use crate::base::finding::Weight;
use crate::catalog::pairs::{self, Does};
use crate::catalog::{Bond, Material};
use crate::model::Job;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/attacking-pair",
    summary: "one material that attacks the other it touches",
    weight: Weight::Stop,
    page: include_str!("attacking_pair.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    for contact in contact::all(job) {
        let Some(pair) = pairs::pair(contact.a.material, contact.b.material) else { continue };
        let tested = contact.link.is_some_and(|l| l.tested_pair);
        if pair.does != Does::Attacks || laid_cold(&contact) || (tested && pair.unless_tested) {
            continue;
        }
        let message = format!("`{}` and `{}` do not live together", contact.name(&contact.a), contact.name(&contact.b));
        let detail = format!(
            "{} on {}: {}. {}.",
            contact.a.material.key(),
            contact.b.material.key(),
            pair.why,
            from(pair.citation())
        );
        sink.found(about(&contact, &RULE, pair.weight(), message).detail(detail).help(pair.mend.clone()));
    }
}

/// Foam laid on a torched or mopped sheet of bitumen, in a section: layers go on from the inner to the outer, and the sheet
/// is cold by then.
fn laid_cold(contact: &contact::Contact<'_>) -> bool {
    let (over, under) = (contact.a.material, contact.b.material);
    let hot = |m: &Material| m.bond() == Bond::Welded && m.family() == "bitumen";
    contact.link.is_none() && hot(under) && over.family() == "polystyrene"
}
