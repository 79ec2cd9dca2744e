//! A frame wall as the retarder tables see it: how deep the studs are, what lies inside and outboard of them.
//!
//! Invariant: nothing is judged here; permeances are of the dry cup unless said.

use crate::base::quantity::{Conductivity, Length, Permeance, ThermalResistance};
use crate::base::span::{Span, Spanned};
use crate::base::unit::PERM;
use crate::catalog::codes::{CLASS_LIMITS, Edition, Permission, RetarderRule, Sheathing};
use crate::catalog::{Cup, Material, Seams, Zone};
use crate::model::Job;
use crate::model::layer::{BayPart, Body, Fill, Layer, Stuff};
use crate::model::room::{RoomAir, RoomId};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Draw;
use crate::rules::facts::path::{Part, members_of};
use crate::rules::facts::vent::{aired_cladding, left_out};
use crate::rules::facts::{Look, Missing, whole};
use crate::syntax::ast::SurfaceKind;

/// Shallower members are battens, not studs. Our own choice.
const STUD: Length = Length::new(0.06);
/// What conducts no more than this counts as insulation. ISO 6946 draws no line; common practice, no source.
const INSULATING: Conductivity = Conductivity::new(0.065);
/// Wet-cup permeance from which a retarder counts as one that opens (IRC 2021 R702.7, quoted from memory).
const OPENS: f64 = 1.0;

/// Spray foam up to this, perm, on the inner face of the sheathing counts as insulation outboard (IRC R702.7, from memory).
pub(super) const SPRAYED: f64 = 1.5;

/// Sheathings that the class III tables name, by the catalog's keys.
const SHEATHINGS: [(&str, Sheathing); 9] = [
    ("osb", Sheathing::WoodPanel),
    ("osb-coated", Sheathing::WoodPanel),
    ("plywood", Sheathing::WoodPanel),
    ("hardwood-plywood", Sheathing::WoodPanel),
    ("asphalt-fiberboard", Sheathing::Fiberboard),
    ("sound-board", Sheathing::Fiberboard),
    ("wood-fiber-sheathing", Sheathing::Fiberboard),
    ("gypsum-sheathing", Sheathing::Gypsum),
    ("gypsum-sheathing-paper", Sheathing::Gypsum),
];

/// One material or paint and its permeance.
#[derive(Clone, Copy, Debug)]
pub(super) struct Retarder<'a> {
    /// Its layer.
    pub layer: &'a Layer,
    /// What it is called.
    pub name: &'a str,
    /// Where it is written.
    pub span: Span,
    /// In the dry cup.
    pub dry: Permeance,
    /// In the wet cup.
    pub wet: Permeance,
    /// Where its permeance comes from; none when the author wrote it.
    pub material: Option<&'static Material>,
}

impl Retarder<'_> {
    /// 1 to 3; none above class III.
    pub fn class(&self) -> Option<u8> {
        class(self.dry)
    }

    /// Whether it opens when it gets humid.
    pub fn opens(&self) -> bool {
        self.wet.si() / PERM > OPENS
    }

    /// " (document; how obtained)".
    pub fn source(&self) -> String {
        let cited = self.material.and_then(Material::vapor_source);
        cited.map_or(" (as written)".to_string(), |c| format!(" ({}; {})", c.source, c.access.words()))
    }
}

/// Class of a dry-cup permeance.
pub(super) fn class(dry: Permeance) -> Option<u8> {
    // A hair of room, so that a figure written as the limit itself belongs to the class.
    let perms = dry.si() / PERM - 1e-9;
    (1..=3).zip(CLASS_LIMITS).find(|(_, limit)| perms <= *limit).map(|(class, _)| class)
}

/// Class I, and it stays tight when it gets humid. Siding and roofing that laps is open at each lap.
pub(super) fn shuts(part: &Part<'_>) -> bool {
    let laps = part.material().is_some_and(|m| m.seams() == Seams::LappedCladding);
    let (dry, wet) = (part.vapor.0.permeance(), part.vapor.1.permeance());
    part.stuff().is_some() && !laps && class(dry) == Some(1) && wet.si() / PERM <= OPENS
}

/// A class in words.
pub(super) fn roman(class: u8) -> &'static str {
    match class {
        1 => "class I",
        2 => "class II",
        3 => "class III",
        _ => "no class",
    }
}

/// A frame wall between a room and outdoors.
pub(super) struct FrameWall<'a> {
    pub surface: &'a Surface,
    /// Index of the studs.
    pub studs: usize,
    /// How deep they are.
    pub depth: Length,
}

