//! Wood in the section whose moisture content, worked out from the air at its faces, stays too high.

use super::criteria::condensate_told;
use super::{damp_layer, wet};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Fraction, RelativeHumidity, Temperature};
use crate::base::show::{Show, fixed, month_name};
use crate::physics::profile::MonthResult;
use crate::physics::wood;
use crate::rules::facts::{Look, PathYear, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "dew/wet-wood-in-service",
    summary: "wood that is over 20 % moisture for months of each year",
    weight: Weight::Stop,
    page: include_str!("wet_wood_in_service.md"),
    run: Run::Surface(run),
};

/// Decay does not start below this (US Navy MO-312, read).
const DAMP: Fraction = Fraction::new(0.20);
/// Near fiber saturation: full of water (Rowell and Ibach 2000 give about 30 %, read; 28 % common practice, no source).
const SOAKED: Fraction = Fraction::new(0.28);
/// Fungi that rot wood hardly grow in colder wood (Wood Handbook, from memory).
const WARM: Temperature = Temperature::new(10.0);
/// Wood takes weeks to follow the air: fewer months are not told. Our own choice.
const SEASON: usize = 3;
/// Full for as long as this, it has had the time to take the water up that a sum of monthly means gives it. Our own choice.
const HALF_A_YEAR: usize = 6;

/// A layer of wood that is too wet.
#[derive(Debug)]
pub(super) struct Soaked {
    layer: usize,
    /// Months (1 to 12) over 20 %.
    months: Vec<u8>,
    /// Of these, the warm ones.
    warm: usize,
    /// Of these, those over 28 %.
    full: usize,
    worst: Fraction,
    worst_month: u8,
    path: &'static str,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    let (months, years) = match (look.months(), look.years()) {
        (Ok(months), Ok(years)) => (months, years),
        (Err(missing), _) | (_, Err(missing)) => return sink.cannot(missing),
    };
    if let Err(missing) = wet::decidable(look) {
        return sink.cannot(&missing);
    }
    let worst = years.iter().flat_map(|of| find(look, of)).max_by(|a, b| rank(a).total_cmp(&rank(b)));
    let Some(worst) = worst.filter(|_| !condensate_told(look, months, years)) else { return };
    if let Some(finding) = tell(look, &worst) {
        sink.found(finding);
    }
}

fn rank(of: &Soaked) -> f64 {
    of.full as f64 * 100.0 + of.warm as f64 * 10.0 + of.worst.si()
}

/// The layers of wood on a path that are over the limit for a season.
pub(super) fn find(look: &Look<'_>, of: &PathYear<'_>) -> Vec<Soaked> {
    let parts = of.path.parts.iter().enumerate().filter(|(index, part)| {
        let wood = part.stuff().and_then(|s| s.material).is_some_and(class::wood);
        wood && damp_layer::judged(look, of.path.kind, *index, part) && !wet::under_skin(look, of, *index)
    });
    parts.filter_map(|(index, part)| layer_of(of, index, part.layer)).filter(|s| s.warm >= SEASON).collect()
}

fn layer_of(of: &PathYear<'_>, part: usize, layer: usize) -> Option<Soaked> {
    let inside = |n: &crate::physics::profile::Node| {
        n.interface.map_or(n.layer == part, |face| face == part || face == part + 1)
    };
    let nodes: Vec<usize> = of.year.nodes.iter().enumerate().filter(|(_, n)| inside(n)).map(|(i, _)| i).collect();
    let mut found = Soaked {
        layer,
        months: Vec::new(),
        warm: 0,
        full: 0,
        worst: Fraction::new(0.0),
        worst_month: 1,
        path: of.path.kind.name(),
    };
    for month in &of.year.months {
        let Some((content, temperature)) = content(month, &nodes) else { continue };
        if content < DAMP {
            continue;
        }
        let number = month.month as u8 + 1;
        found.months.push(number);
        found.warm += usize::from(temperature >= WARM);
        found.full += usize::from(content >= SOAKED && temperature >= WARM);
        if content > found.worst {
            (found.worst, found.worst_month) = (content, number);
        }
    }
    found.months.sort_unstable();
    found.months = wet::in_a_row(std::mem::take(&mut found.months));
    Some(found)
}

/// Mean moisture content and temperature of a layer in a month, over its nodes.
fn content(month: &MonthResult, nodes: &[usize]) -> Option<(Fraction, Temperature)> {
    let (mut sum, mut warmth) = (0.0, 0.0);
    for node in nodes {
        let temperature = *month.temperature.get(*node)?;
        let humidity = *month.pressure.get(*node)? / *month.saturation.get(*node)?;
        sum += wood::content(temperature, RelativeHumidity::new(humidity.clamp(0.0, 1.0))).ok()?.si();
        warmth += temperature.si();
    }
    let count = nodes.len().max(1) as f64;
    Some((Fraction::new(sum / count), Temperature::new(warmth / count)))
}

fn tell(look: &Look<'_>, found: &Soaked) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(found.layer)?;
    let weight = match () {
        () if wet::stands(look.surface, found.layer) => Weight::Watch,
        () if found.full >= HALF_A_YEAR => Weight::Stop,
        () => Weight::Fix,
    };
    let percent = fixed(found.worst.si() * 100.0, 0);
    Some(
        Finding::new(RULE.id, weight, layer.stuff_span, format!("`{}` is wood at {percent} % moisture in service", label(layer)))
            .label("too wet for long")
            .detail(format!(
                "{}, it is over {} % by mass in {}, {percent} % in {}, {} of these months at {} or more: in balance with the \
                 air at its faces (Hailwood and Horrobin's form with the constants of the Wood Handbook, from memory). Wood \
                 over 20 % may rot (US Navy MO-312, read).",
                wet::capital(found.path),
                fixed(DAMP.si() * 100.0, 0),
                wet::spell(&found.months),
                month_name(found.worst_month),
                found.warm,
                show.temperature(WARM),
            ))
            .number("moisture_content", found.worst.si(), "1")
            .number("wet_months", found.months.len() as f64, "1"),
    )
}
