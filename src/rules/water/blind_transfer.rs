//! An upper wall that drains into a lower wall which has no way to drain.

use super::cavity::{cavity, material, outdoors, outer_leaf, plastered, sheet};
use super::part::{crosses, cut, does, drains_out, ends, flashing, has_exit, pieces, weigh};
use crate::base::finding::{Finding, Weight};
use crate::base::span::Span;
use crate::model::joint::{Link, Thing};
use crate::model::layer::Body;
use crate::model::surface::Surface;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/blind-transfer",
    summary: "a wall that drains into a wall below it which cannot drain",
    weight: Weight::Stop,
    page: include_str!("blind_transfer.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let wall =
        |wanted: Edge| ends(look).find(|(_, e, s)| *e == Some(wanted) && s.kind == SurfaceKind::Wall && outdoors(s));
    let (Some((upper_end, _, upper)), Some((lower_end, _, lower))) = (wall(Edge::Bottom), wall(Edge::Top)) else {
        return;
    };
    if cavity(upper).is_none() || !blind(lower) || led_out(look, upper_end, lower_end) {
        return;
    }
    match look.whole() {
        Ok(()) => sink.found(tell(look, upper, lower, into(look, lower_end))),
        Err(missing) => sink.cannot(&missing),
    }
}

/// A framed wall with its cladding straight on it: no gap, and no sheet behind, or one that plaster sticks to.
fn blind(wall: &Surface) -> bool {
    let clad = wall.layers.first().and_then(material).is_some_and(outer_leaf);
    let framed = wall.layers.iter().any(|l| matches!(l.body, Body::Members(_)));
    let sheeted = wall.layers.iter().skip(1).filter_map(material).any(sheet);
    clad && framed && cavity(wall).is_none() && (!sheeted || plastered(wall).is_some())
}

/// Whether something carries the water out between the two, or the upper leaf hangs over the lower.
fn led_out(look: &JointLook<'_>, upper: usize, lower: usize) -> bool {
    let hangs = |l: &Link| {
        matches!(l.subject.thing, Thing::Layer { end, layer: 0, .. } if end == upper)
            && matches!(l.verb, Verb::LapsOver | Verb::RunsPast)
            && l.object.is_none_or(|o| matches!(o.thing, Thing::Layer { end, layer: 0, .. } if end == lower))
    };
    let out = |t: Thing| {
        look.joint.links.iter().any(|l| l.subject.thing == t && drains_out(l) && !inside(l, lower))
            || does(look, t, Verb::RunsPast)
            || does(look, t, Verb::RunsTo)
    };
    let across =
        |t: Thing| flashing(look, t) && (out(t) || (crosses(look, t).is_some() && has_exit(look, t) && out(t)));
    look.joint.links.iter().any(hangs) || pieces(look).any(|(t, _)| across(t))
}

/// Whether a sentence leads water behind the outer leaf of the lower wall.
fn inside(link: &Link, lower: usize) -> bool {
    link.object.is_some_and(|o| matches!(o.thing, Thing::Layer { end, layer, .. } if end == lower && layer > 0))
}

/// The sentence by which it gets in, where there is one.
fn into(look: &JointLook<'_>, lower: usize) -> Option<Span> {
    let leads = |l: &&Link| matches!(l.verb, Verb::LapsOver | Verb::DrainsTo) && inside(l, lower);
    look.joint.links.iter().find(leads).map(|l| l.verb_span)
}

fn tell(look: &JointLook<'_>, upper: &Surface, lower: &Surface, into: Option<Span>) -> Finding {
    let (above, below) = (cut(&upper.name), cut(&lower.name));
    Finding::new(
        RULE.id,
        weigh(upper.facts.existing && lower.facts.existing, Weight::Stop),
        into.unwrap_or(look.joint.span),
        format!("`{above}` drains into `{below}`, which has no way to drain"),
    )
    .label("goes in here")
    .also(lower.span, "no gap behind its cladding")
    .detail(
        "What runs down behind the upper cladding is led behind the lower one and stays there. A wall behind a cladding needs a \
         way for water to get out (IRC 2018 R703.1.1, read); that the wall above must not drain into it: by reasoning.",
    )
    .help(format!(
        "add a flashing between them, lapped by the water layer of `{above}`, that `runs past` the face of `{below}` with a \
         `drip`"
    ))
}
