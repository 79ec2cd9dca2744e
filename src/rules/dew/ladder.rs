//! The changes that are tried on a section, one ladder a kind, steps rising in effect.
//!
//! Invariant: no step touches what stands already, takes a water layer away or dries air that is held.

use super::change::{Change, Insulation};
use super::wet::{Source, Wet, room_side, stands};
use crate::base::quantity::{Permeance, RelativeHumidity, ThermalResistance};
use crate::base::unit::{PERM, R_VALUE};
use crate::model::layer::{Body, Layer};
use crate::model::room::RoomAir;
use crate::model::surface::SidePlace;
use crate::physics::air;
use crate::rules::facts::path::Part;
use crate::rules::facts::{Look, PathYear};
use crate::syntax::ast::{Control, SurfaceKind};

/// Permeances a coat or a sheet can be had in, US perm, open to tight. Tighter than 0.1 perm closes a wall for good and is
/// not proposed.
const PERMS: [f64; 11] = [5.0, 3.0, 2.0, 1.5, 1.0, 0.7, 0.5, 0.4, 0.3, 0.2, 0.1];

/// The same in ng/(s m2 Pa).
const NANOGRAMS: [f64; 11] = [300.0, 200.0, 120.0, 90.0, 60.0, 40.0, 30.0, 20.0, 15.0, 10.0, 6.0];

/// Drier than this no room is asked to be.
const DRIEST: u32 = 30;

/// The room's name, for an order.
pub(super) fn room_name<'l>(look: &'l Look<'_>) -> &'l str {
    match room_side(look).place(look.surface) {
        SidePlace::Room(id) => look.job.room(*id).map_or("the room", |r| r.name.as_str()),
        _ => "the room",
    }
}

pub(super) fn left_out(look: &Look<'_>) -> usize {
    look.paths().ok().and_then(|p| p.first()).map_or(0, |p| p.left_out)
}

fn permeances(look: &Look<'_>) -> Vec<Permeance> {
    if look.job.metric {
        NANOGRAMS.iter().map(|ng| Permeance::new(ng * 1e-12)).collect()
    } else {
        PERMS.iter().map(|perm| Permeance::new(perm * PERM)).collect()
    }
}

pub(super) fn tighten(look: &Look<'_>, wet: &Wet) -> Vec<Change> {
    // A roof's weather side is closed as it is, and soil takes no coat.
    let inside = wet.source == room_side(look);
    let weather = matches!(wet.source.place(look.surface), SidePlace::Outdoors);
    if !(inside || weather && look.surface.kind == SurfaceKind::Wall) {
        return Vec::new();
    }
    permeances(look).into_iter().map(|most| Change::Tighten { source: wet.source, most }).collect()
}

/// The tightest layer on the cold side of the water, where it is a coat or a sheet that something else can replace.
pub(super) fn loosen(look: &Look<'_>, wet: &Wet) -> Vec<Change> {
    let Some(layer) = look.years().ok().and_then(|years| tightest_beyond(years.first()?, wet)) else {
        return Vec::new();
    };
    if !look.surface.layers.get(layer).is_some_and(replaceable) || stands(look.surface, layer) {
        return Vec::new();
    }
    let roofing = wet.source == room_side(look) && look.surface.kind != SurfaceKind::Wall;
    if roofing { Vec::new() } else { opened(look, layer) }
}

fn opened(look: &Look<'_>, layer: usize) -> Vec<Change> {
    permeances(look).into_iter().rev().map(|least| Change::Loosen { layer, least }).collect()
}

fn tightest_beyond(of: &PathYear<'_>, wet: &Wet) -> Option<usize> {
    let beyond = of.path.parts.iter().filter(|part| match wet.source {
        Source::Last => part.layer <= wet.layer,
        Source::First => part.layer >= wet.layer,
    });
    // Between the two cups, by equal factors.
    let middle = |part: &Part<'_>| part.vapor.0.si() * part.vapor.1.si();
    beyond.max_by(|a, b| middle(a).total_cmp(&middle(b))).map(|part| part.layer)
}

/// Sheets, boards and coats that keep no rain out; a lining's own paint goes with it.
fn replaceable(layer: &Layer) -> bool {
    matches!(layer.body, Body::Sheet(_)) && !layer.relied_on.iter().any(|c| c.value == Control::Water)
}

pub(super) fn insulate(look: &Look<'_>, wet: &Wet, of: Insulation) -> Vec<Change> {
    let level = look.surface.kind != SurfaceKind::Wall;
    let soil = matches!(wet.source.other().place(look.surface), SidePlace::Ground { .. } | SidePlace::Water { .. });
    // Under a roof's skin and against soil only closed-cell board will do, and it goes on the warm side of them.
    let outward = wet.source == room_side(look);
    if outward && (soil || level) && of == Insulation::Wool {
        return Vec::new();
    }
    let skin = |l: &Layer| l.relied_on.iter().any(|c| c.value == Control::Water);
    let inside_of = outward && (soil || level && look.surface.layers.get(wet.layer).is_some_and(skin));
    let at = match (inside_of, wet.source) {
        (true, Source::Last) => wet.layer + 1,
        (true, Source::First) => wet.layer.saturating_sub(1),
        (false, _) => wet.layer,
    };
    // Insulation goes in beside the layer: all that lies beyond it is taken off and put on again.
    let moved = |other: usize| match wet.source {
        Source::Last => other < at,
        Source::First => other > at,
    };
    let layers = left_out(look)..look.surface.layers.len();
    if !layers.contains(&at) || stands(look.surface, at) || layers.clone().any(|l| moved(l) && stands(look.surface, l))
    {
        return Vec::new();
    }
    let step = |n: u32| if look.job.metric { f64::from(n) * 0.2 } else { f64::from(n) * R_VALUE };
    (1..=40)
        .map(|n| Change::Insulate { layer: at, source: wet.source, least: ThermalResistance::new(step(n)), of })
        .collect()
}

pub(super) fn dry(look: &Look<'_>, wet: &Wet) -> Vec<Change> {
    let room = room_side(look);
    if wet.source != room || !may_be_dried(look) {
        return Vec::new();
    }
    let Ok(months) = look.months() else { return Vec::new() };
    let now = months
        .iter()
        .map(|m| room.air(m))
        .filter_map(|air| air::relative_humidity(air.vapor, air.temperature).ok())
        .fold(0.0, |most: f64, h| most.max(h.si()));
    let now = (now * 100.0).ceil() as u32;
    (DRIEST..now)
        .rev()
        .map(|percent| Change::Dry { most: RelativeHumidity::new(f64::from(percent) / 100.0), points: now - percent })
        .collect()
}

/// A room with air of its own that neither its use nor a machine keeps as moist as it is.
pub(super) fn may_be_dried(look: &Look<'_>) -> bool {
    let SidePlace::Room(id) = room_side(look).place(look.surface) else { return false };
    match look.job.room(*id).map(|r| &r.air) {
        Some(RoomAir::Kept { heated, cooled }) => ![heated, cooled].iter().any(|s| s.as_ref().is_some_and(|s| s.held)),
        Some(RoomAir::Always(setting)) => !setting.held,
        Some(RoomAir::Monthly { .. }) => true,
        _ => false,
    }
}
