//! The way through a wall between its members, as rules on drying and on vapor driven inward read it.
//!
//! Not here: any verdict. Invariant: a permeance is of all the parts named, one after the other, in the cup named.

use crate::base::quantity::{Permeance, ThermalResistance, VaporThickness};
use crate::base::unit::PERM;
use crate::catalog::{Cup, Material, Seams, Sensitivity};
use crate::model::layer::Layer;
use crate::rules::facts::path::{Part, Path, PathKind, members_of};
use crate::rules::facts::{Look, Missing, class};

/// Insulation that passes more than this lets room vapor through to what lies outside of it: fibers, open foam, wood fiber;
/// not foam board. Our own choice.
const LOOSE: f64 = 3.0;
/// Less than this is a board or an air layer, not insulation. Our own choice.
const THIN: ThermalResistance = ThermalResistance::new(0.3);

/// The path between members, or through a surface without any.
///
/// # Errors
/// When a layer can't be told.
pub(super) fn between<'l, 'a>(look: &'l Look<'a>) -> Result<Option<&'l Path<'a>>, Missing> {
    let paths = look.paths().map_err(Clone::clone)?;
    Ok(paths.iter().find(|p| matches!(p.kind, PathKind::Bay | PathKind::Whole)))
}

/// Permeance of a part, perm.
pub(super) fn perms(part: &Part<'_>, cup: Cup) -> f64 {
    series(std::iter::once(part), cup).si() / PERM
}

/// Permeance of parts one after the other; without bounds where there are none.
pub(super) fn series<'p, 'a: 'p>(parts: impl Iterator<Item = &'p Part<'a>>, cup: Cup) -> Permeance {
    // An empty sum of floating figures is minus zero; nothing is just zero.
    let thickness = parts.map(|p| if cup == Cup::Dry { p.vapor.0 } else { p.vapor.1 });
    thickness.fold(VaporThickness::ZERO, |sum, t| sum + t).permeance()
}

/// Heat resistance of parts one after the other.
pub(super) fn resistance<'p, 'a: 'p>(parts: impl Iterator<Item = &'p Part<'a>>) -> ThermalResistance {
    parts.fold(ThermalResistance::ZERO, |sum, p| sum + p.resistance)
}

/// Tight in the dry cup and in the wet cup: at most 1 perm, whatever its humidity.
pub(super) fn stays_tight(part: &Part<'_>) -> bool {
    part.stuff().is_some() && perms(part, Cup::Dry) <= 1.0 + 1e-9 && perms(part, Cup::Wet) <= 1.0 + 1e-9
}

/// Siding, shingles and tiles lap and stay open to air: behind them things dry, whatever their sheet passes.
pub(super) fn lapped(part: &Part<'_>) -> bool {
    part.stuff().and_then(|s| s.material).is_some_and(|m| m.seams() == Seams::LappedCladding)
}

/// Whether nobody left open what a part passes.
pub(super) fn known(part: &Part<'_>) -> bool {
    part.stuff().is_none_or(|s| s.material.is_some() || s.permeance.as_ref().is_some_and(|p| p.axis().is_none()))
}

/// Whether a part is insulation that room vapor passes.
pub(super) fn is_loose(part: &Part<'_>) -> bool {
    let material = part.stuff().and_then(|s| s.material);
    material.is_some_and(class::insulation) && part.resistance >= THIN && perms(part, Cup::Dry) > LOOSE
}

/// The most of the loose insulation, by its place in the path: what lies inside of it is on the room's side.
pub(super) fn loose_insulation(path: &Path<'_>) -> Option<usize> {
    let loose = path.parts.iter().enumerate().filter(|(_, p)| is_loose(p));
    loose.max_by(|a, b| a.1.resistance.si().total_cmp(&b.1.resistance.si())).map(|(at, _)| at)
}

/// What of a part, or of the members beside it, water harms.
pub(super) fn harmed(layer: &Layer, part: &Part<'_>) -> Option<&'static str> {
    let own = part.stuff().and_then(|s| s.material);
    let members = members_of(layer).and_then(|m| m.member.material);
    own.and_then(harm).or_else(|| members.and_then(harm))
}

fn harm(m: &'static Material) -> Option<&'static str> {
    match m.sensitivity() {
        Sensitivity::Wood => Some("rots and molds as wood does"),
        Sensitivity::Paper => Some("molds as paper does"),
        Sensitivity::Steel => Some("corrodes"),
        Sensitivity::None => None,
    }
}

/// Whether a layer stands already.
pub(super) fn stands(look: &Look<'_>, layer: &Layer) -> bool {
    layer.words.existing || look.surface.facts.existing
}
