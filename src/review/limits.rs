//! What the sum of a surface leaves out, said where it matters: storage, frost, wind, sky, a margin too small to trust.
//!
//! Invariant: nothing here is a finding; each line rests on the same paths and years as the numbers.

use crate::base::quantity::{
    Length, MoistureMass, Pressure, RelativeHumidity, Temperature, ThermalResistance, VaporThickness,
};
use crate::base::show::{Show, fixed, month_name};
use crate::model::surface::SidePlace;
use crate::physics::profile::{MonthInput, NO_WATER, Year, Zone};
use crate::physics::{air, surface};
use crate::rules::facts::path::{Part, PathKind};
use crate::rules::facts::side::{self, Source};
use crate::rules::facts::{Look, PathYear, class};
use crate::syntax::ast::SurfaceKind;

/// Wood and boards of it store this share of their dry mass without harm. Common practice, no source.
const STORES: f64 = 0.05;
/// Nearer to saturation than this a monthly mean decides nothing. Common practice, no source.
const NEAR: f64 = 0.05;
/// Loose insulation deeper than this is blown through where no layer keeps wind off. Common practice, no source.
const DEEP: Length = Length::new(0.100);
/// A skin of more than this keeps in what night brings. Our own choice.
const SKIN: VaporThickness = VaporThickness::new(10.0);
/// A room that is a little damper than written. Our own choice: plain hygrometers are off by as much (from memory).
const DAMPER: f64 = 0.05;
/// Wind counts where a month is as cold as this. Our own choice.
const COLD: Temperature = Temperature::new(5.0);
/// Less insulation than this is none. Our own choice.
const LITTLE: ThermalResistance = ThermalResistance::new(0.5);

/// The lines of a surface.
pub(super) fn of(look: &Look<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    let Ok(years) = look.years() else { return notes };
    let of = years.iter().filter(|y| y.path.kind != PathKind::Port);
    let of = of.max_by(|a, b| peak(&a.year).si().total_cmp(&peak(&b.year).si()).then(b.path.kind.cmp(&a.path.kind)));
    let Some(of) = of else { return notes };
    let zone = of.year.zones().into_iter().max_by(|a, b| a.peak.si().total_cmp(&b.peak.si()));
    if let Some(zone) = zone {
        notes.extend(stored(look, of, &zone));
        notes.extend(frozen(look, of, &zone));
        notes.extend(damper(look, of).filter(|_| !buried(look)));
    } else if !buried(look) {
        notes.extend(near(look, of));
    }
    notes.extend(sky(look, of));
    notes.extend(wind(look, of));
    notes.extend(mild(look));
    notes
}

/// Soil and water are saturated all year: what lies next to them is near it by nature.
fn buried(look: &Look<'_>) -> bool {
    let wet = |place: &SidePlace| matches!(place, SidePlace::Ground { .. } | SidePlace::Water { .. });
    wet(&look.surface.first.place) || wet(&look.surface.last.place)
}

fn peak(year: &Year) -> MoistureMass {
    year.peak().map_or(MoistureMass::ZERO, |(mass, _)| mass)
}

fn label(look: &Look<'_>, of: &PathYear<'_>, part: usize) -> Option<String> {
    let layer = look.surface.layers.get(of.path.parts.get(part)?.layer)?;
    Some(format!("`{}`", layer.label))
}

/// The parts that the water of a zone touches.
fn touched(zone: &Zone) -> Vec<usize> {
    match (zone.interface, zone.layer) {
        (Some(at), _) => at.checked_sub(1).into_iter().chain([at]).collect(),
        (None, within) => within.into_iter().collect(),
    }
}

/// Wood takes such water up long before it drips: the table shows when it is there, not how long damp lasts.
fn stored(look: &Look<'_>, of: &PathYear<'_>, zone: &Zone) -> Option<String> {
    let dry = |at: usize| -> Option<(usize, f64)> {
        let stuff = of.path.parts.get(at)?.stuff()?;
        let material = stuff.material.filter(|m| class::wood(m))?;
        let density = stuff.density.as_ref().map(|d| d.at(&look.draw)).or(material.density())?;
        let thickness = stuff.thickness.as_ref().map(|t| t.at(&look.draw)).or(material.usual_thickness())?;
        Some((at, zone.peak / (density * thickness)))
    };
    let (at, share) = touched(zone).into_iter().filter_map(dry).min_by(|a, b| a.1.total_cmp(&b.1))?;
    (share < STORES).then_some(())?;
    let name = label(look, of, at)?;
    let share = fixed(share * 100.0, 1);
    Some(format!(
        "{name} takes the water at it up ({share} % of its dry mass): it is damp for longer than the table shows"
    ))
}

/// What freezes and thaws is not in the amounts.
fn frozen(look: &Look<'_>, of: &PathYear<'_>, zone: &Zone) -> Option<String> {
    let cold = of.year.months.iter().filter(|m| {
        let held: MoistureMass = m.mass.iter().take(zone.nodes.1 + 1).skip(zone.nodes.0).copied().sum();
        held > NO_WATER && m.temperature.get(zone.nodes.0).is_some_and(|t| *t < Temperature::new(0.0))
    });
    let mut months: Vec<u8> = cold.map(|m| m.month as u8 + 1).collect();
    months.sort_unstable();
    let first = months.first()?;
    let name = touched(zone).into_iter().find_map(|at| label(look, of, at))?;
    let more = if months.len() > 1 { format!(" and {} more", months.len() - 1) } else { String::new() };
    Some(format!(
        "the water at {name} is below freezing in {}{more}: what frost does to it is not in the figures",
        month_name(*first)
    ))
}

