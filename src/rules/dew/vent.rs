//! The gap of a roof that somebody means outdoor air to pass through: between insulation and a tight skin.
//!
//! Invariant: a roof in which no such gap is drawn has none, and is not asked.

use crate::base::quantity::{Length, Permeance, Slope, ThermalResistance};
use crate::base::unit::PERM;
use crate::catalog::Cup;
use crate::model::layer::{BayPart, Body, Fill, Layer, Openings, Stuff};
use crate::model::room::RoomAir;
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::{Draw, Value};
use crate::rules::facts::path::members_of;
use crate::rules::facts::{Look, Missing};
use crate::syntax::ast::{Control, OpenAt, SurfaceKind};

/// More insulation than this makes a side insulated: R-3. Our own choice.
const INSULATED: ThermalResistance = ThermalResistance::new(0.5);
/// A skin of at most this permeance keeps what gets behind it. Class II (IRC section R202, from memory).
const TIGHT: Permeance = Permeance::new(PERM);
/// Below this a roof counts as flat: 5 degrees (DIN 4108-3, in a digest).
const FLAT: Slope = Slope::new(0.0875);

/// A gap meant for air.
pub(super) struct Vent<'a> {
    /// The layer it is, or whose bays it lies in.
    pub layer: &'a Layer,
    /// How thick; none where it can't be told.
    pub thickness: Option<&'a Value<Length>>,
    /// What is said of its ends.
    pub openings: &'a Openings,
    /// The tight layer outside of it.
    pub skin: &'a Layer,
}

/// The gap of a roof over kept air that has insulation on its inner side only and a tight skin outside.
///
/// # Errors
/// When the section is not whole.
pub(super) fn gap<'a>(look: &Look<'a>) -> Result<Option<Vent<'a>>, Missing> {
    let surface: &'a Surface = look.surface;
    if surface.kind != SurfaceKind::Roof || surface.facts.port.is_some() || !over_a_room(look) {
        return Ok(None);
    }
    if let Some(broken) = &surface.broken {
        return Err(Missing::new(broken.span, broken.why.clone()));
    }
    let gaps = surface.layers.iter().enumerate().filter_map(|(at, layer)| Some((at, layer, air_of(layer)?)));
    for (at, layer, (thickness, openings)) in gaps {
        let (outer, inner) = (surface.layers.iter().take(at), surface.layers.iter().skip(at));
        let insulated = |layers: &mut dyn Iterator<Item = &'a Layer>| -> bool {
            layers.map(|l| insulation(l, &look.draw)).fold(ThermalResistance::ZERO, |a, r| a + r) >= INSULATED
        };
        let skin = outer.clone().rev().find(|l| tight(l, &look.draw));
        let Some(skin) = skin else { continue };
        if insulated(&mut outer.into_iter()) || !insulated(&mut inner.clone()) || covered(inner, &look.draw) {
            continue;
        }
        return Ok(Some(Vent { layer, thickness, openings, skin }));
    }
    Ok(None)
}

/// Something tight, or the roof's water layer, lies between the gap and the insulation: the gap airs the covering alone.
fn covered<'l>(inner: impl Iterator<Item = &'l Layer>, draw: &Draw) -> bool {
    for layer in inner {
        if matches!(layer.body, Body::Gap(_)) {
            continue;
        }
        if let Body::Panel(parts) = &layer.body {
            return parts.first().is_some_and(|s| s.permeance_at(draw, Cup::Dry).is_some_and(|w| w <= TIGHT));
        }
        if insulation(layer, draw) >= INSULATED {
            return false;
        }
        if tight(layer, draw) || layer.relied_on.iter().any(|c| c.value == Control::Water) {
            return true;
        }
    }
    false
}

/// A room that is heated or cooled; a roof space that shares another room's air is an unvented roof of its own kind.
fn over_a_room(look: &Look<'_>) -> bool {
    let SidePlace::Room(id) = look.surface.last.place else { return false };
    let air = look.job.room(id).map(|r| &r.air);
    matches!(look.surface.first.place, SidePlace::Outdoors)
        && matches!(air, Some(RoomAir::Kept { .. } | RoomAir::Always(_) | RoomAir::Monthly { .. }))
}

/// The air of a layer: a gap, empty bays, or bays with air at their outer side. Of bays nothing is told unless their
/// ends are: air left over in them is no gap that somebody meant.
fn air_of(layer: &Layer) -> Option<(Option<&Value<Length>>, &Openings)> {
    match &layer.body {
        Body::Gap(gap) => Some((Some(&gap.thickness), &gap.openings)),
        Body::Members(members) => {
            let Fill::Parts(parts) = &members.fill else { return None };
            let Some(BayPart::Air(thickness)) = parts.first() else { return None };
            matches!(members.openings, Openings::At { .. }).then_some((Some(thickness), &members.openings))
        }
        Body::Sheet(_) | Body::Panel(_) | Body::Hole => None,
    }
}

fn insulation(layer: &Layer, draw: &Draw) -> ThermalResistance {
    let of = |s: &Stuff| {
        let insulates = s.material.is_some_and(|m| m.conductivity().is_some_and(|c| c.si() <= 0.065));
        s.resistance_at(draw).filter(|_| insulates || s.resistance.is_some()).unwrap_or(ThermalResistance::ZERO)
    };
    match &layer.body {
        Body::Sheet(choice) => choice.at(draw).map_or(ThermalResistance::ZERO, of),
        Body::Panel(parts) => parts.iter().map(of).sum(),
        Body::Members(_) => members_of(layer).map_or(ThermalResistance::ZERO, |m| match &m.fill {
            Fill::Parts(parts) => parts
                .iter()
                .map(|p| if let BayPart::Stuff(s) = p { of(s) } else { ThermalResistance::ZERO })
                .fold(ThermalResistance::ZERO, |a, r| a + r),
            Fill::Unknown(_) => ThermalResistance::ZERO,
        }),
        Body::Gap(_) | Body::Hole => ThermalResistance::ZERO,
    }
}

fn tight(layer: &Layer, draw: &Draw) -> bool {
    let of = |s: &Stuff| s.permeance_at(draw, Cup::Dry).is_some_and(|w| w <= TIGHT);
    match &layer.body {
        Body::Sheet(choice) => choice.at(draw).is_some_and(of),
        Body::Panel(parts) => parts.iter().any(of),
        Body::Members(_) | Body::Gap(_) | Body::Hole => false,
    }
}

/// Low and high ends of a gap or roof space.
pub(super) fn ends(at: &[OpenAt]) -> (bool, bool) {
    let low = |a: &OpenAt| matches!(a, OpenAt::Bottom | OpenAt::Eave | OpenAt::Front | OpenAt::Below);
    let high = |a: &OpenAt| matches!(a, OpenAt::Top | OpenAt::Ridge | OpenAt::Back | OpenAt::Gables | OpenAt::Hips);
    let both = at.contains(&OpenAt::BothSides);
    (both || at.iter().any(low), both || at.iter().any(high))
}

/// Whether a roof is too flat for the gap to draw by itself.
pub(super) fn flat(look: &Look<'_>) -> bool {
    look.surface.facts.slope.as_ref().is_some_and(|s| s.at(&look.draw) < FLAT)
}
