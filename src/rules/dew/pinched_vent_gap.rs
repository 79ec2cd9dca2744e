//! A roof's gap for outdoor air that is too thin for air to move in it.

use super::vent;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::model::layer::Openings;
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "dew/pinched-vent-gap",
    summary: "a roof's air gap that is too thin",
    weight: Weight::Fix,
    page: include_str!("pinched_vent_gap.md"),
    run: Run::Surface(run),
};

/// The least of a sloping roof: 1 in or 25 mm (IRC section R806.3, an older text read; a guide's drawing, read).
const PITCHED: Length = Length::new(0.025);
/// The least of a flat one: 50 mm or 2 in (DIN 4108-3, in a digest). A half millimeter is left to the inch.
const FLAT: Length = Length::new(0.050);

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let Some(gap) = vent::gap(look)? else { return Ok(None) };
    // A gap that air does not pass through is told for that.
    let through = matches!(gap.openings, Openings::At { at, .. } if vent::ends(at) == (true, true));
    let Some(thickness) = gap.thickness.map(|t| t.at(&look.draw)).filter(|_| through) else { return Ok(None) };
    let flat = vent::flat(look);
    let (least, source) = if flat {
        (FLAT, "DIN 4108-3 for roofs below 5 degrees, in a digest")
    } else {
        (PITCHED, "IRC section R806.3, an older text read")
    };
    if thickness >= least {
        return Ok(None);
    }
    let show = Show { metric: look.job.metric };
    let asked = match (look.job.metric, flat) {
        (true, true) => "50 mm",
        (true, false) => "25 mm",
        (false, true) => "2 in",
        (false, false) => "1 in",
    };
    let weight = if look.surface.facts.existing || gap.layer.words.existing { Weight::Watch } else { Weight::Fix };
    let message =
        format!("the gap `{}` of this roof is {}, {asked} is the least", label(gap.layer), show.length(thickness));
    Ok(Some(
        Finding::new(RULE.id, weight, gap.layer.stuff_span, message)
            .label("too thin")
            .also(gap.skin.span, "tight skin over it")
            .detail(format!(
                "Blankets swell, decks sag and frost grows: a thinner gap closes in places, and the air stands ({source}). \
                 Long or icy roofs are better off with twice that (common practice, no source)."
            ))
            .help(format!("make it `{asked}` or more over its whole length, with a stiff baffle under it"))
            .number("gap", thickness.si(), "m")
            .number("gap_least", least.si(), "m"),
    ))
}
