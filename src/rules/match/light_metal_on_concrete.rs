//! Bare aluminum or zinc in a section, against concrete or plaster that is put on fresh.

use crate::base::finding::{Finding, Weight};
use crate::catalog::{Bond, Material};
use crate::model::layer::Layer;
use crate::rules::facts::section::{touching, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/light-metal-on-concrete",
    summary: "a layer of bare aluminum or zinc against fresh cement",
    weight: Weight::Fix,
    page: include_str!("light_metal_on_concrete.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    for touch in touching(look) {
        for (layer, metal, mineral, cement) in touch.both_ways() {
            if !bare(layer, metal) || !fresh(cement) {
                continue;
            }
            let detail = format!(
                "Fresh cement is strongly alkaline: {} foams away in it, and what is left pits whenever the {} gets \
                 damp. Source: a metal roofing code of practice on mortar and concrete (aluminum: read; zinc: from \
                 memory).",
                metal.key(),
                cement.key()
            );
            sink.found(
                Finding::new(
                    RULE.id,
                    weigh(look.surface, &[layer, mineral], Weight::Fix),
                    layer.stuff_span,
                    format!("bare `{}` lies against `{}`", label(layer), label(mineral)),
                )
                .also(mineral.stuff_span, "put on fresh")
                .detail(detail)
                .help(format!(
                    "put `poly 10 mil` between them, or take a layer of `{}` that is coated (`primed`)",
                    metal.key()
                )),
            );
        }
    }
}

/// Metal that shows its face: not under paper, not a factory panel, not coated.
fn bare(layer: &Layer, m: &Material) -> bool {
    matches!(m.family(), "aluminum" | "zinc")
        && matches!(m.kind(), "metal" | "foil" | "roofing")
        && !class::sensitive(m)
        && !layer.words.primed
}

/// Cast or plastered on site with cement or lime.
fn fresh(m: &Material) -> bool {
    matches!(m.family(), "cement" | "lime") && m.bond() == Bond::Liquid && m.kind() != "cladding"
}
