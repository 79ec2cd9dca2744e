//! Safety: where the work or the built thing can hurt someone. Local code and licensed practice decide.
//!
//! Invariant: says what is known and defers; never calls anything safe.

family![
    bare_foam,
    chimney_gap,
    cut_in_old_wall,
    deep_trench,
    drift_on_low_roof,
    foam_from_above,
    foam_while_lived_in,
    hole_in_old_wall,
    hot_on_wood,
    ledger_on_veneer,
    load_on_old_roof,
    loose_veneer,
    old_fibers,
    old_paint,
    open_flame,
    tight_house_burner,
    unit_in_old_wall,
];

use crate::model::Job;
use crate::model::joint::Joint;

/// Whether an earlier stanza of the same sort puts something new through the same surface: what has to be said of the
/// surface is said there.
fn told_before(job: &Job, joint: &Joint) -> bool {
    let host = |j: &Joint| j.ends.first().map(|e| e.of);
    let new = |j: &Joint| j.pieces.first().is_some_and(|p| !p.shape.existing);
    let mut before = job.joints.iter().take_while(|j| !std::ptr::eq(*j, joint));
    before.any(|j| j.kind == joint.kind && host(j) == host(joint) && new(j))
}
