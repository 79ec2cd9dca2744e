//! A room face so cold that room air is over 80 % humidity on it by the month.

use super::wet::{self, Source};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{RelativeHumidity, Temperature, TemperatureFactor, ThermalResistance};
use crate::base::show::{Show, fixed, month_name};
use crate::model::layer::Body;
use crate::model::room::{RoomAir, RoomHumidity, RoomId, Setting};
use crate::model::surface::SidePlace;
use crate::physics::air;
use crate::physics::heat::{HeatFlow, Purpose, inner_film};
use crate::physics::profile::MonthInput;
use crate::physics::surface::{self, MOLD_HUMIDITY};
use crate::rules::facts::path::PathKind;
use crate::rules::facts::space::{Use, use_of, walkable};
use crate::rules::facts::{Look, Missing, PathYear, class, side};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "dew/cold-inner-face",
    summary: "a room face cold enough for mold",
    weight: Weight::Fix,
    page: include_str!("cold_inner_face.md"),
    run: Run::Surface(run),
};

/// A face below its need.
#[derive(Clone, Debug)]
struct Cold {
    kind: PathKind,
    has: TemperatureFactor,
    needs: TemperatureFactor,
    /// 1 to 12.
    month: u8,
    /// Months that are too mild to be judged, 1 to 12.
    mild: Vec<u8>,
    /// Insulation that is missing.
    missing: ThermalResistance,
    /// What the room may have at most with the face as it is.
    driest: RelativeHumidity,
    /// The face, and the least it may be, in that month.
    face: Temperature,
    least: Temperature,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    let room = wet::room_side(look);
    let SidePlace::Room(id) = *room.place(look.surface) else { return };
    if !judged(look, id, room) || held_humid(look, id) {
        return;
    }
    let (months, years) = match (look.months(), look.years()) {
        (Ok(months), Ok(years)) => (months, years),
        (Err(missing), _) | (_, Err(missing)) => return sink.cannot(missing),
    };
    let months = months.map(|m| MonthInput { outdoor: room.other().air(&m), indoor: room.air(&m), ..m });
    // At a port nothing is built inside.
    let judged = years.iter().filter(|of| of.path.kind != PathKind::Port && wet::told(look, of.path.kind));
    let mut worst: Option<Cold> = None;
    for of in judged {
        match find(&months, of, room) {
            Ok(Some(cold)) if worst.as_ref().is_none_or(|w| cold.missing > w.missing) => worst = Some(cold),
            Ok(_) => {}
            Err(error) => return sink.cannot(&Missing::new(look.surface.span, error.to_string())),
        }
    }
    if let Some(finding) = worst.and_then(|cold| tell(look, &cold)) {
        sink.found(finding);
    }
}

/// Nobody lives with the face of a crawlspace: there only wood and paper count. A sheet on soil has no room face at all.
fn judged(look: &Look<'_>, id: RoomId, room: Source) -> bool {
    let surface = look.surface;
    let face = if room == Source::First { surface.layers.first() } else { surface.layers.last() };
    let harmed = match face.map(|l| &l.body) {
        Some(Body::Sheet(choice)) => choice.at(&look.draw).and_then(|s| s.material).is_none_or(class::sensitive),
        _ => true,
    };
    let bare = surface.kind == SurfaceKind::Slab && !walkable(surface);
    !bare && (harmed || use_of(look.job, id) != Use::Service)
}

/// Whether a room is held over the humidity that mold is judged by: it is so on every face, and that is what the room is
/// for.
fn held_humid(look: &Look<'_>, id: RoomId) -> bool {
    let over = |s: &Setting| s.held && matches!(s.humidity, RoomHumidity::Relative(rh) if rh.low() > MOLD_HUMIDITY);
    match look.job.room(id).map(|r| &r.air) {
        Some(RoomAir::Kept { heated, cooled }) => [heated, cooled].into_iter().flatten().any(over),
        Some(RoomAir::Always(setting)) => over(setting),
        _ => false,
    }
}

fn find(months: &[MonthInput; 12], of: &PathYear<'_>, room: Source) -> Result<Option<Cold>, crate::physics::Error> {
    let needs = surface::needs(months, MOLD_HUMIDITY)?;
    let Some((month, need)) = needs.critical else { return Ok(None) };
    let (film, total) = corner(of, months.get(month), room);
    let has = surface::factor(film, total)?;
    if has >= need {
        return Ok(None);
    }
    // A need of 1 and more is met by no insulation.
    let missing =
        if need.si() < 1.0 { film / (1.0 - need.si()) - total } else { ThermalResistance::new(f64::INFINITY) };
    let Some(at) = months.get(month) else { return Ok(None) };
    let face = |factor| surface::temperature(factor, at.outdoor.temperature, at.indoor.temperature);
    Ok(Some(Cold {
        face: face(has),
        least: face(need),
        kind: of.path.kind,
        has,
        needs: need,
        month: month as u8 + 1,
        mild: needs.skipped().map(|m| m as u8 + 1).collect(),
        missing,
        driest: driest(months, &needs, has)?,
    }))
}

