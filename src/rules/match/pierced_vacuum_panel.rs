//! Fasteners that go through a vacuum panel.

use crate::base::finding::{Finding, Weight};
use crate::model::layer::Layer;
use crate::rules::facts::section::{sheet, weigh};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/pierced-vacuum-panel",
    summary: "fasteners through a vacuum panel",
    weight: Weight::Fix,
    page: include_str!("pierced_vacuum_panel.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let layers = &look.surface.layers;
    let panel = |l: &&Layer| sheet(l, &look.draw).and_then(|s| s.material).is_some_and(|m| m.key() == "vacuum-panel");
    let Some(at) = layers.iter().position(|l| panel(&l)) else { return };
    let pierces = |l: &Layer| l.words.screws.is_some() || l.words.ties.is_some();
    // What is fastened outside of the panel holds on to the structure inside of it.
    let (Some(hit), Some(nails)) = (layers.get(at), layers.iter().take(at + 1).find(|l| pierces(l))) else { return };
    sink.found(
        Finding::new(
            RULE.id,
            weigh(look.surface, &[hit, nails], Weight::Fix),
            nails.stuff_span,
            format!("the fasteners of `{}` go through `{}`", label(nails), label(hit)),
        )
        .also(hit.stuff_span, "lives by its vacuum")
        .detail(
            "A vacuum panel with a hole in its foil insulates about a fifth as well, and every screw makes one (from \
             memory). The U-value here is computed with a whole one.",
        )
        .help("hold the outer layers by rails between the panels, and leave `screws` and `ties` out here"),
    );
}
