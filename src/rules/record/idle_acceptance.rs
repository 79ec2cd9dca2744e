//! Raised by the review where it puts acceptances together; the page and the record stand here.

use crate::base::finding::Weight;
use crate::rules::{Rule, Run};

pub(super) const RULE: Rule = Rule {
    id: "record/idle-acceptance",
    summary: "an acceptance that matches nothing any more",
    weight: Weight::Fix,
    page: include_str!("idle_acceptance.md"),
    run: Run::Chain,
};
