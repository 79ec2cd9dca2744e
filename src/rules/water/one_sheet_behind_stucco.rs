//! Plaster or stuck stone over wood panels with less behind it than it takes.

use super::cavity::{cavity, mat, material, plastered, sheet};
use crate::base::finding::{Finding, Weight};
use crate::catalog::{Material, Seams};
use crate::model::layer::{Body, Layer};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "water/one-sheet-behind-stucco",
    summary: "stucco over wood panels with fewer than two sheets and no drained gap",
    weight: Weight::Stop,
    page: include_str!("one_sheet_behind_stucco.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let Some(plaster) = plastered(surface) else { return };
    let panels = |l: &Layer| material(l).is_some_and(wood_panel);
    // A board that insulates carries its render as part of one system, and is shaped to shed.
    let carrier = |l: &Layer| material(l).is_some_and(|m| m.seams() == Seams::Tongued);
    let first = surface.layers.iter().position(|l| panels(l) || carrier(l));
    let Some(panel) = first.filter(|at| surface.layers.get(*at).is_some_and(|l| !carrier(l))) else { return };
    let between = surface.layers.get(1..panel).unwrap_or_default();
    if between.iter().any(|l| matches!(l.body, Body::Hole)) {
        return;
    }
    let sheets: u32 = between.iter().filter(|l| material(l).is_some_and(|m| sheet(m) && !mat(m))).map(plies).sum();
    let apart = cavity(surface).is_some() || between.iter().any(keeps_apart);
    if sheets >= 2 || (sheets == 1 && apart) {
        return;
    }
    sink.found(tell(look, plaster, between, sheets));
}

fn wood_panel(m: &Material) -> bool {
    m.kind() == "wood-panel" && class::sensitive(m)
}

/// A sheet `in 2 layers` counts as two.
fn plies(layer: &Layer) -> u32 {
    layer.words.staggered.max(1)
}

/// A gap, a mat, a sheet with ribs, or a board that takes up no water.
fn keeps_apart(layer: &Layer) -> bool {
    let clear = |m: &Material| {
        mat(m)
            || m.key() == "housewrap-drainable"
            || (class::insulation(m) && !class::porous(m) && !class::absorbent(m))
    };
    matches!(&layer.body, Body::Gap(g) if !g.bridged) || material(layer).is_some_and(clear)
}

fn tell(look: &Look<'_>, plaster: &Layer, between: &[Layer], sheets: u32) -> Finding {
    let outer = label(plaster);
    let only = between.iter().find(|l| material(l).is_some_and(sheet));
    let message = match only {
        Some(sheet) => format!("`{}` is the only sheet behind `{outer}`", label(sheet)),
        None => format!("there is no sheet between `{outer}` and the wood"),
    };
    let weight = if look.surface.facts.existing { Weight::Watch } else { Weight::Stop };
    Finding::new(RULE.id, weight, only.map_or(plaster.stuff_span, |l| l.stuff_span), message)
        .label(if sheets == 0 { "nothing behind it" } else { "it sticks to this" })
        .also(plaster.span, "plaster")
        .detail(
            "Plaster sticks to the first sheet, and what gets through has nowhere to run. Over wood panels: two sheets, or one of \
             60 minutes and a layer that takes up no water or a drained gap (IRC 2021 R703.7.3, quoted).",
        )
        .help("write the sheet `in 2 layers`, or add a line `mat: drainage-mat` between the two")
}
