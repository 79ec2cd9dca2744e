//! The far face of a cold room's wall, chilled below the dew point of the air that it stands in.

use super::wet::{self, Source};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Temperature, TemperatureDifference, ThermalResistance};
use crate::base::show::{Show, month_name};
use crate::base::unit::R_VALUE;
use crate::model::surface::SidePlace;
use crate::physics::air;
use crate::rules::facts::path::{Part, PathKind};
use crate::rules::facts::{Look, Missing, PathYear, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "dew/cooled-room-surface",
    summary: "a face that a cold room chills below the dew point of the air it stands in",
    weight: Weight::Fix,
    page: include_str!("cooled_room_surface.md"),
    run: Run::Surface(run),
};

/// Fewer months than these are told as a watch. Our own choice.
const SEASON: usize = 3;

/// A face that sweats.
struct Sweats {
    part: usize,
    months: Vec<u8>,
    worst: u8,
    face: Temperature,
    dew: Temperature,
    missing: Option<ThermalResistance>,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    // A face in soil or water has no air to sweat from, and of two sides in one air neither is chilled.
    if !matches!(wet::room_side(look).place(look.surface), SidePlace::Room(_)) {
        return;
    }
    let far = wet::room_side(look).other();
    if !matches!(far.place(look.surface), SidePlace::Room(_) | SidePlace::Outdoors) {
        return;
    }
    match find(look, far) {
        Ok(found) => sink.findings.extend(found.and_then(|s| tell(look, far, &s))),
        Err(missing) => sink.cannot(&missing),
    }
}

fn find(look: &Look<'_>, far: Source) -> Result<Option<Sweats>, Missing> {
    let (months, years) = (look.months().map_err(Clone::clone)?, look.years().map_err(Clone::clone)?);
    let told = years.iter().filter(|y| y.path.kind != PathKind::Port && wet::told(look, y.path.kind));
    let mut worst: Option<Sweats> = None;
    for of in told {
        let (film, total) = resistances(of, far);
        let (mut list, mut coldest) = (Vec::new(), None::<Sweats>);
        for (index, month) in months.iter().enumerate() {
            let (here, room) = (far.air(month), far.other().air(month));
            if room.temperature >= here.temperature {
                continue;
            }
            let face = here.temperature.lerp(room.temperature, film / total);
            let Ok(dew) = air::dew_point(here.vapor) else { continue };
            if face >= dew {
                continue;
            }
            list.push(index as u8 + 1);
            if coldest.as_ref().is_none_or(|c| dew - face > c.dew - c.face) {
                // Air that is saturated leaves no room for a colder face.
                let spare = here.temperature - dew;
                let apart = here.temperature - room.temperature;
                let missing = (spare > TemperatureDifference::ZERO).then(|| film * (apart / spare) - total);
                let part = if far == Source::First { 0 } else { of.path.parts.len().saturating_sub(1) };
                coldest = Some(Sweats { part, months: Vec::new(), worst: index as u8 + 1, face, dew, missing });
            }
        }
        let found = coldest.map(|c| Sweats { months: wet::in_a_row(list), ..c });
        if let Some(found) = found.filter(|f| worst.as_ref().is_none_or(|w| f.dew - f.face > w.dew - w.face)) {
            worst = Some(found);
        }
    }
    Ok(worst)
}

/// The film of the far side, and all from air to air.
fn resistances(of: &PathYear<'_>, far: Source) -> (ThermalResistance, ThermalResistance) {
    let layers = of.path.parts.iter().map(|l| l.resistance).fold(ThermalResistance::ZERO, |a, r| a + r);
    let film = if far == Source::First { of.path.first_film } else { of.path.last_film };
    (film, of.path.first_film + layers + of.path.last_film)
}

fn tell(look: &Look<'_>, far: Source, found: &Sweats) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let part: &Part<'_> = look.paths().ok()?.first()?.parts.get(found.part)?;
    let layer = look.surface.layers.get(part.layer)?;
    let (place, room) = match far.place(look.surface) {
        SidePlace::Room(id) => (look.job.room(*id)?.name.as_str(), true),
        _ => ("outdoors", false),
    };
    let harmed = room || part.stuff().and_then(|s| s.material).is_some_and(class::sensitive);
    let stands = wet::stands(look.surface, part.layer);
    let weight = if harmed && !stands && found.months.len() >= SEASON { Weight::Fix } else { Weight::Watch };
    let step = if look.job.metric { 0.1 } else { R_VALUE / 2.0 };
    let help = match found.missing.filter(|r| r.si() < 20.0) {
        Some(r) => format!(
            "add at least {} between the cold room and this face",
            show.resistance(ThermalResistance::new((r.si() / step).ceil() * step))
        ),
        None => "dry the air on this side: it is next to saturated, and no insulation helps".to_string(),
    };
    Some(
        Finding::new(
            RULE.id,
            weight,
            layer.stuff_span,
            format!("`{}` sweats on the side of {}", label(layer), short(place)),
        )
        .label("chilled from behind")
        .detail(format!(
            "{}, the cold room behind it takes this face below the dew point of the air it stands in: {} against {} in \
                 {} (monthly means; humid days go further).",
            wet::capital(&wet::spell(&found.months)),
            show.temperature(found.face),
            show.temperature(found.dew),
            month_name(found.worst),
        ))
        .help(help)
        .number("face", found.face.si(), "degC")
        .number("dew_point", found.dew.si(), "degC")
        .number("months", found.months.len() as f64, "1"),
    )
}

fn short(name: &str) -> String {
    name.chars().take(20).collect()
}
