//! An opening over which nothing leads water out.

use super::cavity::{cavity, harmed, laid, massive, material};
use super::part::{counts_at, drawn, either, flashing, host, name, pieces, weigh};
use crate::base::finding::{Finding, Weight};
use crate::model::joint::{Link, Thing};
use crate::model::surface::Surface;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Spot, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/missing-head-flashing",
    summary: "an opening without a flashing at its head",
    weight: Weight::Stop,
    page: include_str!("missing_head_flashing.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let Some(wall) = host(look).filter(|w| harmed(w).is_some() && !tray_wanted(w) && !massive(w)) else { return };
    let over: Vec<Thing> = pieces(look)
        .filter(|(t, p)| flashing(look, *t) && (p.places.is_empty() || p.places.contains(&Spot::Head)))
        .map(|(t, _)| t)
        .collect();
    if over.iter().any(|t| meets(look, *t)) || lapped(look) {
        return;
    }
    match look.whole().and_then(|()| drawn(look)) {
        Ok(()) => sink.found(tell(look, wall)),
        Err(missing) => sink.cannot(&missing),
    }
}

/// Whether a piece at the head is tied to the unit, itself or over another piece there: one that hangs free leaves the
/// seam between the two open.
fn meets(look: &JointLook<'_>, thing: Thing) -> bool {
    let ties = |l: &&Link| {
        matches!(
            l.verb,
            Verb::LapsOver | Verb::SealsTo | Verb::TucksInto | Verb::Butts | Verb::Touches | Verb::FastensTo
        )
    };
    let unit = |t: Thing| {
        look.joint
            .links_of(t)
            .any(|l| l.not_shown || l.unread || (ties(&l) && l.other(t).is_some_and(|o| o.thing == Thing::Piece(0))))
    };
    unit(thing)
        || look
            .joint
            .links_of(thing)
            .filter(ties)
            .filter_map(|l| l.other(thing))
            .any(|o| matches!(o.thing, Thing::Piece(_)) && unit(o.thing))
}

/// Behind laid brick or stone it takes a tray, which another rule looks for.
fn tray_wanted(wall: &Surface) -> bool {
    cavity(wall).is_some() && wall.layers.first().and_then(material).is_some_and(laid)
}

/// Whether the water layer lies over the unit's own flange at the head.
fn lapped(look: &JointLook<'_>) -> bool {
    look.joint.links.iter().any(|l| {
        l.verb == Verb::LapsOver
            && matches!(l.subject.thing, Thing::Layer { .. })
            && l.object.is_some_and(|o| o.thing == Thing::Piece(0))
            && counts_at(look, l, Spot::Head)
    })
}

fn tell(look: &JointLook<'_>, wall: &Surface) -> Finding {
    let unit = name(look, Thing::Piece(0));
    let existing = wall.facts.existing || look.piece(Thing::Piece(0)).is_some_and(|p| p.shape.existing);
    Finding::new(
        RULE.id,
        weigh(existing, Weight::Stop),
        look.joint.span,
        format!("nothing leads water out over the head of `{unit}`"),
    )
    .label("no flashing at the head")
    .also(wall.span, "runs down here")
    .detail(
        "Water that runs down behind the cladding stops on the head of the unit and looks for a way in. Openings are flashed, \
         shingle-fashion, out to the face or to the water layer (IRC R703.4, the list quoted).",
    )
    .help(format!(
        "add `cap: galvanized-steel, slope 1:12 outward, end dams {}, drip, at head`, lap it over the unit, and lap the \
         water layer over it",
        either(look, "25 mm", "1 in")
    ))
}