/// The frame wall that a surface is; none for any other surface.
///
/// # Errors
/// When the section is not whole.
pub(super) fn frame<'a>(look: &Look<'a>) -> Result<Option<FrameWall<'a>>, Missing> {
    if !outside_wall(look) {
        return Ok(None);
    }
    let surface = look.surface;
    let studs = surface.layers.iter().enumerate().filter_map(|(i, l)| stud_depth(l, &look.draw).map(|d| (i, d)));
    let Some((studs, depth)) = studs.max_by(|a, b| a.1.si().total_cmp(&b.1.si())) else { return Ok(None) };
    whole(surface)?;
    Ok(Some(FrameWall { surface, studs, depth }))
}

fn stud_depth(layer: &Layer, draw: &Draw) -> Option<Length> {
    members_of(layer).map(|m| m.depth.at(draw)).filter(|d| *d > STUD)
}

/// Whether a layer is studs, not battens.
pub(super) fn is_stud(layer: &Layer, draw: &Draw) -> bool {
    stud_depth(layer, draw).is_some()
}

/// Whether it is a wall from outdoors to a room that is heated or cooled.
pub(super) fn outside_wall(look: &Look<'_>) -> bool {
    let surface = look.surface;
    let SidePlace::Room(room) = surface.last.place else { return false };
    surface.kind == SurfaceKind::Wall && matches!(surface.first.place, SidePlace::Outdoors) && kept(look.job, room)
}

/// Whether the room of an outside wall is cooled.
pub(super) fn cooled(look: &Look<'_>) -> bool {
    let SidePlace::Room(id) = look.surface.last.place else { return false };
    match look.job.room(id).map(|r| &r.air) {
        Some(RoomAir::Kept { cooled, .. }) => cooled.is_some(),
        Some(RoomAir::Always(_)) => true,
        _ => false,
    }
}

fn kept(job: &Job, room: RoomId) -> bool {
    let air = job.room(room).map(|r| &r.air);
    matches!(air, Some(RoomAir::Kept { .. } | RoomAir::Always(_) | RoomAir::Monthly { .. }))
}

/// The edition and zone whose tables hold.
///
/// # Errors
/// When the job states no edition, or the zone of its place is not known, or the edition has no row for it.
pub(super) fn table(job: &Job) -> Result<(&'static Edition, Zone, &'static RetarderRule), Missing> {
    let (code, zone) = edition(job)?;
    let row = code.value.retarder_rule(zone);
    Ok((code.value, zone, row.ok_or_else(|| no_row(code, zone))?))
}

/// The edition that the job states and the zone of its place.
///
/// # Errors
/// When one of them is not known.
pub(super) fn edition(job: &Job) -> Result<(&Spanned<&'static Edition>, Zone), Missing> {
    let at = job.place_span.or(job.head).unwrap_or_default();
    let Some(code) = &job.code else {
        return Err(Missing::new(job.head.unwrap_or(at), "no code edition is stated"));
    };
    let Some(zone) = job.climate.as_ref().and_then(|c| c.zone) else {
        return Err(Missing::new(at, "the climate zone of the place is not known"));
    };
    Ok((code, zone))
}

/// An edition's table does not name a zone.
pub(super) fn no_row(code: &Spanned<&'static Edition>, zone: Zone) -> Missing {
    Missing::new(code.span, format!("{} has no row for zone {zone}", code.value.title()))
}

/// What a row says of a class.
pub(super) fn permission(row: &RetarderRule, class: u8) -> Permission {
    match class {
        1 => row.one,
        2 => row.two,
        _ => row.three,
    }
}

/// Materials and paints of a layer with their permeance; air has none that counts.
///
/// # Errors
/// When a permeance is not known.
pub(super) fn retarders<'a>(layer: &'a Layer, draw: &Draw) -> Result<Vec<Retarder<'a>>, Missing> {
    let sheets: Vec<&Stuff> = match &layer.body {
        Body::Sheet(choice) => choice.at(draw).into_iter().collect(),
        Body::Panel(parts) => parts.iter().collect(),
        Body::Hole | Body::Gap(_) | Body::Members(_) => Vec::new(),
    };
    let of = |stuff: &'a Stuff| {
        let unknown = || Missing::new(stuff.span, format!("the permeance of `{}` is not known", stuff.name));
        Ok(Retarder {
            layer,
            name: &stuff.name,
            span: stuff.span,
            dry: stuff.permeance_at(draw, Cup::Dry).ok_or_else(unknown)?,
            wet: stuff.permeance_at(draw, Cup::Wet).ok_or_else(unknown)?,
            material: stuff.material.filter(|_| stuff.permeance.is_none()),
        })
    };
    sheets.into_iter().chain(layer.words.paint.as_deref()).map(of).collect()
}

