//! How outdoor air moves through a gap: by where it is open, and how large the openings are where somebody says so.
//!
//! Invariant: openings of no known size are as large as the gap; a size outside the formula's range counts as large.

use super::class;
use crate::base::quantity::Opening;
use crate::base::show::fixed;
use crate::model::layer::{BayPart, Body, Fill, Layer, Openings};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Draw;
use crate::physics::heat::{self, Ventilation};
use crate::syntax::ast::Control;

/// One square inch in a foot, m2/m.
const INCH_A_FOOT: f64 = 0.0254 * 0.0254 / 0.3048;

/// Whether outdoor air passes through a layer, and through what opening where its size is known.
///
/// Open low and high it passes; the smaller the openings, the less. A slot as high as is written, all along the gap, has
/// its height as area over length. ISO 6946:2017 6.9 (from memory) does not say whether low and high add up: here each
/// row is taken for itself, which is the careful reading for a section that has to dry. None for what is no gap, and for
/// one that is not open low and high.
pub fn ventilation(layer: &Layer, draw: &Draw) -> Option<(Ventilation, Option<Opening>)> {
    let hollow = match &layer.body {
        Body::Gap(_) => true,
        // Empty bays, or air at the outer side of bays that are filled further in.
        Body::Members(members) => {
            matches!(&members.fill, Fill::Parts(parts) if matches!(parts.first(), Some(BayPart::Air(_))))
        }
        // A mat of threads; a dimpled sheet stands between the gap that it keeps and one of its sides.
        Body::Sheet(choice) => choice.at(draw).and_then(|s| s.material).is_some_and(|m| m.keeps_gap() && m.air_open()),
        Body::Panel(_) | Body::Hole => false,
    };
    let openings = layer.openings().filter(|o| hollow && o.vented())?;
    let Openings::At { size: Some(size), .. } = openings else { return Some((Ventilation::Well, None)) };
    let opening = Opening::new(size.at(draw).si());
    Some((heat::ventilation(opening).unwrap_or(Ventilation::Well), Some(opening)))
}

/// Whether a layer is bays with air at their outer side only: what fills them further in stays in the sums.
pub fn filled_further_in(layer: &Layer) -> bool {
    let Body::Members(members) = &layer.body else { return false };
    let stuff = |p: &BayPart| matches!(p, BayPart::Stuff(_));
    matches!(&members.fill, Fill::Parts(parts) if parts.iter().any(stuff))
}

/// Whether the bays of this layer begin with air that outdoor air passes through well; that air is left out too.
pub fn aired_bays(surface: &Surface, at: usize, draw: &Draw) -> bool {
    let well = |l: &&Layer| matches!(ventilation(l, draw), Some((Ventilation::Well, _)));
    let outdoors = matches!(surface.first.place, SidePlace::Outdoors);
    outdoors && at > 0 && surface.layers.get(at).filter(well).is_some_and(filled_further_in)
}

/// Whether a gap lies so far in that its openings are to the room: what is relied on for air and what insulates lie outside
/// of it, and nothing but linings inside. Behind a frame or a wall of masonry it is outdoor air that gets in.
fn opens_to_room(surface: &Surface, gap: usize, draw: &Draw) -> bool {
    let stuff = |l: &Layer| match &l.body {
        Body::Sheet(choice) => choice.at(draw).and_then(|s| s.material),
        _ => None,
    };
    let relied = |l: &Layer| l.relied_on.iter().any(|c| matches!(c.value, Control::Air | Control::Vapor));
    let insulates = |l: &Layer| match &l.body {
        Body::Members(members) => {
            let filled = |p: &BayPart| matches!(p, BayPart::Stuff(s) if s.material.is_some_and(class::insulation));
            matches!(&members.fill, Fill::Parts(parts) if parts.iter().any(filled))
        }
        _ => stuff(l).is_some_and(class::insulation),
    };
    let lining = |l: &Layer| {
        let board = matches!(l.body, Body::Sheet(_)) && stuff(l).is_some_and(|m| !class::masonry(m));
        (board || matches!(l.body, Body::Gap(_))) && !relied(l) && !insulates(l)
    };
    let air = |l: &Layer| l.relied_on.iter().any(|c| c.value == Control::Air);
    let (outer, inner) = surface.layers.split_at_checked(gap).unwrap_or_default();
    let room = matches!(surface.last.place, SidePlace::Room(_));
    room && outer.iter().any(air) && outer.iter().any(insulates) && inner.iter().skip(1).all(lining)
}

/// How many layers lie outside the innermost gap that is well ventilated by outdoor air, that gap included; bays that are
/// filled further in are not.
pub fn left_out(surface: &Surface, draw: &Draw) -> usize {
    if !matches!(surface.first.place, SidePlace::Outdoors) {
        return 0;
    }
    let well = |at: usize, l: &Layer| {
        matches!(ventilation(l, draw), Some((Ventilation::Well, _))) && !opens_to_room(surface, at, draw)
    };
    let gap = surface.layers.iter().enumerate().rev().find(|(i, l)| well(*i, l));
    gap.map_or(0, |(i, l)| if filled_further_in(l) { i } else { i + 1 })
}

/// Whether air moves behind the cladding: over a vented gap, or by the way it hangs.
pub fn aired_cladding(surface: &Surface, draw: &Draw) -> bool {
    let hung = |layer: &Layer| match &layer.body {
        Body::Sheet(choice) => choice.at(draw).and_then(|s| s.material?.vented_cladding()) == Some(true),
        _ => false,
    };
    left_out(surface, draw) > 0 || surface.layers.first().is_some_and(hung)
}

/// The innermost gap that is slightly ventilated by outdoor air, inside of all that is left out.
pub fn slightly(surface: &Surface, draw: &Draw) -> Option<(usize, Opening)> {
    let outdoors = matches!(surface.first.place, SidePlace::Outdoors);
    let at = |(index, layer): (usize, &Layer)| match ventilation(layer, draw) {
        Some((Ventilation::Slightly, Some(opening)))
            if !filled_further_in(layer) && !opens_to_room(surface, index, draw) =>
        {
            Some((index, opening))
        }
        _ => None,
    };
    let inside = surface.layers.iter().enumerate().skip(left_out(surface, draw));
    inside.filter_map(at).next_back().filter(|_| outdoors)
}

/// "1499 mm2/m", "0.708 in2/ft".
pub fn told(opening: Opening, metric: bool) -> String {
    if metric {
        format!("{} mm2/m", fixed(opening.si() * 1e6, 0))
    } else {
        format!("{} in2/ft ({} mm2/m)", fixed(opening.si() / INCH_A_FOOT, 2), fixed(opening.si() * 1e6, 0))
    }
}
