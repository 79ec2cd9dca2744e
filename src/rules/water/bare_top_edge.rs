//! The top edge of a flashing or upturn that nothing covers, tucks or holds.

use super::edge::{Rim, covered, flashing, held, porous, rim, same};
use super::top_edge::{at_eave, at_stack, stands_free, through};
use super::unfed::unfed;
use super::{name, seam, weigh};
use crate::base::finding::{Finding, Weight};
use crate::catalog::Bond;
use crate::graph::exposure::outboard;
use crate::graph::gravity::Lap;
use crate::graph::net::TRAY;
use crate::graph::station::Station;
use crate::model::joint::{Link, Thing};
use crate::model::layer::Body;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/bare-top-edge",
    summary: "a top edge that nothing covers, tucks or holds",
    weight: Weight::Stop,
    page: include_str!("bare_top_edge.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !seam::wet(look) {
        return;
    }
    let mut told: Vec<Thing> = Vec::new();
    let stack = at_stack(look).map(|l| (l, Some(Thing::Piece(0))));
    if let Some((link, on)) = stack {
        told.push(link.subject.thing);
        match look.whole() {
            Ok(()) => sink.found(tell(look, link, on)),
            Err(missing) => sink.cannot(&missing),
        }
    }
    for (link, on) in look.joint.links.iter().filter_map(|l| leans(look, l)) {
        let thing = link.subject.thing;
        if told.contains(&thing) || sheltered(look, link, on) || (sticks(look, link, on) && !stands_free(look, link)) {
            continue;
        }
        told.push(thing);
        match look.whole() {
            Ok(()) => sink.found(tell(look, link, on)),
            Err(missing) => sink.cannot(&missing),
        }
    }
    // One is told: what mends it often feeds the next.
    let loose = unfed(look).into_iter().find(|(thing, _)| !told.contains(thing));
    let Some((thing, station)) = loose.filter(|_| told.is_empty()) else { return };
    match look.whole() {
        Ok(()) => sink.found(tell_unfed(look, thing, station)),
        Err(missing) => sink.cannot(&missing),
    }
}

fn tell_unfed(look: &JointLook<'_>, thing: Thing, station: Station) -> Finding {
    let at = match station.words() {
        "" => String::new(),
        words => format!(" {words}"),
    };
    let span = look.piece(thing).map_or(look.joint.span, |p| p.span);
    let message = format!("nothing from above laps over `{}`{at}", name(look, thing));
    Finding::new(RULE.id, weigh(look, Weight::Stop), span, message)
        .label("water runs in behind")
        .detail(
            "What comes down from above has to run on to it: the layer above laps over its upper edge, or that edge goes \
             into a slot or is bonded to it (IRC section R703.4, read in a state's text). Else the water goes behind it, \
             and it only sheds what falls on its face.",
        )
        .help(format!("let the water layer above lap it: `… laps over {} 4 in`", look.name(thing)))
}

/// Whether something lies over the edge or holds it. What is turned up has to be covered from what it is turned up against:
/// the shingles that lap over a base flashing say nothing of its leg on the stack.
fn sheltered(look: &JointLook<'_>, link: &Link, on: Option<Thing>) -> bool {
    let thing = link.subject.thing;
    let Some(on) = on.filter(|on| link.verb == Verb::TurnsUp && carries_on(look, *on)) else {
        return covered(look, thing);
    };
    let alike = |t: Thing| same(t, on) || end_of(t).is_some() && end_of(t) == end_of(on);
    let tied = |x: Thing| alike(x) || look.joint.links_of(x).any(|l| l.other(x).is_some_and(|o| alike(o.thing)));
    let over = |l: &&Link| l.verb == Verb::LapsOver && l.object.is_some_and(|o| same(o.thing, thing));
    // A second sheet behind a flashing that is counterflashed stands under the same counterflashing.
    let second = |l: &Link| {
        let piece = l.object.is_some_and(|o| matches!(o.thing, Thing::Piece(_)));
        l.verb == Verb::LapsOver && piece && tied(l.subject.thing) && held(look, l.subject.thing)
    };
    look.joint.links.iter().filter(over).any(|l| l.not_shown || tied(l.subject.thing))
        || look.joint.links.iter().any(second)
        || held(look, thing)
}

/// Whether what something is turned up against goes on above the joint.
fn carries_on(look: &JointLook<'_>, on: Thing) -> bool {
    let face = |end: usize| look.joint.ends.get(end).is_some_and(|e| e.edge == Some(Edge::Face));
    end_of(on).is_some_and(face) || (look.joint.kind == JointKind::Penetration && on == Thing::Piece(0))
}

fn end_of(thing: Thing) -> Option<usize> {
    match thing {
        Thing::Layer { end, .. } | Thing::Surface { end, .. } => Some(end),
        _ => None,
    }
}

