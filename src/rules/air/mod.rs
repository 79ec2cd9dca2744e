//! Air: whether a layer is there that stops it, and whether that layer can.
//!
//! Invariant: a section is judged as drawn, a joint by the graph of what is written of it.

family![
    bare_cores,
    hollow_path,
    layer_not_joined,
    leakage_over_limit,
    leaky_material,
    loose_sheet,
    no_fresh_air,
    open_seams,
    open_section,
    outside_vented_gap,
    thin_foam,
    two_planes,
    unnamed_layer,
];

use super::facts::vent::left_out;
use super::facts::{Look, Missing, class};
use crate::base::quantity::AirPermeance;
use crate::base::show;
use crate::base::span::Spanned;
use crate::catalog::{AIR_BARRIER_LIMIT, Bond, Material, Seams};
use crate::graph::plane::{self, Agent};
use crate::graph::section::{Leak, leak};
use crate::model::Job;
use crate::model::layer::{BayPart, Body, Fill, Layer, Stuff, Treatment};
use crate::model::room::{RoomAir, RoomId};
use crate::model::surface::{Side, SidePlace, Surface};
use crate::syntax::ast::{Control, SurfaceKind};

/// Where the limit of a material comes from, as a detail prints it.
const LIMIT_SOURCE: &str = "IECC 2021 section C402.5.1.3 by ASTM E2178";
/// One cfm/ft2 in L/(s m2).
const CFM_PER_SQUARE_FOOT: f64 = 5.08;

/// What a side asks of the air layer.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Air {
    /// Air that somebody pays to heat, cool or dry.
    Kept,
    /// Outdoor, soil or unheated air.
    Free,
    /// Nothing is said of it.
    Unsaid,
}

/// Whether kept air lies on one side and free air on the other.
///
/// # Errors
/// When the air of a side is not described, or the section is not whole.
fn parts_air(look: &Look<'_>) -> Result<bool, Missing> {
    let surface = look.surface;
    let ends = (of_side(look.job, &surface.first), of_side(look.job, &surface.last));
    if surface.kind == SurfaceKind::Deck || ends == (Air::Free, Air::Free) || ends == (Air::Kept, Air::Kept) {
        return Ok(false);
    }
    if let Some(broken) = &surface.broken {
        return Err(Missing::new(broken.span, broken.why.clone()));
    }
    for (air, side) in [(ends.0, &surface.first), (ends.1, &surface.last)] {
        if air == Air::Unsaid {
            return Err(Missing::new(side.span, "nothing is said of the air on one side of it"));
        }
    }
    if let Some(layer) = surface.layers.iter().find(|l| l.seams.treatment == Treatment::Unknown) {
        return Err(unknown_seams(layer));
    }
    match surface.layers.iter().find(|l| matches!(l.body, Body::Hole)) {
        Some(hole) => Err(Missing::new(hole.stuff_span, format!("layer `{}` could not be resolved", hole.label))),
        None => Ok(true),
    }
}

/// What was said of the seams could not be read.
fn unknown_seams(layer: &Layer) -> Missing {
    let span = layer.seams.span.unwrap_or(layer.stuff_span);
    Missing::new(span, format!("how the seams of `{}` are closed is not known", layer.label))
}

fn of_side(job: &Job, side: &Side) -> Air {
    match side.place {
        SidePlace::Outdoors | SidePlace::Ground { .. } | SidePlace::Water { .. } => Air::Free,
        SidePlace::Room(id) => of_room(job, id, 0),
        SidePlace::Hole => Air::Unsaid,
    }
}

/// `depth` guards against rooms that share one another's air.
fn of_room(job: &Job, id: RoomId, depth: usize) -> Air {
    match job.room(id).map(|r| &r.air) {
        None | Some(RoomAir::Unsaid) => Air::Unsaid,
        Some(RoomAir::Kept { .. } | RoomAir::Always(_) | RoomAir::Monthly { .. }) => Air::Kept,
        Some(RoomAir::Unheated(_) | RoomAir::Open { .. }) => Air::Free,
        Some(RoomAir::Shares { room, .. }) if depth <= job.rooms.len() => of_room(job, *room, depth + 1),
        Some(RoomAir::Shares { .. }) => Air::Unsaid,
    }
}

/// Whether nothing on a surface is relied on against air, where air has to be stopped.
///
/// # Errors
/// As [`parts_air`].
fn unclaimed(look: &Look<'_>) -> Result<bool, Missing> {
    Ok(parts_air(look)? && !look.surface.layers.iter().any(claimed))
}

