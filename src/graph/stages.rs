//! Which trade's work a thing is: what stands already, structure, sheathing, membranes, flashings, cladding, lining.
//!
//! Invariant: decided from the material and the layer's place alone; where that says nothing, a piece is flashing.

use super::exposure::{depth, gap, material, material_of, water_plane};
use crate::base::quantity::Length;
use crate::catalog::Material;
use crate::model::Job;
use crate::model::joint::{Joint, Thing};
use crate::model::layer::{BayPart, Body, Fill, Layer, Members};
use crate::model::surface::Surface;

/// The stages of the work, in the order the trades come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Stands already.
    Existing,
    /// Framing, masonry, concrete.
    Structure,
    /// Boards on the structure.
    Sheathing,
    /// Sheets, coatings, strips.
    Membrane,
    /// Formed metal, bars, bought units.
    Flashing,
    /// Insulation outside the plane, and the gap.
    Outboard,
    /// What the weather meets.
    Cladding,
    /// Trim that carries on over the rest.
    Cover,
    /// All on the room side.
    Inside,
}

/// The stage of a thing.
pub fn stage(job: &Job, joint: &Joint, thing: Thing) -> Stage {
    match thing {
        Thing::Layer { end, layer, .. } => joint.surface(job, end).map_or(Stage::Structure, |s| of_layer(s, layer)),
        Thing::Piece(_) | Thing::Other { .. } => of_piece(job, joint, thing),
        _ => Stage::Existing,
    }
}

/// The layer that carries a surface: its first framing, else its heaviest masonry, concrete or lumber.
pub(super) fn structure(surface: &Surface) -> Option<usize> {
    // Battens are members too: the deepest are the framing, and thin empty ones only where nothing else bears.
    let deep = |i: usize, thin: bool| match surface.layers.get(i).map(|l| &l.body) {
        Some(Body::Members(m)) if batten(m) == thin => Some(m.depth.low().si()),
        _ => None,
    };
    let members = |thin: bool| {
        let depths = (0..surface.layers.len()).filter_map(move |i| Some((i, deep(i, thin)?)));
        depths.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(i, _)| i)
    };
    let heavy = |m: &Material| matches!(m.kind(), "masonry" | "concrete" | "lumber" | "panel" | "wood-panel");
    let solid = |l: &Layer| !matches!(l.body, Body::Members(_)) && material(l).is_some_and(heavy);
    let inward = || surface.layers.iter().enumerate().rev();
    members(false).or_else(|| inward().find(|(_, l)| solid(l)).map(|(i, _)| i)).or_else(|| members(true))
}

/// Furring: up to 2 in deep with nothing in its bays. Our own choice.
fn batten(members: &Members) -> bool {
    let empty = matches!(&members.fill, Fill::Parts(parts) if parts.iter().all(|p| matches!(p, BayPart::Air(_))));
    empty && members.depth.low() <= Length::new(0.051)
}

fn of_layer(surface: &Surface, index: usize) -> Stage {
    let Some(layer) = surface.layers.get(index) else { return Stage::Structure };
    if surface.facts.existing || layer.words.existing {
        return Stage::Existing;
    }
    let bearing = structure(surface);
    let deeper = |i: usize| depth(surface, index) > depth(surface, i);
    if bearing == Some(index) {
        return Stage::Structure;
    }
    if bearing.is_some_and(deeper) {
        return Stage::Inside;
    }
    let outside = water_plane(surface).is_some_and(|p| depth(surface, index) < depth(surface, p));
    if gap(layer).is_some() {
        return Stage::Outboard;
    }
    match material(layer).map_or("", Material::kind) {
        "ground" => Stage::Structure,
        "membrane" | "coating" | "tape" | "paper" | "foil" => Stage::Membrane,
        "cladding" | "roofing" | "plaster" | "trim" => Stage::Cladding,
        "board-insulation" | "spray-foam" => Stage::Outboard,
        _ if outside && depth(surface, index) == 0 => Stage::Cladding,
        _ if outside => Stage::Outboard,
        _ => Stage::Sheathing,
    }
}

fn of_piece(job: &Job, joint: &Joint, thing: Thing) -> Stage {
    if joint.piece(job, thing).is_some_and(|p| p.shape.existing) {
        return Stage::Existing;
    }
    let laps_seam =
        |l: &crate::model::joint::Link| l.subject.thing == thing && l.object.is_some_and(|o| o.thing == Thing::Seam);
    if joint.links.iter().any(laps_seam) {
        return Stage::Cover;
    }
    if inside(job, joint, thing) {
        return Stage::Inside;
    }
    match material_of(job, joint, thing).map_or("", Material::kind) {
        "masonry" | "concrete" | "lumber" => Stage::Structure,
        "wood-panel" | "batt" | "board-insulation" => Stage::Sheathing,
        "membrane" | "coating" | "tape" | "paper" | "foil" => Stage::Membrane,
        "cladding" | "roofing" | "trim" | "plaster" => Stage::Cover,
        _ => Stage::Flashing,
    }
}

/// Whether a piece is tied to layers on the room side of the structure alone.
fn inside(job: &Job, joint: &Joint, thing: Thing) -> bool {
    let mut layers = joint.links_of(thing).filter_map(|l| l.other(thing)).filter_map(|p| match p.thing {
        Thing::Layer { end, layer, .. } => Some((joint.surface(job, end)?, layer)),
        _ => None,
    });
    let mut any = false;
    let all = layers.all(|(surface, layer)| {
        any = true;
        structure(surface).is_some_and(|s| depth(surface, layer) > depth(surface, s))
    });
    any && all
}
