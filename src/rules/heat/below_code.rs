//! A surface that lets through more than twice the heat that the table of its code allows.

use super::{FRAME, heavy, material};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, ThermalResistance, Transmittance};
use crate::base::show::{Show, fixed};
use crate::base::unit::R_VALUE;
use crate::catalog::codes::{MostTransmittance, Part};
use crate::model::layer::{Body, Layer};
use crate::model::room::RoomAir;
use crate::model::surface::{Side, SidePlace};
use crate::rules::facts::path::members_of;
use crate::rules::facts::{Look, Missing};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "heat/below-code",
    summary: "a surface that lets through twice the heat its code allows",
    weight: Weight::Watch,
    page: include_str!("below_code.md"),
    run: Run::Surface(run),
};

/// Up to so many times the table is let go: the sum over the whole house may make up for it, and does in practice for a wall
/// of an older code. Our own choice.
const TRADED: f64 = 2.0;
/// Masonry, concrete or solid timber of this thickness makes a wall a mass wall (4 in: common practice, no source).
const MASS: Length = Length::new(0.1);

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let (Some(code), false) = (&look.job.code, look.surface.facts.existing) else { return Ok(None) };
    let Some(part) = part(look) else { return Ok(None) };
    let at = look.job.place_span.or(look.job.head).unwrap_or(code.span);
    let zone = look.job.climate.as_ref().and_then(|c| c.zone);
    let zone = zone.ok_or_else(|| Missing::new(at, "the climate zone of the place is not known"))?;
    let none = || Missing::new(code.span, format!("{} has no row for zone {zone}", code.value.title()));
    let most = code.value.most_transmittance(zone, part).ok_or_else(none)?;
    let told = look.transmittance().map_err(Clone::clone)?;
    Ok((told.u > most.u * TRADED).then(|| tell(look, part, told.u, &most, &zone.to_string())))
}

/// The row a surface belongs to: from free air to a room that is heated or cooled.
fn part(look: &Look<'_>) -> Option<Part> {
    let surface = look.surface;
    let layers = || surface.layers.iter();
    if layers().any(|l| l.words.existing) {
        return None;
    }
    let (first, last) = (air(look, &surface.first), air(look, &surface.last));
    match surface.kind {
        SurfaceKind::Wall if first == Some(false) && last == Some(true) => {
            let frame = layers().any(|l| members_of(l).is_some_and(|m| m.depth.at(&look.draw) > FRAME));
            if layers().any(|l| mass(look, l)) { Some(Part::MassWall) } else { frame.then_some(Part::FrameWall) }
        }
        SurfaceKind::Ceiling if first == Some(false) && last == Some(true) => Some(Part::Ceiling),
        SurfaceKind::Roof if first == Some(false) && last == Some(true) => Some(Part::Roof),
        SurfaceKind::Floor if first == Some(true) && last == Some(false) => Some(Part::Floor),
        _ => None,
    }
}

/// Whether the air of a side is heated or cooled for people; none for soil, water and what is not said.
fn air(look: &Look<'_>, side: &Side) -> Option<bool> {
    match side.place {
        SidePlace::Outdoors => Some(false),
        SidePlace::Room(id) => match look.job.room(id)?.air {
            RoomAir::Kept { .. } => Some(true),
            RoomAir::Unheated(_) | RoomAir::Open { .. } => Some(false),
            _ => None,
        },
        SidePlace::Ground { .. } | SidePlace::Water { .. } | SidePlace::Hole => None,
    }
}

fn mass(look: &Look<'_>, layer: &Layer) -> bool {
    let solid = heavy(layer, &look.draw) || material(layer, &look.draw).is_some_and(|m| m.kind() == "lumber");
    let Body::Sheet(choice) = &layer.body else { return false };
    let thick = choice.at(&look.draw).and_then(|s| s.thickness.as_ref()).is_some_and(|t| t.at(&look.draw) >= MASS);
    solid && thick
}

fn tell(look: &Look<'_>, part: Part, u: Transmittance, most: &MostTransmittance, zone: &str) -> Finding {
    let show = Show { metric: look.job.metric };
    let what = match part {
        Part::FrameWall => "frame walls",
        Part::MassWall => "walls of mass",
        Part::Ceiling => "ceilings",
        Part::Roof => "roofs",
        Part::Floor => "floors",
    };
    let title = look.job.code.as_ref().map_or("the code", |c| c.value.title());
    let step = if look.job.metric { 0.1 } else { R_VALUE / 2.0 };
    let lacks = most.u.resistance() - u.resistance();
    let more = ThermalResistance::new((lacks.si() / step).ceil() * step);
    let times = fixed(u / most.u, 1);
    let message = format!("{times} times the heat that the code allows {what} in zone {zone}");
    Finding::new(RULE.id, Weight::Watch, look.surface.span, message)
        .label("too little insulation")
        .detail(format!(
            "{} here; {title} allows {} ({}; {}). The sum over the whole house may make up for a surface that misses the \
             table, but hardly for one this far off; local amendments govern.",
            show.transmittance(u),
            show.transmittance(most.u),
            most.citation.source,
            most.citation.access.words()
        ))
        .help(format!("add {} over the whole surface, or show that the house as a whole makes up for it", show.resistance(more)))
        .number("transmittance", u.si(), "W/(m2.K)")
        .number("transmittance_most", most.u.si(), "W/(m2.K)")
}
