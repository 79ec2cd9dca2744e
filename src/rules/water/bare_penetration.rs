//! Something goes through a wall or roof and is sealed to the face only.

use super::roofs::{covering, low_slope, rained_on};
use super::ties::{held, material, of, quoted, same, stands, through, upper_water, water_layers};
use crate::base::finding::{Finding, Weight};
use crate::catalog::Bond;
use crate::model::joint::{Link, Thing};
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Half, JointKind, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/bare-penetration",
    summary: "a pipe or post through a wall or roof with no flange lapped from above",
    weight: Weight::Fix,
    page: include_str!("bare_penetration.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if look.joint.kind != JointKind::Penetration {
        return;
    }
    let (Some(surface), Some(thing)) = (look.joint.surface(look.job, 0), through(look)) else { return };
    if !sheds(surface) || lapped(look) || stuck(look, surface) || slotted(look, thing) {
        return;
    }
    if look.joint.links.iter().any(|l| l.not_shown || l.unread) {
        return;
    }
    match look.whole() {
        Ok(()) => sink.found(tell(look, thing)),
        Err(missing) => sink.cannot(&missing),
    }
}

/// A wall or roof in the rain with a sheet, a cladding or a covering that can be lapped. Bare masonry has none.
fn sheds(surface: &Surface) -> bool {
    let wall = surface.kind == SurfaceKind::Wall && matches!(surface.first.place, SidePlace::Outdoors);
    let sheet = |i: &usize| surface.layers.get(*i).and_then(material).is_some_and(|m| !class::masonry(m));
    (wall && water_layers(surface).iter().any(sheet)) || (rained_on(surface) && covering(surface).is_some())
}

/// A layer from above lies over a flange, a boot or a head piece, or over the flange of the thing itself.
fn lapped(look: &JointLook<'_>) -> bool {
    look.joint.links.iter().any(|l| {
        let over = matches!(l.subject.thing, Thing::Layer { half, .. } if half != Some(Half::Lower));
        let roofing = look.surface(l.subject.thing).is_some_and(rained_on);
        let piece = l.object.is_some_and(|o| look.piece(o.thing).is_some());
        l.verb == Verb::LapsOver && over && piece && (roofing || upper_water(look, l.subject.thing))
    })
}

/// A flange that is one with the water layer all round: welded or fluid on a low slope, stuck to a stuck sheet.
fn stuck(look: &JointLook<'_>, surface: &Surface) -> bool {
    let one = |l: &Link| {
        let on = l.object.map_or(Thing::Hole, |o| o.thing);
        let water = match on {
            Thing::Layer { layer, .. } => {
                water_layers(surface).contains(&layer) || covering(surface).is_some_and(|(c, ..)| c == layer)
            }
            _ => false,
        };
        let flange = look.material(l.subject.thing).is_some_and(|m| m.bond() != Bond::Loose) || held(&l.hold);
        let adhered = look.layer(on).is_some_and(|l| l.seams.adhered)
            || look.material(on).is_some_and(|m| !matches!(m.bond(), Bond::Loose));
        let all_round = l.places.is_empty() && look.piece(l.subject.thing).is_some_and(|p| p.places.is_empty());
        let verb = matches!(l.verb, Verb::LapsOver | Verb::TurnsUp);
        verb && all_round && water && flange && (adhered || low_slope(surface))
    };
    let up = |l: &Link| {
        // The roofing itself carried up the curb or pipe.
        l.verb == Verb::TurnsUp && low_slope(surface) && look.layer(l.subject.thing).is_some()
    };
    look.joint.links.iter().any(|l| one(l) || up(l))
}

/// A counterflashing let into a stack, over a base that the roofing laps.
fn slotted(look: &JointLook<'_>, thing: Thing) -> bool {
    let into = |l: &Link| l.verb == Verb::TucksInto && l.object.is_some_and(|o| same(o.thing, thing));
    let carries = |l: &Link| of(look, l.subject.thing).any(|next| next.verb == Verb::LapsOver);
    look.joint.links.iter().any(|l| into(l) && carries(l))
}

fn tell(look: &JointLook<'_>, thing: Thing) -> Finding {
    let name = quoted(look, thing);
    let span = look.piece(thing).map_or(look.joint.span, |p| p.span);
    let weight = if stands(look, thing) { Weight::Watch } else { Weight::Fix };
    Finding::new(RULE.id, weight, span, format!("nothing above {name} laps over a flange or boot on it"))
        .label("no flange under the layer above")
        .detail(
            "What runs down the water layer meets the hole from above and goes in behind the bead as soon as it lets go \
             on one side. Penetrations are flashed so that the layer above laps over a flange or head piece (the \
             principle: IRC R703.2 as Utah adopted it in 2015, read; the parts: common practice, no source).",
        )
        .help(if look.joint.surface(look.job, 0).is_some_and(low_slope) {
            format!("put a boot on {name}: its flange `laps over` the roofing 4 in, `bonded`, its top `clamped` to {name}")
        } else {
            format!("put a flanged boot or a head piece on {name} and lap the layer above over it 2 in or more")
        })
}
