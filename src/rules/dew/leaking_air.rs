//! Air that leaks through the insulation and meets a face below its dew point.

use super::wet::{self, Source};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{MoistureRate, RelativeHumidity, Temperature, TemperatureDifference, ThermalResistance};
use crate::base::show::{Show, fixed, month_name, significant};
use crate::base::unit::{PERM, R_VALUE};
use crate::catalog::{Cup, Material, Sensitivity};
use crate::model::layer::Body;
use crate::physics::profile::MonthInput;
use crate::physics::{air, leak};
use crate::rules::facts::path::{Part, PartKind, PathKind, members_of};
use crate::rules::facts::{Look, Missing, PathYear, class, label, through};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "dew/leaking-air",
    summary: "air that leaks to a face below its dew point",
    weight: Weight::Fix,
    page: include_str!("leaking_air.md"),
    run: Run::Surface(run),
};

/// Fewer months than these are told as a watch. Our own choice.
const SEASON: usize = 3;
/// The same in summer, of outdoor air at a cooled face: midsummer is two months. Our own choice.
const MIDSUMMER: usize = 2;
/// Less insulation than this in a part is none. Our own choice.
const LITTLE: ThermalResistance = ThermalResistance::new(0.5);
/// Monthly means of outdoor air at a cooled face: days of a month at 75 % go well beyond it. Our own choice.
const SUMMER: RelativeHumidity = RelativeHumidity::new(0.75);
/// A face is cooled when it is at least this much colder than outdoors. Our own choice.
const COOLED: TemperatureDifference = TemperatureDifference::new(1.0);

/// The first face that leaking air meets.
#[derive(Clone, Copy, Debug)]
struct Plane {
    /// The part whose face it is.
    part: usize,
    /// The interface.
    interface: usize,
    /// Within a factory panel, reached through its seams.
    panel: bool,
}

/// A plane that is too cold.
#[derive(Debug)]
struct Cold {
    plane: Plane,
    /// Where the air comes from.
    source: Source,
    /// 1 to 12, in order.
    months: Vec<u8>,
    /// The month furthest below, and how it stands there.
    worst: u8,
    below: TemperatureDifference,
    humidity: RelativeHumidity,
    rate: MoistureRate,
    /// Insulation that is missing on the cold side.
    missing: Option<ThermalResistance>,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let room = wet::room_side(look);
    let open = through::way(look)?.is_some();
    let panels = room == Source::Last && look.surface.layers.iter().any(|l| matches!(l.body, Body::Panel(_)));
    if !open && !panels {
        return Ok(None);
    }
    let (months, years) = (look.months().map_err(Clone::clone)?, look.years().map_err(Clone::clone)?);
    let Some(of) = years.iter().find(|y| y.path.kind != PathKind::Port) else { return Ok(None) };
    let winter = match plane(look, of, room, open)? {
        Some(plane) => cold(months, of, room, plane)?,
        None => None,
    };
    let summer = || -> Result<Option<Cold>, Missing> {
        match first_face(of, room.other()).filter(|p| open && harmed_inside(look, of, *p)) {
            Some(plane) => cooled(months, of, room, plane),
            None => Ok(None),
        }
    };
    let found = if winter.is_some() { winter } else { summer()? };
    Ok(found.and_then(|cold| tell(look, of, room, &cold)))
}

/// The first face outboard of what air passes: of loose insulation, or of a panel whose seams are open to the room.
fn plane(look: &Look<'_>, of: &PathYear<'_>, room: Source, open: bool) -> Result<Option<Plane>, Missing> {
    for (part, of_panel) in of.path.parts.iter().enumerate() {
        let panel = look.surface.layers.get(of_panel.layer).is_some_and(|l| matches!(l.body, Body::Panel(_)));
        if panel && room == Source::Last && through::reaches(look, of_panel.layer)? {
            return Ok(Some(Plane { part, interface: part + 1, panel: true }));
        }
    }
    Ok(first_face(of, room).filter(|_| open))
}

/// The first solid face beyond the loose insulation, for air that comes from a side.
fn first_face(of: &PathYear<'_>, from: Source) -> Option<Plane> {
    let count = of.path.parts.len();
    let mut insulation = false;
    for step in 0..count {
        let part = if from == Source::Last { count - 1 - step } else { step };
        let found = of.path.parts.get(part)?;
        if loose(found) {
            insulation = true;
        } else if insulation && !matches!(found.kind, PartKind::Air) {
            let interface = if from == Source::Last { part + 1 } else { part };
            return Some(Plane { part, interface, panel: false });
        }
    }
    None
}

