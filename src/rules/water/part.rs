//! The pieces of a joint that carry water: which they are, where they lie, what they are tied to, where they let it go.
//!
//! Not here: whether a lap sheds (`graph/gravity.rs`). Invariant: decided from materials, places and sentences, never
//! from what a piece is called.

use super::cavity::{self, Cavity};
use super::seam;
use crate::base::finding::Weight;
use crate::base::show::Show;
use crate::graph::station::{self, Station};
use crate::model::joint::{EndOf, Link, Piece, Thing};
use crate::model::surface::Surface;
use crate::rules::facts::{JointLook, Missing, class};
use crate::syntax::ast::{Edge, JointKind, Spot, SurfaceKind, Verb};

/// Longest name that fits into a message.
const NAME: usize = 18;

/// Lengths as the job shows them.
pub(super) fn show(look: &JointLook<'_>) -> Show {
    Show { metric: look.job.metric }
}

/// A figure in the units of the job: a metric and an inch text that trades write for the same thing.
pub(super) fn either(look: &JointLook<'_>, metric: &'static str, inch: &'static str) -> &'static str {
    if look.job.metric { metric } else { inch }
}

/// A name, cut where it would burst a message.
pub(super) fn name(look: &JointLook<'_>, thing: Thing) -> String {
    cut(&look.name(thing))
}

/// A text, cut where it would burst a message.
pub(super) fn cut(text: &str) -> String {
    if text.chars().count() <= NAME {
        return text.to_string();
    }
    text.chars().take(NAME - 1).chain(['…']).collect()
}

/// What stands already is inspected, not rebuilt.
pub(super) fn weigh(existing: bool, weight: Weight) -> Weight {
    if existing { Weight::Watch } else { weight }
}

/// The pieces of this joint but for the unit of an opening and the thing through a penetration.
pub(super) fn pieces<'a>(look: &JointLook<'a>) -> impl Iterator<Item = (Thing, &'a Piece)> {
    let first = usize::from(look.joint.kind != JointKind::Joint);
    look.joint.pieces.iter().enumerate().skip(first).map(|(i, p)| (Thing::Piece(i), p))
}

/// The surfaces that meet, with their ends.
pub(super) fn ends<'a>(look: &JointLook<'a>) -> impl Iterator<Item = (usize, Option<Edge>, &'a Surface)> {
    let (job, joint) = (look.job, look.joint);
    joint.ends.iter().enumerate().filter_map(move |(i, e)| Some((i, e.edge, joint.surface(job, i)?)))
}

/// Whether rain can reach the joint: one of its surfaces has outdoor air on its first side.
pub(super) fn wet(look: &JointLook<'_>) -> bool {
    !seam::under_loft(look) && ends(look).any(|(_, _, s)| cavity::outdoors(s))
}

/// The wall that an opening is in, where rain can reach it.
pub(super) fn host<'a>(look: &JointLook<'a>) -> Option<&'a Surface> {
    if look.joint.kind != JointKind::Opening {
        return None;
    }
    look.joint.surface(look.job, 0).filter(|s| s.kind == SurfaceKind::Wall && cavity::outdoors(s))
}

/// Refuses to judge an opening of which only the unit is named: it is listed, not drawn.
///
/// # Errors
/// When no sentence says how the unit is built in.
pub(super) fn drawn(look: &JointLook<'_>) -> Result<(), Missing> {
    match look.joint.links.is_empty() {
        true => Err(Missing::new(look.joint.span, "nothing is said of how the unit is built in")),
        false => Ok(()),
    }
}

/// Sheet, metal, coating or formed plastic that water runs on.
pub(super) fn flashing(look: &JointLook<'_>, thing: Thing) -> bool {
    look.material(thing).is_some_and(|m| matches!(m.kind(), "metal" | "flashing" | "coating") || class::membrane(m))
}

/// Bends to any shape: a sheet, a coating.
pub(super) fn soft(look: &JointLook<'_>, thing: Thing) -> bool {
    look.material(thing).is_some_and(class::membrane)
}

/// Whether a piece lies at a place of an opening or penetration; a piece without a place lies all round.
pub(super) fn lies_at(piece: &Piece, spot: Spot) -> bool {
    piece.places.is_empty() || piece.places.contains(&spot)
}

