//! Which side of a surface the weather is on, which layer is its water plane, and what lies at or outboard of that.
//!
//! Not here: whether the plane is sound (plane, net), which way a lap sheds (gravity).
//! Invariant: a layer inboard of the water plane is never asked about water.

use crate::catalog::{Bond, Material, Sensitivity};
use crate::model::Job;
use crate::model::joint::{Joint, Link, Thing};
use crate::model::layer::{Body, Gap, Layer, Stuff};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Draw;
use crate::syntax::ast::{Control, Edge, JointKind, SurfaceKind, Verb};

/// From which end of the list of layers water comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WeatherSide {
    /// From the first layer on.
    First,
    /// From the last layer back: a slab or floor over soil or outdoor air.
    Last,
}

/// The wet side of a surface; none when it lies between rooms. A side that could not be told counts as wet.
pub fn weather_side(surface: &Surface) -> Option<WeatherSide> {
    let wet = |place: &SidePlace| !matches!(place, SidePlace::Room(_));
    match (wet(&surface.first.place), wet(&surface.last.place)) {
        (true, _) => Some(WeatherSide::First),
        (false, true) => Some(WeatherSide::Last),
        (false, false) => None,
    }
}

/// Whether soil lies on one side of a surface.
pub fn in_soil(surface: &Surface) -> bool {
    let soil = |place: &SidePlace| matches!(place, SidePlace::Ground { .. });
    soil(&surface.first.place) || soil(&surface.last.place)
}

/// Whether rain or soil can reach any end of a joint.
pub fn exposed(job: &Job, joint: &Joint) -> bool {
    let wet = |end| joint.surface(job, end).is_none_or(|s| weather_side(s).is_some());
    (0..joint.ends.len()).any(wet)
}

/// Whether rain can fall on any end of a joint.
pub fn rained_on(job: &Job, joint: &Joint) -> bool {
    let open = |s: &Surface| {
        let out = |place: &SidePlace| matches!(place, SidePlace::Outdoors);
        out(&s.first.place) || out(&s.last.place) || s.above_grade().is_some()
    };
    (0..joint.ends.len()).filter_map(|end| joint.surface(job, end)).any(open)
}

/// How many layers lie between the weather and a layer; the outermost has 0.
pub fn depth(surface: &Surface, layer: usize) -> usize {
    match weather_side(surface) {
        Some(WeatherSide::Last) => surface.layers.len().saturating_sub(layer + 1),
        Some(WeatherSide::First) | None => layer,
    }
}

/// The water plane, an index into the layers: the innermost that is relied on for water, or the sheet under a roofing or
/// cladding that is; where nobody says, the outermost sheet or coating outboard of the framing, else the outermost layer
/// that is no air.
pub fn water_plane(surface: &Surface) -> Option<usize> {
    let side = weather_side(surface)?;
    let mut inward: Vec<usize> = (0..surface.layers.len()).collect();
    if side == WeatherSide::Last {
        inward.reverse();
    }
    let layer = |index: &usize| surface.layers.get(*index);
    let claimed = |l: &Layer| l.relied_on.iter().any(|c| c.value == Control::Water);
    let relied_on = inward.iter().rev().find(|i| layer(i).is_some_and(claimed));
    // Battens stand outboard of the plane; bays that hold something are the framing proper.
    let framing = |l: &Layer| matches!(&l.body, Body::Members(m) if filled(&m.fill));
    let outboard = inward.iter().take_while(|i| !layer(i).is_some_and(framing));
    let sheet = outboard.clone().find(|i| layer(i).is_some_and(|l| material(l).is_some_and(sheds_as_plane)));
    let first = inward.iter().find(|i| layer(i).is_some_and(|l| !matches!(l.body, Body::Gap(_))));
    let shell = |l: &Layer| material(l).is_some_and(|m| matches!(m.kind(), "roofing" | "cladding"));
    let under = sheet.filter(|s| relied_on.is_some_and(|r| depth(surface, **s) > depth(surface, *r)));
    match relied_on {
        Some(last) if layer(last).is_some_and(shell) => under.or(Some(last)).copied(),
        Some(last) => Some(*last),
        None => sheet.or(first).copied(),
    }
}

