//! Raw cedar or redwood tight on a sheet that has to hold water out.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::model::layer::{Body, Layer};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/cedar-wash",
    summary: "raw cedar tight on a water layer",
    weight: Weight::Fix,
    page: include_str!("cedar_wash.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    for pair in look.surface.layers.windows(2) {
        let [wood, sheet] = pair else { continue };
        let (Some(species), Some(under)) = (material(look, wood), material(look, sheet)) else { continue };
        let acid = species.key().starts_with("cedar") || species.key().starts_with("redwood");
        if !acid
            || !(class::membrane(under) || under.kind() == "paper")
            || wood.words.paint.is_some()
            || wood.words.primed
        {
            continue;
        }
        let detail = format!(
            "Rain behind the boards washes extractives out of {}; they act as a soap and let water through {}, the more so \
             where it is perforated. Source: acidity of cedar from a metal roofing code of practice (read); loss of water \
             hold-out: common practice, no source.",
            species.key(),
            under.key()
        );
        sink.found(
            Finding::new(RULE.id, Weight::Fix, wood.stuff_span, format!("raw `{}` lies tight on `{}`", label(wood), label(sheet)))
                .also(sheet.stuff_span, "has to hold water out")
                .detail(detail)
                .help("coat the boards on all sides (`primed`) and put a gap of 3/8 in (10 mm), open at the bottom, behind them"),
        );
    }
}

fn material(look: &Look<'_>, layer: &Layer) -> Option<&'static Material> {
    match &layer.body {
        Body::Sheet(choice) => choice.at(&look.draw)?.material,
        _ => None,
    }
}
