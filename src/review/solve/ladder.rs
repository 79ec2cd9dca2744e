//! The changes that are tried on a section: one ladder a kind, its steps rising in effect.
//!
//! Invariant: no step touches what stands already, takes a water or air layer away, or dries air that is held.

use super::change::{Change, Insulation};
use crate::base::quantity::{Length, Permeance, RelativeHumidity, ThermalResistance};
use crate::base::unit::{PERM, R_VALUE};
use crate::catalog::Cup;
use crate::model::layer::{Body, Layer, Stuff};
use crate::model::surface::SidePlace;
use crate::physics::air;
use crate::rules::facts::path::members_of;
use crate::rules::facts::side::{Source, may_be_dried, room_side, stands};
use crate::rules::facts::{Look, class};
use crate::syntax::ast::{Control, SurfaceKind};

/// Permeances a coat or a sheet can be had in, US perm, open to tight. Tighter than 0.1 perm closes a wall for good and is
/// not proposed.
const PERMS: [f64; 11] = [5.0, 3.0, 2.0, 1.5, 1.0, 0.7, 0.5, 0.4, 0.3, 0.2, 0.1];
/// Permeances an open layer is tried with beyond those, US perm: what open sheets and boards have.
const OPEN_PERMS: [f64; 3] = [10.0, 20.0, 50.0];
/// The same in ng/(s m2 Pa).
const OPEN_NANOGRAMS: [f64; 3] = [600.0, 1200.0, 3000.0];
/// The tighter ones in ng/(s m2 Pa).
const NANOGRAMS: [f64; 11] = [300.0, 200.0, 120.0, 90.0, 60.0, 40.0, 30.0, 20.0, 15.0, 10.0, 6.0];
/// Drier than this, in percent, no room is asked to be.
const DRIEST: u32 = 30;
/// Steps of insulation that are tried: up to R-40, or RSI 8.
const INSULATIONS: u32 = 40;
/// Steps of thickness, each half an inch or 10 mm more.
const THICKNESSES: u32 = 16;

/// A kind of change with its steps, and what was tried where none does.
pub(super) struct Ladder {
    /// The kind, for machines.
    pub kind: &'static str,
    /// "drier air in the room".
    pub tried: &'static str,
    /// The steps.
    pub steps: Vec<Change>,
}

impl Ladder {
    /// Whether it changes what a section lets through of heat.
    pub fn warms(&self) -> bool {
        matches!(self.kind, "insulation_resistance_at_least" | "layer_thickness_at_least")
    }
}

/// Every ladder that may be tried on a section for a finding at `layer`. Of several of one kind the first that does is told.
pub(super) fn all(look: &Look<'_>, layer: Option<usize>) -> Vec<Ladder> {
    let mut ladders = vec![coat(look, room_side(look))];
    if look.surface.kind == SurfaceKind::Wall && matches!(outer(look).place(look.surface), SidePlace::Outdoors) {
        ladders.push(coat(look, outer(look)));
    }
    let suspects = suspects(look, layer);
    ladders.extend(suspects.iter().map(|l| open(look, *l)));
    ladders.extend(suspects.iter().map(|l| remove(look, *l)));
    ladders.extend(layer.map(|l| close(look, l)));
    ladders.push(vent(look));
    ladders.extend((0..look.surface.layers.len()).map(|l| thicken(look, l)));
    ladders.extend(insulate(look, layer));
    ladders.push(dry(look));
    ladders.retain(|l| !l.steps.is_empty());
    ladders
}

/// The layer of the finding, and what else holds vapor up: class I and II in the dry cup.
fn suspects(look: &Look<'_>, layer: Option<usize>) -> Vec<usize> {
    let tight = |l: &Layer| match &l.body {
        Body::Sheet(choice) => choice.at(&look.draw).and_then(|s| s.permeance_at(&look.draw, Cup::Dry)),
        _ => None,
    };
    let layers = look.surface.layers.iter().enumerate().skip(left_out(look));
    let others = layers.filter(|(_, l)| tight(l).is_some_and(|p| p.si() <= PERM)).map(|(i, _)| i);
    layer.into_iter().chain(others.filter(|i| Some(*i) != layer)).collect()
}

fn outer(look: &Look<'_>) -> Source {
    room_side(look).other()
}

/// How many layers lie outside a vented gap.
pub(super) fn left_out(look: &Look<'_>) -> usize {
    look.paths().ok().and_then(|p| p.first()).map_or(0, |p| p.left_out)
}

fn layer_at<'l>(look: &'l Look<'_>, at: usize) -> Option<&'l Layer> {
    look.surface.layers.get(at).filter(|_| !stands(look.surface, at))
}

fn permeances(look: &Look<'_>, nanograms: &[f64], perms: &[f64]) -> Vec<Permeance> {
    let (figures, unit) = if look.job.metric { (nanograms, 1e-12) } else { (perms, PERM) };
    figures.iter().map(|figure| Permeance::new(figure * unit)).collect()
}