/// Whether a sentence counts at a place.
pub(super) fn counts_at(look: &JointLook<'_>, link: &Link, spot: Spot) -> bool {
    station::of_link(look.job, look.joint, link).counts(Station::At(spot))
}

/// Whether two things are the same, whichever half of a layer is meant.
pub(super) fn same(a: Thing, b: Thing) -> bool {
    match (a, b) {
        (Thing::Layer { end, layer, .. }, Thing::Layer { end: other_end, layer: other, .. }) => {
            (end, layer) == (other_end, other)
        }
        _ => a == b,
    }
}

/// The layers of an end that a thing is tied to.
fn tied_layers(look: &JointLook<'_>, thing: Thing, end: usize) -> Vec<usize> {
    let layer = |l: &Link| match l.other(thing)?.thing {
        Thing::Layer { end: e, layer, .. } if e == end => Some(layer),
        _ => None,
    };
    look.joint.links_of(thing).filter(|l| l.verb != Verb::Clears).filter_map(layer).collect()
}

/// Whether a piece is tied to what lies inboard of a gap, itself or by a strip that laps over it.
pub(super) fn tied_inboard(look: &JointLook<'_>, thing: Thing, end: usize, gap: usize) -> bool {
    let inboard = |t: Thing| tied_layers(look, t, end).into_iter().any(|l| l > gap);
    let strips = look.joint.links.iter().filter(|l| l.verb == Verb::LapsOver);
    inboard(thing)
        || strips
            .filter(|l| l.object.is_some_and(|o| o.thing == thing))
            .any(|l| matches!(l.subject.thing, Thing::Piece(_)) && inboard(l.subject.thing))
}

/// A bar of plain steel that carries the leaf, a lintel or shelf angle, and lumber: they lead no water out unless they are
/// said to.
pub(super) fn bears(look: &JointLook<'_>, thing: Thing) -> bool {
    let solid = look.material(thing).is_some_and(|m| m.key() == "steel" || matches!(m.kind(), "lumber" | "trim"));
    solid && !look.joint.links.iter().any(|l| l.subject.thing == thing && drains_out(l))
}

/// The cavity that a piece crosses: what runs down in it lands on the piece.
pub(super) fn crosses<'a>(look: &JointLook<'a>, thing: Thing) -> Option<(usize, Cavity<'a>)> {
    let outboard =
        |end: usize, gap: usize| {
            tied_layers(look, thing, end).into_iter().any(|l| l < gap)
                || look.joint.links.iter().any(|l| {
                    l.subject.thing == thing && (matches!(l.verb, Verb::RunsPast | Verb::RunsTo) || drains_out(l))
                })
        };
    if look.piece(thing).is_some_and(at_an_end) || bears(look, thing) {
        return None;
    }
    ends(look).find_map(|(end, _, surface)| {
        let cavity = cavity::cavity(surface)?;
        (tied_inboard(look, thing, end, cavity.gap) && outboard(end, cavity.gap)).then_some((end, cavity))
    })
}

/// Whether a sentence lets water out.
pub(super) fn drains_out(link: &Link) -> bool {
    link.verb == Verb::DrainsTo
        && link.object.is_some_and(|o| !matches!(o.thing, Thing::Room(_) | Thing::Hole | Thing::Seam))
}

/// Whether the water of a piece gets away: it drains, laps over something, or its edge reaches the face.
pub(super) fn has_exit(look: &JointLook<'_>, thing: Thing) -> bool {
    look.joint.links.iter().filter(|l| l.subject.thing == thing).any(|l| {
        drains_out(l)
            || l.not_shown
            || l.unread
            || matches!(l.verb, Verb::RunsPast | Verb::RunsTo)
            || (l.verb == Verb::LapsOver && l.object.is_some_and(|o| o.thing != Thing::Seam))
    })
}

/// Whether any sentence has the piece as its subject and this verb.
pub(super) fn does(look: &JointLook<'_>, thing: Thing, verb: Verb) -> bool {
    look.joint.links.iter().any(|l| l.verb == verb && l.subject.thing == thing)
}

/// Whether a piece lies at the sill of a unit: in its own stanza, or where its sill meets a balcony.
pub(super) fn at_sill(look: &JointLook<'_>, piece: &Piece) -> bool {
    match look.joint.kind {
        JointKind::Opening => piece.places.contains(&Spot::Sill),
        JointKind::Joint => look.joint.ends.iter().any(|e| e.edge == Some(Edge::Sill)),
        JointKind::Penetration => false,
    }
}

