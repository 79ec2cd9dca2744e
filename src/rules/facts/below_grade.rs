//! A wall against soil or water: its mass, and what stands inside of it.
//!
//! Invariant: read off the straight path between members; nothing is judged here.

use super::path::{Part, Path, PathKind, members_of};
use super::{Look, Missing, class, whole};
use crate::base::quantity::{Temperature, ThermalResistance};
use crate::model::surface::SidePlace;
use crate::physics::air;
use crate::syntax::ast::SurfaceKind;

/// A wall against soil or water.
pub struct Below<'l, 'a> {
    /// The path between members.
    pub path: &'l Path<'a>,
    /// The innermost part that is concrete or masonry.
    pub mass: usize,
}

/// The wall against soil or water that a surface is, with a mass in it and a room behind; none for any other surface.
///
/// # Errors
/// When a layer or the air of a side can't be told.
pub fn below<'l, 'a>(look: &'l Look<'a>) -> Result<Option<Below<'l, 'a>>, Missing> {
    let surface = look.surface;
    let wet = matches!(surface.first.place, SidePlace::Ground { .. } | SidePlace::Water { .. });
    if surface.kind != SurfaceKind::Wall || !wet || !matches!(surface.last.place, SidePlace::Room(_)) {
        return Ok(None);
    }
    whole(surface)?;
    let paths = look.paths().map_err(Clone::clone)?;
    let Some(path) = paths.iter().find(|p| matches!(p.kind, PathKind::Bay | PathKind::Whole)) else { return Ok(None) };
    let mass = path.parts.iter().rposition(|p| p.material().is_some_and(class::masonry));
    Ok(mass.map(|mass| Below { path, mass }))
}

/// A face that room air can reach, and how far it falls short of the room's dew point.
pub struct Dewy {
    /// Months (1 to 12) in which it is colder.
    pub months: Vec<u8>,
    /// The coldest face against its dew point.
    pub face: Temperature,
    /// That dew point.
    pub dew: Temperature,
    /// Tight insulation outward of the face that would keep it at the dew point in all months.
    pub lacks: ThermalResistance,
}

impl<'a> Below<'_, 'a> {
    /// Parts inside of the mass, with their place on the path.
    pub fn inside(&self) -> impl Iterator<Item = (usize, &Part<'a>)> {
        self.path.parts.iter().enumerate().skip(self.mass + 1)
    }

    /// The outermost insulation inside of the mass that air moves through.
    pub fn airy(&self) -> Option<(usize, &Part<'a>)> {
        self.inside().find(|(_, p)| p.material().is_some_and(class::airy))
    }

    /// Closed cells between the mass and a part: whether there are any, and whether their seams are closed.
    pub fn foam_before(&self, look: &Look<'_>, end: usize) -> (bool, bool) {
        let foam = self.inside().filter(|(i, p)| *i < end && p.material().is_some_and(closed_cells));
        let seams = foam.map(|(_, p)| look.surface.layers.get(p.layer).is_some_and(|l| sealed(l, p)));
        seams.fold((false, false), |(_, any), closed| (true, any || closed))
    }

    /// How the face at an interface stands to the room's dew point.
    ///
    /// # Errors
    /// When a vapor pressure is out of the range of the formula.
    pub fn dewy(&self, look: &Look<'_>, interface: usize) -> Result<Option<Dewy>, Missing> {
        let refuse = |e: crate::physics::OutOfRange| Missing::new(look.surface.span, e.to_string());
        let sum = |from: usize, to: usize| -> ThermalResistance {
            self.path.parts.iter().skip(from).take(to - from).map(|l| l.resistance).sum()
        };
        let count = self.path.parts.len();
        let outer = self.path.first_film + sum(0, interface);
        let total = outer + sum(interface, count) + self.path.last_film;
        let mut worst: Option<Dewy> = None;
        let mut months = Vec::new();
        for (month, at) in (1..).zip(look.months().map_err(Clone::clone)?) {
            let (wet, room) = (at.outdoor.temperature, at.indoor.temperature);
            let face = wet + (room - wet) * (outer / total);
            let dew = air::dew_point(at.indoor.vapor).map_err(refuse)?;
            if face >= dew {
                continue;
            }
            months.push(month);
            let need = (dew - wet) / (room - wet);
            let lacks =
                if need < 1.0 { (total * need - outer) / (1.0 - need) } else { ThermalResistance::new(f64::INFINITY) };
            if worst.as_ref().is_none_or(|w| lacks > w.lacks) {
                worst = Some(Dewy { months: Vec::new(), face, dew, lacks });
            }
        }
        Ok(worst.map(|w| Dewy { months, ..w }))
    }
}

/// Foam whose cells are closed, and glass: neither air nor much vapor gets in.
pub fn closed_cells(m: &crate::catalog::Material) -> bool {
    (class::foam_plastic(m) || m.family() == "glass") && m.kind() != "loose-fill" && class::insulation(m)
}

fn sealed(layer: &crate::model::layer::Layer, part: &Part<'_>) -> bool {
    let sprayed = part.material().is_some_and(|m| m.kind() == "spray-foam");
    sprayed || layer.seams.treatment.closed() || (members_of(layer).is_none() && layer.seams.adhered)
}

/// What kind of wet side it is, in words.
pub fn wet_side(look: &Look<'_>) -> &'static str {
    if matches!(look.surface.first.place, SidePlace::Water { .. }) { "the water" } else { "the soil" }
}