fn filled(fill: &crate::model::layer::Fill) -> bool {
    use crate::model::layer::{BayPart, Fill};
    match fill {
        Fill::Unknown(_) => true,
        Fill::Parts(parts) => parts.iter().any(|p| matches!(p, BayPart::Stuff(_))),
    }
}

/// Sheets and coatings that people hang as a water plane.
fn sheds_as_plane(m: &Material) -> bool {
    matches!(m.kind(), "membrane" | "coating") || (m.kind() == "paper" && m.family() == "bitumen")
}

/// What a layer is made of, as drawn.
pub fn stuff(layer: &Layer) -> Option<&Stuff> {
    match &layer.body {
        Body::Sheet(choice) => choice.at(&Draw::middle()),
        Body::Panel(parts) => parts.first(),
        Body::Members(members) => Some(&members.member),
        Body::Gap(_) | Body::Hole => None,
    }
}

/// The catalog's row of a layer.
pub fn material(layer: &Layer) -> Option<&'static Material> {
    stuff(layer)?.material
}

/// The catalog's row of a thing of a joint.
pub fn material_of(job: &Job, joint: &Joint, thing: Thing) -> Option<&'static Material> {
    match joint.piece(job, thing) {
        Some(piece) => piece.stuff.as_ref()?.material,
        None => material(joint.layer(job, thing)?),
    }
}

/// The air gap that a layer is.
pub fn gap(layer: &Layer) -> Option<&Gap> {
    match &layer.body {
        Body::Gap(gap) => Some(gap),
        _ => None,
    }
}

/// Whether a thing lies at or outboard of the water plane. A piece does unless all it is tied to lies inboard.
pub fn outboard(job: &Job, joint: &Joint, thing: Thing) -> bool {
    match thing {
        Thing::Layer { end, layer, .. } => {
            let edge = joint.ends.get(end).and_then(|e| e.edge);
            joint.surface(job, end).is_some_and(|s| {
                // The edge of a slab stands in the weather with all its layers.
                let bare = edge == Some(Edge::Edge) && matches!(s.kind, SurfaceKind::Slab | SurfaceKind::Floor);
                let outside = || water_plane(s).is_some_and(|plane| depth(s, layer) <= depth(s, plane));
                edge != Some(Edge::InsideFace) && weather_side(s).is_some() && (bare || outside())
            })
        }
        Thing::Piece(0) if joint.kind != JointKind::Joint => true,
        Thing::Piece(_) | Thing::Other { .. } => {
            // What its edge runs past or stands clear of does not say where it lies.
            let near = |l: &&Link| !matches!(l.verb, Verb::RunsPast | Verb::RunsTo | Verb::StopsShort | Verb::Clears);
            let tied = joint.links_of(thing).filter(near).filter_map(|l| l.other(thing)).map(|p| p.thing);
            let mut layers = tied.filter(|t| matches!(t, Thing::Layer { .. })).peekable();
            layers.peek().is_none() || layers.any(|t| outboard(job, joint, t))
        }
        Thing::Room(_) => false,
        Thing::Surface { .. } | Thing::Seam | Thing::Outdoors | Thing::Outlet(_) | Thing::Grade | Thing::Paving => true,
        Thing::Hole => false,
    }
}

/// Whether water can harm a layer for good: wood or paper.
pub fn sensitive(layer: &Layer) -> bool {
    stuff(layer)
        .and_then(|s| s.material)
        .is_some_and(|m| matches!(m.sensitivity(), Sensitivity::Wood | Sensitivity::Paper))
}

/// What water does not lift, so that a strip stuck to it cannot be got behind: masonry, concrete, boards, glass, plate.
pub fn solid_face(m: &Material) -> bool {
    matches!(m.kind(), "masonry" | "concrete" | "plaster" | "wood-panel" | "board-insulation" | "glass" | "frame")
        || (m.kind() == "gypsum-board" || m.kind() == "lumber")
}

/// Sticks by nature once it is on: self-adhered sheet, tape, liquid.
pub fn sticks(m: &Material) -> bool {
    matches!(m.bond(), Bond::SelfAdhered | Bond::Tape | Bond::Liquid) && m.kind() != "concrete"
}
