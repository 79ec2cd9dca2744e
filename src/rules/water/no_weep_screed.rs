//! The foot of stucco without a screed: what gets behind it stays there.

use super::cavity::plastered;
use super::part::{cut, drains_out, ends, pieces, show, weigh};
use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::model::joint::{Piece, Thing};
use crate::model::layer::Layer;
use crate::model::surface::Surface;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/no-weep-screed",
    summary: "the foot of stucco without a weep screed",
    weight: Weight::Stop,
    page: include_str!("no_weep_screed.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for (end, edge, wall) in ends(look) {
        let Some(plaster) = plastered(wall).filter(|_| edge == Some(Edge::Bottom)) else { continue };
        if pieces(look).any(|(t, p)| screed(look, t, p, end)) {
            continue;
        }
        match look.whole() {
            Ok(()) => sink.found(tell(look, wall, plaster)),
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// A stiff piece under the plaster that a sheet of the wall laps over, or that drains.
fn screed(look: &JointLook<'_>, thing: Thing, piece: &Piece, end: usize) -> bool {
    let stiff = |m: &Material| matches!(m.kind(), "metal" | "flashing" | "trim");
    let lapped = look.joint.links.iter().any(|l| {
        l.verb == Verb::LapsOver
            && l.object.is_some_and(|o| o.thing == thing)
            && matches!(l.subject.thing, Thing::Layer { end: e, layer, .. } if e == end && layer > 0)
    });
    let drains = look.joint.links.iter().any(|l| l.subject.thing == thing && drains_out(l));
    look.material(thing).is_some_and(stiff) && (lapped || drains) || piece.shape.unread
}

fn tell(look: &JointLook<'_>, wall: &Surface, plaster: &Layer) -> Finding {
    let (outer, metric) = (cut(&plaster.label), show(look).metric);
    let flange = if metric { "90 mm" } else { "3-1/2 in" };
    let sheet = super::cavity::plane(wall)
        .and_then(|p| wall.layers.get(p))
        .map_or_else(|| "the sheet".to_string(), |l| cut(&l.label));
    Finding::new(
        RULE.id,
        weigh(wall.facts.existing, Weight::Stop),
        look.joint.span,
        format!("`{outer}` has no screed at its foot to let water out"),
    )
    .label("no way out of the plaster")
    .also(plaster.span, "plaster")
    .detail(format!(
        "What gets behind plaster runs down the sheet to its foot. A weep screed stands there, at or below the plate, with a \
         flange of {flange} that the sheet laps over (IRC 2018 R703.7.2.1, quoted)."
    ))
    .help(format!(
        "add `screed: galvanized-steel, drip`, `{sheet} laps over screed {flange}` and `screed drains to outdoors`"
    ))
}