/// A flashing or sheet with its upper edge on something that carries on above it, and what that is.
fn leans<'a>(look: &JointLook<'a>, link: &'a Link) -> Option<(&'a Link, Option<Thing>)> {
    let thing = link.subject.thing;
    // A lap that lies the wrong way round is told as that; nothing runs down on the room side of the water layer.
    let passed = link.not_shown || link.unread || look.lap(link) == Lap::Reversed;
    // What runs past a layer comes out into the rain, whatever it is fastened to.
    let wet = link.verb == Verb::RunsPast || outboard(look.job, look.joint, thing);
    if passed || !wet || !look.material(thing).is_some_and(flashing) {
        return None;
    }
    let on = link.object.map(|o| o.thing);
    if seam::inside(look, link.subject.thing) || on.is_some_and(|on| seam::inside(look, on)) {
        return None;
    }
    if on.is_some_and(|on| room_side(look, thing, on)) || stop(look, thing) {
        return None;
    }
    let top = match link.verb {
        Verb::TurnsUp => look.joint.kind != JointKind::Opening && !ends_there(look, on) && !in_cavity(look, link, on),
        Verb::LapsOver | Verb::SealsTo | Verb::FastensTo => {
            on.is_some_and(|on| rim(look, link) == Some(Rim::Top) || through(look, on)) || stands_free(look, link)
        }
        Verb::RunsPast => at_eave(look, link),
        _ => false,
    };
    top.then_some((link, on))
}

/// Whether a layer of a floor or slab lies on the inner part of a wall: nothing runs down that face.
fn room_side(look: &JointLook<'_>, thing: Thing, on: Thing) -> bool {
    let kind = |t: Thing| look.surface(t).map(|s| s.kind);
    let floor = matches!(kind(thing), Some(SurfaceKind::Slab | SurfaceKind::Floor));
    floor && kind(on) == Some(SurfaceKind::Wall) && !outboard(look.job, look.joint, on)
}

/// Whether a piece is only pressed between things of two surfaces, as a stop in a casting joint is.
fn stop(look: &JointLook<'_>, thing: Thing) -> bool {
    let Thing::Piece(_) = thing else { return false };
    let links: Vec<&Link> = look.joint.links_of(thing).collect();
    let between: Vec<usize> = links.iter().filter_map(|l| end_of(l.other(thing)?.thing)).collect();
    links.iter().all(|l| l.verb == Verb::SealsTo) && between.iter().any(|e| between.first() != Some(e))
}

/// Whether a tray stands up far enough against the inner leaf of a cavity, where nothing runs down the face.
fn in_cavity(look: &JointLook<'_>, link: &Link, on: Option<Thing>) -> bool {
    let Some(Thing::Layer { end, layer, .. }) = on else { return false };
    let Some(surface) = look.joint.surface(look.job, end) else { return false };
    let gap = surface.layers.iter().take(layer).any(|l| matches!(l.body, Body::Gap(_)));
    let leaf = on.and_then(|on| look.material(on)).is_some_and(porous);
    gap && leaf && link.length.as_ref().is_some_and(|l| l.low() >= TRAY)
}

/// Whether what is turned up against ends here too, so that the edge may go over its top.
fn ends_there(look: &JointLook<'_>, on: Option<Thing>) -> bool {
    match on {
        Some(Thing::Layer { end, .. } | Thing::Surface { end, .. }) => {
            look.joint.ends.get(end).is_some_and(|e| seam::lower(e.edge))
        }
        _ => false,
    }
}

/// A coating has no edge to lift; a glued sheet holds on a smooth face, not on a porous one.
fn sticks(look: &JointLook<'_>, link: &Link, on: Option<Thing>) -> bool {
    let bond = look.material(link.subject.thing).map(|m| m.bond());
    let smooth = on.and_then(|on| look.material(on)).is_some_and(|m| !porous(m));
    let glued = link.hold.bonded || link.hold.taped || matches!(bond, Some(Bond::SelfAdhered | Bond::Tape));
    bond == Some(Bond::Liquid) || (glued && smooth)
}

fn tell(look: &JointLook<'_>, link: &Link, on: Option<Thing>) -> Finding {
    let thing = link.subject.thing;
    let bead = if link.verb == Verb::SealsTo || link.hold.sealed {
        " A bead along it is no cover: it cracks, and then it funnels water in."
    } else {
        ""
    };
    let at = on.filter(|_| !stands_free(look, link)).map_or_else(String::new, |on| format!(" at `{}`", name(look, on)));
    Finding::new(
        RULE.id,
        weigh(look, Weight::Stop),
        link.subject.span,
        format!("the top edge of `{}`{at} is bare", name(look, thing)),
    )
    .label("water runs in behind")
    .detail(format!(
        "Water that comes down the wall goes behind an upper edge that is neither under a layer, nor in a slot, nor held by \
         a bar with a cover (IRC 2018 section R905.2.8.3 and an institute's detail for the base of walls, read; the rest \
         common practice, no source).{bead}"
    ))
    .help(format!(
        "lap the layer above over it, tuck it into a slot 1 in (25 mm) deep, or add a counterflashing that `laps over {}`",
        look.name(thing)
    ))
}
