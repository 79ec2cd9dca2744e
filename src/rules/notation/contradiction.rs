//! Raised by the model floor; the page and the record stand here.

use crate::base::finding::Weight;
use crate::rules::{Rule, Run};

pub(super) const RULE: Rule = Rule {
    id: crate::model::CONTRADICTION,
    summary: "two things said that can't both be",
    weight: Weight::Stop,
    page: include_str!("contradiction.md"),
    run: Run::Chain,
};
