//! Raised by the model floor; the page and the record stand here.

use crate::base::finding::Weight;
use crate::rules::{Rule, Run};

pub(super) const RULE: Rule = Rule {
    id: crate::model::UNKNOWN_NAME,
    summary: "a name that nothing answers to",
    weight: Weight::Stop,
    page: include_str!("unknown_name.md"),
    run: Run::Chain,
};
