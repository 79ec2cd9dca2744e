//! A floor that damp harms, on concrete that is fed from the ground or has not dried.

use super::slab::{self, Harm, OnGround};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::{Show, fixed};
use crate::base::unit::INCH;
use crate::model::layer::{Body, Layer, Wet};
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/tight-floor-on-damp-slab",
    summary: "a floor that damp harms on concrete that is not dry",
    weight: Weight::Stop,
    page: include_str!("tight_floor_on_damp_slab.md"),
    run: Run::Surface(run),
};

/// Concrete that dries upward only takes about a month an inch. Common practice, no source.
const DAYS_AN_INCH: f64 = 30.0;
/// No floor goes on before the concrete has cured, however thin it is. Common practice, no source.
const LEAST_DAYS: f64 = 28.0;

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let Some(floor) = slab::on_ground(look)? else { return Ok(None) };
    let Some((index, finish, harm)) = floor.finish(look) else { return Ok(None) };
    let Some(concrete) = floor.concrete.and_then(|i| look.surface.layers.get(i)) else { return Ok(None) };
    if !floor.sheet_below(index) {
        return Ok(Some(fed(look, finish, harm, concrete)));
    }
    Ok(early(look, &floor, index, finish, concrete))
}

fn does(harm: Harm) -> &'static str {
    match harm {
        Harm::Sensitive => "swells, molds or rots in it",
        Harm::Tight => "holds it back, and its glue turns to soap and lets go",
    }
}

/// Nothing lies between the finish and the soil.
fn fed(look: &Look<'_>, finish: &Layer, harm: Harm, concrete: &Layer) -> Finding {
    let whole = look.surface.facts.existing;
    let old = whole || concrete.words.existing;
    let weight = match (whole || finish.words.existing, old) {
        (true, _) => Weight::Watch,
        (false, true) => Weight::Fix,
        (false, false) => Weight::Stop,
    };
    let help = match (whole || finish.words.existing, old) {
        (true, _) => {
            format!("lift `{}` at one place, and tape a sheet of film down for a week: look for wet", finish.label)
        }
        (false, true) => {
            format!("coat `{}` to {} perm or less first, or lay tiles in mortar", concrete.label, slab::SHEET)
        }
        (false, false) => format!("put `sheet: poly-10-mil, lapped 6 in, taped` under `{}`", concrete.label),
    };
    Finding::new(
        RULE.id,
        weight,
        finish.stuff_span,
        format!("`{}` on concrete with no sheet against the soil", label(finish)),
    )
    .label("damp comes up")
    .also(concrete.stuff_span, "open to the soil")
    .detail(format!(
        "Concrete on the ground passes soil vapor all year. `{}` {}. A sheet of at most {} perm under the concrete, or a \
         membrane on it, goes in between (IRC section R506.2.3 and ACI 302.1R, from memory).",
        finish.label,
        does(harm),
        slab::SHEET
    ))
    .help(help)
}

/// The concrete has not had the time to dry.
fn early(look: &Look<'_>, floor: &OnGround<'_>, index: usize, finish: &Layer, concrete: &Layer) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let Some(Wet::Days(days, span)) = concrete.words.wet else { return None };
    let Body::Sheet(choice) = &concrete.body else { return None };
    let depth: Length = choice.at(&look.draw)?.thickness.as_ref()?.at(&look.draw);
    let needs = (depth.si() / INCH * DAYS_AN_INCH).max(LEAST_DAYS);
    // A membrane between the two keeps the water down.
    let coated = floor.sheets.iter().any(|(i, _)| *i > index && Some(*i) <= floor.concrete);
    if coated || days >= needs - 0.5 || finish.words.existing || look.surface.facts.existing {
        return None;
    }
    let days_said = fixed(days, 0);
    Some(
        Finding::new(
            RULE.id,
            Weight::Fix,
            span,
            format!("concrete of {days_said} days under `{}`, {} would do", label(finish), fixed(needs, 0)),
        )
        .label("not dry yet")
        .also(finish.stuff_span, "this goes on it")
        .detail(format!(
            "{} of concrete over a sheet dries upward only, about a month an inch (common practice, no source). A \
             reading of humidity in drilled holes decides, not the calendar (ASTM F2170, from memory): most makers of \
             floors ask for 75 to 85 %.",
            show.length(depth)
        ))
        .help(format!(
            "write `covered at {} days`, or put a coating made for damp concrete under `{}`",
            fixed(needs, 0),
            finish.label
        ))
        .number("days", days, "d")
        .number("days_least", needs, "d"),
    )
}