fn coat(look: &Look<'_>, side: Source) -> Ladder {
    let kind = if side == room_side(look) { "room_face_permeance_at_most" } else { "outer_face_permeance_at_most" };
    let tried = if side == room_side(look) { "a tighter room face" } else { "a tighter outer face" };
    let room = matches!(side.place(look.surface), SidePlace::Room(_) | SidePlace::Outdoors);
    let steps = if room { permeances(look, &NANOGRAMS, &PERMS) } else { Vec::new() };
    Ladder { kind, tried, steps: steps.into_iter().map(|most| Change::Coat { side, most }).collect() }
}

/// Sheets, boards and coats that keep no rain out; a lining's own paint goes with it.
fn replaceable(layer: &Layer) -> bool {
    matches!(layer.body, Body::Sheet(_)) && !layer.relied_on.iter().any(|c| c.value == Control::Water)
}

/// A sheet as drawn, with its paint; none where that is not known.
fn passes(look: &Look<'_>, layer: &Layer) -> Option<Permeance> {
    let Body::Sheet(choice) = &layer.body else { return None };
    let of = |s: &Stuff| s.permeance_at(&look.draw, Cup::Dry);
    let (bare, paint) = (of(choice.at(&look.draw)?)?, layer.words.paint.as_deref().and_then(of));
    Some(paint.map_or(bare, |paint| Permeance::new(1.0 / (1.0 / bare.si() + 1.0 / paint.si()))))
}

/// Only what is more open than the layer drawn: a step below that would close it.
fn open(look: &Look<'_>, layer: usize) -> Ladder {
    let drawn = layer_at(look, layer).filter(|l| replaceable(l));
    let steps = drawn.map_or_else(Vec::new, |drawn| {
        let least = passes(look, drawn).unwrap_or(Permeance::ZERO);
        let tight = permeances(look, &NANOGRAMS, &PERMS).into_iter().rev();
        tight.chain(permeances(look, &OPEN_NANOGRAMS, &OPEN_PERMS)).filter(|p| *p > least).collect()
    });
    Ladder {
        kind: "layer_permeance_at_least",
        tried: "a more open layer there",
        steps: steps.into_iter().map(|least| Change::Open { layer, least }).collect(),
    }
}

fn close(look: &Look<'_>, layer: usize) -> Ladder {
    let said_open = |l: &Layer| [l.words.edges, l.words.holes].into_iter().flatten().any(|w| !w.value);
    let sheet = |l: &Layer| matches!(l.body, Body::Sheet(_) | Body::Panel(_));
    let may = layer_at(look, layer).is_some_and(|l| sheet(l) && (!l.seams.treatment.closed() || said_open(l)));
    let steps = if may { vec![Change::Close { layer }] } else { Vec::new() };
    Ladder { kind: "seams_closed", tried: "closed seams", steps }
}

/// A sheet, film or paper on which nobody relies against water or air.
fn remove(look: &Look<'_>, layer: usize) -> Ladder {
    let sheet = |l: &Layer| match &l.body {
        Body::Sheet(choice) => choice.at(&look.draw).and_then(|s| s.material).is_some_and(|m| {
            matches!(m.kind(), "membrane" | "paper" | "film" | "coating" | "finish") && !class::roofing(m)
        }),
        _ => false,
    };
    let relied = |l: &Layer| l.relied_on.iter().any(|c| matches!(c.value, Control::Water | Control::Air));
    let may = layer_at(look, layer).is_some_and(|l| sheet(l) && !relied(l));
    let steps = if may { vec![Change::Remove { layer }] } else { Vec::new() };
    Ladder { kind: "layer_left_out", tried: "leaving the layer out", steps }
}

/// The outermost gap of an outside wall that is not open low and high.
fn vent(look: &Look<'_>) -> Ladder {
    let outside = matches!(outer(look).place(look.surface), SidePlace::Outdoors);
    let closed = |l: &Layer| matches!(&l.body, Body::Gap(gap) if !gap.openings.vented());
    let at = (0..look.surface.layers.len()).find(|at| layer_at(look, *at).is_some_and(closed));
    let may = look.surface.kind == SurfaceKind::Wall && outside && left_out(look) == 0;
    let steps = at.filter(|_| may).map(|layer| Change::Vent { layer }).into_iter().collect();
    Ladder { kind: "gap_open_low_and_high", tried: "air behind the cladding", steps }
}

/// Insulation that is there already, made thicker.
fn thicken(look: &Look<'_>, layer: usize) -> Ladder {
    let thickness = layer_at(look, layer).and_then(|l| match &l.body {
        Body::Sheet(choice) => {
            let stuff = choice.at(&look.draw)?;
            stuff.material.filter(|m| class::insulation(m)).and(stuff.thickness.as_ref()).map(|t| t.at(&look.draw))
        }
        _ => None,
    });
    let step = if look.job.metric { 0.01 } else { 0.0127 };
    let next = |now: Length, n: u32| Length::new(((now.si() / step).floor() + f64::from(n)) * step);
    let steps = thickness.map_or_else(Vec::new, |now| {
        (1..=THICKNESSES).map(|n| Change::Thicken { layer, least: next(now, n) }).collect()
    });
    Ladder { kind: "layer_thickness_at_least", tried: "thicker insulation", steps }
}

