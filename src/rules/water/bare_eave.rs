//! A free eave where nothing throws the water clear of the boards below.

use super::roofs::{coursed, covering, rained_on};
use super::ties::{edge, joined, of, quoted, stands, surfaces};
use crate::base::finding::{Finding, Weight};
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/bare-eave",
    summary: "an eave with no metal edge to throw its water clear",
    weight: Weight::Fix,
    page: include_str!("bare_eave.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let eave = surfaces(look).find(|(end, s)| edge(look, *end) == Some(Edge::Eave) && rained_on(s));
    let Some((end, surface)) = eave else { return };
    // An eave at a wall that goes on above is no free edge.
    if (0..look.joint.ends.len()).any(|e| edge(look, e) == Some(Edge::Face)) || surface.facts.existing {
        return;
    }
    let Some((layer, _, _)) = covering(surface) else { return };
    if clear(look, end) || overhangs(look, end, layer) {
        return;
    }
    if let Err(missing) = look.whole() {
        return sink.cannot(&missing);
    }
    if let Some(piece) = look.joint.pieces.iter().find(|p| p.stuff.as_ref().is_none_or(|s| s.material.is_none())) {
        return sink.cannot(&Missing::new(piece.span, format!("what `{}` is made of is not known", piece.name)));
    }
    sink.found(tell(look, end));
}

/// A metal or plastic piece, or one with a drip, that is tied to the roof, be it over other pieces.
fn clear(look: &JointLook<'_>, end: usize) -> bool {
    let of_roof = |t: Thing| matches!(t, Thing::Layer { end: e, .. } | Thing::Surface { end: e, .. } if e == end);
    let names = |l: &Link| of_roof(l.subject.thing) || l.object.is_some_and(|o| of_roof(o.thing));
    look.joint.pieces.iter().enumerate().any(|(index, piece)| {
        let m = piece.stuff.as_ref().and_then(|s| s.material);
        let edge = m.is_some_and(|m| class::metal(m) || m.kind() == "flashing") || piece.shape.drip;
        let thing = Thing::Piece(index);
        edge && (of(look, thing).any(names) || joined(look, thing).into_iter().any(of_roof))
    })
}

/// Tiles, slates and metal pans that run past the edge throw their own water; shingles and sheets curl back.
fn overhangs(look: &JointLook<'_>, end: usize, covering: usize) -> bool {
    look.joint.links.iter().any(|l| {
        let own = matches!(l.subject.thing, Thing::Layer { end: e, layer, .. } if e == end && layer == covering);
        let stiff = look.material(l.subject.thing).is_some_and(|m| coursed(m) && m.family() != "bitumen");
        own && stiff && l.verb == Verb::RunsPast
    })
}

fn tell(look: &JointLook<'_>, end: usize) -> Finding {
    let roof = Thing::Surface { end, half: None };
    let weight = if stands(look, roof) { Weight::Watch } else { Weight::Fix };
    let span = look.joint.ends.get(end).map_or(look.joint.span, |e| e.span);
    Finding::new(RULE.id, weight, span, format!("the eave of {} has no metal edge", quoted(look, roof)))
        .label("water curls back here")
        .detail(
            "Without a bent edge water clings to the covering, runs back under it and wets the edge of the deck and the \
             board below; that is where roofs rot first. Drip metal reaches 2 in onto the deck and 1/4 in below it, \
             the underlayment lapped over it at the eave (IRC 2021 section R905.2.8.5, from memory).",
        )
        .help("add `edge: galvanized-steel, drip`, under the underlayment: let the underlayment lap over it 2 in")
}
