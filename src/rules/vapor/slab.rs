//! A floor on the ground: what keeps soil vapor down, and what lies on the concrete.
//!
//! Invariant: a finish, concrete and wood are no retarder, be they ever so tight; nothing is judged here.

use super::wall::{self, Retarder};
use crate::base::unit::PERM;
use crate::catalog::{Bond, Seams};
use crate::model::layer::Layer;
use crate::model::room::RoomId;
use crate::model::surface::SidePlace;
use crate::rules::facts::path::members_of;
use crate::rules::facts::{Look, Missing, class, material, whole};
use crate::syntax::ast::SurfaceKind;

/// A sheet under slabs passes this at most, perm, dry (ASTM E1745 as first written, from memory); class A of today 0.1.
pub(super) const SHEET: f64 = 0.3;

/// A floor on the ground.
pub(super) struct OnGround<'a> {
    /// The room on it.
    pub room: RoomId,
    /// The uppermost concrete or masonry.
    pub concrete: Option<usize>,
    /// Sheets, coatings and tight boards of [`SHEET`] or less, from the top down.
    pub sheets: Vec<(usize, Retarder<'a>)>,
}

/// The floor on the ground that a surface is; none for any other surface.
///
/// # Errors
/// When a layer or its permeance is not known.
pub(super) fn on_ground<'a>(look: &Look<'a>) -> Result<Option<OnGround<'a>>, Missing> {
    let surface = look.surface;
    let flat = matches!(surface.kind, SurfaceKind::Slab | SurfaceKind::Floor);
    let (SidePlace::Room(room), SidePlace::Ground { .. }) = (&surface.first.place, &surface.last.place) else {
        return Ok(None);
    };
    if !flat {
        return Ok(None);
    }
    whole(surface)?;
    let mut sheets = Vec::new();
    for (index, layer) in surface.layers.iter().enumerate() {
        // Between boards that nobody taped there are as many gaps as boards.
        let gaps = |r: &Retarder<'_>| r.material.is_some_and(class::insulation) && !layer.seams.treatment.closed();
        let stops = |r: &Retarder<'_>| r.dry.si() / PERM <= SHEET && !r.opens() && keeps(r) && !gaps(r);
        let of_kind = material(layer, &look.draw).is_none_or(sheet_like) || layer.words.paint.is_some();
        if of_kind {
            sheets.extend(wall::retarders(layer, &look.draw)?.into_iter().filter(stops).map(|r| (index, r)));
        }
    }
    let concrete = surface.layers.iter().position(|l| material(l, &look.draw).is_some_and(class::masonry));
    Ok(Some(OnGround { room: *room, concrete, sheets }))
}

/// Whether a retarder counts here: one with a figure of the author's own does.
fn keeps(retarder: &Retarder<'_>) -> bool {
    retarder.material.is_none_or(sheet_like)
}

fn sheet_like(m: &crate::catalog::Material) -> bool {
    matches!(
        m.kind(),
        "membrane" | "coating" | "paint" | "foil" | "paper" | "board-insulation" | "spray-foam" | "metal"
    )
}

/// What soil vapor does to a floor finish.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Harm {
    /// Swells, molds or rots.
    Sensitive,
    /// Glued on, or tight: what it holds back undoes its glue.
    Tight,
}

impl OnGround<'_> {
    /// The lowest finish on the concrete that soil vapor harms, and how.
    pub fn finish<'l>(&self, look: &Look<'l>) -> Option<(usize, &'l Layer, Harm)> {
        let above = look.surface.layers.iter().enumerate().take(self.concrete?);
        above.rev().find_map(|(i, l)| harm(l, look).map(|h| (i, l, h)))
    }

    /// Whether a sheet lies below this layer.
    pub fn sheet_below(&self, layer: usize) -> bool {
        self.sheets.iter().any(|(i, _)| *i > layer)
    }
}

fn harm(layer: &Layer, look: &Look<'_>) -> Option<Harm> {
    if let Some(members) = members_of(layer) {
        let wood = members.member.material.is_some_and(class::wood);
        return (wood && !layer.words.treated && !layer.words.copper_treated).then_some(Harm::Sensitive);
    }
    let m = material(layer, &look.draw)?;
    let finish = matches!(m.kind(), "finish" | "lumber" | "wood-panel" | "gypsum-board");
    let dry = wall::retarders(layer, &look.draw).ok()?.into_iter().map(|r| r.dry.si() / PERM).fold(f64::MAX, f64::min);
    match () {
        () if finish && class::sensitive(m) => Some(Harm::Sensitive),
        // Tiles in mortar are tight and none the worse.
        () if finish && m.seams() == Seams::Units => None,
        () if finish && (dry <= 1.0 || m.bond() == Bond::Liquid) => Some(Harm::Tight),
        () => None,
    }
}
