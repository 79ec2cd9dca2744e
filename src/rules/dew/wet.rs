//! Where water gathers on a path, when, and from which side it comes.
//!
//! Invariant: read off a year that is already computed; nothing is computed here.

use crate::base::quantity::{Conductivity, MoistureMass, Permeance, Pressure, ThermalResistance};
use crate::base::show::month_name;
use crate::base::unit::PERM;
use crate::catalog::Sensitivity;
use crate::model::surface::SidePlace;
use crate::physics::profile::{MonthInput, NO_WATER, Zone};
use crate::rules::facts::look::saturated_below;
use crate::rules::facts::path::{Part, PathKind, members_of};
pub(super) use crate::rules::facts::side::{Source, room_side, stands};
use crate::rules::facts::{Look, Missing, PathYear, class, trust};
use crate::syntax::ast::SurfaceKind;

/// Less than this between a face and the sun.
const UNDER_SKIN: ThermalResistance = ThermalResistance::new(0.5);

/// Insulation from this on. Our own choice.
const WICKING: ThermalResistance = ThermalResistance::new(0.25);
/// Boards that conduct more than this are no insulation. Our own choice.
const INSULATING: Conductivity = Conductivity::new(0.09);
/// What passes no more than this is a retarder: class II (IRC section R202, from memory).
const CLOSED: Permeance = Permeance::new(PERM);

/// A place of a path that is wet in some months.
#[derive(Clone, Debug)]
pub(super) struct Wet {
    /// The part on the cold side of the water: the face it settles on.
    pub part: usize,
    /// The layer of that part.
    pub layer: usize,
    /// Where the vapor comes from.
    pub source: Source,
    /// Months (1 to 12) in which water settles there, in the order of the sum.
    pub months: Vec<u8>,
    /// The figures.
    pub zone: Zone,
}

/// Whether a straight path says what goes on there. Heat spreads sideways round metal: through metal it says nothing.
pub(super) fn told(look: &Look<'_>, kind: PathKind) -> bool {
    kind != PathKind::Member || !look.surface.layers.iter().filter_map(members_of).any(|m| m.metal)
}

/// The wet places of a path that matter, outside to inside.
///
/// Against soil or water most faces are wet for good and none the worse: there only water on wood, paper, metal or
/// insulation that soaks it up counts. Our own choice.
pub(super) fn places(look: &Look<'_>, months: &[MonthInput; 12], of: &PathYear<'_>) -> Vec<Wet> {
    if !told(look, of.path.kind) {
        return Vec::new();
    }
    let months = &saturated_below(&of.path, months);
    let places = of.year.zones().into_iter().filter_map(|zone| place(months, of, zone));
    let soil = |side: Source| matches!(side.place(look.surface), SidePlace::Ground { .. } | SidePlace::Water { .. });
    let buried = soil(Source::First) || soil(Source::Last);
    places.filter(|wet| !buried || faces(of, &wet.zone).iter().any(|p| harmed(p))).collect()
}

/// Refuses a wall whose lining inside draws water back to the room: masonry, a porous insulation on it, nothing that stops
/// vapor. Such linings are built to get wet and to spread it; a sum of vapor says nothing about them.
///
/// # Errors
/// For such a wall.
pub(super) fn decidable(look: &Look<'_>) -> Result<(), Missing> {
    let Some(of) = look.years().ok().and_then(|y| y.first()) else { return Ok(()) };
    let material = |p: &Part<'_>| p.stuff().and_then(|s| s.material);
    let wicks = |p: &Part<'_>| {
        p.resistance >= WICKING
            && material(p).is_some_and(|m| class::porous(m) && m.conductivity().is_some_and(|c| c <= INSULATING))
            && material(p).is_some_and(|m| m.kind() == "board-insulation")
    };
    let backed =
        |p: &Part<'_>| material(p).is_some_and(|m| class::porous(m) && (class::masonry(m) || class::plaster(m)));
    let pairs = of.path.parts.iter().zip(of.path.parts.iter().skip(1));
    let found = pairs.enumerate().find(|(_, (outer, inner))| backed(outer) && wicks(inner));
    let Some((at, (_, lining))) = found.filter(|_| look.surface.kind == SurfaceKind::Wall) else { return Ok(()) };
    let tight = of.path.parts.iter().skip(at + 2).any(|p| p.vapor.0.permeance() <= CLOSED);
    let layer = look.surface.layers.get(lining.layer).filter(|_| !tight && room_side(look) == Source::Last);
    layer.map_or(Ok(()), |l| {
        let why = format!("`{}` draws water back to the room: a sum of vapor does not decide that", l.label);
        Err(Missing::new(l.stuff_span, why))
    })
}

/// Right under the skin of a roof, which the sun makes far warmer than the air that the sum knows.
pub(super) fn under_skin(look: &Look<'_>, of: &PathYear<'_>, face: usize) -> bool {
    let outside: ThermalResistance = of.path.parts.iter().take(face).map(|p| p.resistance).sum();
    look.surface.kind == SurfaceKind::Roof
        && matches!(look.surface.first.place, SidePlace::Outdoors)
        && outside < UNDER_SKIN
}

