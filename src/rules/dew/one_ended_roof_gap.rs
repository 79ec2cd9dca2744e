//! A roof's gap under a tight skin that is open at one end only, or at none.

use super::vent::{self, Vent};
use crate::base::finding::{Finding, Weight};
use crate::model::layer::Openings;
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "dew/one-ended-roof-gap",
    summary: "a roof's air gap that is open at one end only, or closed",
    weight: Weight::Fix,
    page: include_str!("one_ended_roof_gap.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let Some(gap) = vent::gap(look)? else { return Ok(None) };
    let (how, missing) = match gap.openings {
        Openings::Unknown => {
            let why = format!("where the gap `{}` is open is not known", gap.layer.label);
            return Err(Missing::new(gap.layer.stuff_span, why));
        }
        Openings::Closed => ("closed", "both ends"),
        Openings::At { at, .. } => match vent::ends(at) {
            (true, true) => return Ok(None),
            (true, false) => ("open at its low end only", "its high end"),
            (false, true) => ("open at its high end only", "its low end"),
            (false, false) => ("open at one side only", "its other side"),
        },
    };
    Ok(Some(tell(look, &gap, how, missing)))
}

fn tell(look: &Look<'_>, gap: &Vent<'_>, how: &str, missing: &str) -> Finding {
    let weight = if look.surface.facts.existing || gap.layer.words.existing { Weight::Watch } else { Weight::Fix };
    Finding::new(RULE.id, weight, gap.layer.stuff_span, format!("the gap `{}` of this roof is {how}", label(gap.layer)))
        .label("air does not pass through")
        .also(gap.skin.span, "tight skin over it")
        .detail(format!(
            "Insulation lies below it and `{}`, which passes next to no vapor, above: what gets past the insulation \
             leaves only with air that comes in low and goes out high. Air needs both ends; a gap that runs up to a wall \
             or a closed ridge is a dead end (IRC section R806.3 on the way from eave to outlet, an older text read; the \
             dead end is common practice, no source).",
            gap.skin.label
        ))
        .help(format!(
            "open {missing} along the whole roof: `open eave and ridge`; or draw an unvented roof with its insulation \
             above the deck"
        ))
}
