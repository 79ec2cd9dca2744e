//! What is on record: whether the answer can be relied on at all, and whether what is drawn can be built from it.
//!
//! Invariant: nothing here speaks of water, air or heat, only of what was said about the building.

mod cannot_be_built;
mod corner_not_drawn;
mod idle_acceptance;
mod not_decided;

/// An acceptance that accepts nothing.
pub const IDLE_ACCEPTANCE: &str = idle_acceptance::RULE.id;
/// A finding that comes and goes with what is not decided.
pub const NOT_DECIDED: &str = not_decided::RULE.id;

/// The rules of this family.
pub(super) const RULES: &[crate::rules::Rule] =
    &[cannot_be_built::RULE, corner_not_drawn::RULE, idle_acceptance::RULE, not_decided::RULE];
