//! The room face over an unbroken metal member, colder than the dew point of the room's air.

use super::wet::{self, Source};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, RelativeHumidity, Temperature, TemperatureDifference, ThermalResistance};
use crate::base::show::{Show, month_name};
use crate::base::unit::R_VALUE;
use crate::model::layer::{Body, Layer, Members};
use crate::model::surface::SidePlace;
use crate::physics::heat::zone::{self, Member};
use crate::physics::{air, surface};
use crate::rules::facts::path::{PathKind, members_of};
use crate::rules::facts::{Look, Missing, PathYear, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "dew/metal-bridge-sweats",
    summary: "a metal member whose room face falls below the room's dew point",
    weight: Weight::Fix,
    page: include_str!("metal_bridge_sweats.md"),
    run: Run::Surface(run),
};

/// The web of a stud of 20 gauge, 33 mil; thicker ones are colder. Common practice, no source.
const WEB: Length = Length::new(0.84e-3);

/// A face that sweats.
struct Sweats {
    members: usize,
    month: u8,
    months: usize,
    face: Temperature,
    dew: Temperature,
    /// Insulation across the members that would keep it dry.
    missing: Option<ThermalResistance>,
    /// What the room may have at most.
    driest: RelativeHumidity,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(found) => sink.findings.extend(found.and_then(|s| tell(look, &s))),
        Err(missing) => sink.cannot(&missing),
    }
}

fn find(look: &Look<'_>) -> Result<Option<Sweats>, Missing> {
    let room = wet::room_side(look);
    let metal = |l: &Layer| members_of(l).is_some_and(|m| m.metal);
    if !matches!(room.place(look.surface), SidePlace::Room(_)) || !look.surface.layers.iter().any(metal) {
        return Ok(None);
    }
    let (months, years) = (look.months().map_err(Clone::clone)?, look.years().map_err(Clone::clone)?);
    let Some(of) = years.iter().find(|y| y.path.kind == PathKind::Bay) else { return Ok(None) };
    let deepest = look.surface.layers.iter().enumerate().skip(of.path.left_out).filter_map(|(i, l)| {
        members_of(l).filter(|m| m.metal && !empty(of, i)).map(|m| (i, m, m.depth.at(&look.draw)))
    });
    let Some((layer, members, _)) = deepest.max_by(|a, b| a.2.si().total_cmp(&b.2.si())) else { return Ok(None) };
    let Some((member, film)) = zone_of(look, of, layer, members, room) else { return Ok(None) };
    let refuse = |e: crate::physics::Error| Missing::new(look.surface.span, e.to_string());
    let (total, factor) = zone::face(&member, film).map_err(refuse)?;
    let mut found: Option<Sweats> = None;
    let (mut count, mut driest) = (0, 1.0_f64);
    for (index, month) in months.iter().enumerate() {
        let (inside, outside) = (room.air(month), room.other().air(month));
        let face = surface::temperature(factor, outside.temperature, inside.temperature);
        let Ok(dew) = air::dew_point(inside.vapor) else { continue };
        if outside.temperature >= inside.temperature || face >= dew {
            continue;
        }
        count += 1;
        let held = |t| air::saturation_pressure(t).map_err(|e| Missing::new(look.surface.span, e.to_string()));
        driest = driest.min(held(face)? / held(inside.temperature)?);
        let below: TemperatureDifference = dew - face;
        if found.as_ref().is_none_or(|f| below > f.dew - f.face) {
            let need = (dew - outside.temperature) / (inside.temperature - outside.temperature);
            let missing = (need < 0.98).then(|| film / (1.0 - need) - total);
            let month = index as u8 + 1;
            let driest = RelativeHumidity::new(driest);
            found = Some(Sweats { members: layer, month, months: 0, face, dew, missing, driest });
        }
    }
    Ok(found.map(|f| Sweats { months: count, driest: RelativeHumidity::new(driest), ..f }))
}

/// Bays without insulation: what lies before the members insulates, or nothing does.
fn empty(of: &PathYear<'_>, layer: usize) -> bool {
    of.path.parts.iter().filter(|p| p.layer == layer).all(|p| p.stuff().is_none())
}

/// The member with what lies round it, and the film of the room.
fn zone_of(
    look: &Look<'_>,
    of: &PathYear<'_>,
    layer: usize,
    members: &Members,
    room: Source,
) -> Option<(Member, ThermalResistance)> {
    let sum = |test: &dyn Fn(usize) -> bool| -> ThermalResistance {
        of.path.parts.iter().filter(|p| test(p.layer)).map(|p| p.resistance).fold(ThermalResistance::ZERO, |a, r| a + r)
    };
    let (first, last) = (sum(&|l| l < layer), sum(&|l| l > layer));
    let (outside, inside, film) = match room {
        Source::Last => (of.path.first_film + first, last, of.path.last_film),
        Source::First => (of.path.last_film + last, first, of.path.first_film),
    };
    let cover = |at: Option<usize>| {
        let layer = at.and_then(|i| look.surface.layers.get(i));
        let stuff = layer.and_then(|l| if let Body::Sheet(c) = &l.body { c.at(&look.draw) } else { None });
        stuff.and_then(|s| s.thickness.as_ref()).map_or(Length::ZERO, |t| t.at(&look.draw))
    };
    let metal = members.member.material.and_then(|m| m.conductivity())?;
    Some((
        Member {
            flange: members.width.at(&look.draw),
            web: WEB,
            depth: members.depth.at(&look.draw),
            metal,
            bay: sum(&|l| l == layer),
            cover: cover(layer.checked_sub(1)).max(cover(Some(layer + 1))),
            outside,
            inside,
        },
        film,
    ))
}

fn tell(look: &Look<'_>, found: &Sweats) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(found.members)?;
    let weight = if wet::stands(look.surface, found.members) { Weight::Watch } else { Weight::Fix };
    let step = if look.job.metric { 0.1 } else { R_VALUE / 2.0 };
    let dry = show.humidity(RelativeHumidity::new((found.driest.si() * 100.0).floor() / 100.0));
    let help = match found.missing {
        Some(r) => format!(
            "run {} of insulation across the metal, unbroken, or keep the room at or below {dry}",
            show.resistance(ThermalResistance::new((r.si() / step).ceil() * step))
        ),
        None => format!("break the metal, or keep the room at or below {dry}"),
    };
    let message = format!("the room face over `{}` is below the room's dew point", label(layer));
    Some(
        Finding::new(RULE.id, weight, layer.stuff_span, message)
            .label("sweats along each member")
            .detail(format!(
                "In {} it is at {}, the dew point at {}; {} months a year it is below. Worked out as the mean of the zone \
                 that a web of {} cools, by the zone method of the ASHRAE Handbook of Fundamentals (from memory); the \
                 middle of the flange is colder.",
                month_name(found.month),
                show.temperature(found.face),
                show.temperature(found.dew),
                found.months,
                show.length(WEB),
            ))
            .help(help)
            .number("face", found.face.si(), "degC")
            .number("dew_point", found.dew.si(), "degC"),
    )
}