/// The film behind furniture and in corners, and the resistance from air to air with it.
fn corner(of: &PathYear<'_>, month: Option<&MonthInput>, room: Source) -> (ThermalResistance, ThermalResistance) {
    let film = inner_film(HeatFlow::Horizontal, Purpose::SurfaceMold);
    let build = of.path.build();
    let layers: ThermalResistance = match month {
        Some(m) => build.resistances(m.outdoor.temperature, m.indoor.temperature).into_iter().sum(),
        None => build.layers.iter().map(|l| l.resistance).sum(),
    };
    let other = if room == Source::Last { build.outer_film } else { build.inner_film };
    (film, other + layers + film)
}

/// The highest humidity of the room at which the face holds in every month that is judged.
fn driest(
    months: &[MonthInput; 12],
    needs: &surface::Needs,
    has: TemperatureFactor,
) -> Result<RelativeHumidity, crate::physics::Error> {
    let mut most = 1.0_f64;
    for need in needs.months.iter().filter(|n| n.factor.is_some()) {
        let Some(month) = months.get(need.month) else { continue };
        let face = surface::temperature(has, month.outdoor.temperature, month.indoor.temperature);
        let vapor = air::saturation_pressure(face)? * MOLD_HUMIDITY;
        most = most.min(vapor / air::saturation_pressure(month.indoor.temperature)?);
    }
    Ok(RelativeHumidity::new(most))
}

/// Rounded up to what can be bought.
fn bought(look: &Look<'_>, missing: ThermalResistance) -> ThermalResistance {
    let step = if look.job.metric { 0.1 } else { crate::base::unit::R_VALUE / 2.0 };
    ThermalResistance::new((missing.si() / step).ceil() * step)
}

fn help(look: &Look<'_>, cold: &Cold) -> String {
    let show = Show { metric: look.job.metric };
    let humidity = RelativeHumidity::new((cold.driest.si() * 100.0).floor() / 100.0);
    let room = side::room_name(look);
    let dry = (side::may_be_dried(look) && humidity.si() >= 0.3)
        .then(|| format!("keep {room} at or below {} while it is heated", show.humidity(humidity)));
    let add = cold.missing.is_finite().then(|| {
        let place = if cold.kind == PathKind::Member { "across the members" } else { "over the whole of it" };
        format!("add at least {} {place}", show.resistance(bought(look, cold.missing)))
    });
    match (add, dry) {
        (Some(add), Some(dry)) => format!("{add}, or {dry}"),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => "warm the room, or dry its air: no insulation makes this face warm enough".to_string(),
    }
}

fn tell(look: &Look<'_>, cold: &Cold) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let members = look.surface.layers.iter().find(|l| matches!(l.body, Body::Members(_)));
    let last = match wet::room_side(look) {
        Source::First => look.surface.layers.first()?,
        Source::Last => look.surface.layers.last()?,
    };
    let (layer, place) = match cold.kind {
        PathKind::Member => (members?, "at the members"),
        PathKind::Bay => (members?, "between the members"),
        PathKind::Whole | PathKind::Port => (last, "all over"),
    };
    // Two digits, and as many more as it takes to tell them apart.
    let at = |digits| (fixed(cold.has.si(), digits), fixed(cold.needs.si(), digits));
    let (has, needs) = (2..5).map(at).find(|(has, needs)| has != needs).unwrap_or_else(|| at(5));
    let message = format!("the room face {place} gets too cold: factor {has}, needs {needs}");
    let mild = if cold.mild.is_empty() {
        String::new()
    } else {
        format!(" Not judged, too mild: {}.", wet::spell(&cold.mild))
    };
    Some(
        Finding::new(RULE.id, Weight::Fix, layer.stuff_span, message)
            .label("cold here")
            .detail(format!(
                "In {} the face is at {} where furniture or a corner keeps warm air off; below {} the room's air is \
                 over {} humidity on it, and mold grows (ISO 13788:2012 clause 5 with R_si 0.25 m2.K/W, from \
                 memory).{mild}",
                month_name(cold.month),
                show.temperature(cold.face),
                show.temperature(cold.least),
                show.humidity(MOLD_HUMIDITY),
            ))
            .help(help(look, cold))
            .number("factor", cold.has.si(), "1")
            .number("factor_needed", cold.needs.si(), "1"),
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::with_wall;
    use super::*;

    fn cold(layers: &str) -> Option<Cold> {
        with_wall("chicago-il-us", "70 F 40 %", layers, |look| {
            find(look.months().unwrap(), &look.years().unwrap()[0], Source::Last).unwrap()
        })
    }

    #[test]
    fn the_insulation_that_is_told_is_just_enough() {
        let bare = cold("  brick: solid-brick 8 in").unwrap();
        let with = |r: f64| cold(&format!("  brick: solid-brick 8 in\n  wool: mineral-wool-board RSI {r:.4}"));
        let missing = bare.missing.si();
        assert!(missing > 0.0 && with(missing + 0.001).is_none() && with(missing - 0.01).is_some());
    }

    #[test]
    fn the_humidity_that_is_told_is_just_low_enough() {
        let wall = "  brick: solid-brick 8 in";
        let driest = cold(wall).unwrap().driest.si() * 100.0;
        let at = |percent: f64| {
            with_wall("chicago-il-us", &format!("70 F {percent:.2} %"), wall, |look| {
                find(look.months().unwrap(), &look.years().unwrap()[0], Source::Last).unwrap().is_some()
            })
        };
        assert!(!at(driest - 0.1) && at(driest + 0.1), "{driest}");
    }
}