/// New insulation: away from the room beside the layer of the finding or the outermost layer on the members, else on
/// the room side of it; wool before foam.
fn insulate(look: &Look<'_>, layer: Option<usize>) -> Vec<Ladder> {
    let sheathing = sheathing(look);
    let mut beside: Vec<usize> = layer.into_iter().chain(sheathing).collect();
    beside.dedup();
    let outward = beside.iter().map(|l| (*l, true));
    let inward = layer.into_iter().map(|l| (l, false));
    let places: Vec<(usize, bool)> = outward.chain(inward).collect();
    let of = |of: Insulation| places.iter().map(move |(l, out)| board(look, *l, *out, of));
    of(Insulation::Wool).chain(of(Insulation::Foam)).collect()
}

/// The layer next to the deepest members, on the side away from the room; the first that is not left out where there
/// are none.
fn sheathing(look: &Look<'_>) -> Option<usize> {
    let layers = &look.surface.layers;
    let depth = |l: &Layer| members_of(l).map(|m| m.depth.at(&look.draw).si());
    let members = layers.iter().enumerate().filter_map(|(i, l)| Some((i, depth(l)?)));
    let deepest = members.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(i, _)| i);
    match (deepest, outer(look)) {
        (Some(at), Source::First) => at.checked_sub(1).filter(|at| *at >= left_out(look)),
        (Some(at), Source::Last) => Some(at + 1).filter(|at| *at < layers.len()),
        (None, Source::First) => Some(left_out(look)),
        (None, Source::Last) => layers.len().checked_sub(1),
    }
}

fn board(look: &Look<'_>, layer: usize, outward: bool, of: Insulation) -> Ladder {
    let steps = if may_insulate(look, layer, outward, of) { boards(look, layer, outward, of) } else { Vec::new() };
    Ladder { kind: "insulation_resistance_at_least", tried: "more insulation beside it", steps }
}

fn boards(look: &Look<'_>, layer: usize, outward: bool, of: Insulation) -> Vec<Change> {
    let room_last = room_side(look) == Source::Last;
    // Before the layer where that is away from the room, else behind it; the skin of a roof and soil stay outermost.
    let before = (outward != skin_or_soil(look, layer, outward)) == room_last;
    let at = if before { layer } else { layer + 1 };
    let step = |n: u32| if look.job.metric { f64::from(n) * 0.2 } else { f64::from(n) * R_VALUE };
    (1..=INSULATIONS)
        .map(|n| Change::Insulate { at, beside: layer, least: ThermalResistance::new(step(n)), of })
        .collect()
}

fn soil(look: &Look<'_>) -> bool {
    matches!(outer(look).place(look.surface), SidePlace::Ground { .. } | SidePlace::Water { .. })
}

/// Whether insulation on the outer side of a layer has to go on its inner side: under a roof's skin, against soil.
fn skin_or_soil(look: &Look<'_>, layer: usize, outward: bool) -> bool {
    let water = |l: &Layer| l.relied_on.iter().any(|c| c.value == Control::Water);
    let level = look.surface.kind != SurfaceKind::Wall;
    outward && (soil(look) || level && look.surface.layers.get(layer).is_some_and(water))
}

/// Insulation goes in beside the layer: all that lies beyond it is taken off and put on again. Under a roof's skin and
/// against soil only closed-cell board will do.
fn may_insulate(look: &Look<'_>, layer: usize, outward: bool, of: Insulation) -> bool {
    let level = look.surface.kind != SurfaceKind::Wall;
    if outward && (soil(look) || level) && of == Insulation::Wool {
        return false;
    }
    let room_last = room_side(look) == Source::Last;
    let moved = |other: usize| if outward == room_last { other < layer } else { other > layer };
    let layers = left_out(look)..look.surface.layers.len();
    layers.contains(&layer)
        && !stands(look.surface, layer)
        && !layers.clone().any(|l| moved(l) && stands(look.surface, l))
}

fn dry(look: &Look<'_>) -> Ladder {
    let (kind, tried) = ("room_humidity_at_most", "drier air in the room");
    Ladder { kind, tried, steps: dried(look).unwrap_or_default() }
}

fn dried(look: &Look<'_>) -> Option<Vec<Change>> {
    let side = room_side(look);
    let SidePlace::Room(room) = *side.place(look.surface) else { return None };
    if !may_be_dried(look) {
        return None;
    }
    let months = look.months().ok()?;
    let humidity = |m| {
        let air = side.air(m);
        air::relative_humidity(air.vapor, air.temperature).ok()
    };
    let now = months.iter().filter_map(humidity).fold(0.0, |most: f64, h| most.max(h.si()));
    let percents = (DRIEST..(now * 100.0).ceil() as u32).rev();
    Some(percents.map(|p| Change::Dry { room, most: RelativeHumidity::new(f64::from(p) / 100.0) }).collect())
}
