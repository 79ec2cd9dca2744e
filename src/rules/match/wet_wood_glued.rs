//! A sheet, coat or foam that sticks, put on wood that is too wet.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Fraction;
use crate::base::span::Span;
use crate::catalog::Material;
use crate::model::layer::{Body, Layer, Wet};
use crate::rules::facts::section::{face, fill, stands, touching};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/wet-wood-glued",
    summary: "something glued or sprayed on wood that is too wet",
    weight: Weight::Fix,
    page: include_str!("wet_wood_glued.md"),
    run: Run::Surface(run),
};

/// Moisture content by mass up to which wood takes an adhesive or spray foam. Common practice, no source.
const DRIEST_WET: f64 = 0.19;

fn run(look: &Look<'_>, sink: &mut Sink) {
    for touch in touching(look) {
        for (layer, wood, glued, adhesive) in touch.both_ways() {
            if stands(look.surface, glued) || !class::wants_dry_face(adhesive) {
                continue;
            }
            if let Some((content, span)) = wet(look, layer, wood) {
                sink.found(tell(layer, glued, content, span).also(glued.stuff_span, "sticks to it"));
            }
        }
    }
    // Foam in bays sticks to the members on both sides of it.
    for layer in look.surface.layers.iter().filter(|l| matches!(l.body, Body::Members(_))) {
        let foam = fill(layer, &look.draw).into_iter().any(|s| s.material.is_some_and(|m| m.kind() == "spray-foam"));
        let Some(member) = face(layer, true, &look.draw).and_then(|s| s.material).filter(|_| foam) else { continue };
        if let Some((content, span)) = wet(look, layer, member).filter(|_| !stands(look.surface, layer)) {
            sink.found(tell(layer, layer, content, span));
        }
    }
}

/// The moisture content of a layer of wood that is over the limit, and where it is written: by its own words, else, of
/// new lumber, by the job's.
fn wet(look: &Look<'_>, layer: &Layer, m: &Material) -> Option<(Fraction, Span)> {
    if !class::wood(m) {
        return None;
    }
    let job = look.job.wood_at_cover.as_ref().filter(|_| m.kind() == "lumber" && !stands(look.surface, layer));
    let (content, span) = match (layer.words.wet, job) {
        (Some(Wet::Content(share, span)), _) => (Fraction::new(share), span),
        (Some(Wet::Days(..)), _) | (None, None) => return None,
        (None, Some(value)) => (value.at(&look.draw), layer.stuff_span),
    };
    (content.si() > DRIEST_WET + 1e-9).then_some((content, span))
}

fn tell(layer: &Layer, glued: &Layer, content: Fraction, span: Span) -> Finding {
    let percent = content.si() * 100.0;
    let what = if std::ptr::eq(layer, glued) {
        format!("foam is sprayed on `{}`, which is at {percent:.0} %", label(layer))
    } else {
        format!("`{}` is stuck to `{}`, which is at {percent:.0} %", label(glued), label(layer))
    };
    Finding::new(RULE.id, Weight::Fix, span, what)
        .label("this wet")
        .detail(format!(
            "Wood over {:.0} % by mass is wet at its face: an adhesive does not wet it, foam pulls off as the wood \
             shrinks, and what seals the face keeps the water in. Common practice, no source; the same figure stands \
             in building rules for wood that is closed in.",
            DRIEST_WET * 100.0
        ))
        .help(format!(
            "let `{}` dry to {:.0} % or less, read with a meter, before it is covered",
            label(layer),
            DRIEST_WET * 100.0
        ))
        .number("moisture_content", content.si(), "1")
        .number("most", DRIEST_WET, "1")
}
