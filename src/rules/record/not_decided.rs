//! Raised by the review where it puts draws together; the page and the record stand here.

use crate::base::finding::Weight;
use crate::rules::{Rule, Run};

pub(super) const RULE: Rule = Rule {
    id: "record/not-decided",
    summary: "a verdict that hangs on something unknown",
    weight: Weight::Watch,
    page: include_str!("not_decided.md"),
    run: Run::Chain,
};
