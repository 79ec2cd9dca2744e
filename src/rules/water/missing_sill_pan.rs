//! An opening in a wall that water harms, with nothing under it to catch a leak.

use super::cavity::{harmed, massive};
use super::part::{cut, drawn, flashing, host, lies_at, name, pieces, show, weigh};
use crate::base::finding::{Finding, Weight};
use crate::model::joint::Thing;
use crate::model::layer::Layer;
use crate::model::surface::Surface;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Spot, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/missing-sill-pan",
    summary: "an opening in a wall that water harms, without a pan at the sill",
    weight: Weight::Stop,
    page: include_str!("missing_sill_pan.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let Some(wall) = host(look) else { return };
    let Some(layer) = harmed(wall) else { return };
    // A wall of brick or stone has a sill of stone; whether that sheds is for other rules.
    let mass = massive(wall);
    let caught = pieces(look).any(|(t, p)| (mass || flashing(look, t)) && lies_at(p, Spot::Sill));
    // Where the sill meets a balcony or the like in a joint of its own it is judged there.
    if caught || turned_in(look) || look.joint.met.contains(&Edge::Sill) {
        return;
    }
    match look.whole().and_then(|()| drawn(look)) {
        Ok(()) => sink.found(tell(look, wall, layer)),
        Err(missing) => sink.cannot(&missing),
    }
}

/// Whether a layer of the wall itself is turned up or in under the unit.
fn turned_in(look: &JointLook<'_>) -> bool {
    look.joint.links.iter().any(|l| {
        matches!(l.verb, Verb::TurnsUp | Verb::LapsOver)
            && l.places.contains(&Spot::Sill)
            && matches!(l.subject.thing, Thing::Layer { .. })
            && l.object.is_none_or(|o| o.thing == Thing::Piece(0) || matches!(o.thing, Thing::Layer { .. }))
    })
}

fn tell(look: &JointLook<'_>, wall: &Surface, layer: &Layer) -> Finding {
    let (unit, metric) = (name(look, Thing::Piece(0)), show(look).metric);
    let existing = wall.facts.existing || look.piece(Thing::Piece(0)).is_some_and(|p| p.shape.existing);
    let piece = if metric {
        "pan: formed-pan, slope 1:12 outward, end dams 25 mm, back dam 20 mm, at sill"
    } else {
        "pan: formed-pan, slope 1:12 outward, end dams 1 in, back dam 3/4 in, at sill"
    };
    Finding::new(
        RULE.id,
        weigh(existing, Weight::Stop),
        look.joint.span,
        format!("nothing at the sill of `{unit}` catches a leak"),
    )
    .label("no pan at the sill")
    .also(layer.span, format!("water harms `{}`", cut(&layer.label)))
    .detail(
        "Units leak at their corners as they age, and the leak runs to the sill. Window and door openings are flashed (IRC \
         R703.4, the list quoted); a pan below each is what a public information sheet asks for (read).",
    )
    .help(format!("add `{piece}`, lap it over the water layer and let it drain to `outdoors`"))
}