impl<'a> FrameWall<'a> {
    /// What lies inside of the studs.
    ///
    /// # Errors
    /// When a permeance is not known.
    pub fn inside(&self, draw: &Draw) -> Result<Vec<Retarder<'a>>, Missing> {
        let mut all = Vec::new();
        for layer in self.surface.layers.iter().skip(self.studs + 1) {
            all.extend(retarders(layer, draw)?);
        }
        Ok(all)
    }

    /// Insulation without breaks outboard of the studs and inboard of a vented gap; tight foam sprayed on the sheathing
    /// from inside counts with it.
    pub fn outboard(&self, draw: &Draw) -> ThermalResistance {
        let skip = left_out(self.surface, draw);
        let outer = self.surface.layers.iter().take(self.studs).skip(skip);
        total(outer, draw) + self.sprayed(draw)
    }

    /// Spray foam against a sheathing of the tables that passes at most [`SPRAYED`].
    fn sprayed(&self, draw: &Draw) -> ThermalResistance {
        let Some(foam) = self.coat() else { return ThermalResistance::ZERO };
        let tight = foam.permeance_at(draw, Cup::Dry).is_some_and(|p| p.si() / PERM <= SPRAYED);
        let counts = tight && self.sheathing(draw).is_some();
        foam.resistance_at(draw).filter(|_| counts).unwrap_or(ThermalResistance::ZERO)
    }

    /// Spray foam that lies against what is outside of the studs.
    pub fn coat(&self) -> Option<&'a Stuff> {
        let Fill::Parts(parts) = &self.surface.layers.get(self.studs).and_then(members_of)?.fill else { return None };
        let Some(BayPart::Stuff(foam)) = parts.first() else { return None };
        foam.material.is_some_and(|m| m.kind() == "spray-foam").then_some(foam)
    }

    /// Insulation between the studs and inside of them.
    pub fn inboard(&self, draw: &Draw) -> ThermalResistance {
        let inner = self.surface.layers.iter().skip(self.studs);
        total(inner, draw) - self.sprayed(draw)
    }

    /// Whether air moves behind the cladding.
    pub fn vented_cladding(&self, draw: &Draw) -> bool {
        aired_cladding(self.surface, draw)
    }

    /// The sheathing next to the studs, as the tables name it.
    pub fn sheathing(&self, draw: &Draw) -> Option<Sheathing> {
        let outer = self.surface.layers.iter().take(self.studs).rev();
        let key = |layer: &Layer| match &layer.body {
            Body::Sheet(choice) => choice.at(draw)?.material.map(Material::key),
            _ => None,
        };
        let named = |layer: &Layer| SHEATHINGS.iter().find(|(k, _)| Some(*k) == key(layer)).map(|(_, s)| *s);
        outer.filter_map(named).next()
    }
}

/// An empty sum of floating figures is minus zero; nothing is just zero.
fn total<'l>(layers: impl Iterator<Item = &'l Layer>, draw: &Draw) -> ThermalResistance {
    layers.filter_map(|l| insulation(l, draw)).fold(ThermalResistance::ZERO, |sum, r| sum + r)
}

/// Resistance of a material that is insulation; none of any other.
pub(super) fn insulating(stuff: &Stuff, draw: &Draw) -> Option<ThermalResistance> {
    let thickness = stuff.thickness.as_ref().map(|t| t.at(draw))?;
    let resistance = stuff.resistance_at(draw).filter(|r| r.si() > 0.0)?;
    let hollow = stuff.material.is_some_and(|m| m.resistance_is_fixed()) && stuff.resistance.is_none();
    (!hollow && thickness / resistance <= INSULATING).then_some(resistance)
}

/// Resistance of the insulation in a layer; none where there is none.
fn insulation(layer: &Layer, draw: &Draw) -> Option<ThermalResistance> {
    let of = |stuff: &Stuff| insulating(stuff, draw);
    match &layer.body {
        Body::Sheet(choice) => of(choice.at(draw)?),
        Body::Panel(parts) => Some(parts.iter().filter_map(of).sum()),
        Body::Members(members) => match &members.fill {
            Fill::Parts(parts) => {
                let stuff = |p: &BayPart| if let BayPart::Stuff(stuff) = p { of(stuff) } else { None };
                Some(parts.iter().filter_map(stuff).sum())
            }
            Fill::Unknown(_) => None,
        },
        Body::Hole | Body::Gap(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IRC section R202 (from memory): I up to 0.1 perm, II above that up to 1.0, III above that up to 10.
    #[test]
    fn classes_hold_their_upper_limit() {
        let of = |perms: f64| class(Permeance::new(perms * PERM));
        assert_eq!([of(0.0), of(0.1), of(0.11)], [Some(1), Some(1), Some(2)]);
        assert_eq!([of(1.0), of(1.01), of(10.0), of(10.1)], [Some(2), Some(3), Some(3), None]);
    }

    #[test]
    fn every_sheathing_of_the_tables_is_in_the_catalog() {
        for (key, _) in SHEATHINGS {
            assert!(crate::catalog::material(key).found().is_some_and(|m| m.key() == key), "{key}");
        }
    }
}
