//! An air layer of loose sheet with nothing firm against it: wind pumps it.

use super::{claimed, stands};
use crate::base::finding::{Finding, Weight};
use crate::catalog::{Bond, Seams};
use crate::graph::plane;
use crate::model::layer::{Body, Layer, Openings};
use crate::model::surface::{Side, SidePlace};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "air/loose-sheet",
    summary: "an air layer of loose sheet with nothing firm against it",
    weight: Weight::Fix,
    page: include_str!("loose_sheet.md"),
    run: Run::Surface(run),
};

/// What lies against one face of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Against {
    /// Board, masonry, siding, or something that is not known.
    Firm,
    /// Members, or a blanket between it and something else.
    Held,
    /// Air that the wind does not reach.
    Still,
    /// Air that the wind reaches.
    Wind,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    let layers = &look.surface.layers;
    for (at, layer) in layers.iter().enumerate().filter(|(_, l)| claimed(l) && loose(look, l)) {
        let outward = against(look, layers.iter().take(at).rev(), &look.surface.first);
        let inward = against(look, layers.iter().skip(at + 1), &look.surface.last);
        let free = |face: Against| matches!(face, Against::Still | Against::Wind);
        if outward == Against::Firm || inward == Against::Firm || !(free(outward) || free(inward)) {
            continue;
        }
        sink.found(tell(look, layer, outward == Against::Wind || inward == Against::Wind));
    }
}

/// A sheet from a roll that is not stuck to anything.
fn loose(look: &Look<'_>, layer: &Layer) -> bool {
    let Body::Sheet(choice) = &layer.body else { return false };
    let rolled = |kind: &str| matches!(kind, "membrane" | "paper" | "foil");
    choice.at(&look.draw).and_then(|s| s.material).is_some_and(|m| {
        rolled(m.kind()) && m.seams() == Seams::Sheet && m.bond() == Bond::Loose && !layer.seams.adhered
    })
}

fn against<'l>(look: &Look<'_>, layers: impl Iterator<Item = &'l Layer>, side: &Side) -> Against {
    for layer in layers {
        match &layer.body {
            Body::Hole | Body::Panel(_) => return Against::Firm,
            Body::Members(members) if plane::bays_closed(members) => return Against::Firm,
            Body::Members(_) => return Against::Held,
            Body::Gap(gap) if matches!(gap.openings, Openings::At { .. }) => return Against::Wind,
            Body::Gap(_) => return Against::Still,
            Body::Sheet(choice) => match choice.at(&look.draw).and_then(|s| s.material) {
                // A second sheet holds nothing: what lies behind it counts.
                Some(m) if matches!(m.kind(), "membrane" | "paper" | "foil") => {}
                Some(m) if matches!(m.kind(), "batt" | "loose-fill") => return Against::Held,
                _ => return Against::Firm,
            },
        }
    }
    match side.place {
        SidePlace::Outdoors => Against::Wind,
        SidePlace::Room(_) => Against::Still,
        SidePlace::Ground { .. } | SidePlace::Water { .. } | SidePlace::Hole => Against::Firm,
    }
}

fn tell(look: &Look<'_>, layer: &Layer, wind: bool) -> Finding {
    let weight = if wind && !stands(look, layer) { Weight::Fix } else { Weight::Watch };
    Finding::new(RULE.id, weight, layer.span, format!("`{}` hangs loose: nothing firm lies against it", label(layer)))
        .label("relied on against air")
        .detail(
            "An air layer has to carry the wind to the frame, pushed and pulled, without shifting (ICC IgCC 2012 appendix B, \
             read). A sheet over open bays with air on its other side billows with every gust, tears at its staples and \
             opens its laps. A firm layer on one face, or members on both, hold it (common practice, no source).",
        )
        .help(format!(
            "lay `{0}` on a board, or hold it with strips on the members and write them beside it: `strips: 1x3 at 16 in, bays air`",
            layer.label
        ))
}
