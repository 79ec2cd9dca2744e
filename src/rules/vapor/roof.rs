//! A roof without a vented gap under its deck, as the code's conditions see it: what lies at the deck, what lies below.
//!
//! Invariant: a roof with air passing between its insulation and its deck is none of these; nothing is judged here.

use super::wall::insulating;
use crate::base::quantity::{Temperature, TemperatureDifference, ThermalResistance};
use crate::catalog::Bond;
use crate::graph::place::{self, Air};
use crate::model::layer::{BayPart, Body, Fill, Layer, Openings};
use crate::model::surface::SidePlace;
use crate::rules::facts::path::{Part, Path, PathKind, members_of};
use crate::rules::facts::vent::left_out;
use crate::rules::facts::{Look, Missing, class, material, whole};
use crate::syntax::ast::SurfaceKind;

/// Shallower members are battens, not rafters. Our own choice.
const RAFTER: f64 = 0.06;

/// A roof over a kept room, its deck and what hangs under it.
pub(super) struct Unvented<'l, 'a> {
    /// The path between the rafters, outside first.
    pub path: &'l Path<'a>,
    /// The layer of the deck.
    pub deck: usize,
    /// The part that is the outermost insulation under the deck that air moves through; none where there is none.
    pub airy: Option<usize>,
}

/// The unvented roof that a surface is; none for any other surface.
///
/// # Errors
/// When a layer can't be told, or whether outdoor air passes under the deck is not known.
pub(super) fn unvented<'l, 'a>(look: &'l Look<'a>) -> Result<Option<Unvented<'l, 'a>>, Missing> {
    let surface = look.surface;
    let kept = place::air(look.job, place::place(&surface.last)) == Air::Kept;
    if surface.kind != SurfaceKind::Roof || !matches!(surface.first.place, SidePlace::Outdoors) || !kept {
        return Ok(None);
    }
    whole(surface)?;
    let Some(deck) = deck(&surface.layers, look) else { return Ok(None) };
    if vented_above(look, deck) || surface.layers.iter().skip(deck + 1).any(|l| passes_air(l) == Some(true)) {
        return Ok(None);
    }
    let paths = look.paths().map_err(Clone::clone)?;
    let Some(path) = paths.iter().find(|p| matches!(p.kind, PathKind::Bay | PathKind::Whole)) else { return Ok(None) };
    let airy = path.parts.iter().position(|p| p.layer > deck && p.material().is_some_and(class::airy));
    let inner = airy.and_then(|i| path.parts.get(i)).map_or(deck, |p| p.layer);
    for layer in surface.layers.iter().take(inner + 1).skip(deck + 1) {
        if passes_air(layer).is_none() {
            let why = format!("whether outdoor air passes through `{}` is not known", layer.label);
            return Err(Missing::new(layer.stuff_span, why));
        }
    }
    Ok(Some(Unvented { path, deck, airy }))
}

/// Whether outdoor air passes under a deck that is not the innermost: what is nailed over the gap is the deck, and the board
/// under it a baffle. With insulation between the gap and boards further in these are a deck of their own.
fn vented_above(look: &Look<'_>, deck: usize) -> bool {
    let Some(gap) = left_out(look.surface, &look.draw).checked_sub(1) else { return false };
    let layers = &look.surface.layers;
    let insulated = |l: &Layer| material(l, &look.draw).is_some_and(class::insulation);
    let over = layers.iter().take(gap).any(|l| decking(l, look));
    gap >= deck || (over && !layers.iter().take(deck).skip(gap).any(insulated))
}

fn decking(layer: &Layer, look: &Look<'_>) -> bool {
    material(layer, &look.draw).is_some_and(class::decking) || matches!(layer.body, Body::Panel(_))
}

/// The deck: what lies next above the rafters; without rafters the innermost layer that can be one. A membrane bonded to
/// boards makes these the deck, be they ever so far in: insulation above it is shut off from the room.
fn deck(layers: &[Layer], look: &Look<'_>) -> Option<usize> {
    let deep = |l: &Layer| members_of(l).is_some_and(|m| m.depth.at(&look.draw).si() > RAFTER);
    let below = layers.iter().rposition(deep).unwrap_or(layers.len());
    let next = layers.iter().take(below).rposition(|l| decking(l, look));
    let bonded = |l: &Layer| {
        l.seams.adhered || material(l, &look.draw).is_some_and(|m| matches!(m.bond(), Bond::SelfAdhered | Bond::Welded))
    };
    let pair =
        |pair: &[Layer]| matches!(pair, [over, under] if bonded(over) && class_of(over, look) && decking(under, look));
    layers.windows(2).rposition(pair).map(|i| i + 1).max(next)
}

fn class_of(layer: &Layer, look: &Look<'_>) -> bool {
    material(layer, &look.draw).is_some_and(class::membrane)
}

/// Whether outdoor air passes through a layer under the deck; none where nobody knows.
fn passes_air(layer: &Layer) -> Option<bool> {
    let of = |openings: &Openings| match openings {
        Openings::Unknown => None,
        open => Some(open.vented()),
    };
    match &layer.body {
        Body::Gap(gap) => of(&gap.openings),
        Body::Members(m) => {
            let air = matches!(&m.fill, Fill::Parts(parts) if parts.iter().any(|p| matches!(p, BayPart::Air(_))));
            if air { of(&m.openings) } else { Some(false) }
        }
        _ => Some(false),
    }
}

impl<'a> Unvented<'_, 'a> {
    /// The outermost insulation under the deck, and what lies inside of it, outermost first.
    pub fn insulated(&self, look: &Look<'_>) -> Vec<&Part<'a>> {
        let insulation = |p: &Part<'a>| p.stuff().and_then(|s| insulating(s, &look.draw)).is_some();
        self.path.parts.iter().skip_while(|p| p.layer <= self.deck || !insulation(p)).collect()
    }

    /// Insulation above the deck.
    pub fn above(&self, look: &Look<'_>) -> ThermalResistance {
        self.sum(look, |index, part| part.layer < self.deck && index < self.airy.unwrap_or(usize::MAX))
    }

    /// Insulation outward of what air moves through: at the deck, on either side of it.
    pub fn tight(&self, look: &Look<'_>) -> ThermalResistance {
        self.sum(look, |index, _| index < self.airy.unwrap_or(usize::MAX))
    }

    /// Insulation that air moves through, and what lies inside of it.
    pub fn below(&self, look: &Look<'_>) -> ThermalResistance {
        self.sum(look, |index, _| index >= self.airy.unwrap_or(usize::MAX))
    }

    fn sum(&self, look: &Look<'_>, wanted: impl Fn(usize, &Part<'a>) -> bool) -> ThermalResistance {
        let parts = self.path.parts.iter().enumerate().filter(|(i, p)| wanted(*i, p));
        parts.filter_map(|(_, p)| insulating(p.stuff()?, &look.draw)).fold(ThermalResistance::ZERO, |sum, r| sum + r)
    }

    /// Temperature at the outer face of what air moves through, where room and outdoors are so.
    pub fn plane(&self, outdoors: Temperature, room: Temperature) -> Temperature {
        let at = self.airy.unwrap_or(self.path.parts.len());
        let add = |sum: ThermalResistance, p: &Part<'a>| sum + p.resistance;
        let outer = self.path.parts.iter().take(at).fold(self.path.first_film, add);
        let total = self.path.parts.iter().skip(at).fold(outer, add) + self.path.last_film;
        let rise: TemperatureDifference = (room - outdoors) * (outer / total);
        outdoors + rise
    }
}
