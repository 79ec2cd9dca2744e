//! What is on record: whether the answer can be relied on at all, and whether what is drawn can be built from it.
//!
//! Invariant: nothing here speaks of water, air or heat, only of what was said about the building.

mod cannot_be_built;
mod code_elsewhere;
mod corner_not_drawn;
mod detail_revision;
mod failed_detail;
mod idle_acceptance;
mod new_between_old;
mod not_decided;
mod outside_conditions;
mod unearned_status;
mod unlikely_air;
mod unlikely_insulation;
mod unlikely_permeance;
mod unlikely_thickness;
mod zone_unlike_climate;

/// An acceptance that accepts nothing.
pub const IDLE_ACCEPTANCE: &str = idle_acceptance::RULE.id;
/// A detail outside the conditions it holds for.
pub const OUTSIDE_CONDITIONS: &str = outside_conditions::RULE.id;
/// A finding that comes and goes with what is not decided.
pub const NOT_DECIDED: &str = not_decided::RULE.id;

/// The rules of this family.
pub(super) const RULES: &[crate::rules::Rule] = &[
    cannot_be_built::RULE,
    code_elsewhere::RULE,
    corner_not_drawn::RULE,
    detail_revision::RULE,
    failed_detail::RULE,
    idle_acceptance::RULE,
    new_between_old::RULE,
    not_decided::RULE,
    outside_conditions::RULE,
    unearned_status::RULE,
    unlikely_air::RULE,
    unlikely_insulation::RULE,
    unlikely_permeance::RULE,
    unlikely_thickness::RULE,
    zone_unlike_climate::RULE,
];
