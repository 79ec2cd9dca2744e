//! Insulation that room air gets through, before a wall that soil or water keeps cool.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::ThermalResistance;
use crate::base::show::{Show, month_name};
use crate::base::unit::R_VALUE;
use crate::model::layer::Layer;
use crate::rules::facts::below_grade::{self, Below, Dewy};
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/fiber-against-cool-mass",
    summary: "fibrous insulation against a wall that soil or water keeps cool",
    weight: Weight::Stop,
    page: include_str!("fiber_against_cool_mass.md"),
    run: Run::Surface(run),
};

/// From so many months on it is a season. Our own choice.
const SEASON: usize = 3;

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let Some(below) = below_grade::below(look)? else { return Ok(None) };
    let Some((at, fiber)) = below.airy() else { return Ok(None) };
    let Some(layer) = look.surface.layers.get(fiber.layer) else { return Ok(None) };
    let (foam, sealed) = below.foam_before(look, at);
    // Behind boards with open seams room air meets the wall itself.
    let reached = if foam && !sealed { below.mass + 1 } else { at };
    let dewy = below.dewy(look, reached)?;
    Ok(dewy.map(|dewy| tell(look, &below, layer, &dewy, (foam, sealed))))
}

fn tell(look: &Look<'_>, below: &Below<'_, '_>, fiber: &Layer, dewy: &Dewy, (foam, sealed): (bool, bool)) -> Finding {
    let show = Show { metric: look.job.metric };
    let stands = fiber.words.existing || look.surface.facts.existing;
    let count = dewy.months.len();
    let weight = match (stands, count >= SEASON && !foam) {
        (true, _) => Weight::Watch,
        (false, true) => Weight::Stop,
        (false, false) => Weight::Fix,
    };
    let mass = below.path.parts.get(below.mass).and_then(|p| look.surface.layers.get(p.layer));
    let plural = if count == 1 { "month" } else { "months" };
    let message = format!("behind `{}` it is under the room's dew point for {count} {plural}", label(fiber));
    let seams = if foam && !sealed { " The boards before it have open seams: air gets round them." } else { "" };
    Finding::new(RULE.id, weight, fiber.stuff_span, message)
        .label("room air gets through this")
        .also(mass.map_or(look.surface.span, |l| l.stuff_span), "kept cool from outside")
        .detail(format!(
            "{} keeps the wall cool. Its face behind `{}` is at {} in the month that asks most, and the room's dew point \
             at {} (monthly means; under it in {}). Insulation that air moves through does not stand against a wall in the \
             ground without sealed foam before it (ENERGY STAR foundation checklist, quoted; ORNL Foundation Design \
             Handbook, read).{seams}",
            capital(below_grade::wet_side(look)),
            fiber.label,
            show.temperature(dewy.face),
            show.temperature(dewy.dew),
            dewy.months.iter().map(|m| month_name(*m)).collect::<Vec<_>>().join(", "),
        ))
        .help(order(look, show, fiber, dewy, stands, foam && !sealed))
        .number("cool_months", count as f64, "1")
        .number("resistance_lacking", dewy.lacks.si(), "m2.K/W")
}

fn order(look: &Look<'_>, show: Show, fiber: &Layer, dewy: &Dewy, stands: bool, open: bool) -> String {
    if stands {
        return format!("open `{}` near the floor in August, and look for water on the wall", fiber.label);
    }
    if open {
        return "tape the seams of the foam boards and seal their edges".to_string();
    }
    if !dewy.lacks.is_finite() {
        return "dry the room's air: no insulation keeps this face above its dew point".to_string();
    }
    let least = show.resistance(bought(look, dewy.lacks));
    format!(
        "put {least} of closed-cell foam on the wall itself, taped and sealed at its edges, before `{}`",
        fiber.label
    )
}

/// Rounded up to what can be bought.
fn bought(look: &Look<'_>, lacks: ThermalResistance) -> ThermalResistance {
    let step = if look.job.metric { 0.1 } else { R_VALUE / 2.0 };
    ThermalResistance::new((lacks.si() / step).ceil() * step)
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
