//! Edges of pieces: on what they lie, and whether anything covers or holds them.
//!
//! Invariant: only a sentence of the joint covers or holds an edge.

use super::seam;
use crate::catalog::{Bond, Material, Seams};
use crate::graph::station::{self, Where};
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, class};
use crate::syntax::ast::{Edge, Half, JointKind, Spot, Verb};

/// Which edge of what laps lies on what it laps over.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Rim {
    /// Water that runs down meets it.
    Top,
    /// At an upright seam.
    Side,
    /// Water drips from it.
    Bottom,
}

/// A sheet from a roll: wrap, paper, membrane, tape.
pub(super) fn sheet(m: &Material) -> bool {
    matches!(m.seams(), Seams::Sheet) && matches!(m.kind(), "membrane" | "paper" | "foil")
}

/// What a flashing is made of: metal, sheet, tape, coating, a formed piece.
pub(super) fn flashing(m: &Material) -> bool {
    matches!(m.kind(), "metal" | "flashing" | "membrane" | "tape" | "coating")
        || (m.kind() == "paper" && class::membrane(m))
}

/// Brick, stone, concrete, render: what water creeps into beside a glued edge.
pub(super) fn porous(m: &Material) -> bool {
    class::masonry(m) || class::plaster(m)
}

/// Whether the subject of a sentence sticks to its object all over.
pub(super) fn bonded(look: &JointLook<'_>, link: &Link) -> bool {
    let hold = &link.hold;
    let by_nature = |thing| {
        look.material(thing)
            .is_some_and(|m| matches!(m.bond(), Bond::SelfAdhered | Bond::Tape | Bond::Liquid) && flashing(m))
    };
    hold.bonded
        || hold.taped
        || hold.welded
        || hold.torched
        || by_nature(link.subject.thing)
        || link.with.as_ref().and_then(|w| w.material).is_some_and(class::self_adhered)
}

/// Whether the edge that a sentence speaks of is held or closed there: under a bar, clamped, in mastic.
pub(super) fn closed(link: &Link) -> bool {
    link.hold.edge_under.is_some() || link.hold.clamped || link.hold.sealed || link.unread
}

/// Whether something of the joint laps over a thing, or holds it.
pub(super) fn covered(look: &JointLook<'_>, thing: Thing) -> bool {
    let over = |l: &Link| l.verb == Verb::LapsOver && l.object.is_some_and(|o| same(o.thing, thing));
    let unsure = |l: &Link| l.not_shown && l.object.is_some_and(|o| same(o.thing, thing));
    look.joint.links.iter().any(|l| over(l) || unsure(l)) || held(look, thing)
}

/// Whether a thing sits in a slot, under a bar or a clamp, is welded down, or has something fastened through it.
pub(super) fn held(look: &JointLook<'_>, thing: Thing) -> bool {
    let pinned = |l: &Link| l.verb == Verb::FastensThrough && l.object.is_some_and(|o| same(o.thing, thing));
    let sits = |l: &Link| {
        let hold = &l.hold;
        let fast = hold.edge_under.is_some() || hold.clamped || hold.welded || hold.torched;
        same(l.subject.thing, thing) && (l.verb == Verb::TucksInto || fast)
    };
    look.joint.links.iter().any(|l| pinned(l) || sits(l))
}

/// The same piece or layer, whichever half of it is spoken of.
pub(super) fn same(a: Thing, b: Thing) -> bool {
    match (a, b) {
        (Thing::Layer { end: e, layer: l, .. }, Thing::Layer { end: f, layer: k, .. }) => (e, l) == (f, k),
        _ => a == b,
    }
}

/// Which edge of its subject lies on the object of a sentence; none where that can't be told.
pub(super) fn rim(look: &JointLook<'_>, link: &Link) -> Option<Rim> {
    let Thing::Layer { end, half, .. } = link.object?.thing else { return None };
    match half {
        _ if seam::upright(look) => Some(Rim::Side),
        Some(Half::Upper) => Some(Rim::Top),
        Some(Half::Lower) => Some(Rim::Bottom),
        None if look.joint.kind == JointKind::Joint => on_edge(look, end),
        None => at_place(look, link),
    }
}

/// On a layer that is not cut: above what enters it, below what it enters. What meets a face from below leaves the face
/// above it, and the other way round.
fn on_edge(look: &JointLook<'_>, end: usize) -> Option<Rim> {
    let edge = look.joint.ends.get(end)?.edge;
    if edge != Some(Edge::Face) {
        return if seam::upper(edge) { Some(Rim::Top) } else { seam::lower(edge).then_some(Rim::Bottom) };
    }
    let others: Vec<Option<Edge>> = look.joint.ends.iter().map(|e| e.edge).filter(|e| *e != Some(Edge::Face)).collect();
    match others.as_slice() {
        [] => None,
        met if met.iter().all(|e| seam::lower(*e)) => Some(Rim::Top),
        met if met.iter().all(|e| seam::upper(*e)) => Some(Rim::Bottom),
        _ => None,
    }
}

/// Round an opening or a thing that goes through: by the place of the sentence.
fn at_place(look: &JointLook<'_>, link: &Link) -> Option<Rim> {
    let Where::At(spots) = station::of_link(look.job, look.joint, link) else { return None };
    match spots.as_slice() {
        [Spot::Head | Spot::Top] => Some(Rim::Top),
        [Spot::Jambs | Spot::Sides] => Some(Rim::Side),
        [Spot::Sill | Spot::Bottom] => Some(Rim::Bottom),
        _ => None,
    }
}