fn loose(part: &Part<'_>) -> bool {
    let material = part.stuff().and_then(|s| s.material);
    part.resistance >= LITTLE && material.is_some_and(|m| class::insulation(m) && m.air_tight() == Some(false))
}

/// What lies on the cooled side of the plane is harmed by damp, or holds it back.
fn harmed_inside(look: &Look<'_>, of: &PathYear<'_>, plane: Plane) -> bool {
    let stuff = of.path.parts.get(plane.part).and_then(Part::stuff);
    let tight = stuff.and_then(|s| s.permeance_at(&look.draw, Cup::Dry)).is_some_and(|w| w.si() <= PERM);
    tight || stuff.and_then(|s| s.material).is_some_and(class::sensitive)
}

/// The plane's temperature in a month.
fn at(of: &PathYear<'_>, plane: Plane, month: usize) -> Option<Temperature> {
    let node = of.year.nodes.iter().position(|n| n.interface == Some(plane.interface))?;
    of.year.months.iter().find(|m| m.month == month)?.temperature.get(node).copied()
}

/// Months in which the plane is below the dew point of the room's air.
fn cold(months: &[MonthInput; 12], of: &PathYear<'_>, room: Source, plane: Plane) -> Result<Option<Cold>, Missing> {
    let mut found: Option<Cold> = None;
    let mut list = Vec::new();
    for (index, month) in months.iter().enumerate() {
        let (inside, outside) = (room.air(month), room.other().air(month));
        let Some(face) = at(of, plane, index) else { continue };
        let Ok(dew) = air::dew_point(inside.vapor) else { continue };
        if face >= dew || outside.temperature >= inside.temperature {
            continue;
        }
        list.push(index as u8 + 1);
        if found.as_ref().is_none_or(|f| dew - face > f.below) {
            found = Some(Cold {
                plane,
                source: room,
                months: Vec::new(),
                worst: index as u8 + 1,
                below: dew - face,
                humidity: RelativeHumidity::new(1.0),
                rate: leak::left_on(leak::STATED_LEAK, inside, face).map_err(refuse)?,
                missing: missing(
                    of,
                    room,
                    plane,
                    (dew - outside.temperature) / (inside.temperature - outside.temperature),
                ),
            });
        }
    }
    Ok(found.map(|f| Cold { months: wet::in_a_row(list), ..f }))
}

fn refuse(error: crate::physics::OutOfRange) -> Missing {
    Missing::new(crate::base::span::Span::default(), error.to_string())
}

/// What has to be added outboard so that the plane gets this share of the way from outdoors to the room.
fn missing(of: &PathYear<'_>, room: Source, plane: Plane, share: f64) -> Option<ThermalResistance> {
    let build = of.path.build();
    let outer: ThermalResistance = build.layers.iter().take(plane.interface).map(|l| l.resistance).sum();
    let inner: ThermalResistance = build.layers.iter().skip(plane.interface).map(|l| l.resistance).sum();
    let (cold, warm) = match room {
        Source::Last => (build.outer_film + outer, build.inner_film + inner),
        Source::First => (build.inner_film + inner, build.outer_film + outer),
    };
    (share < 0.95).then(|| warm * (share / (1.0 - share)) - cold).filter(|r| *r > ThermalResistance::ZERO)
}

/// Months in which outdoor air is humid at the face of a cooled room.
fn cooled(months: &[MonthInput; 12], of: &PathYear<'_>, room: Source, plane: Plane) -> Result<Option<Cold>, Missing> {
    let mut found: Option<Cold> = None;
    let mut list = Vec::new();
    for (index, month) in months.iter().enumerate() {
        let (inside, outside) = (room.air(month), room.other().air(month));
        let Some(face) = at(of, plane, index) else { continue };
        let humidity = air::relative_humidity(outside.vapor, face).map_err(refuse)?;
        if outside.temperature - face < COOLED || outside.vapor <= inside.vapor || humidity < SUMMER {
            continue;
        }
        list.push(index as u8 + 1);
        let Ok(dew) = air::dew_point(outside.vapor) else { continue };
        if found.as_ref().is_none_or(|f| humidity > f.humidity) {
            found = Some(Cold {
                plane,
                source: room.other(),
                months: Vec::new(),
                worst: index as u8 + 1,
                below: dew - face,
                humidity,
                rate: leak::left_on(leak::STATED_LEAK, outside, face).map_err(refuse)?,
                missing: None,
            });
        }
    }
    Ok(found.map(|f| Cold { months: wet::in_a_row(list), ..f }))
}

