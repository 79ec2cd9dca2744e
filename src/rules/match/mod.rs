//! Match: whether two materials that touch can live together and hold, and whether a seal can follow the movement.
//!
//! Invariant: only what a sentence or the order of layers puts in contact is judged; a gasket or a gap between parts them.

family![
    acid_wood,
    attacking_pair,
    bead_shape,
    cedar_wash,
    copper_run_off,
    damp_face,
    dirty_face,
    foam_in_roof_heat,
    foam_on_loose_sheet,
    galvanic_pair,
    hard_coat_on_soft_wall,
    indoor_board_outdoors,
    left_in_daylight,
    light_metal_on_concrete,
    metal_in_cement,
    narrow_bead,
    no_bond,
    no_slack,
    nothing_to_stick_to,
    paper_board_in_splash,
    pierced_vacuum_panel,
    roots_in_bitumen,
    sagging_ceiling,
    soaking_insulation,
    soft_bed,
    three_sided_bond,
    tile_on_boards,
    too_cold,
    too_hot,
    treated_wood_metal,
    unprimed_face,
    unproved_pair,
    wet_wood_glued,
    wood_on_concrete,
    young_concrete,
    zinc_without_air,
];

mod contact;
mod metals;
mod movement;

use crate::base::finding::Finding;
use crate::catalog::Citation;
use contact::{Contact, Site};

/// A finding about a contact, at the words that make it.
fn about(contact: &Contact<'_>, rule: &super::Rule, weight: crate::base::finding::Weight, message: String) -> Finding {
    let finding = Finding::new(rule.id, weight, contact.span, message);
    match contact.site {
        Site::Joint(joint) => Finding { joint: Some(joint.name.clone()), ..finding },
        Site::Surface(surface) => finding.surface(surface.name.clone()),
    }
}

/// Where a figure comes from, as a detail ends.
fn from(citation: Citation<'_>) -> String {
    format!("Source: {} ({})", citation.source, citation.access.words())
}
