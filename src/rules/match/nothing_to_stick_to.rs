//! A sheet that sticks, with air, soft fill or a loose film on both of its sides.

use crate::base::finding::{Finding, Weight};
use crate::catalog::{Bond, Material};
use crate::model::layer::{Body, Layer};
use crate::rules::facts::section::{face, sheet, weigh};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/nothing-to-stick-to",
    summary: "an adhered sheet with nothing firm on either side",
    weight: Weight::Fix,
    page: include_str!("nothing_to_stick_to.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let layers = &look.surface.layers;
    if look.surface.broken.is_some() {
        return;
    }
    for (index, layer) in layers.iter().enumerate() {
        let Some(material) = sheet(layer, &look.draw).and_then(|s| s.material) else { continue };
        let sticks = material.kind() == "membrane" && (layer.seams.adhered || material.bond() == Bond::SelfAdhered);
        let before = index.checked_sub(1).and_then(|i| layers.get(i));
        let sides = [before, layers.get(index + 1)];
        if !sticks || sides.iter().any(|side| side.is_some_and(|l| holds(look, l))) {
            continue;
        }
        sink.found(tell(look, layer, sides));
    }
}

/// Whether a layer is ground for a sheet. Of what is not known that is taken for granted.
fn holds(look: &Look<'_>, layer: &Layer) -> bool {
    match &layer.body {
        Body::Gap(_) | Body::Members(_) => false,
        Body::Hole | Body::Panel(_) => true,
        Body::Sheet(_) => {
            let material = face(layer, true, &look.draw).and_then(|s| s.material);
            material.is_none_or(|m| !soft(layer, m))
        }
    }
}

/// Batts, fill, and films that hang loose.
fn soft(layer: &Layer, m: &Material) -> bool {
    let film = matches!(m.kind(), "membrane" | "paper" | "foil") && m.family() != "bitumen";
    matches!(m.kind(), "batt" | "loose-fill" | "ground") || (film && m.bond() == Bond::Loose && !layer.seams.adhered)
}

fn tell(look: &Look<'_>, layer: &Layer, sides: [Option<&Layer>; 2]) -> Finding {
    let finding = Finding::new(
        RULE.id,
        weigh(look.surface, &[layer], Weight::Fix),
        layer.stuff_span,
        format!("`{}` has nothing firm to stick to", label(layer)),
    );
    let finding = sides.into_iter().flatten().fold(finding, |f, side| f.also(side.stuff_span, "gives way"));
    finding
        .detail(
            "A sheet that sticks is rolled on to something that does not give: a board, masonry, concrete. Across \
             open bays, fill or a loose film it cannot be rolled, sags, lets go at its laps and flaps in the wind. \
             Common practice, no source.",
        )
        .help(format!(
            "put a board behind `{}`, such as `plywood 1/2 in`, or take a sheet that is nailed and taped",
            label(layer)
        ))
}