fn weight(look: &Look<'_>, of: &PathYear<'_>, cold: &Cold) -> Weight {
    let material = of.path.parts.get(cold.plane.part).and_then(Part::stuff).and_then(|s| s.material);
    // Bare masonry takes such water up and gives it back, unless wood stands against it.
    let takes_up = material.is_some_and(|m| m.sensitivity() == Sensitivity::None && m.capillary() == Some(true));
    let bears = takes_up && !wood_against(look, of, cold);
    let season = if cold.source == wet::room_side(look) { SEASON } else { MIDSUMMER };
    if look.surface.facts.existing || bears || cold.months.len() < season { Weight::Watch } else { Weight::Fix }
}

/// Whether wooden members stand against the plane.
fn wood_against(look: &Look<'_>, of: &PathYear<'_>, cold: &Cold) -> bool {
    let next =
        if cold.source == Source::Last { cold.plane.part.checked_add(1) } else { cold.plane.part.checked_sub(1) };
    let layer = next.and_then(|i| of.path.parts.get(i)).and_then(|p| look.surface.layers.get(p.layer));
    layer.and_then(members_of).and_then(|m| m.member.material).is_some_and(class::wood)
}

fn tell(look: &Look<'_>, of: &PathYear<'_>, room: Source, cold: &Cold) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(of.path.parts.get(cold.plane.part)?.layer)?;
    let grams = cold.rate.si() * 1000.0 * 86_400.0;
    let (message, state) = if cold.source == room {
        (
            format!("room air that leaks out meets `{}` below its dew point", label(layer)),
            format!(
                "{}, {} it meets is below the dew point of the room's air, by {} in {}. A leak of 0.1 m3 an hour \
                 through each square meter (a stated one, our own choice) leaves up to {} g/m2 there each day of that \
                 month (mass balance of moist air)",
                wet::capital(&wet::spell(&cold.months)),
                if cold.plane.panel { "the first cold face" } else { "the face" },
                show.difference(cold.below),
                month_name(cold.worst),
                if grams < 10.0 { significant(grams) } else { fixed(grams, 0) },
            ),
        )
    } else {
        (
            format!("outdoor air that leaks in is at {} on cooled `{}`", show.humidity(cold.humidity), label(layer)),
            format!(
                "{}, outdoor air is at {} or more at the cooled face it meets, {} in {}; monthly means leave out the \
                 days beyond them, so 75 % is the bar (our own choice)",
                wet::capital(&wet::spell(&cold.months)),
                show.humidity(SUMMER),
                show.humidity(cold.humidity),
                month_name(cold.worst),
            ),
        )
    };
    let way = if cold.plane.panel {
        "It gets there through the open seams of the panels"
    } else {
        "Nothing in the section closes its way"
    };
    Some(
        Finding::new(RULE.id, weight(look, of, cold), layer.stuff_span, message)
            .label("leaking air meets this")
            .detail(format!("{state}. {way}: air carries far more water than diffusion does."))
            .help(order(look, cold))
            .number("below_dew_point", cold.below.si(), "K")
            .number("months", cold.months.len() as f64, "1")
            .number("water_left", cold.rate.si(), "kg/(s.m2)"),
    )
}

/// Close what is tight but for its seams; else put something in. Insulation outboard is told with its figure.
fn order(look: &Look<'_>, cold: &Cold) -> String {
    let show = Show { metric: look.job.metric };
    let step = if look.job.metric { 0.1 } else { R_VALUE / 2.0 };
    let warm = cold.missing.map_or_else(String::new, |r| {
        let bought = ThermalResistance::new((r.si() / step).ceil() * step);
        format!("; {} more insulation outside of it would keep it above the dew point", show.resistance(bought))
    });
    if cold.plane.panel {
        return format!("tape the panel seams on the room side: `taped inside`{warm}");
    }
    let tight = |m: &Material| m.air_tight() == Some(true);
    let closable = look.surface.layers.iter().rev().find(|l| match &l.body {
        Body::Sheet(choice) => !l.words.existing && choice.at(&look.draw).and_then(|s| s.material).is_some_and(tight),
        _ => false,
    });
    match closable {
        Some(layer) => format!("close `{}`: `taped, edges sealed, holes sealed -> air`{warm}", layer.label),
        None => format!("add an airtight layer: `air-sheet: smart-membrane, taped, edges sealed -> air`{warm}"),
    }
}
