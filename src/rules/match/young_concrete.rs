//! Something glued to concrete or plaster that was covered too young.

use crate::base::finding::{Finding, Weight};
use crate::base::span::Span;
use crate::catalog::Material;
use crate::model::layer::{Layer, Wet};
use crate::rules::facts::section::{touching, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "match/young-concrete",
    summary: "something glued to concrete that is too young",
    weight: Weight::Fix,
    page: include_str!("young_concrete.md"),
    run: Run::Surface(run),
};

/// Days after which concrete and cement plaster take an adhesive as a rule. Common practice, no source.
const RIPE: f64 = 28.0;
/// Younger than this not even a primer for damp faces is listed. Common practice, no source.
const GREEN: f64 = 7.0;

fn run(look: &Look<'_>, sink: &mut Sink) {
    for touch in touching(look) {
        for (layer, mineral, glued, adhesive) in touch.both_ways() {
            let Some(Wet::Days(days, span)) = layer.words.wet else { continue };
            // On flat work concrete is poured on to what lies below it; only foam is sprayed on from there.
            let below = look.surface.kind != SurfaceKind::Wall && std::ptr::eq(glued, touch.inner);
            if below && adhesive.kind() != "spray-foam" {
                continue;
            }
            let cast = matches!(mineral.kind(), "concrete" | "masonry" | "plaster");
            if cast && days < RIPE && (class::wants_dry_face(adhesive) || bonded(glued, adhesive)) {
                sink.found(tell(look, layer, glued, (days, span)));
            }
        }
    }
}

/// A sheet or floor that is loose by nature and was glued here.
fn bonded(layer: &Layer, m: &Material) -> bool {
    layer.seams.adhered && matches!(m.kind(), "membrane" | "finish")
}

fn tell(look: &Look<'_>, layer: &Layer, glued: &Layer, (days, span): (f64, Span)) -> Finding {
    let weight = if days < GREEN { Weight::Fix } else { Weight::Watch };
    let message = format!("`{}` is glued to `{}` after {days} days", label(glued), label(layer));
    Finding::new(RULE.id, weigh(look.surface, &[layer, glued], weight), span, message)
        .label("this young")
        .also(glued.stuff_span, "what is glued")
        .detail(format!(
            "Young concrete gives off water for weeks; under a bond line it lifts the adhesive, blisters it or turns \
             it to soap. {RIPE} days is the usual wait; from {GREEN} to 14 days only with a primer that its maker \
             lists for damp faces (common practice, no source). A sheet taped down for 16 h shows whether the face \
             is dry: ASTM D4263 (test read, the hours from memory)."
        ))
        .help(format!(
            "cover `{}` after {RIPE} days: write `covered at {RIPE} days`, and test the face that day",
            label(layer)
        ))
        .number("age_when_covered", days, "d")
        .number("least_age", RIPE, "d")
}
