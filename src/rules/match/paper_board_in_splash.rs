//! Gypsum with paper, or gypsum plaster, on a side that is splashed.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::model::layer::Layer;
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::section::{sheet, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "match/paper-board-in-splash",
    summary: "gypsum board or plaster behind a face that is splashed",
    weight: Weight::Fix,
    page: include_str!("paper_board_in_splash.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let splashed = |side: &crate::model::surface::Side| side.splashed && matches!(side.place, SidePlace::Room(_));
    // What is splashed is a wall or a floor; steam under a ceiling is another matter.
    let over_head = matches!(surface.kind, SurfaceKind::Ceiling | SurfaceKind::Roof);
    if surface.broken.is_some() || over_head {
        return;
    }
    if splashed(&surface.last) {
        judge(look, surface, surface.layers.iter().rev(), sink);
    }
    if splashed(&surface.first) {
        judge(look, surface, surface.layers.iter(), sink);
    }
}

/// From the splashed face on: the first layer that is no tile, paint or finish decides.
fn judge<'a>(look: &Look<'_>, surface: &Surface, layers: impl Iterator<Item = &'a Layer>, sink: &mut Sink) {
    for layer in layers {
        let Some(material) = sheet(layer, &look.draw).and_then(|s| s.material) else { return };
        if material.kind() == "finish" && !class::sensitive(material) && material.family() == "ceramic" {
            continue;
        }
        if harmed(material) {
            sink.found(tell(surface, layer, material));
        }
        return;
    }
}

fn harmed(m: &Material) -> bool {
    (m.kind() == "gypsum-board" && class::sensitive(m)) || (m.kind() == "plaster" && m.family() == "gypsum")
}

fn tell(surface: &Surface, layer: &Layer, m: &Material) -> Finding {
    Finding::new(
        RULE.id,
        weigh(surface, &[layer], Weight::Fix),
        layer.stuff_span,
        format!("`{}` is gypsum and stands behind a face that is splashed", label(layer)),
    )
    .detail(format!(
        "Tile and grout let water through, paint does at every scratch. {} behind them softens and molds. Tile in \
         tubs and showers wants a backer of cement, fiber-cement or glass-mat gypsum: International Residential Code \
         R702.4.2 of 2021 (from memory; elsewhere practice). Local code decides.",
        m.key()
    ))
    .help(format!("write `cement-board 1/2 in` for `{}`, or a `tile-membrane` over it", label(layer)))
}
