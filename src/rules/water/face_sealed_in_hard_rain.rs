//! A cladding that alone keeps out hard rain.

use super::cavity::{cavity, material, outdoors, outer_leaf, rain, sheet};
use crate::base::finding::{Finding, Weight};
use crate::model::layer::{Body, Layer};
use crate::model::surface::SidePlace;
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Control, Rain, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "water/face-sealed-in-hard-rain",
    summary: "a cladding that is the only line against hard rain",
    weight: Weight::Fix,
    page: include_str!("face_sealed_in_hard_rain.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let rain = rain(look.job, surface);
    let wall =
        surface.kind == SurfaceKind::Wall && outdoors(surface) && matches!(surface.last.place, SidePlace::Room(_));
    if !wall || !matches!(rain, Rain::Severe | Rain::VerySevere) || cavity(surface).is_some() {
        return;
    }
    let Some((leaf, rest)) = surface.layers.split_first() else { return };
    // A thick wall of brick or stone soaks rain up and gives it off; it is no seal.
    let seals = material(leaf).is_some_and(|m| outer_leaf(m) && (class::cladding(m) || class::plaster(m)));
    if !seals || rest.iter().any(second_line) || massive(rest) {
        return;
    }
    sink.found(tell(look, leaf, rain));
}

/// A layer further in that is relied on against water, or a sheet that stops it.
fn second_line(layer: &Layer) -> bool {
    layer.relied_on.iter().any(|c| c.value == Control::Water)
        || material(layer).is_some_and(sheet)
        || matches!(layer.body, Body::Hole)
}

/// Plaster on a wall of masonry or concrete: the wall behind is a line of its own.
fn massive(rest: &[Layer]) -> bool {
    rest.iter().filter_map(material).any(class::masonry)
}

fn tell(look: &Look<'_>, leaf: &Layer, rain: Rain) -> Finding {
    let (words, wanted) = match rain {
        Rain::VerySevere => {
            ("very severe", "a drained cavity of 50 mm and a high-grade sheet (NHBC Standards 6.2.10, read)")
        }
        _ => (
            "severe",
            "a drained cavity with a sheet behind it (common practice, no source; NHBC 6.2.10 for worse rain, read)",
        ),
    };
    let weight = if look.surface.facts.existing { Weight::Watch } else { Weight::Fix };
    Finding::new(
        RULE.id,
        weight,
        leaf.stuff_span,
        format!("`{}` alone keeps out {words} rain", label(leaf)),
    )
    .label("the only line")
    .detail(format!(
        "Every crack and bead in a face opens in time, and behind it nothing drains. In {words} rain a wall has {wanted}."
    ))
    .help("put a gap and a sheet behind it: `gap: air 3/4 in, open top and bottom` and `wrap: housewrap, lapped 6 in -> water`")
}
