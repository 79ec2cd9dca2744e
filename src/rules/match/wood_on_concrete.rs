//! Untreated wood that lies on concrete or masonry in the ground, with nothing between.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Permeance;
use crate::base::unit::PERM;
use crate::catalog::{Cup, Material};
use crate::graph::exposure;
use crate::model::layer::Layer;
use crate::model::surface::SidePlace;
use crate::model::value::Draw;
use crate::rules::facts::section::{Touch, sheet, touching, treated, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/wood-on-concrete",
    summary: "untreated wood on concrete or masonry that soil keeps damp",
    weight: Weight::Fix,
    page: include_str!("wood_on_concrete.md"),
    run: Run::Surface(run),
};

/// What lets through no more than this keeps the damp of the soil away: vapor retarder class I, 0.1 perm (IRC R202).
const TIGHT: Permeance = Permeance::new(0.1 * PERM);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    if surface.broken.is_some() || !exposure::in_soil(surface) {
        return;
    }
    let soil_first = matches!(surface.first.place, SidePlace::Ground { .. });
    for touch in touching(look) {
        // The wood has to lie on the room side, the mineral layer toward the soil.
        let (wood, timber, mineral, stone) = toward_soil(touch, soil_first);
        let rots = class::wood(timber) && matches!(timber.kind(), "lumber" | "wood-panel") && !durable(timber);
        let damp = class::masonry(stone) && class::porous(stone);
        if !rots || !damp || treated(wood, timber) || parted(look, mineral, soil_first) {
            continue;
        }
        sink.found(tell(look, wood, mineral));
    }
}

fn toward_soil<'a>(touch: Touch<'a>, soil_first: bool) -> (&'a Layer, &'static Material, &'a Layer, &'static Material) {
    let [outer_first, inner_first] = touch.both_ways();
    if soil_first { inner_first } else { outer_first }
}

/// Heartwood that lasts; the code lists redwood, cedars and black locust (R202, from memory).
fn durable(m: &Material) -> bool {
    m.key().starts_with("cedar") || m.key().starts_with("redwood")
}

/// Whether a tight sheet lies on the soil side of the mineral layer, or stands in it.
fn parted(look: &Look<'_>, mineral: &Layer, soil_first: bool) -> bool {
    let tight = |layer: &&Layer| {
        let stuff = sheet(layer, &look.draw);
        let sheets =
            stuff.and_then(|s| s.material).is_some_and(|m| matches!(m.kind(), "membrane" | "coating" | "foil"));
        sheets && stuff.and_then(|s| s.permeance_at(&Draw::middle(), Cup::Wet)).is_some_and(|w| w <= TIGHT)
    };
    let here = |layer: &&Layer| !std::ptr::eq(*layer, mineral);
    let layers = look.surface.layers.iter();
    if soil_first {
        layers.take_while(here).any(|l| tight(&l))
    } else {
        layers.rev().take_while(here).any(|l| tight(&l))
    }
}

fn tell(look: &Look<'_>, wood: &Layer, mineral: &Layer) -> Finding {
    Finding::new(
        RULE.id,
        weigh(look.surface, &[wood, mineral], Weight::Fix),
        wood.stuff_span,
        format!("`{}` is untreated and lies on damp `{}`", label(wood), label(mineral)),
    )
    .also(mineral.stuff_span, "draws water from the soil")
    .detail(
        "Concrete and masonry in the ground draw water for as long as they stand, and no tight sheet keeps it from \
         the wood here. Wood that touches them decays from the face nobody sees. Sleepers, sills and furring there \
         are to be treated, durable or parted by a tight sheet: International Residential Code R317.1 of 2021 (from \
         memory; elsewhere practice). Local code decides.",
    )
    .help(format!(
        "lay `poly 10 mil` between `{}` and `{}`, or write `treated` for the wood",
        label(wood),
        label(mineral)
    ))
}
