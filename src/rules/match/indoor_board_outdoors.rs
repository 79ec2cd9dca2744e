//! A board, plaster or finish made for rooms, out where rain gets.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::graph::exposure;
use crate::model::layer::Layer;
use crate::model::surface::SidePlace;
use crate::rules::facts::section::{sheet, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Control, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "match/indoor-board-outdoors",
    summary: "a board, plaster or finish made for rooms, out in the rain",
    weight: Weight::Fix,
    page: include_str!("indoor_board_outdoors.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let outside = matches!(surface.first.place, SidePlace::Outdoors)
        && matches!(surface.kind, SurfaceKind::Wall | SurfaceKind::Roof);
    if !outside || surface.broken.is_some() {
        return;
    }
    let plane = exposure::water_plane(surface).unwrap_or(0);
    for (index, layer) in surface.layers.iter().enumerate() {
        let Some(material) = sheet(layer, &look.draw).and_then(|s| s.material) else { continue };
        // What is relied on against rain and lets it through is told by the rule on water layers.
        let relied_on = layer.relied_on.iter().any(|c| c.value == Control::Water);
        let wet = if relied_on { class::rain_through(material).is_none() } else { index == 0 || index < plane };
        if wet && for_rooms(material) {
            sink.found(tell(look, layer, material, relied_on));
        }
    }
}

fn tell(look: &Look<'_>, layer: &Layer, material: &Material, relied_on: bool) -> Finding {
    let help = if relied_on {
        "put a sheet made for rain over it, such as `wrap: housewrap, lapped 6 in`, and move `-> water` to that"
    } else if class::room_finish(material) {
        "write what is made for weather here, such as `fiber-cement-panel 5/16 in`"
    } else {
        "write `cement-board 1/2 in` here, or lay the water layer over it"
    };
    Finding::new(
        RULE.id,
        weigh(look.surface, &[layer], Weight::Fix),
        layer.stuff_span,
        format!("`{}` is made for rooms and lies out in the rain", label(layer)),
    )
    .detail(format!(
        "{} is made for dry rooms: gypsum dissolves, paper, chips and fibers swell and mold, floors and wall coverings \
         lift when rain gets to them. What stands outside of the water layer gets wet, and so does that layer. Outdoor \
         grades are products of their own: ASTM C1396 and C1177 for gypsum, EN 312 for particleboard (from memory); \
         finishes: common practice, no source.",
        material.key()
    ))
    .help(help)
}

/// Gypsum boards with paper, gypsum plaster, wood boards glued for indoors, floors and what covers walls and ceilings.
fn for_rooms(m: &Material) -> bool {
    let gypsum =
        m.family() == "gypsum" && matches!(m.kind(), "gypsum-board" | "plaster") && m.daylight_limit().is_none();
    gypsum || class::room_finish(m) || matches!(m.key(), "mdf" | "particleboard" | "sound-board")
}
