//! Spray foam in bays, shot straight against a loose sheet.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Bond;
use crate::model::layer::{Body, Layer};
use crate::rules::facts::section::{seen, sheet, stands};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/foam-on-loose-sheet",
    summary: "spray foam against a loose sheet with nothing firm behind",
    weight: Weight::Fix,
    page: include_str!("foam_on_loose_sheet.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let layers = &look.surface.layers;
    for (index, members) in layers.iter().enumerate().filter(|(_, l)| matches!(l.body, Body::Members(_))) {
        let foam = seen(members, false, &look.draw).and_then(|s| s.material).filter(|m| m.kind() == "spray-foam");
        let Some(before) = index.checked_sub(1).and_then(|i| layers.get(i)).filter(|_| foam.is_some()) else {
            continue;
        };
        let beyond = index.checked_sub(2).and_then(|i| layers.get(i));
        if loose(look, before) && gives(beyond) && !stands(look.surface, members) {
            sink.found(tell(before, members));
        }
    }
}

/// A sheet, film or paper that is held at the members only.
fn loose(look: &Look<'_>, layer: &Layer) -> bool {
    let material = sheet(layer, &look.draw).and_then(|s| s.material);
    let thin = material.is_some_and(|m| matches!(m.kind(), "membrane" | "paper" | "foil") && m.bond() == Bond::Loose);
    thin && !layer.seams.adhered
}

/// Whether nothing firm lies beyond it: air, empty bays or nothing at all.
fn gives(beyond: Option<&Layer>) -> bool {
    beyond.is_none_or(|l| matches!(l.body, Body::Gap(_) | Body::Members(_)))
}

fn tell(before: &Layer, members: &Layer) -> Finding {
    Finding::new(
        RULE.id,
        Weight::Fix,
        before.stuff_span,
        format!("foam in `{}` pushes `{}` out", label(members), label(before)),
    )
    .label("nothing firm lies behind it")
    .also(members.stuff_span, "foam is sprayed here")
    .detail(
        "Foam rises against whatever it is shot on. A sheet that hangs between members bellies into the gap behind \
         it, closes the way that water and air take there, and tears at its staples; foam holds on to plastic film \
         badly besides. Common practice, no source.",
    )
    .help(format!(
        "put a board behind it: `plywood 1/2 in` or `gypsum-sheathing 1/2 in` between `{}` and `{}`",
        label(before),
        label(members)
    ))
}
