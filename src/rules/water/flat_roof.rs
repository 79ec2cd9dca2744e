//! A roof that lies flatter than its covering can stand.

use super::roofs::{covering, fall, rained_on, waterproof};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Slope;
use crate::base::span::Span;
use crate::catalog::{Material, Seams};
use crate::model::layer::{Body, Layer};
use crate::model::value::Origin;
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "water/flat-roof",
    summary: "a roof flatter than its covering allows",
    weight: Weight::Stop,
    page: include_str!("flat_roof.md"),
    run: Run::Surface(run),
};

/// What a covering needs.
#[derive(Clone, Copy)]
struct Need {
    /// Rise over run.
    least: Slope,
    /// As the trade writes it.
    words: &'static str,
    source: &'static str,
}

const QUOTED: &str = "IRC chapter 9, as code explainer pages quote it";
const MEMORY: &str = "IRC chapter 9, from memory";

/// Below this a low-slope membrane is built with ponds in it: 1:80, from memory of British practice.
const PONDS: Slope = Slope::new(1.0 / 80.0);
/// Written slopes are compared with this allowance: 2 % for 1/4:12.
const ROUND: f64 = 0.95;

const fn need(rise: f64, words: &'static str, source: &'static str) -> Need {
    Need { least: Slope::new(rise / 12.0), words, source }
}

fn needed(m: &Material, sealed: bool) -> Option<Need> {
    if waterproof(m) {
        return Some(need(0.25, "1/4:12", MEMORY));
    }
    Some(match m.family() {
        "bitumen" => need(2.0, "2:12", QUOTED),
        "clay" | "cement" => need(2.5, "2-1/2:12", MEMORY),
        "stone" => need(4.0, "4:12", MEMORY),
        "wood" => need(3.0, "3:12", MEMORY),
        _ if m.key().starts_with("standing-seam") => need(0.25, "1/4:12", MEMORY),
        "galvanized-steel" if sealed => need(0.5, "1/2:12", MEMORY),
        "galvanized-steel" => need(3.0, "3:12", MEMORY),
        _ => return None,
    })
}

/// A covering that lies too flat.
struct Flat<'a> {
    layer: &'a Layer,
    has: Slope,
    /// Where its slope is written.
    span: Span,
    need: Need,
    membrane: bool,
    weight: Weight,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(flat)) => sink.found(tell(look, &flat)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

fn find<'a>(look: &Look<'a>) -> Result<Option<Flat<'a>>, Missing> {
    let surface = look.surface;
    if !rained_on(surface) {
        return Ok(None);
    }
    if let Some(hole) = surface.layers.iter().find(|l| matches!(l.body, Body::Hole)) {
        return Err(Missing::new(hole.span, format!("layer `{}` could not be resolved", hole.label)));
    }
    let Some((index, layer, m)) = covering(surface) else { return Ok(None) };
    let membrane = waterproof(m);
    let need = match surface.kind {
        // Nobody lives below a deck, and it is walked on: less fall is usual there.
        SurfaceKind::Deck if membrane => {
            Some(Need { least: PONDS, words: "1:80", source: "common practice, no source" })
        }
        _ => needed(m, m.seams() == Seams::LappedCladding && layer.seams.treatment.closed()),
    };
    let Some(need) = need else { return Ok(None) };
    let (has, span) = match (layer.words.level, fall(surface, index)) {
        (Some(at), _) => (Slope::new(0.0), at),
        (None, Some(slope)) => (slope.at(&look.draw), written(slope.origin).unwrap_or(layer.span)),
        (None, None) => {
            return Err(Missing::new(surface.span, format!("the slope of `{}` is not known", surface.name)));
        }
    };
    if has.si() >= need.least.si() * ROUND {
        return Ok(None);
    }
    let weight = match () {
        () if surface.facts.existing || layer.words.existing => Weight::Watch,
        // 1:80 is a usual finished fall elsewhere.
        () if membrane && has >= PONDS && look.job.code.is_none() && look.job.metric => Weight::Watch,
        () if membrane && (surface.kind == SurfaceKind::Deck || has >= PONDS) => Weight::Fix,
        () => Weight::Stop,
    };
    Ok(Some(Flat { layer, has, span, need, membrane, weight }))
}

fn tell(look: &Look<'_>, flat: &Flat<'_>) -> Finding {
    let Flat { layer, has, need, .. } = flat;
    let (detail, help) = if flat.membrane {
        (
            format!(
                "A roof is built flatter in places than it is drawn and sags under load: what is drawn at 1:80 ponds. The \
                 least finished fall is {} ({}); drawn at 1:40 it is kept (common practice, no source).",
                need.words, need.source
            ),
            "draw the fall at 1:40, in the framing or with tapered boards".to_string(),
        )
    } else {
        (
            format!(
                "What is laid in courses sheds water; on a slope this low wind and capillarity carry it up under the \
                 laps. The least for this covering is {} ({}).",
                need.words, need.source
            ),
            format!("raise the slope to {}, or cover it with a welded or fluid membrane", need.words),
        )
    };
    let lies = lies(*has, look.job.metric);
    let message = format!("`{}` {lies}, it needs {}", label(layer), need.words);
    Finding::new(RULE.id, flat.weight, flat.span, message)
        .label("too flat")
        .also(layer.span, "for this covering")
        .detail(detail)
        .help(help)
        .number("slope", has.si(), "1")
        .number("slope_least", need.least.si(), "1")
}

fn written(origin: Origin) -> Option<Span> {
    if let Origin::Written(span) = origin { Some(span) } else { None }
}

/// How it lies, as the trade writes it: rise in 12, low slopes as 1 in so many.
fn lies(slope: Slope, metric: bool) -> String {
    let rise = slope.si() * 12.0;
    match () {
        () if slope.si() <= 0.0 => "is level".to_string(),
        () if slope.si() < 1.0 / 12.0 || metric => {
            format!("lies at 1:{}", crate::base::show::fixed(1.0 / slope.si(), 0))
        }
        () => format!("lies at {}:12", crate::base::show::fixed(rise, 1)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slope_reads_as_on_a_drawing() {
        assert_eq!(lies(Slope::new(1.5 / 12.0), false), "lies at 1.5:12");
        assert_eq!(lies(Slope::new(1.5 / 12.0), true), "lies at 1:8");
        assert_eq!(lies(PONDS, false), "lies at 1:80");
        assert_eq!(lies(Slope::new(0.0), true), "is level");
    }
}
