//! What a roof is covered with and how steep it lies.
//!
//! Invariant: what sheds the water is the outermost roofing or waterproof sheet, whatever ballast or paving lies on it.

use super::ties::material;
use crate::base::quantity::Slope;
use crate::catalog::{Bond, Material, Seams};
use crate::model::layer::{Body, Layer};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Value;
use crate::rules::facts::class;
use crate::syntax::ast::SurfaceKind;

/// Below this a roof is of low slope and its covering has to stand water: 2:12, the trade's border.
pub(super) const LOW: Slope = Slope::new(2.0 / 12.0);

/// Shingles, slates, tiles, metal pans: what overlaps and is open to water that stands.
pub(super) fn coursed(m: &Material) -> bool {
    class::roofing(m) && m.seams() == Seams::LappedCladding
}

/// A covering for low slopes: sheet or coating that is one with itself.
pub(super) fn waterproof(m: &Material) -> bool {
    match m.kind() {
        "membrane" => m.bond() == Bond::Welded || matches!(m.family(), "pvc-flexible" | "tpo" | "epdm"),
        "coating" => matches!(m.family(), "polyurethane" | "bitumen"),
        "spray-foam" => m.key() == "spf-roof",
        _ => false,
    }
}

/// What sheds the rain off a roof: the layer and its material. None where something above it is not known.
pub(super) fn covering(surface: &Surface) -> Option<(usize, &Layer, &'static Material)> {
    for (index, layer) in surface.layers.iter().enumerate() {
        if matches!(layer.body, Body::Gap(_) | Body::Members(_)) {
            continue;
        }
        let m = material(layer)?;
        if coursed(m) || waterproof(m) {
            return Some((index, layer, m));
        }
    }
    None
}

/// A roof or deck that rain falls on.
pub(super) fn rained_on(surface: &Surface) -> bool {
    matches!(surface.kind, SurfaceKind::Roof | SurfaceKind::Deck) && matches!(surface.first.place, SidePlace::Outdoors)
}

/// How a covering falls: the layer's own fall, one given by what lies below it (tapered boards), else the surface's.
pub(super) fn fall(surface: &Surface, covering: usize) -> Option<Value<Slope>> {
    let own = surface.layers.iter().skip(covering).find_map(|l| l.words.slope);
    own.or(surface.facts.slope)
}

/// Whether water may stand on a roof: it is level or of low slope, or covered with what is for low slopes.
pub(super) fn low_slope(surface: &Surface) -> bool {
    rained_on(surface)
        && match surface.facts.slope {
            Some(slope) => slope.low() < LOW,
            None => covering(surface).is_some_and(|(_, _, m)| waterproof(m)),
        }
}
