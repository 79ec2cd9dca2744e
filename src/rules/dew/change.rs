//! One change to a section: what it does to paths and air, and how it is told.
//!
//! Invariant: a change never alters the job; it is worked into copies.

use super::ladder::{left_out, room_name};
use super::wet::{Source, room_side};
use crate::base::quantity::{
    Conductivity, Permeance, RelativeHumidity, ThermalResistance, VaporFactor, VaporThickness,
};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::physics::air;
use crate::physics::profile::MonthInput;
use crate::rules::facts::Look;
use crate::rules::facts::air::outdoors as outdoor_air;
use crate::rules::facts::path::{Follows, Part, PartKind, Path};

/// What insulation is tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Insulation {
    /// As tight as closed-cell foam board: mu 100, 0.03 W/(m K) (usual values, from memory).
    Foam,
    /// As open as mineral wool board: mu 1, 0.036 W/(m K) (usual values, from memory).
    Wool,
}

/// One change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Change {
    /// A layer of at most this permeance at the face the vapor comes in by.
    Tighten { source: Source, most: Permeance },
    /// A layer swapped for one of at least this permeance.
    Loosen { layer: usize, least: Permeance },
    /// Insulation on the cold side of a layer.
    Insulate { layer: usize, source: Source, least: ThermalResistance, of: Insulation },
    /// A room kept at or below this.
    Dry { most: RelativeHumidity, points: u32 },
}

/// A change of room humidity up to this many points is a small one.
const SMALL_DRYING: u32 = 10;

/// What order a change stands in: a coat on the room side or a swapped sheet before a dehumidifier before a new layer of
/// insulation, and what closes the outside last.
pub(super) fn effort(change: &Change, room: Source) -> (u8, u32) {
    match change {
        Change::Tighten { most, source } if *source == room && most.si() >= 0.45 * PERM => (0, 0),
        Change::Loosen { .. } => (1, 0),
        Change::Dry { points, .. } if *points <= SMALL_DRYING => (2, *points),
        Change::Insulate { least, .. } => (3, (least.si() * 1000.0) as u32),
        Change::Tighten { source, .. } if *source == room => (4, 0),
        Change::Dry { points, .. } => (5, *points),
        Change::Tighten { .. } => (6, 0),
    }
}

/// The order that a change is, and where.
pub(super) fn order(look: &Look<'_>, change: &Change) -> String {
    let show = Show { metric: look.job.metric };
    let label = |at: usize| look.surface.layers.get(at).map_or("?", |l| l.label.as_str());
    match change {
        Change::Tighten { source, most } => {
            let end = match source {
                Source::Last => look.surface.layers.len().saturating_sub(1),
                Source::First => left_out(look),
            };
            let side = if *source == room_side(look) { "room" } else { "outer" };
            format!("give the {side} face of `{}` a coat or sheet of at most {}", label(end), show.permeance(*most))
        }
        Change::Loosen { layer, least } => {
            format!("put in place of `{}` a layer of at least {}", label(*layer), show.permeance(*least))
        }
        Change::Insulate { layer, source, least, of } => {
            let side = if *source == room_side(look) { "outside" } else { "on the room side" };
            let what = match of {
                Insulation::Foam => "closed-cell foam board",
                Insulation::Wool => "mineral wool board",
            };
            format!("put at least {} of {what} {side} of `{}`", show.resistance(*least), label(*layer))
        }
        Change::Dry { most, .. } => {
            format!("keep {} at or below {} while it is heated", room_name(look), show.humidity(*most))
        }
    }
}

pub(super) fn changed_path<'a>(mut path: Path<'a>, change: &Change) -> Path<'a> {
    match *change {
        Change::Tighten { source, most } => tightened(&mut path, source, most),
        Change::Loosen { layer, least } => {
            let open = least.vapor_thickness();
            for part in path.parts.iter_mut().filter(|p| p.layer == layer) {
                part.vapor = (part.vapor.0.min(open), part.vapor.1.min(open));
                part.follows.humidity = None;
            }
        }
        Change::Insulate { layer, source, least, of } => {
            let at = match source {
                Source::Last => path.parts.iter().position(|p| p.layer >= layer),
                Source::First => path.parts.iter().rposition(|p| p.layer <= layer).map(|i| i + 1),
            };
            path.parts.insert(at.unwrap_or(path.parts.len()), insulation(layer, least, of));
        }
        Change::Dry { .. } => {}
    }
    path
}

/// The paint of the face is replaced; a face without gets a coat.
fn tightened(path: &mut Path<'_>, source: Source, most: Permeance) {
    let tight = most.vapor_thickness();
    let coat = |layer| tried(layer, ThermalResistance::ZERO, tight);
    match source {
        Source::First => {
            let layer = path.parts.first().map_or(0, |p| p.layer);
            path.parts.insert(0, coat(layer));
        }
        Source::Last => {
            let layer = path.parts.last().map_or(0, |p| p.layer);
            if path.parts.last().is_some_and(|p| matches!(p.kind, PartKind::Paint(_))) {
                path.parts.pop();
            }
            path.parts.push(coat(layer));
        }
    }
}

fn insulation<'a>(layer: usize, resistance: ThermalResistance, of: Insulation) -> Part<'a> {
    let (mu, lambda) = match of {
        Insulation::Foam => (100.0, 0.030),
        Insulation::Wool => (1.0, 0.036),
    };
    let sd = VaporFactor::new(mu) * (Conductivity::new(lambda) * resistance);
    tried(layer, resistance, sd)
}

fn tried<'a>(layer: usize, resistance: ThermalResistance, sd: VaporThickness) -> Part<'a> {
    Part { layer, kind: PartKind::Tried, resistance, vapor: (sd, sd), follows: Follows::default() }
}

/// A room is dried where it is warmer than outdoors, and never below the outdoor air that it is aired with.
pub(super) fn changed_months(look: &Look<'_>, months: &[MonthInput; 12], change: &Change) -> [MonthInput; 12] {
    let mut months = *months;
    if let Change::Dry { most, .. } = change {
        let room = room_side(look);
        let Ok(outdoors) = outdoor_air(look.job, look.surface.span) else { return months };
        for (month, outdoors) in months.iter_mut().zip(outdoors) {
            let inside = room.air(month);
            if inside.temperature <= outdoors.temperature {
                continue;
            }
            if let Ok(cap) = air::vapor_pressure(inside.temperature, *most) {
                let vapor = inside.vapor.min(cap.max(outdoors.vapor));
                match room {
                    Source::First => month.outdoor.vapor = vapor,
                    Source::Last => month.indoor.vapor = vapor,
                }
            }
        }
    }
    months
}
