//! Wood shingles laid tight on an unvented roof.

use super::{roof, wall};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::base::unit::INCH;
use crate::catalog::Seams;
use crate::model::layer::{BayPart, Body, Fill, Layer, Openings};
use crate::rules::facts::{Look, Missing, label, material};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/unvented-wood-shingles",
    summary: "wood shingles with no vented gap on an unvented roof",
    weight: Weight::Fix,
    page: include_str!("unvented_wood_shingles.md"),
    run: Run::Surface(run),
};

/// IRC section R806.5, quoted.
const LEAST: Length = Length::new(0.25 * INCH);

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let layers = look.surface.layers.iter().enumerate();
    let Some((at, shingles)) = layers.rev().find(|(_, l)| wooden(l, look)) else { return Ok(None) };
    let Some(roof) = roof::unvented(look)? else { return Ok(None) };
    let (code, _) = wall::edition(look.job)?;
    for layer in look.surface.layers.iter().take(roof.deck).skip(at + 1) {
        let Some((thickness, openings)) = air(layer, look) else { continue };
        if matches!(openings, Openings::Unknown) {
            let why = format!("whether outdoor air passes through `{}` is not known", layer.label);
            return Err(Missing::new(layer.stuff_span, why));
        }
        if openings.vented() && thickness.si() >= LEAST.si() * 0.999 {
            return Ok(None);
        }
    }
    Ok(Some(tell(look, shingles, code.value.title())))
}

fn wooden(layer: &Layer, look: &Look<'_>) -> bool {
    let is = |m: &crate::catalog::Material| {
        m.kind() == "roofing" && m.family() == "wood" && m.seams() == Seams::LappedCladding
    };
    material(layer, &look.draw).is_some_and(is)
}

/// The air of a gap, or between battens.
fn air<'l>(layer: &'l Layer, look: &Look<'_>) -> Option<(Length, &'l Openings)> {
    match &layer.body {
        Body::Gap(gap) => Some((gap.thickness.at(&look.draw), &gap.openings)),
        Body::Members(m) => {
            let Fill::Parts(parts) = &m.fill else { return None };
            match parts.as_slice() {
                [BayPart::Air(thickness)] => Some((thickness.at(&look.draw), &m.openings)),
                _ => None,
            }
        }
        _ => None,
    }
}

fn tell(look: &Look<'_>, shingles: &Layer, title: &str) -> Finding {
    let show = Show { metric: look.job.metric };
    let stands = shingles.words.existing || look.surface.facts.existing;
    let weight = if stands { Weight::Watch } else { Weight::Fix };
    let least = show.length(LEAST);
    Finding::new(RULE.id, weight, shingles.stuff_span, format!("no air passes under `{}`", label(shingles)))
        .label("wood, wet by each rain")
        .detail(format!(
            "On an unvented roof wood shingles and shakes have a vented gap of {least} or more above the underlayment \
             ({title} section R806.5, quoted in a training article on the 2015 edition). Rain-wet wood that lies flat on \
             a sheet cups, rots and drives vapor down into the roof when the sun comes out."
        ))
        .help(format!("lay them on battens: `gap: air {least}, open eave and ridge` under `{}`", shingles.label))
        .number("gap_least", LEAST.si(), "m")
}