/// The way that air can take through what lies on the room side of outdoor air: behind a gap that is open low and high
/// nothing outside of it counts.
fn open_way(look: &Look<'_>) -> Option<Leak> {
    let skip = left_out(look.surface, &look.draw);
    if skip == 0 {
        return leak(look.surface, &look.draw);
    }
    let layers = look.surface.layers.iter().skip(skip).cloned().collect();
    let inner = Surface { layers, ..look.surface.clone() };
    let way = leak(&inner, &look.draw)?;
    Some(Leak { through: way.through.into_iter().map(|(layer, between)| (layer + skip, between)).collect() })
}

/// Whether the author relies on a layer against air.
fn claimed(layer: &Layer) -> bool {
    layer.relied_on.iter().any(|c| c.value == Control::Air)
}

/// Whether a layer was there before, on its own or with its surface.
fn stands(look: &Look<'_>, layer: &Layer) -> bool {
    layer.words.existing || look.surface.facts.existing
}

/// Whether something bonded to a layer stops air for it: a coat on its face, a sheet stuck to it all over, foam sprayed on
/// it; and of a sheet that is itself stuck on all over, the bitumen in it or the tight board that it lies on. Nothing does
/// for fibers, fill and cloth: air moves within them, past whatever they are stuck to.
fn backed(look: &Look<'_>, at: usize) -> bool {
    let Some(layer) = look.surface.layers.get(at) else { return false };
    let open = |word: Option<Spanned<bool>>| word.is_some_and(|w| !w.value);
    let solid = matches!(layer.body, Body::Sheet(_) | Body::Panel(_));
    if !solid || open(layer.words.edges) || open(layer.words.holes) {
        return false;
    }
    let is = |test: fn(&Material) -> bool| stuffs(layer, look).into_iter().filter_map(|s| s.material).any(test);
    if is(|m| class::airy(m) || (m.seams() == Seams::Sheet && m.air_open())) {
        return false;
    }
    let sheet = is(|m| m.seams() == Seams::Sheet);
    let stuck = layer.seams.adhered || is(|m| matches!(m.bond(), Bond::SelfAdhered | Bond::Welded));
    if (layer.words.paint.is_some() && is(class::masonry)) || (sheet && stuck && is(|m| m.family() == "bitumen")) {
        return true;
    }
    let beside = [at.checked_sub(1), Some(at + 1)].into_iter().flatten();
    // Nothing is bonded to a sheet that hangs loose.
    let ground = stuck || !sheet;
    beside
        .filter_map(|i| look.surface.layers.get(i))
        .any(|next| (ground && bonded(next, look)) || (sheet && stuck && tight(next, look)))
}

/// A layer that sticks all over to what it lies against and is closed to air.
fn bonded(layer: &Layer, look: &Look<'_>) -> bool {
    if let Body::Members(members) = &layer.body {
        return plane::bays_closed(members);
    }
    let sticks =
        |s: &Stuff| s.material.is_some_and(|m| matches!(m.bond(), Bond::Liquid | Bond::SelfAdhered | Bond::Welded));
    (layer.seams.adhered || stuffs(layer, look).into_iter().any(sticks))
        && plane::layer_closed(layer, Agent::Air, &look.draw)
}

/// A board or slab that passes no air but at its seams.
fn tight(layer: &Layer, look: &Look<'_>) -> bool {
    stuffs(layer, look).into_iter().filter_map(|s| s.material).any(|m| m.air_tight() == Some(true) && plane::firm(m))
}

/// The materials of a layer that could stop air: of members, what fills the bays.
fn stuffs<'a>(layer: &'a Layer, look: &Look<'_>) -> Vec<&'a Stuff> {
    match &layer.body {
        Body::Hole | Body::Gap(_) => Vec::new(),
        Body::Sheet(choice) => choice.at(&look.draw).into_iter().collect(),
        Body::Panel(parts) => parts.iter().collect(),
        Body::Members(members) => match &members.fill {
            Fill::Unknown(_) => Vec::new(),
            Fill::Parts(parts) => {
                parts.iter().filter_map(|p| if let BayPart::Stuff(stuff) = p { Some(stuff) } else { None }).collect()
            }
        },
    }
}

/// An air permeance as people read it.
fn flow(look: &Look<'_>, passes: AirPermeance) -> String {
    if passes.si() <= 0.0 {
        "too little to measure".to_string()
    } else if look.job.metric {
        format!("{} L/(s.m2)", show::fixed(passes.si(), 3))
    } else {
        format!("{} cfm/ft2", show::fixed(passes.si() / CFM_PER_SQUARE_FOOT, 3))
    }
}

/// The limit with its pressure.
fn limit(look: &Look<'_>) -> String {
    format!("{} at 75 Pa", flow(look, AIR_BARRIER_LIMIT))
}
