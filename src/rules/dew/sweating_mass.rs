//! Bare concrete or masonry that soil or water keeps under the room's dew point.

use super::wet;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{RelativeHumidity, ThermalResistance};
use crate::base::show::Show;
use crate::base::unit::R_VALUE;
use crate::model::layer::Layer;
use crate::model::surface::SidePlace;
use crate::physics::air;
use crate::rules::facts::below_grade::{self, Dewy};
use crate::rules::facts::space::{Use, use_of};
use crate::rules::facts::{Look, Missing, class, label, side};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "dew/sweating-mass",
    summary: "bare concrete or masonry in the ground that sweats",
    weight: Weight::Fix,
    page: include_str!("sweating_mass.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let SidePlace::Room(room) = look.surface.last.place else { return Ok(None) };
    if use_of(look.job, room) == Use::Service {
        return Ok(None);
    }
    let Some(below) = below_grade::below(look)? else { return Ok(None) };
    // A face that feels the wall: plaster and paint on it change nothing.
    let bare = below.inside().all(|(_, p)| p.material().is_some_and(|m| class::plaster(m) || m.kind() == "paint"));
    let Some(layer) = look.surface.layers.last().filter(|_| bare) else { return Ok(None) };
    let Some(dewy) = below.dewy(look, below.path.parts.len())? else { return Ok(None) };
    let driest = driest(
        look,
        below.path.first_film + below.path.parts.iter().map(|p| p.resistance).sum(),
        below.path.last_film,
    )?;
    Ok(Some(tell(look, layer, &dewy, driest)))
}

/// The highest humidity at which the face stays dry in every month.
fn driest(look: &Look<'_>, outer: ThermalResistance, film: ThermalResistance) -> Result<RelativeHumidity, Missing> {
    let refuse = |e: crate::physics::OutOfRange| Missing::new(look.surface.span, e.to_string());
    let mut most = 1.0_f64;
    for at in look.months().map_err(Clone::clone)? {
        let (wet, room) = (at.outdoor.temperature, at.indoor.temperature);
        let face = wet + (room - wet) * (outer / (outer + film));
        let holds = air::saturation_pressure(face).map_err(refuse)? / air::saturation_pressure(room).map_err(refuse)?;
        most = most.min(holds);
    }
    Ok(RelativeHumidity::new(most))
}

fn tell(look: &Look<'_>, layer: &Layer, dewy: &Dewy, driest: RelativeHumidity) -> Finding {
    let show = Show { metric: look.job.metric };
    let count = dewy.months.len();
    let plural = if count == 1 { "month" } else { "months" };
    let stands = wet::stands(look.surface, look.surface.layers.len().saturating_sub(1));
    Finding::new(
        RULE.id,
        if stands { Weight::Watch } else { Weight::Fix },
        layer.stuff_span,
        format!("`{}` sweats: under the room's dew point for {count} {plural}", label(layer)),
    )
    .label("water runs down here")
    .detail(format!(
        "{} keeps this wall cool while the room is warm and humid: its face is at {} where the room's dew point is {} \
         ({}, monthly means; concrete masonry TEK 06-17B and ORNL Foundation Design Handbook, read, for the cause).",
        wet::capital(below_grade::wet_side(look)),
        show.temperature(dewy.face),
        show.temperature(dewy.dew),
        wet::spell(&dewy.months),
    ))
    .help(help(look, show, dewy, driest))
    .number("cool_months", count as f64, "1")
    .number("resistance_lacking", dewy.lacks.si(), "m2.K/W")
}

fn help(look: &Look<'_>, show: Show, dewy: &Dewy, driest: RelativeHumidity) -> String {
    let step = if look.job.metric { 0.1 } else { R_VALUE / 2.0 };
    let least = ThermalResistance::new((dewy.lacks.si() / step).ceil() * step);
    let foam = format!("put {} of closed-cell foam on it, taped, and cover the foam", show.resistance(least));
    let percent = (driest.si() * 100.0).floor() / 100.0;
    let room = side::room_name(look);
    match side::may_be_dried(look) && percent >= 0.3 {
        true => {
            format!("{foam}, or keep {room} at or below {} in summer", show.humidity(RelativeHumidity::new(percent)))
        }
        false => foam,
    }
}
