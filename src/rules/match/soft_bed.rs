//! Concrete, tile or a waterproof sheet on a bed that gives way.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::rules::facts::section::{touching, weigh};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "match/soft-bed",
    summary: "concrete, tile or a roof sheet on soft fill",
    weight: Weight::Fix,
    page: include_str!("soft_bed.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    if matches!(look.surface.kind, SurfaceKind::Wall | SurfaceKind::Ceiling) {
        return;
    }
    for touch in touching(look) {
        if !hard(touch.over) || !soft(touch.under) {
            continue;
        }
        let detail = format!(
            "{} is made to fill, not to carry: under weight and feet it gives way, what lies on it cracks or is \
             pulled off its seams, and what is squeezed insulates less. Common practice, no source.",
            touch.under.key()
        );
        sink.found(
            Finding::new(
                RULE.id,
                weigh(look.surface, &[touch.outer, touch.inner], Weight::Fix),
                touch.inner.stuff_span,
                format!("`{}` is soft and has to carry `{}`", label(touch.inner), label(touch.outer)),
            )
            .also(touch.outer.stuff_span, "lies on it")
            .detail(detail)
            .help(format!(
                "take a board that carries, such as `xps` or `mineral-wool-roof-board`, for `{}`",
                label(touch.inner)
            )),
        );
    }
}

/// What cracks, or what people walk on: concrete, tile, waterproof sheets and coats of roofs. Loose films do not.
fn hard(m: &Material) -> bool {
    let roof = m.kind() == "membrane" && matches!(m.family(), "bitumen" | "epdm" | "tpo" | "pvc-flexible");
    m.kind() == "concrete" || m.family() == "ceramic" || roof || (m.kind() == "coating" && m.family() != "acrylic")
}

/// Batts and what is blown in; clay, glass and perlite grains carry, spray foam holds itself.
fn soft(m: &Material) -> bool {
    let grains = matches!(m.family(), "mineral" | "glass");
    (m.kind() == "batt" && m.family() != "straw") || (m.kind() == "loose-fill" && !grains)
}
