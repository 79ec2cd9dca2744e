//! Raised by the syntax and review floor; the page and the record stand here.

use crate::base::finding::Weight;
use crate::rules::{Rule, Run};

pub(super) const RULE: Rule = Rule {
    id: crate::syntax::LIMIT,
    summary: "a text larger than the program takes",
    weight: Weight::Stop,
    page: include_str!("limit.md"),
    run: Run::Chain,
};