/// The parts that water in a zone touches.
pub(super) fn faces<'p, 'a>(of: &'p PathYear<'a>, zone: &Zone) -> Vec<&'p Part<'a>> {
    let part = |at: usize| of.path.parts.get(at);
    match (zone.interface, zone.layer) {
        (Some(at), _) => [at.checked_sub(1), Some(at)].into_iter().flatten().filter_map(part).collect(),
        (None, within) => within.and_then(part).into_iter().collect(),
    }
}

fn harmed(part: &Part<'_>) -> bool {
    let material = part.stuff().and_then(|s| s.material);
    material.is_some_and(|m| m.sensitivity() != Sensitivity::None || matches!(m.kind(), "batt" | "loose-fill"))
}

fn place(months: &[MonthInput; 12], of: &PathYear<'_>, zone: Zone) -> Option<Wet> {
    let gains = gaining(of, &zone);
    let source = source(gains.iter().filter_map(|m| months.get(*m)));
    let part = match (zone.interface, source) {
        (Some(at), Source::Last) => at.checked_sub(1)?,
        (Some(at), Source::First) => at,
        (None, _) => zone.layer?,
    };
    let layer = of.path.parts.get(part)?.layer;
    Some(Wet { part, layer, source, months: gains.iter().map(|m| *m as u8 + 1).collect(), zone })
}

/// The months (0 to 11) in which a zone gains water.
fn gaining(of: &PathYear<'_>, zone: &Zone) -> Vec<usize> {
    let (first, last) = zone.nodes;
    let mut before = MoistureMass::ZERO;
    let mut months = Vec::new();
    for month in &of.year.months {
        let held: MoistureMass = month.mass.iter().take(last + 1).skip(first).copied().sum();
        if held - before > NO_WATER {
            months.push(month.month);
        }
        before = held;
    }
    months
}

/// The side that has more vapor in these months.
fn source<'a>(months: impl Iterator<Item = &'a MonthInput>) -> Source {
    let surplus: Pressure =
        months.map(|m| m.indoor.vapor - m.outdoor.vapor).fold(Pressure::ZERO, |sum, difference| sum + difference);
    if surplus >= Pressure::ZERO { Source::Last } else { Source::First }
}

/// "room vapor", "outdoor vapor driven inward".
pub(super) fn vapor_of(look: &Look<'_>, source: Source) -> String {
    match source.place(look.surface) {
        SidePlace::Outdoors if matches!(source.other().place(look.surface), SidePlace::Outdoors) => {
            "outdoor vapor".to_string()
        }
        SidePlace::Outdoors => "outdoor vapor driven inward".to_string(),
        SidePlace::Room(id) => {
            look.job.room(*id).map_or_else(|| "room vapor".to_string(), |r| format!("vapor from {}", r.name))
        }
        SidePlace::Ground { .. } => "vapor from the ground".to_string(),
        SidePlace::Water { .. } => "vapor from the water".to_string(),
        SidePlace::Hole => "vapor".to_string(),
    }
}

/// What has to be said of the figures behind a verdict.
pub(super) fn from_memory(look: &Look<'_>) -> String {
    look.paths().ok().and_then(|p| p.first()).map_or_else(String::new, |path| trust::from_memory(look.surface, path))
}

/// "Jan", "Nov to Mar", "Jan and Jul": months as a run where they are one.
pub(super) fn spell(months: &[u8]) -> String {
    let follows = |pair: &[u8]| matches!(pair, [a, b] if a % 12 + 1 == *b);
    match months {
        [] => "no month".to_string(),
        [one] => month_name(*one).to_string(),
        [first, .., last] if months.windows(2).all(follows) => {
            format!("{} to {}", month_name(*first), month_name(*last))
        }
        [rest @ .., last] => {
            let names: Vec<&str> = rest.iter().map(|m| month_name(*m)).collect();
            format!("{} and {}", names.join(", "), month_name(*last))
        }
    }
}

/// Months in order, begun after the longest stretch of none, so that a winter is one run.
pub(super) fn in_a_row(sorted: Vec<u8>) -> Vec<u8> {
    let breaks = |pair: &[u8]| matches!(pair, [a, b] if a + 1 != *b);
    match sorted.windows(2).position(breaks) {
        Some(at) if sorted.first() == Some(&1) && sorted.last() == Some(&12) => {
            let mut turned = sorted;
            turned.rotate_left(at + 1);
            turned
        }
        _ => sorted,
    }
}

/// A sentence's first letter.
pub(super) fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_are_told_as_a_run_across_the_new_year() {
        assert_eq!(spell(&[11, 12, 1, 2]), "Nov to Feb");
        assert_eq!(spell(&[12, 1, 7]), "Dec, Jan and Jul");
        assert_eq!(spell(&[4]), "Apr");
    }

    #[test]
    fn a_winter_is_one_run() {
        assert_eq!(in_a_row(vec![1, 2, 11, 12]), [11, 12, 1, 2]);
        assert_eq!(in_a_row(vec![4, 5, 6]), [4, 5, 6]);
    }
}
