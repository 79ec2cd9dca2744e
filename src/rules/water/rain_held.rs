//! Wood in the weather with cracks or ledges that hold rain, and no roof over it.

use super::cavity::{material, outdoors, rain};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::model::layer::Layer;
use crate::rules::facts::{Look, Missing, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Rain, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "water/rain-held",
    summary: "wood in the weather that holds rain in cracks or on ledges",
    weight: Weight::Fix,
    page: include_str!("rain_held.md"),
    run: Run::Surface(run),
};

/// An overhang from which a wall of one story stays mostly dry: 24 in. Common practice, no source.
const OVERHANG: Length = Length::new(0.6096);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    if surface.kind != SurfaceKind::Wall || !outdoors(surface) || rain(look.job, surface) == Rain::Sheltered {
        return;
    }
    let Some(face) = surface.layers.first().filter(|l| holds_rain(l)) else { return };
    match &surface.facts.overhang {
        Some(over) if over.low() >= OVERHANG => {}
        Some(over) if over.high() >= OVERHANG => {
            sink.cannot(&Missing::new(surface.span, "how far the roof stands out over it is not known"));
        }
        over => sink.found(tell(look, face, over.as_ref().map(|o| o.low()))),
    }
}

fn holds_rain(layer: &Layer) -> bool {
    layer.words.catches_water && material(layer).is_some_and(class::wood)
}

fn tell(look: &Look<'_>, face: &Layer, overhang: Option<Length>) -> Finding {
    let show = Show { metric: look.job.metric };
    let over = overhang
        .map_or_else(|| "no overhang is given".to_string(), |o| format!("the roof stands out {}", show.length(o)));
    let stands = look.surface.facts.existing || face.words.existing;
    let (weight, help) = if stands {
        (
            Weight::Watch,
            format!("probe `{}` at its cracks and at the foot for soft wood, and keep rain off it", label(face)),
        )
    } else {
        let wanted = show.length(OVERHANG);
        (
            Weight::Fix,
            format!("shed it (bevel ledges, close cracks that face up), or roof it over: `overhang {wanted}`"),
        )
    };
    Finding::new(RULE.id, weight, face.stuff_span, format!("rain stays in `{}`, and nothing keeps it off", label(face)))
        .label("holds rain")
        .detail(format!(
            "Water in a crack or on a ledge that faces up soaks wood from within and dries last; {over}, and from {} on a \
             wall stays mostly dry (common practice, no source).",
            show.length(OVERHANG)
        ))
        .help(help)
        .number("overhang_wanted", OVERHANG.si(), "m")
}
