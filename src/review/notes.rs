//! What is said below the figures of a surface: what they leave out, and what was made of what is written.
//!
//! Invariant: a note tells how a figure came about; it is no finding and asks for nothing.

use super::ensemble::MIXED;
use super::limits;
use super::report::{MonthLine, SurfaceReport};
use crate::base::quantity::ThermalResistance;
use crate::model::layer::{Body, Layer};
use crate::model::room::{RoomAir, RoomHumidity};
use crate::model::surface::{Side, SidePlace, Surface};
use crate::model::value::Draw;
use crate::physics::heat::Ventilation;
use crate::physics::profile::Verdict;
use crate::physics::vapor::Edition;
use crate::rules::facts::air::{humidity_class, swing_of_open};
use crate::rules::facts::vent::{self, left_out};
use crate::rules::facts::{Look, PathYear};
use crate::syntax::ast::SurfaceKind;

/// The notes of one surface.
pub(super) fn notes(look: &Look<'_>, report: &SurfaceReport) -> Vec<String> {
    let mut notes = Vec::new();
    let capped = |side: fn(&MonthLine) -> bool| report.paths.first().is_some_and(|p| p.months.iter().any(side));
    let outdoors = |side: &Side| matches!(side.place, SidePlace::Outdoors);
    let room = |side: &Side| matches!(side.place, SidePlace::Room(_));
    let (first, last) = (&look.surface.first, &look.surface.last);
    let (first_capped, last_capped) = (capped(|m| m.outdoor.capped), capped(|m| m.indoor.capped));
    if outdoors(first) && first_capped || outdoors(last) && last_capped {
        notes.push("outdoor vapor above saturation over ice was taken as saturated".to_string());
    }
    if room(first) && first_capped || room(last) && last_capped {
        notes.push(
            "room air is moister than its surface can hold: water settles on it, in an amount not computed".to_string(),
        );
    }
    notes.extend(gap_notes(look));
    notes.extend(class_notes(look));
    let unsettled = |y: &PathYear<'_>| y.year.months.iter().any(|m| !m.settled);
    if look.years().is_ok_and(|years| years.iter().any(unsettled)) {
        notes.push(
            "permeance and humidity did not settle on one another in some months: rely on no figure of them"
                .to_string(),
        );
    }
    if look.years().is_ok_and(|years| years.iter().any(|y| y.year.verdict == Verdict::WetAllYear)) {
        notes.push("water forms in every month: the sum has no dry start".to_string());
    }
    if let Some(gap) = vented_below(look.surface) {
        notes.push(format!("outdoor air passes through `{gap}` from below, which is taken as still air"));
    }
    notes.extend([first, last].into_iter().filter_map(|side| taken_for(look, side)));
    notes.extend(limits::of(look));
    let open = look.surface.axes.len();
    if open > MIXED {
        notes.push(format!("{open} things are not decided, more than {MIXED}: they are judged one at a time"));
    }
    if open > 0 {
        notes.push("something is not decided: the numbers are those midway".to_string());
    }
    notes
}

/// What soil and rooms without a climate of their own are taken for.
fn taken_for(look: &Look<'_>, side: &Side) -> Option<String> {
    let kind = look.surface.kind;
    match side.place {
        SidePlace::Ground { .. }
            if look.paths().is_ok_and(|p| p.iter().any(|p| p.beneath > ThermalResistance::ZERO)) =>
        {
            Some("soil is the year's mean below 2 m of sand or gravel, and wet up to this surface".to_string())
        }
        SidePlace::Ground { .. } => {
            let text = "soil is taken as undisturbed sand or gravel at its depth; a warm building, and snow by 1 to 3 K, \
                        keep it warmer in winter";
            Some(text.to_string())
        }
        SidePlace::Room(id) => {
            let room = look.job.room(id).filter(|r| matches!(r.air, RoomAir::Open { .. }))?;
            let swing = swing_of_open(look.job, id, &look.draw);
            if swing < 1.0 {
                let share = swing * 100.0;
                return Some(format!(
                    "`{}` swings {share:.0} % as far as outdoor air, steadied by its soil; its vapor is outdoor air's, as \
                     over soil that is covered",
                    room.name
                ));
            }
            let text = match kind {
                SurfaceKind::Ceiling => ": colder under a clear night sky, warmer under a roof in the sun",
                SurfaceKind::Floor => ": over soil it is colder in summer, and so damper",
                _ => "",
            };
            Some(format!("`{}` is taken as outdoor air{text}", room.name))
        }
        _ => None,
    }
}

