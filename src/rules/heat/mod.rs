//! Heat: what the insulation is worth as it will be built.
//!
//! Invariant: no rule here changes the U-value that is reported.

family![
    bare_slab_edge,
    below_code,
    board_gaps,
    bridge_at_joint,
    cold_corner,
    cold_polyiso,
    dropped_batt,
    fastener_bridge,
    foam_in_termite_ground,
    foil_without_air,
    gap_at_joint,
    metal_girts,
    outside_vented_gap,
    pinched_at_steel,
    steel_framing,
    squeezed_batt,
    wind_wash,
];

use super::facts::path::{PathKind, members_of};
use super::facts::{Look, Missing, class};
use crate::base::quantity::{Density, Length, TemperatureDifference, ThermalResistance};
use crate::catalog::Material;
use crate::model::layer::{BayPart, Body, Fill, Layer, Stuff};
use crate::model::value::Draw;
use crate::syntax::ast::SurfaceKind;

/// With less difference between the two sides no heat is lost that matters. Our own choice.
const SAME: TemperatureDifference = TemperatureDifference::new(5.0);
/// Less between metal than this is no insulation. Our own choice.
const LITTLE: ThermalResistance = ThermalResistance::new(0.5);
/// Denser wool and fill stands the wind. Common practice, no source.
const DENSE: Density = Density::new(40.0);
/// Shallower members are strips, not a frame. Our own choice.
const FRAME: Length = Length::new(0.06);
/// A correction is told from this share of U on, from which it changes what is bought: common practice, no source. ISO 6946
/// lets 3 % go (Annex F, from memory).
const TOLD: f64 = 0.10;

/// Whether the two sides are apart in some month.
fn parted(look: &Look<'_>) -> Result<bool, Missing> {
    let months = look.months().map_err(Clone::clone)?;
    let apart = |t: TemperatureDifference| t.max(-t) > SAME;
    Ok(months.iter().any(|m| apart(m.indoor.temperature - m.outdoor.temperature)))
}

/// What a layer of one material is made of.
fn material(layer: &Layer, draw: &Draw) -> Option<&'static Material> {
    let Body::Sheet(choice) = &layer.body else { return None };
    choice.at(draw)?.material
}

/// Masonry or concrete, in a layer of its own.
fn heavy(layer: &Layer, draw: &Draw) -> bool {
    material(layer, draw).is_some_and(|m| matches!(m.kind(), "masonry" | "concrete"))
}

/// The insulation that a layer is, where no member crosses it.
fn unbroken<'a>(layer: &'a Layer, draw: &Draw) -> Option<&'a Stuff> {
    let Body::Sheet(choice) = &layer.body else { return None };
    choice.at(draw).filter(|s| s.material.is_some_and(class::insulation))
}

/// The same of a rigid board.
fn board<'a>(layer: &'a Layer, draw: &Draw) -> Option<&'a Stuff> {
    unbroken(layer, draw).filter(|s| s.material.is_some_and(|m| m.kind() == "board-insulation"))
}

/// Foam plastic in boards.
fn foam(m: &Material) -> bool {
    m.kind() == "board-insulation" && matches!(m.family(), "polystyrene" | "polyiso" | "polyurethane" | "phenolic")
}

/// Wool and fill so loose that wind blows into it.
fn fluffy(m: &Material) -> bool {
    // Boards of foam let air pass at their joints alone.
    let foam = matches!(m.family(), "polyiso" | "polystyrene" | "polyurethane" | "phenolic");
    class::insulation(m) && !foam && m.air_open() && m.density().is_some_and(|d| d < DENSE)
}

/// A sheet from a roll: thin, and nothing that holds.
fn thin_sheet(layer: &Layer, draw: &Draw) -> bool {
    material(layer, draw).is_some_and(|m| matches!(m.kind(), "membrane" | "paper" | "foil" | "coating"))
}

/// From air to air: by the transmittance, or between members where metal leaves none.
fn total(look: &Look<'_>) -> Result<ThermalResistance, Missing> {
    if let Ok(told) = look.transmittance() {
        return Ok(told.u.resistance());
    }
    let paths = look.paths().map_err(Clone::clone)?;
    let path = paths.iter().find(|p| matches!(p.kind, PathKind::Bay | PathKind::Whole));
    let none = || Missing::new(look.surface.span, "there is no path through it");
    let path = path.ok_or_else(none)?;
    Ok(path.parts.iter().map(|p| p.resistance).sum::<ThermalResistance>() + path.first_film + path.last_film)
}

/// Resistance of what fills the bays of a layer of metal members.
fn between_metal(look: &Look<'_>, at: usize) -> Option<ThermalResistance> {
    let members = look.surface.layers.get(at).and_then(members_of).filter(|m| m.metal)?;
    let Fill::Parts(parts) = &members.fill else { return None };
    let of = |part: &BayPart| match part {
        BayPart::Stuff(stuff) => stuff.resistance_at(&look.draw),
        BayPart::Air(_) => None,
    };
    Some(parts.iter().filter_map(of).sum())
}

/// Whether metal members are girts: they stand outside of what carries the wall, with insulation between them.
fn girts(look: &Look<'_>, at: usize) -> bool {
    let carries = |layer: &Layer| match &layer.body {
        Body::Members(m) => m.depth.at(&look.draw) > FRAME,
        Body::Sheet(_) => heavy(layer, &look.draw) || material(layer, &look.draw).is_some_and(|m| m.key() == "clt"),
        Body::Panel(_) | Body::Gap(_) | Body::Hole => false,
    };
    look.surface.kind == SurfaceKind::Wall
        && between_metal(look, at).is_some_and(|r| r >= LITTLE)
        && look.surface.layers.iter().skip(at + 1).any(carries)
}
