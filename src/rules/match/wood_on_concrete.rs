//! Untreated wood that lies on concrete or masonry in the ground, or on bare masonry in hard rain, with nothing between.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Permeance;
use crate::base::unit::PERM;
use crate::catalog::{Cup, Material};
use crate::graph::exposure;
use crate::model::layer::Layer;
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Draw;
use crate::rules::facts::section::{Touch, sheet, touching, treated, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Rain, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "match/wood-on-concrete",
    summary: "untreated wood on concrete or masonry that soil or hard rain keeps damp",
    weight: Weight::Fix,
    page: include_str!("wood_on_concrete.md"),
    run: Run::Surface(run),
};

/// What lets through no more than this keeps the damp of the soil away: vapor retarder class I, 0.1 perm (IRC R202).
const TIGHT: Permeance = Permeance::new(0.1 * PERM);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let soil = exposure::in_soil(surface);
    let rained = rained_through(look);
    if surface.broken.is_some() || !(soil || rained.is_some()) {
        return;
    }
    let wet_first = !soil || matches!(surface.first.place, SidePlace::Ground { .. });
    for touch in touching(look) {
        // The wood has to lie on the room side, the mineral layer toward the soil.
        let (wood, timber, mineral, stone) = toward_wet(touch, wet_first);
        if !soil && !rained.is_some_and(|leaf| std::ptr::eq(leaf, mineral)) {
            continue;
        }
        let rots = class::wood(timber) && matches!(timber.kind(), "lumber" | "wood-panel") && !durable(timber);
        let damp = class::masonry(stone) && class::porous(stone);
        if !rots || !damp || treated(wood, timber) || parted(look, mineral, wet_first) {
            continue;
        }
        sink.found(tell(look, wood, mineral, soil));
    }
}

/// The one leaf of masonry that stands bare in hard rain, or whose face holds it.
fn rained_through<'a>(look: &Look<'a>) -> Option<&'a Layer> {
    let surface: &'a Surface = look.surface;
    let leaf = surface.layers.first()?;
    let hard = matches!(surface.facts.rain.or(look.job.rain), Some(Rain::Severe | Rain::VerySevere));
    let bare = surface.kind == SurfaceKind::Wall && matches!(surface.first.place, SidePlace::Outdoors);
    (bare && (hard || leaf.words.catches_water)).then_some(leaf)
}

fn toward_wet<'a>(touch: Touch<'a>, wet_first: bool) -> (&'a Layer, &'static Material, &'a Layer, &'static Material) {
    let [outer_first, inner_first] = touch.both_ways();
    if wet_first { inner_first } else { outer_first }
}

/// Heartwood that lasts; the code lists redwood, cedars and black locust (R202, from memory).
fn durable(m: &Material) -> bool {
    m.key().starts_with("cedar") || m.key().starts_with("redwood")
}

/// Whether a tight sheet lies on the wet side of the mineral layer, or stands in it.
fn parted(look: &Look<'_>, mineral: &Layer, wet_first: bool) -> bool {
    let tight = |layer: &&Layer| {
        let stuff = sheet(layer, &look.draw);
        let sheets =
            stuff.and_then(|s| s.material).is_some_and(|m| matches!(m.kind(), "membrane" | "coating" | "foil"));
        sheets && stuff.and_then(|s| s.permeance_at(&Draw::middle(), Cup::Wet)).is_some_and(|w| w <= TIGHT)
    };
    let here = |layer: &&Layer| !std::ptr::eq(*layer, mineral);
    let layers = look.surface.layers.iter();
    if wet_first {
        layers.take_while(here).any(|l| tight(&l))
    } else {
        layers.rev().take_while(here).any(|l| tight(&l))
    }
}

fn tell(look: &Look<'_>, wood: &Layer, mineral: &Layer, soil: bool) -> Finding {
    let (mark, cause) = if soil {
        (
            "draws water from the soil",
            "Concrete and masonry in the ground draw water for as long as they stand, and no tight sheet keeps it from the \
             wood here.",
        )
    } else {
        (
            "takes up rain",
            "One leaf of masonry in hard rain is wet through at times, to its inner face (common practice, no source).",
        )
    };
    Finding::new(
        RULE.id,
        weigh(look.surface, &[wood, mineral], Weight::Fix),
        wood.stuff_span,
        format!("`{}` is untreated and lies on damp `{}`", label(wood), label(mineral)),
    )
    .also(mineral.stuff_span, mark)
    .detail(format!(
        "{cause} Wood that touches it decays from the face nobody sees. Sleepers, sills and furring there are to be \
         treated, durable or parted by a tight sheet: International Residential Code R317.1 of 2021 (from memory; \
         elsewhere practice). Local code decides."
    ))
    .help(format!(
        "lay `poly 10 mil` between `{}` and `{}`, or write `treated` for the wood",
        label(wood),
        label(mineral)
    ))
}
