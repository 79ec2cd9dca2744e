//! Insulation with a written R that it does not have in the cold.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Temperature, ThermalResistance};
use crate::base::show::{Show, month_name};
use crate::model::layer::Layer;
use crate::model::value::Origin;
use crate::rules::facts::path::{Part, PathKind};
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "heat/cold-polyiso",
    summary: "insulation with a written R that the cold takes from it",
    weight: Weight::Watch,
    page: include_str!("cold_polyiso.md"),
    run: Run::Surface(run),
};

/// Told from this share of the written R up: less is within what one make differs from the next (our own choice).
const TOLD: f64 = 0.1;

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

/// What is left of a written R in the coldest month.
struct Left<'a> {
    layer: &'a Layer,
    written: ThermalResistance,
    left: ThermalResistance,
    month: u8,
    outdoors: Temperature,
    basis: &'static str,
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    // Before anything is computed: whether there is such a layer at all.
    let cold = |part: &&Part<'_>| {
        let stuff = part.stuff().filter(|_| part.follows.temperature.is_some());
        stuff.and_then(|s| s.resistance.as_ref()).is_some_and(|r| matches!(r.origin, Origin::Written(_)))
    };
    let Ok(paths) = look.paths() else { return Ok(None) };
    let path = paths.iter().find(|p| matches!(p.kind, PathKind::Bay | PathKind::Whole));
    let Some(path) = path.filter(|p| p.parts.iter().any(|part| cold(&part))) else { return Ok(None) };
    let months = look.months().map_err(Clone::clone)?;
    let by =
        |m: &(usize, &crate::physics::profile::MonthInput)| m.1.outdoor.temperature.min(m.1.indoor.temperature).si();
    let Some((month, air)) = months.iter().enumerate().min_by(|a, b| by(a).total_cmp(&by(b))) else { return Ok(None) };
    let resistances = path.build().resistances(air.outdoor.temperature, air.indoor.temperature);
    let left = path.parts.iter().zip(resistances).filter(|(part, _)| cold(part)).filter_map(|(part, left)| {
        let basis = part.material().and_then(|m| m.temperature_basis()).unwrap_or("the catalog's points");
        let layer = look.surface.layers.get(part.layer)?;
        let outdoors = air.outdoor.temperature.min(air.indoor.temperature);
        Some(Left { layer, written: part.resistance, left, month: month as u8 + 1, outdoors, basis })
    });
    let worst = left.min_by(|a, b| (a.left / a.written).total_cmp(&(b.left / b.written)));
    Ok(worst.filter(|l| l.left < l.written * (1.0 - TOLD)).map(|l| tell(look, &l)))
}

fn tell(look: &Look<'_>, found: &Left<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let (written, left) = (show.resistance(found.written), show.resistance(found.left));
    let month = month_name(found.month);
    let message = format!("{written} of `{}` is {left} in {month}", label(found.layer));
    let step = found.written * (found.written / found.left);
    Finding::new(RULE.id, Weight::Watch, found.layer.stuff_span, message)
        .label("its label holds when it is warm")
        .detail(format!(
            "A label is measured at 75 F (24 C). With {} outside this board is far colder on the mean and conducts more \
             ({}). U-values and profiles here follow its temperature; tables of codes go by the label.",
            show.temperature(found.outdoors),
            found.basis
        ))
        .help(format!(
            "plan with {left}, or use {} of it, or a board that the cold makes better, such as mineral wool or eps",
            show.resistance(step)
        ))
        .number("resistance_written", found.written.si(), "m2.K/W")
        .number("resistance_in_cold", found.left.si(), "m2.K/W")
}
