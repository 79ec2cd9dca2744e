//! Water: laps, edges, lines of defense, the layer that keeps rain out.
//!
//! Invariant: what rain cannot reach is not judged; what is not shown is never passed and never found at fault.

family![
    backward_fall,
    bare_eave,
    bare_ground_wall,
    bare_ledger,
    bare_penetration,
    bare_top_edge,
    blind_transfer,
    cladding_near_ground,
    cladding_near_paving,
    cladding_near_roof,
    cladding_on_flashing,
    coating_as_flashing,
    cover_stops_at_seam,
    damp_course_bypassed,
    embedded_wood,
    face_sealed_in_hard_rain,
    far_weeps,
    flat_paving,
    flat_roof,
    layer_not_joined,
    leaky_water_layer,
    level_ledge,
    level_unlike_joint,
    loose_bar,
    low_threshold,
    low_upturn,
    mass_bypass,
    missing_end_dams,
    missing_head_flashing,
    missing_kick_out,
    missing_sill_pan,
    missing_tray,
    mortar_in_cavity,
    narrow_masonry_lap,
    no_drip,
    no_exit,
    no_ice_barrier,
    no_overflow,
    no_saddle,
    no_water_layer,
    no_weep_screed,
    one_line,
    one_sheet_behind_stucco,
    open_cap_seams,
    open_corner,
    open_grade_line,
    open_pan_back,
    pan_inside,
    plugged_exit,
    rain_held,
    raw_masonry_edge,
    reversed_lap,
    run_off_on_seam,
    sealant_alone,
    shallow_slot,
    short_counterflashing,
    short_lap,
    short_of_face,
    short_upright_lap,
    small_step_flashing,
    stranded_flashing,
    thin_cavity,
    undrained_render,
    unsealed_fastener,
    wick,
];

mod cavity;
mod edge;
mod ground;
mod least;
mod part;
mod roofs;
mod seam;
mod ties;
mod top_edge;
mod unfed;

use super::facts::{JointLook, Missing};
use crate::base::finding::Weight;
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::model::joint::{Link, Thing};
use crate::syntax::ast::{JointKind, Verb};

/// Longest name that fits into a message.
const NAME: usize = 20;

/// Whether a length falls short of a figure. The round figures of the two systems are taken for one another, 50 mm for
/// 2 in, 75 mm for 3 in, 150 mm for 6 in: they differ by less than a fiftieth.
fn falls_short(length: Length, least: Length) -> bool {
    length.si() < least.si() * 0.98
}

/// A thing as the author calls it, cut where it would burst a message.
fn name(look: &JointLook<'_>, thing: Thing) -> String {
    let whole = look.name(thing);
    if whole.chars().count() <= NAME {
        return whole;
    }
    whole.chars().take(NAME - 1).chain(['…']).collect()
}

/// A length as the job's people write it.
fn show(look: &JointLook<'_>, length: Length) -> String {
    Show { metric: look.job.metric }.length(length)
}

/// The weight of a finding: what stands already is inspected, whatever is wrong with it.
fn weigh(look: &JointLook<'_>, weight: Weight) -> Weight {
    if seam::stands(look) { Weight::Watch } else { weight }
}

/// The laps of a joint that rain can reach and of which something is shown: each with what lies under it.
fn laps<'l>(look: &'l JointLook<'_>) -> impl Iterator<Item = (&'l Link, Thing)> {
    let links: &[Link] = if seam::wet(look) { &look.joint.links } else { &[] };
    let laps = links.iter().filter(|l| l.verb == Verb::LapsOver && !l.not_shown);
    let both = laps.filter_map(|l| Some((l, l.object?.thing)));
    both.filter(|(l, under)| !inside(look, l.subject.thing) && !inside(look, *under))
}

/// Whether a thing lies on the room side: a layer there, or a piece that is tied to such layers alone.
fn inside(look: &JointLook<'_>, thing: Thing) -> bool {
    let Thing::Piece(index) = thing else { return seam::inside(look, thing) };
    // A unit stands in the opening: its other face is in the rain.
    if look.joint.kind == JointKind::Opening && index == 0 {
        return false;
    }
    let others = look.joint.links_of(thing).filter_map(|l| l.other(thing)).map(|p| p.thing);
    let mut layers = others.filter(|t| matches!(t, Thing::Layer { .. })).peekable();
    layers.peek().is_some() && layers.all(|t| seam::inside(look, t))
}

/// How far a lap reaches.
///
/// # Errors
/// When it is not written, or nobody knows it.
fn reach(look: &JointLook<'_>, link: &Link) -> Result<Length, Missing> {
    let what = || format!("how far `{}` laps over `{}`", look.name(link.subject.thing), under(look, link));
    match &link.length {
        Some(length) => look.least(length, &what(), link.length_span.unwrap_or(link.span)),
        None => Err(Missing::new(link.span, format!("{} is not written", what()))),
    }
}

fn under(look: &JointLook<'_>, link: &Link) -> String {
    link.object.map_or_else(|| "what lies there".to_string(), |o| look.name(o.thing))
}
