//! A planted roof whose first tight sheet is bitumen.

use crate::base::finding::{Finding, Weight};
use crate::rules::facts::section::{sheet, weigh};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/roots-in-bitumen",
    summary: "planting over bitumen with nothing that stops roots",
    weight: Weight::Watch,
    page: include_str!("roots_in_bitumen.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let mut soil = None;
    for layer in &look.surface.layers {
        let Some(material) = sheet(layer, &look.draw).and_then(|s| s.material) else { continue };
        if material.key() == "green-roof-soil" {
            soil = Some(layer);
            continue;
        }
        let tight = matches!(material.kind(), "membrane" | "coating" | "metal" | "concrete")
            && !matches!(material.key(), "drainage-mat" | "filter-fabric");
        let Some(above) = soil.filter(|_| tight) else { continue };
        if material.family() == "bitumen" {
            sink.found(
                Finding::new(
                    RULE.id,
                    weigh(look.surface, &[layer, above], Weight::Watch),
                    layer.stuff_span,
                    format!("roots from `{}` grow into `{}`", label(above), label(layer)),
                )
                .also(above.stuff_span, "planted")
                .detail(
                    "Roots grow into bitumen, through laps first, and the leak shows years later under half a meter \
                     of soil. Sheets with an additive or a copper foil are tested against roots: EN 13948 (from \
                     memory). A plain one wants a root barrier over it (common practice, no source).",
                )
                .help(
                    "lay a root barrier over it, such as `poly-10-mil` with welded seams, or take a sheet tested to \
                     EN 13948",
                ),
            );
        }
        return;
    }
}
