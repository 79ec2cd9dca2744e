//! A glued edge on masonry that nothing holds down or closes.

use super::edge::{Rim, bonded, closed, porous, rim, same};
use super::{laps, name, weigh};
use crate::base::finding::{Finding, Weight};
use crate::catalog::Bond;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "water/raw-masonry-edge",
    summary: "a glued edge on masonry that nothing holds or closes",
    weight: Weight::Fix,
    page: include_str!("raw_masonry_edge.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for (link, under) in laps(look).filter(|(link, under)| raw(look, link, *under)) {
        match look.whole() {
            Ok(()) => sink.found(tell(look, link, under)),
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// A sheet or coating stuck to a porous face, its edge neither held nor closed; upper edges are told of elsewhere.
fn raw(look: &JointLook<'_>, link: &Link, under: Thing) -> bool {
    let subject = link.subject.thing;
    // A coating put on wet fills the pores and has no edge to lift.
    let liquid = look.material(subject).is_some_and(|m| m.bond() == Bond::Liquid);
    let glued = bonded(look, link) && look.material(subject).is_some_and(class::membrane);
    glued
        && !liquid
        && look.material(under).is_some_and(porous)
        && matches!(rim(look, link), Some(Rim::Side | Rim::Bottom))
        && !closed(link)
        && !pressed(look, subject, under)
        && !roofed(look, link, under)
}

/// Whether a piece that is tied to the face as well lies over the edge or is fastened through it.
fn pressed(look: &JointLook<'_>, subject: Thing, face: Thing) -> bool {
    let on = |l: &Link, thing: Thing| l.object.is_some_and(|o| same(o.thing, thing));
    let holds = |l: &Link| matches!(l.verb, Verb::LapsOver | Verb::FastensTo | Verb::FastensThrough | Verb::TucksInto);
    look.joint.links.iter().filter(|l| holds(l) && on(l, subject)).any(|over| {
        let piece = over.subject.thing;
        over.not_shown
            || (cast_on(look, piece, face) && over.verb == Verb::LapsOver)
            || over.verb == Verb::FastensThrough
            || look.joint.links.iter().any(|l| same(l.subject.thing, piece) && holds(l) && on(l, face))
    })
}

/// Whether a layer is plaster or the like on the face itself: what it covers lies bedded between the two.
fn cast_on(look: &JointLook<'_>, layer: Thing, face: Thing) -> bool {
    let (Thing::Layer { end, layer: outer, .. }, Thing::Layer { end: host, layer: inner, .. }) = (layer, face) else {
        return false;
    };
    end == host && outer.abs_diff(inner) == 1 && look.material(layer).is_some_and(class::plaster)
}

/// Whether something else is turned up on the same face beyond the edge, or lies over it and past the face.
fn roofed(look: &JointLook<'_>, link: &Link, face: Thing) -> bool {
    let subject = link.subject.thing;
    let on = |l: &Link, thing: Thing| l.object.is_some_and(|o| same(o.thing, thing));
    let own = link.length.as_ref().map(|l| l.high());
    let beyond = |l: &Link| own.is_some_and(|own| l.length.as_ref().is_some_and(|l| l.low() >= own));
    let upturn = |l: &Link| l.verb == Verb::TurnsUp && !same(l.subject.thing, subject) && on(l, face) && beyond(l);
    let sill = |l: &Link| {
        let over = l.verb == Verb::LapsOver && on(l, subject);
        let past = |p: &Link| p.verb == Verb::RunsPast && same(p.subject.thing, l.subject.thing) && on(p, face);
        over && look.joint.links.iter().any(past)
    };
    look.joint.links.iter().any(|l| upturn(l) || sill(l))
}

/// Whether metal let into the face laps something beyond the seam, and so stands over the edge.
fn covered(look: &JointLook<'_>, subject: Thing, face: Thing) -> bool {
    let let_in = |l: &Link| {
        let into = l.verb == Verb::TucksInto && l.object.is_some_and(|o| same(o.thing, face));
        let laps = |p: &Link| p.verb == Verb::LapsOver && same(p.subject.thing, l.subject.thing);
        into && !same(l.subject.thing, subject) && look.joint.links.iter().any(laps)
    };
    look.joint.links.iter().any(let_in)
}

fn tell(look: &JointLook<'_>, link: &Link, under: Thing) -> Finding {
    Finding::new(
        RULE.id,
        if covered(look, link.subject.thing, under) { Weight::Watch } else { weigh(look, Weight::Fix) },
        link.subject.span,
        format!("the edge of `{}` on `{}` is left raw", name(look, link.subject.thing), name(look, under)),
    )
    .label("its edge")
    .also(link.object.map_or(link.span, |o| o.span), "porous")
    .detail(
        "A glued edge on a porous face lifts first: water creeps through the pits beside it. It wants mastic tooled over \
         the edge, or a bar with a bead (a trade article on cold masonry and an institute's wall detail, read; the \
         weight by common practice, no source).",
    )
    .help("add `, edge under bar` with the bar as a piece, or `, sealed with` and the mastic")
}