/// A gap open to outdoor air on the last side: only those on the first side are left out of the sum.
fn vented_below(surface: &Surface) -> Option<&str> {
    let vented = |l: &&Layer| match &l.body {
        Body::Gap(gap) => gap.openings.vented(),
        Body::Members(members) => members.openings.vented(),
        Body::Sheet(_) | Body::Panel(_) | Body::Hole => false,
    };
    let exposed = matches!(surface.last.place, SidePlace::Outdoors);
    let gap = surface.layers.iter().find(vented).filter(|_| exposed && left_out(surface, &Draw::middle()) == 0)?;
    Some(&gap.label)
}

/// What was made of gaps that outdoor air passes through, with the size of their openings where it is written.
fn gap_notes(look: &Look<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    let left_out = look.paths().ok().and_then(|p| p.first()).map_or(0, |p| p.left_out);
    for (index, layer) in look.surface.layers.iter().enumerate() {
        let Some((class, opening)) = vent::ventilation(layer, &look.draw) else { continue };
        let size = opening.map_or_else(String::new, |o| format!(" ({})", vent::told(o, look.job.metric)));
        let label = &layer.label;
        match class {
            Ventilation::Well if index + 1 == left_out => notes.push(format!(
                "outdoor air passes through `{label}`{size}: it and what lies outside of it are left out"
            )),
            Ventilation::Well if index == left_out && vent::filled_further_in(layer) => notes.push(format!(
                "outdoor air passes through the air of `{label}`{size}: it and what lies outside of it are left out"
            )),
            Ventilation::Well => {}
            Ventilation::Slightly => notes.push(format!(
                "`{label}` is slightly ventilated{size}, less than 1500 mm2/m: it and what lies outside of it count in \
                 the vapor sum, and in part in the U-value"
            )),
            Ventilation::Unventilated => {
                notes.push(format!("`{label}` is hardly open{size}, less than 500 mm2/m: it counts as still air"));
            }
        }
    }
    notes
}

/// The number of a humidity class names other buildings in another edition of its standard: the words that were used.
fn class_notes(look: &Look<'_>) -> Vec<String> {
    let room = |side: &Side| match side.place {
        SidePlace::Room(id) => look.job.room(id),
        _ => None,
    };
    let mut numbers: Vec<u32> = Vec::new();
    for room in [&look.surface.first, &look.surface.last].into_iter().filter_map(room) {
        let settings = match &room.air {
            RoomAir::Kept { heated, cooled } => [heated.as_ref(), cooled.as_ref()],
            RoomAir::Always(setting) => [Some(setting), None],
            _ => [None, None],
        };
        numbers.extend(settings.into_iter().flatten().filter_map(|s| match s.humidity {
            RoomHumidity::Class(number) => Some(number),
            _ => None,
        }));
    }
    numbers.sort_unstable();
    numbers.dedup();
    let told = |number: u32| {
        let class = humidity_class(number)?;
        let (used, before) = (class.meaning(Edition::E2012), class.meaning(Edition::E2001));
        let other = if used == before { String::new() } else { format!("; the edition of 2001 meant {before}") };
        Some(format!("humidity class {number} is that of ISO 13788:2012, {used} (from memory){other}"))
    };
    numbers.into_iter().filter_map(told).collect()
}
