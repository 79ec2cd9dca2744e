//! Flashings that nothing above hands its water to.
//!
//! Invariant: judged only where something stands above by the text: a wall or roof that ends there, a face that carries on,
//! the host over the head of an opening or over what goes through it.

use super::edge::{bonded, same};
use super::top_edge::behind_a_cap;
use crate::graph::exposure::outboard;
use crate::graph::gravity::{Height, upright};
use crate::graph::station::{Station, of_link};
use crate::model::joint::{Link, Piece, Thing};
use crate::rules::facts::{JointLook, class};
use crate::syntax::ast::{Edge, JointKind, Spot, SurfaceKind, Verb};

/// The pieces that lie below something and take none of its water, each with the station.
pub(super) fn unfed(look: &JointLook<'_>) -> Vec<(Thing, Station)> {
    let first = usize::from(look.joint.kind != JointKind::Joint);
    let mut found: Vec<(Thing, Station)> = Vec::new();
    for station in look.stations().iter().copied().filter(|s| below_something(look, *s)) {
        for (index, piece) in look.joint.pieces.iter().enumerate().skip(first) {
            let thing = Thing::Piece(index);
            let known = found.iter().any(|(t, _)| *t == thing);
            if !known
                && sheds(look, thing, piece, station)
                && !fed(look, thing, station, &mut Vec::new())
                && !served(look, thing, station)
                && !behind_a_cap(look, thing)
                && !ends_on_board(look, thing, station)
            {
                found.push((thing, station));
            }
        }
    }
    found
}

/// Whether the upper end of a strip is stuck to a board of the joint, a plate or a block say: water does not lift it there.
/// Its lower end lies on something else.
fn ends_on_board(look: &JointLook<'_>, thing: Thing, station: Station) -> bool {
    let laps = || {
        let own = look.joint.links.iter().filter(|l| l.verb == Verb::LapsOver && same(l.subject.thing, thing));
        own.filter(|l| of_link(look.job, look.joint, l).counts(station))
    };
    let board = |l: &Link| {
        let on = l.object.map(|o| o.thing).filter(|on| matches!(on, Thing::Piece(_)));
        bonded(look, l) && on.and_then(|on| look.material(on)).is_some_and(|m| class::decking(m) && !class::masonry(m))
    };
    let lower = |l: &Link| !board(l) && l.object.is_some_and(|o| matches!(o.thing, Thing::Layer { .. }));
    look.material(thing).is_some_and(class::membrane) && laps().any(board) && laps().any(lower)
}

/// Whether another piece there takes the water from above to the same unit: this one is a cover in front of it.
fn served(look: &JointLook<'_>, thing: Thing, station: Station) -> bool {
    let unit = Thing::Piece(0);
    let over_unit = |t: Thing| {
        look.joint.links.iter().any(|l| {
            l.verb == Verb::LapsOver
                && l.subject.thing == t
                && l.object.is_some_and(|o| o.thing == unit)
                && of_link(look.job, look.joint, l).counts(station)
        })
    };
    look.joint.kind == JointKind::Opening
        && over_unit(thing)
        && (1..look.joint.pieces.len())
            .map(Thing::Piece)
            .any(|other| other != thing && over_unit(other) && fed(look, other, station, &mut Vec::new()))
}

/// Whether something stands above at a station, so that its water comes down there.
fn below_something(look: &JointLook<'_>, station: Station) -> bool {
    match look.joint.kind {
        JointKind::Opening => station == Station::At(Spot::Head),
        JointKind::Penetration => {
            station == Station::At(Spot::Top)
                && look.height(Thing::Surface { end: 0, half: None }, station) == Height::Upper
        }
        JointKind::Joint => {
            !upright(look.joint, station) && (0..look.joint.ends.len()).any(|e| above(look, e, station))
        }
    }
}

