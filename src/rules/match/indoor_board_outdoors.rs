//! A board or plaster made for rooms, out where rain gets.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::graph::exposure;
use crate::model::surface::SidePlace;
use crate::rules::facts::section::{sheet, weigh};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "match/indoor-board-outdoors",
    summary: "a board or plaster made for rooms, out in the rain",
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
        if !for_rooms(material) || (index > 0 && index >= plane) {
            continue;
        }
        let detail = format!(
            "{} is made for dry rooms: gypsum dissolves, and paper, chips and fibers swell and mold when rain gets \
             to them. What stands outside of the water layer gets wet. Outdoor grades are products of their own: \
             ASTM C1396 and C1177 for gypsum, EN 312 for particleboard (from memory).",
            material.key()
        );
        sink.found(
            Finding::new(
                RULE.id,
                weigh(surface, &[layer], Weight::Fix),
                layer.stuff_span,
                format!("`{}` is made for rooms and lies out in the rain", label(layer)),
            )
            .detail(detail)
            .help("write `cement-board 1/2 in` here, or lay the water layer over it"),
        );
    }
}

/// Gypsum boards with paper, gypsum plaster, and wood boards glued for indoors.
fn for_rooms(m: &Material) -> bool {
    let gypsum =
        m.family() == "gypsum" && matches!(m.kind(), "gypsum-board" | "plaster") && m.daylight_limit().is_none();
    gypsum || matches!(m.key(), "mdf" | "particleboard")
}
