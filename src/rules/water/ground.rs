//! What stands in, on and over the ground: walls in soil, paving, how far claddings have to stay clear.
//!
//! Invariant: a material for which no clearance is known gets none, so that it is not judged.

use super::ties::{material, wet_side};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::catalog::{Bond, Material, Seams};
use crate::model::joint::Thing;
use crate::model::layer::{Body, Layer};
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::{JointLook, class};
use crate::syntax::ast::{Edge, SurfaceKind};

/// A clearance and where it comes from.
#[derive(Clone, Copy)]
pub(super) struct Clearance {
    pub least: Length,
    pub source: &'static str,
}

const fn inches(inches: f64, source: &'static str) -> Clearance {
    Clearance { least: Length::new(inches * INCH), source }
}

/// How far a material stays above soil. Brick and stone veneer may go down to it.
pub(super) fn over_soil(m: &Material) -> Option<Clearance> {
    match () {
        () if m.family() == "copper-treated-wood" => None,
        () if m.key() == "foam-render" => Some(inches(6.0, "2018 IRC section R703.9, read")),
        () if class::plaster(m) && class::cladding(m) => {
            Some(inches(4.0, "IRC R703.6.2.1, quoted in a trade column on stucco"))
        }
        () if class::cladding(m) && m.seams() == Seams::Units && m.bond() == Bond::Liquid => {
            Some(inches(4.0, "IRC 2021 section R703.12, from memory"))
        }
        () if class::cladding(m) && m.seams() == Seams::Units => None,
        () if class::cladding(m) => Some(inches(
            6.0,
            "Oklahoma's amendment to IRC chapter 7 (748:20-6-12), read; for wood IRC 2021 section R317.1, from memory",
        )),
        () if class::sensitive(m) => Some(inches(6.0, "IRC 2021 section R317.1, from memory")),
        () => None,
    }
}

/// How far a material stays above paving.
pub(super) fn over_paving(m: &Material) -> Option<Clearance> {
    match () {
        () if m.family() == "copper-treated-wood" => None,
        () if class::plaster(m) && class::cladding(m) => {
            Some(inches(2.0, "IRC R703.6.2.1, quoted in a trade column on stucco"))
        }
        () if class::cladding(m) && m.seams() == Seams::Units && m.bond() == Bond::Liquid => {
            Some(inches(2.0, "IRC 2021 section R703.12, from memory"))
        }
        () if class::cladding(m) && m.seams() == Seams::Units => None,
        () if class::cladding(m) || m.kind() == "trim" => Some(inches(2.0, "IRC 2021 section R317.1, from memory")),
        () => None,
    }
}

/// The material that a thing shows to the weather: of a whole surface its outermost layer.
pub(super) fn skin(look: &JointLook<'_>, thing: Thing) -> Option<&'static Material> {
    match thing {
        Thing::Surface { .. } => outer_skin(look.surface(thing)?).and_then(material),
        _ => look.material(thing),
    }
}

/// The outermost layer that is no air.
pub(super) fn outer_skin(surface: &Surface) -> Option<&Layer> {
    surface.layers.iter().find(|l| !matches!(l.body, Body::Gap(_)))
}

/// Paving, a terrace, a balcony floor: something level in the rain.
pub(super) fn paved(surface: &Surface) -> bool {
    let level = matches!(surface.kind, SurfaceKind::Slab | SurfaceKind::Floor | SurfaceKind::Deck);
    level && matches!(surface.first.place, SidePlace::Outdoors)
}

/// Whether a thing is paving.
pub(super) fn is_paving(look: &JointLook<'_>, thing: Thing) -> bool {
    thing == Thing::Paving
        || matches!(thing, Thing::Layer { .. } | Thing::Surface { .. }) && look.surface(thing).is_some_and(paved)
}

/// Whether a thing is concrete or masonry of a floor whose edge stands in the weather here, be it a room's floor.
pub(super) fn bare_edge(look: &JointLook<'_>, thing: Thing) -> bool {
    let Thing::Layer { end, .. } = thing else { return false };
    let level = look
        .surface(thing)
        .is_some_and(|s| matches!(s.kind, SurfaceKind::Slab | SurfaceKind::Floor | SurfaceKind::Deck));
    let ends = look.joint.ends.get(end).is_some_and(|e| !matches!(e.edge, Some(Edge::Face | Edge::InsideFace)));
    level
        && ends
        && super::seam::wet(look)
        && look.material(thing).is_some_and(|m| class::masonry(m) && class::porous(m))
}

/// A wall with soil on its first side.
pub(super) fn in_soil(surface: &Surface) -> bool {
    surface.kind == SurfaceKind::Wall && matches!(surface.first.place, SidePlace::Ground { .. })
}

/// The layer that carries the wall, and what lies between it and the soil or weather.
pub(super) fn mass(surface: &Surface) -> Option<(usize, &Layer, &'static Material)> {
    surface.layers.iter().enumerate().find_map(|(i, l)| {
        let m = material(l)?;
        (class::masonry(m) && !class::cladding(m)).then_some((i, l, m))
    })
}

/// The sheets and coatings that keep soil water from a wall; drainage mats and filter cloth do not.
pub(super) fn ground_sheets(surface: &Surface) -> Vec<usize> {
    let last = mass(surface).map_or(surface.layers.len(), |(i, ..)| i);
    let sheet = |l: &Layer| material(l).is_some_and(|m| class::membrane(m) && !class::sensitive(m) && !m.air_open());
    surface.layers.iter().enumerate().take(last).filter(|(_, l)| sheet(l)).map(|(i, _)| i).collect()
}

/// Whether masonry can be damp where it is: rain, soil or water on one side of its surface.
pub(super) fn damp(look: &JointLook<'_>, thing: Thing) -> bool {
    match thing {
        Thing::Layer { .. } | Thing::Surface { .. } => {
            look.surface(thing).is_some_and(|s| wet_side(&s.first.place) || wet_side(&s.last.place))
        }
        Thing::Grade | Thing::Paving => true,
        _ => super::seam::wet(look),
    }
}
