//! Insulation that soaks water up, on the wet side of the layer that keeps water out.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::model::layer::Layer;
use crate::model::surface::SidePlace;
use crate::rules::facts::section::{fill, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "match/soaking-insulation",
    summary: "insulation that soaks, in soil or above a roof's membrane",
    weight: Weight::Fix,
    page: include_str!("soaking_insulation.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let soil = |place: &SidePlace| matches!(place, SidePlace::Ground { .. } | SidePlace::Water { .. });
    let on_top = matches!(surface.first.place, SidePlace::Outdoors)
        && matches!(surface.kind, SurfaceKind::Roof | SurfaceKind::Deck);
    if surface.broken.is_some() {
        return;
    }
    if soil(&surface.first.place) || on_top {
        judge(look, surface.layers.iter(), on_top, sink);
    }
    if soil(&surface.last.place) {
        judge(look, surface.layers.iter().rev(), false, sink);
    }
}

/// Every layer that water reaches before the first one that stops it.
fn judge<'a>(look: &Look<'_>, layers: impl Iterator<Item = &'a Layer>, on_top: bool, sink: &mut Sink) {
    for layer in layers {
        let stuffs = fill(layer, &look.draw);
        let materials = || stuffs.iter().filter_map(|s| s.material);
        if materials().any(stops) || (on_top && materials().any(class::roofing) && !materials().any(loose_cover)) {
            return;
        }
        if let Some(material) = materials().find(|m| soaks(m)) {
            sink.found(tell(look, layer, material, on_top));
        }
    }
}

/// A sheet, a coat, or a wall or slab: what lies inside of it is damp at worst. Mats and fleeces let water through.
fn stops(m: &Material) -> bool {
    let mat = matches!(m.key(), "drainage-mat" | "filter-fabric");
    (matches!(m.kind(), "membrane" | "coating" | "metal") && !mat) || class::masonry(m)
}

/// Gravel and soil on a roof: water goes through them.
fn loose_cover(m: &Material) -> bool {
    matches!(m.key(), "roof-gravel" | "green-roof-soil")
}

/// Insulation that draws or lets water in and loses its worth: all but polystyrene, cellular glass, boards of mineral or
/// glass wool, closed-cell foam and expanded clay.
fn soaks(m: &Material) -> bool {
    let fibers = m.kind() == "batt" || class::sensitive(m);
    let foam = matches!(m.family(), "polyiso" | "phenolic") || matches!(m.key(), "polyurethane-board" | "spf-open");
    let grains = m.kind() == "loose-fill" && !matches!(m.key(), "expanded-clay" | "glass-gravel");
    class::insulation(m) && (fibers || foam || grains)
}

fn tell(look: &Look<'_>, layer: &Layer, m: &Material, on_top: bool) -> Finding {
    let (place, instead) = if on_top {
        ("above the membrane", "`xps` or `cellular-glass`, or lay the membrane over it")
    } else {
        ("toward the soil", "`xps`, `eps-dense` or `cellular-glass`, or put it inside of the water layer")
    };
    Finding::new(
        RULE.id,
        weigh(look.surface, &[layer], Weight::Fix),
        layer.stuff_span,
        format!("`{}` soaks, and lies {place} where it stays wet", label(layer)),
    )
    .detail(format!(
        "{} takes water up where it stands in it, insulates less and less, and what rots in it rots. In soil and \
         over a membrane polystyrene (ASTM C578), cellular glass and boards made for it are used. Common practice, \
         no source.",
        m.key()
    ))
    .help(format!("take {instead}"))
}