/// The room's humidity decides, and nobody knows it to a point: the same with five points more.
fn damper<'a>(look: &Look<'a>, of: &PathYear<'a>) -> Option<String> {
    let room = side::room_side(look);
    if !matches!(room.place(look.surface), SidePlace::Room(_)) {
        return None;
    }
    let mut months: [MonthInput; 12] = *look.months().ok()?;
    for month in &mut months {
        let side = match room {
            Source::First => &mut month.outdoor,
            Source::Last => &mut month.indoor,
        };
        let saturation = air::saturation_pressure(side.temperature).ok()?;
        let more = side.vapor + saturation * RelativeHumidity::new(DAMPER);
        side.vapor = if more < saturation { more } else { Pressure::new(saturation.si()).max(side.vapor) };
    }
    let damp = peak(&look.year_of(of.path.clone(), &months).ok()?.year);
    let now = peak(&of.year);
    let show = Show { metric: look.job.metric };
    (damp > now).then(|| {
        format!("with the room 5 points damper the most water is {} instead of {}", show.water(damp), show.water(now))
    })
}

/// No water, but so near to it that a cold week would bring some.
fn near(look: &Look<'_>, of: &PathYear<'_>) -> Option<String> {
    let inside = of.year.closest().into_iter().filter(|c| c.interface > 0 && c.interface < of.path.parts.len());
    let worst = inside.max_by(|a, b| a.humidity.si().total_cmp(&b.humidity.si()))?;
    (worst.humidity.si() > 1.0 - NEAR).then_some(())?;
    let month = of.year.months.get(worst.humidity_at)?.month as u8 + 1;
    Some(format!(
        "sensitive: {} comes within {} % of saturation in {}, and a month is a mean",
        label(look, of, worst.interface)?,
        fixed(((1.0 - worst.humidity.si()) * 100.0).max(0.0), 0),
        month_name(month)
    ))
}

/// A roof's skin is colder than the air by night and far warmer by day; the sum knows the air alone.
fn sky(look: &Look<'_>, of: &PathYear<'_>) -> Option<String> {
    let outdoors = matches!(look.surface.first.place, SidePlace::Outdoors);
    (look.surface.kind == SurfaceKind::Roof && outdoors && of.path.left_out == 0).then_some(())?;
    // In the wet cup, the more open one: a skin that opens in the damp lets go what the night brings.
    let outside = of.path.parts.iter().take_while(|p| p.resistance < LITTLE);
    let tight: VaporThickness = outside.map(|p| p.vapor.1).sum();
    (tight > SKIN).then(|| {
        "the sky cools this skin below the air by night and the sun warms it by day: the sum knows neither".to_string()
    })
}

/// Insulation that air moves in, deep, with nothing on its outer side that keeps wind off.
fn wind(look: &Look<'_>, of: &PathYear<'_>) -> Option<String> {
    let open = |p: &Part<'_>| {
        let stuff = p.stuff()?;
        let loose = stuff.material.is_some_and(|m| class::insulation(m) && m.air_tight() == Some(false));
        let deep = stuff.thickness.as_ref().is_some_and(|t| t.at(&look.draw) > DEEP);
        (loose && deep).then_some(p.layer)
    };
    let winter = look.months().ok()?.iter().any(|m| m.outdoor.temperature <= COLD);
    let first = of.path.parts.first().filter(|_| winter && outdoor_air(look, of))?;
    let layer = look.surface.layers.get(open(first)?)?;
    Some(format!("nothing keeps wind off the outer side of `{}`: air that moves in it cools it", layer.label))
}

/// The first part borders on air that moves: outdoors, a vented gap, a space open to outdoors.
fn outdoor_air(look: &Look<'_>, of: &PathYear<'_>) -> bool {
    let open = |id: &usize| {
        let room = look.job.room(*id).map(|r| &r.air);
        matches!(room, Some(crate::model::room::RoomAir::Open { .. }))
    };
    match &look.surface.first.place {
        SidePlace::Outdoors => true,
        SidePlace::Room(id) => of.path.left_out == 0 && open(id),
        _ => false,
    }
}

/// A room that is never much warmer than outdoors: its face is asked for no factor.
fn mild(look: &Look<'_>) -> Option<String> {
    let kept = matches!(look.surface.last.place, SidePlace::Room(_));
    let outdoors = matches!(look.surface.first.place, SidePlace::Outdoors);
    let needs = surface::needs(look.months().ok()?, surface::MOLD_HUMIDITY).ok().filter(|_| kept && outdoors)?;
    needs.critical.is_none().then(|| {
        format!(
            "the room face is not judged: in no month is the room {} warmer than outdoors",
            Show { metric: look.job.metric }.difference(surface::MILD)
        )
    })
}
