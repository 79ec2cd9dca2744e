//! How outdoor air moves through a gap: by where it is open, and how large the openings are where somebody says so.
//!
//! Invariant: openings of no known size are as large as the gap; a size outside the formula's range counts as large.

use crate::base::quantity::Opening;
use crate::base::show::fixed;
use crate::model::layer::{BayPart, Body, Fill, Layer, Openings};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Draw;
use crate::physics::heat::{self, Ventilation};

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

/// How many layers lie outside the innermost gap that is well ventilated by outdoor air, that gap included; bays that are
/// filled further in are not.
pub fn left_out(surface: &Surface, draw: &Draw) -> usize {
    if !matches!(surface.first.place, SidePlace::Outdoors) {
        return 0;
    }
    let well = |l: &Layer| matches!(ventilation(l, draw), Some((Ventilation::Well, _)));
    let gap = surface.layers.iter().enumerate().rev().find(|(_, l)| well(l));
    gap.map_or(0, |(i, l)| if filled_further_in(l) { i } else { i + 1 })
}

/// The innermost gap that is slightly ventilated by outdoor air, inside of all that is left out.
pub fn slightly(surface: &Surface, draw: &Draw) -> Option<(usize, Opening)> {
    let outdoors = matches!(surface.first.place, SidePlace::Outdoors);
    let at = |(index, layer): (usize, &Layer)| match ventilation(layer, draw) {
        Some((Ventilation::Slightly, Some(opening))) if !filled_further_in(layer) => Some((index, opening)),
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
