//! What is on record: whether the answer can be relied on at all.
//!
//! Invariant: nothing here speaks of the building, only of what was said about it.

mod idle_acceptance;
mod not_decided;

/// An acceptance that accepts nothing.
pub const IDLE_ACCEPTANCE: &str = idle_acceptance::RULE.id;
/// A finding that comes and goes with what is not decided.
pub const NOT_DECIDED: &str = not_decided::RULE.id;

/// The rules of this family.
pub(super) const RULES: &[crate::rules::Rule] = &[idle_acceptance::RULE, not_decided::RULE];
