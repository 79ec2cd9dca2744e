//! What stands between rain and the frame of a wall: outer leaf, gap, sheet; read off the layers alone.
//!
//! Not here: what a joint does with them. Invariant: only walls with outdoor air on their first side have any of it.

use crate::base::quantity::Length;
use crate::catalog::{Bond, Material, Seams};
use crate::model::layer::{BayPart, Body, Fill, Layer, Openings};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::{Draw, Value};
use crate::rules::facts::class;
use crate::syntax::ast::{Control, OpenAt, Rain, SurfaceKind};

/// Members that are shallower carry cladding, not the house. Our own choice, as for frame walls.
const BATTEN: Length = Length::new(0.06);

/// The gap behind an outer leaf.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cavity<'a> {
    /// Its index among the layers.
    pub gap: usize,
    /// The gap.
    pub layer: &'a Layer,
    /// How deep it is; none for a mat.
    pub depth: Option<Value<Length>>,
    /// Mortar or crumbs lie across it.
    pub bridged: bool,
}

/// Whether rain can reach the first side of a surface.
pub(super) fn outdoors(surface: &Surface) -> bool {
    matches!(surface.first.place, SidePlace::Outdoors)
}

/// Whether the last side of a surface is a room.
pub(super) fn over_room(surface: &Surface) -> bool {
    matches!(surface.last.place, SidePlace::Room(_))
}

/// The material of a layer of one material, as drawn; of members none.
pub(super) fn material(layer: &Layer) -> Option<&'static Material> {
    match &layer.body {
        Body::Sheet(choice) => choice.at(&Draw::middle())?.material,
        Body::Panel(_) | Body::Gap(_) | Body::Members(_) | Body::Hole => None,
    }
}

/// What faces the weather on a wall.
pub(super) fn outer_leaf(m: &Material) -> bool {
    class::cladding(m) || class::plaster(m) || class::masonry(m)
}

/// Brick or stone laid in mortar in front of a wall, not stuck to it.
pub(super) fn laid(m: &Material) -> bool {
    class::masonry(m) && m.seams() == Seams::Units && m.bond() == Bond::Loose
}

/// A sheet or coating on which rain runs down behind the cladding.
pub(super) fn sheet(m: &Material) -> bool {
    class::membrane(m) && m.kind() != "tape"
}

/// A mat that keeps a way open for water.
pub(super) fn mat(m: &Material) -> bool {
    m.keeps_gap()
}

/// The gap directly behind the outer leaf of a wall; none where there is none.
pub(super) fn cavity(surface: &Surface) -> Option<Cavity<'_>> {
    if surface.kind != SurfaceKind::Wall || !outdoors(surface) {
        return None;
    }
    let leaf = surface.layers.iter().take_while(|l| material(l).is_some_and(outer_leaf)).count();
    let layer = surface.layers.get(leaf).filter(|_| leaf > 0)?;
    let found = |depth, bridged| Some(Cavity { gap: leaf, layer, depth, bridged });
    match &layer.body {
        Body::Gap(gap) => found(Some(gap.thickness), gap.bridged),
        Body::Members(members) if members.depth.low() <= BATTEN && empty(&members.fill) => {
            found(Some(members.depth), false)
        }
        Body::Sheet(_) if material(layer).is_some_and(mat) => found(None, false),
        _ => None,
    }
}

fn empty(fill: &Fill) -> bool {
    matches!(fill, Fill::Parts(parts) if parts.iter().all(|p| matches!(p, BayPart::Air(_))))
}

impl Cavity<'_> {
    /// What the author says of its ends.
    pub fn openings(&self) -> Option<&Openings> {
        self.layer.openings()
    }

    /// Whether it is said to be open at its low end.
    pub fn open_below(&self) -> bool {
        let low = |at: &OpenAt| matches!(at, OpenAt::Bottom | OpenAt::Below | OpenAt::BothSides);
        matches!(self.openings(), Some(Openings::At { at, .. }) if at.iter().any(low))
    }
}

/// The innermost layer of a wall's outer part that is relied on against rain, else the first sheet behind the outer
/// leaf: what a pan has to lap.
pub(super) fn plane(surface: &Surface) -> Option<usize> {
    let claims = |l: &Layer| l.relied_on.iter().any(|c| c.value == Control::Water);
    let outer = surface.layers.iter().take_while(|l| !carries(l)).count();
    let claimed = surface.layers.iter().rposition(claims);
    claimed.or_else(|| surface.layers.iter().take(outer).position(|l| material(l).is_some_and(sheet)))
}

/// Studs and the like: all that lies outboard of them is the outer part.
fn carries(layer: &Layer) -> bool {
    matches!(&layer.body, Body::Members(m) if m.depth.low() > BATTEN)
}

/// The first layer inboard of the drainage plane, or of the outer leaf where there is no plane, that water harms.
pub(super) fn harmed(surface: &Surface) -> Option<&Layer> {
    let from = plane(surface).or_else(|| cavity(surface).map(|c| c.gap)).unwrap_or(0);
    let harms = |l: &&Layer| match &l.body {
        Body::Members(m) => m.member.material.is_some_and(class::sensitive),
        Body::Panel(parts) => parts.iter().filter_map(|p| p.material).any(class::sensitive),
        Body::Sheet(_) => material(l).is_some_and(class::sensitive),
        Body::Gap(_) | Body::Hole => false,
    };
    surface.layers.iter().skip(from + 1).find(harms)
}

/// Whether a wall keeps rain out by its mass: brick, stone or concrete in the weather, no gap and no sheet behind it.
pub(super) fn massive(surface: &Surface) -> bool {
    let stone = |m: &Material| matches!(m.kind(), "masonry" | "concrete");
    let plane_inside = plane(surface).is_some_and(|p| p > 0);
    surface.layers.first().and_then(material).is_some_and(stone) && cavity(surface).is_none() && !plane_inside
}

/// Whether the outer leaf is plaster or stuck stone on a frame: what water gets behind it runs down a sheet.
pub(super) fn plastered(surface: &Surface) -> Option<&Layer> {
    if surface.kind != SurfaceKind::Wall || !outdoors(surface) || !surface.layers.iter().any(carries) {
        return None;
    }
    let wet = |m: &Material| class::absorbent(m) && m.bond() == Bond::Liquid && outer_leaf(m);
    surface.layers.first().filter(|l| material(l).is_some_and(wet))
}

/// The rain on a surface; none said is taken as normal.
pub(super) fn rain(job: &crate::model::Job, surface: &Surface) -> Rain {
    surface.facts.rain.or(job.rain).unwrap_or(Rain::Normal)
}