/// Whether a piece is a pan: it lies under a unit and catches what leaks through it. A sill in front of the face is none.
pub(super) fn pan(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> bool {
    if !at_sill(look, piece) || !flashing(look, thing) {
        return false;
    }
    let formed = look.material(thing).is_some_and(|m| m.key() == "formed-pan");
    let laps_plane = |(end, _, surface): (usize, Option<Edge>, &Surface)| {
        let plane = cavity::plane(surface);
        tied_layers(look, thing, end).into_iter().any(|l| plane.is_some_and(|p| l >= p && l > 0))
    };
    let opening = look.joint.kind == JointKind::Opening;
    formed
        || piece.shape.back_dam.is_some()
        || (opening && soft(look, thing) && !in_front(look, thing))
        || (opening
            && !soft(look, thing)
            && !does(look, thing, Verb::RunsPast)
            && !in_front(look, thing)
            && ends(look).any(laps_plane))
}

/// A sheet at the sill that lies over the unit, or under the pan proper, is a skirt or an apron.
fn in_front(look: &JointLook<'_>, thing: Thing) -> bool {
    let at_sill = |t: Thing| {
        matches!(t, Thing::Piece(i) if i > 0) && look.piece(t).is_some_and(|p| p.places.contains(&Spot::Sill))
    };
    look.joint.links.iter().filter(|l| l.verb == Verb::LapsOver).any(|l| {
        let object = l.object.map(|o| o.thing);
        (l.subject.thing == thing && object == Some(Thing::Piece(0)))
            || (object == Some(thing) && at_sill(l.subject.thing))
    })
}

/// Whether a wall's free top is covered here: a parapet or a wall that stands by itself.
pub(super) fn free_top(look: &JointLook<'_>) -> bool {
    look.joint.kind == JointKind::Joint
        && ends(look).any(|(_, edge, s)| s.kind == SurfaceKind::Wall && edge == Some(Edge::Top))
        && ends(look)
            .all(|(_, edge, s)| (s.kind == SurfaceKind::Wall && edge == Some(Edge::Top)) || edge == Some(Edge::High))
        && look.joint.ends.iter().all(|e| matches!(e.of, EndOf::Surface(_)))
}

/// Whether nothing lies over a piece: rain falls on it.
pub(super) fn uncovered(look: &JointLook<'_>, thing: Thing) -> bool {
    let covers = |l: &Link| l.verb == Verb::LapsOver && l.object.is_some_and(|o| o.thing == thing);
    !look.joint.links.iter().any(covers)
}

/// Whether a piece on a free top lies under a coping: another piece that nothing covers.
pub(super) fn under_coping(look: &JointLook<'_>, thing: Thing) -> bool {
    let over = |l: &&Link| l.verb == Verb::LapsOver && l.object.is_some_and(|o| o.thing == thing);
    let coping = |l: &Link| matches!(l.subject.thing, Thing::Piece(_)) && uncovered(look, l.subject.thing);
    free_top(look) && look.joint.links.iter().filter(over).any(coping)
}

/// A coping or a sill in the weather: stiff, on a free top with nothing over it, or in front of a wall under a unit.
pub(super) fn ledge(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> bool {
    let stiff = look.material(thing).is_some_and(|m| {
        matches!(m.kind(), "metal" | "flashing" | "trim" | "lumber" | "masonry" | "concrete" | "cladding")
    });
    // What is only butted end to end is trim beside the unit: nothing stands on it, and it stands out over nothing.
    let held = look.joint.links_of(thing).any(|l| !matches!(l.verb, Verb::Butts | Verb::Clears));
    let sill = host(look).is_some() && at_sill(look, piece) && !pan(look, thing, piece);
    // What lies inside a parapet, a curb say, covers nothing.
    let covers = does(look, thing, Verb::LapsOver) || does(look, thing, Verb::RunsPast) || piece.shape.slope.is_some();
    stiff && held && (sill || (covers && uncovered(look, thing) && free_top(look)))
}

/// Whether a piece lies at one end of a seam alone, as a kick-out does.
pub(super) fn at_an_end(piece: &Piece) -> bool {
    let end = |s: &Spot| matches!(s, Spot::LowEnd | Spot::HighEnd | Spot::TopEnd | Spot::BottomEnd | Spot::BothEnds);
    piece.places.iter().any(end)
}
