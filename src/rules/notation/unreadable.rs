//! Raised by the syntax floor; the page and the record stand here.

use crate::base::finding::Weight;
use crate::rules::{Rule, Run};

pub(super) const RULE: Rule = Rule {
    id: crate::syntax::UNREADABLE,
    summary: "a line that can't be read",
    weight: Weight::Stop,
    page: include_str!("unreadable.md"),
    run: Run::Chain,
};