/// Whether an end stands above: its surface ends there, or it is the face of a wall that carries on.
fn above(look: &JointLook<'_>, end: usize, station: Station) -> bool {
    let Some(surface) = look.joint.surface(look.job, end) else { return false };
    let face =
        look.joint.ends.get(end).is_some_and(|e| e.edge == Some(Edge::Face)) && surface.kind == SurfaceKind::Wall;
    match look.height(Thing::Surface { end, half: None }, station) {
        Height::Upper => true,
        Height::Between => face,
        _ => false,
    }
}

/// Whether a piece is a flashing there that sheds on to something or past a face.
fn sheds(look: &JointLook<'_>, thing: Thing, piece: &Piece, station: Station) -> bool {
    let hole = look.joint.kind == JointKind::Penetration;
    let own = |p: &Piece| matches!(station, Station::At(spot) if p.places.contains(&spot));
    // Where a piece of its own lies above what goes through, those that lie all round are below it.
    let here = own(piece) || (piece.places.is_empty() && !(hole && look.joint.pieces.iter().any(own)));
    let onward = |l: &Link| {
        let down = l.object.is_some_and(|o| look.height(o.thing, station) != Height::Upper);
        // What is held by the thing that goes through and sheds on other pieces hangs over them.
        let down = down && (!hole || matches!(l.object.map(|o| o.thing), Some(Thing::Layer { .. })));
        l.subject.thing == thing
            && (matches!(l.verb, Verb::RunsPast | Verb::DrainsTo) || (l.verb == Verb::LapsOver && down))
    };
    let flashing = |m: &crate::catalog::Material| {
        (class::metal(m) || class::membrane(m) || m.kind() == "flashing")
            && !matches!(m.key(), "plastic-dpc" | "slab-membrane")
    };
    // A sheet that something is fastened on to, or lies on, is the wall's layer there.
    let behind =
        |l: &Link| matches!(l.verb, Verb::Touches | Verb::FastensThrough) && l.object.is_some_and(|o| o.thing == thing);
    let sheet = look.material(thing).is_some_and(class::self_adhered);
    here && look.material(thing).is_some_and(flashing)
        && outboard(look.job, look.joint, thing)
        && look.joint.links.iter().any(|l| onward(l) || (sheet && behind(l)))
}

/// Whether water from above gets on to a piece: something that is fed laps over it, or it is tied to what stands above.
fn fed(look: &JointLook<'_>, thing: Thing, station: Station, seen: &mut Vec<Thing>) -> bool {
    seen.push(thing);
    look.joint
        .links_of(thing)
        .filter(|l| l.not_shown || l.unread || of_link(look.job, look.joint, l).counts(station))
        .any(|l| {
            if l.not_shown || l.unread {
                return true;
            }
            let Some(other) = l.other(thing).map(|o| o.thing) else { return false };
            let from_above = from_above(look, other, station);
            match l.verb {
                Verb::LapsOver if l.subject.thing == other => {
                    from_above
                        || (matches!(other, Thing::Piece(_))
                            && !seen.contains(&other)
                            && fed(look, other, station, seen))
                }
                Verb::LapsOver | Verb::SealsTo | Verb::TucksInto | Verb::TurnsUp | Verb::FastensTo | Verb::Butts => {
                    l.subject.thing == thing && from_above
                }
                Verb::DrainsTo => l.subject.thing == other,
                _ => false,
            }
        })
}

/// Whether a thing is part of what stands above, or of a wall that carries on.
fn from_above(look: &JointLook<'_>, thing: Thing, station: Station) -> bool {
    let (Thing::Layer { end, half, .. } | Thing::Surface { end, half }) = thing else {
        return matches!(thing, Thing::Other { .. }) && look.height(thing, station) == Height::Upper;
    };
    let host = look.joint.kind != JointKind::Joint;
    match look.height(thing, station) {
        Height::Upper => true,
        Height::Between | Height::Unknown => half.is_none() && (host || above(look, end, station)),
        _ => false,
    }
}
