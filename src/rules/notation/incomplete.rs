//! Raised by the syntax and model floor; the page and the record stand here.

use crate::base::finding::Weight;
use crate::rules::{Rule, Run};

pub(super) const RULE: Rule = Rule {
    id: crate::syntax::INCOMPLETE,
    summary: "something that must be said and is not",
    weight: Weight::Stop,
    page: include_str!("incomplete.md"),
    run: Run::Chain,
};
