//! Top edges that nothing is said of: flashings that are tied to what lies below alone.
//!
//! Invariant: only a flashing under something that goes on above it has such an edge.

use super::edge::{porous, same};
use super::seam;
use crate::graph::gravity::Height;
use crate::graph::station::Station;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::JointLook;
use crate::syntax::ast::{Edge, Half, JointKind, Spot, SurfaceKind, Verb};

/// Whether a flashing with something above it sheds on to what lies below, and nothing ties it to what is above.
pub(super) fn stands_free(look: &JointLook<'_>, link: &Link) -> bool {
    let joint = look.joint;
    let Thing::Piece(index) = link.subject.thing else { return false };
    let Some(piece) = joint.pieces.get(index).filter(|_| link.verb == Verb::LapsOver) else { return false };
    let thing = link.subject.thing;
    let over = link.object.map(|o| o.thing);
    let runs = piece.places.is_empty();
    let there = match joint.kind {
        JointKind::Joint => runs && !seam::upright(look) && something_below(look) && wall_above(look),
        JointKind::Opening => piece.places == [Spot::Head] && over == Some(Thing::Piece(0)),
        JointKind::Penetration => {
            let leg = |l: &Link| l.verb == Verb::TurnsUp && l.object.is_some_and(|o| o.thing == Thing::Piece(0));
            runs && (joint.links.iter().any(|l| leg(l) && Some(l.subject.thing) == over) || hangs_low(look, thing))
        }
    };
    let upper = |t: Thing| match t {
        Thing::Layer { half: Some(half), .. } | Thing::Surface { half: Some(half), .. } => half == Half::Upper,
        Thing::Layer { end, .. } | Thing::Surface { end, .. } => {
            joint.kind == JointKind::Opening || joint.ends.get(end).is_some_and(|e| above(e.edge))
        }
        Thing::Piece(0) => joint.kind == JointKind::Penetration && !hangs_low(look, thing),
        _ => false,
    };
    there
        && !behind_a_cap(look, thing)
        && !joint.links_of(thing).any(|l| l.not_shown || l.other(thing).is_some_and(|o| upper(o.thing)))
}

/// Whether a flashing lies behind something that a cap laps over: what comes down the wall goes over that.
pub(super) fn behind_a_cap(look: &JointLook<'_>, thing: Thing) -> bool {
    let links = &look.joint.links;
    let lapped = |t: Thing| {
        links
            .iter()
            .any(|l| l.verb == Verb::LapsOver && l.subject.thing != thing && l.object.is_some_and(|o| same(o.thing, t)))
    };
    let beside = |l: &&Link| matches!(l.verb, Verb::Touches | Verb::Clears | Verb::FastensTo | Verb::FastensThrough);
    look.joint.links_of(thing).filter(beside).filter_map(|l| l.other(thing)).any(|o| lapped(o.thing))
}

/// Whether a collar on a wall is tied to the layers beside and below it alone.
fn hangs_low(look: &JointLook<'_>, thing: Thing) -> bool {
    let wall = look.joint.surface(look.job, 0).is_some_and(|s| s.kind == SurfaceKind::Wall);
    let laps = || look.joint.links.iter().filter(|l| l.verb == Verb::LapsOver && same(l.subject.thing, thing));
    let low = |l: &Link| {
        let lower = matches!(l.object.map(|o| o.thing), Some(Thing::Layer { half: Some(Half::Lower), .. }));
        lower || (!l.places.is_empty() && l.places.iter().all(|s| matches!(s, Spot::Sides | Spot::Bottom)))
    };
    wall && laps().next().is_some() && laps().all(low)
}

/// Whether something that water runs on to ends at the joint.
fn something_below(look: &JointLook<'_>) -> bool {
    let below = |end| look.height(Thing::Surface { end, half: None }, Station::Run) == Height::Lower;
    (0..look.joint.ends.len()).any(below)
}

/// Flashings round a stack of masonry whose edge on the stack nothing covers: no counterflashing laps over them, straight or
/// over another flashing, and they are not tied to the stack themselves.
pub(super) fn at_stack<'a>(look: &JointLook<'a>) -> Option<&'a Link> {
    if !through(look, Thing::Piece(0)) || look.joint.surface(look.job, 0).is_none_or(|s| s.kind != SurfaceKind::Roof) {
        return None;
    }
    let links = &look.joint.links;
    let tied = |t: Thing| links.iter().any(|l| l.not_shown || l.ties(t, Thing::Piece(0)));
    let mut safe: Vec<Thing> = (1..look.joint.pieces.len()).map(Thing::Piece).filter(|t| tied(*t)).collect();
    let mut next = 0;
    while let Some(over) = safe.get(next).copied() {
        next += 1;
        let under = links.iter().filter(|l| l.verb == Verb::LapsOver && l.subject.thing == over);
        let found: Vec<Thing> = under.filter_map(|l| Some(l.object?.thing)).filter(|t| !safe.contains(t)).collect();
        safe.extend(found);
    }
    let rigid = |t: Thing| look.material(t).is_some_and(|m| matches!(m.kind(), "metal" | "flashing"));
    let bare = |t: Thing| matches!(t, Thing::Piece(i) if i > 0) && rigid(t) && !safe.contains(&t);
    let host = |l: &Link| l.object.is_some_and(|o| matches!(o.thing, Thing::Layer { .. }));
    links.iter().find(|l| l.verb == Verb::LapsOver && host(l) && bare(l.subject.thing))
}

fn above(edge: Option<Edge>) -> bool {
    matches!(edge, Some(Edge::Face | Edge::Bottom))
}

/// Whether a drip edge runs past a layer at the eave of its roof: the roof's sheet or covering has to come down over it.
pub(super) fn at_eave(look: &JointLook<'_>, link: &Link) -> bool {
    let eave = |end: usize| look.joint.ends.get(end).is_some_and(|e| e.edge == Some(Edge::Eave));
    let past = matches!(link.object.map(|o| o.thing), Some(Thing::Layer { end, .. }) if eave(end));
    past && link.verb == Verb::RunsPast && matches!(link.subject.thing, Thing::Piece(_))
}

/// Whether a wall goes on above the joint.
fn wall_above(look: &JointLook<'_>) -> bool {
    let wall = |end: usize| look.joint.surface(look.job, end).is_some_and(|s| s.kind == SurfaceKind::Wall);
    look.joint.ends.iter().enumerate().any(|(end, e)| above(e.edge) && wall(end))
}

/// Whether a thing is what goes up through the surface: a stack, a pipe of masonry.
pub(super) fn through(look: &JointLook<'_>, thing: Thing) -> bool {
    look.joint.kind == JointKind::Penetration && thing == Thing::Piece(0) && look.material(thing).is_some_and(porous)
}
