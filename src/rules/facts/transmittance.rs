//! The thermal transmittance of a surface, members included.
//!
//! Wood: ISO 6946 combined method. Metal: refused, never the wood method.
//! Invariant: a figure or the reason why there is none.

use super::Missing;
use super::path::{self, Path, PathKind};
use crate::base::quantity::{Fraction, ThermalResistance, Transmittance};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Draw;
use crate::physics::heat::{self, Section};

/// A transmittance and how it was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// U.
    pub u: Transmittance,
    /// How it was found.
    pub how: String,
}

/// U of a surface.
///
/// # Errors
/// When a path can't be built, metal crosses the insulation, or the limits of the method lie too far apart.
pub fn told(surface: &Surface, paths: &[Path<'_>], draw: &Draw) -> Result<Told, Missing> {
    if matches!((&surface.first.place, &surface.last.place), (SidePlace::Outdoors, SidePlace::Outdoors)) {
        return Err(Missing::new(surface.span, "outdoors lies on both sides"));
    }
    let sections = sections(surface, paths, draw);
    let how = match sections.len() {
        1 => "series of layers".to_string(),
        _ => "ISO 6946 combined method".to_string(),
    };
    let combined = heat::combined(&sections).map_err(|e| match e {
        crate::physics::Error::MetalBridge => {
            Missing::new(surface.span, "metal members cross the insulation: it needs a computation in two dimensions")
        }
        other => Missing::new(surface.span, other.to_string()),
    })?;
    let how = if combined.error_bound.si() > 0.0005 {
        format!("{how}, within {:.0} %", (combined.error_bound.si() * 100.0).max(1.0))
    } else {
        how
    };
    Ok(Told { u: combined.u, how })
}

/// Bay and member side by side, layer by layer. Where members cross members, each crossing layer is split by its own
/// share in the deepest members' sections.
fn sections(surface: &Surface, paths: &[Path<'_>], draw: &Draw) -> Vec<Section> {
    let main: Vec<&Path<'_>> = paths.iter().filter(|p| p.kind != PathKind::Port).collect();
    let deepest = main.iter().find(|p| p.kind == PathKind::Member).and_then(|m| deepest_layer(surface, m, draw));
    main.iter()
        .map(|p| {
            let mut resistances = vec![p.first_film];
            for index in p.left_out..surface.layers.len() {
                let straight: ThermalResistance =
                    p.parts.iter().filter(|x| x.layer == index).map(|x| x.resistance).sum();
                resistances.push(crossed(surface, index, straight, deepest, draw));
            }
            resistances.push(p.last_film);
            let share = if main.len() == 1 { Fraction::new(1.0) } else { p.share };
            Section { share, resistances, metal: has_metal(surface, p.left_out) }
        })
        .collect()
}

fn deepest_layer(surface: &Surface, member: &Path<'_>, draw: &Draw) -> Option<usize> {
    let depth = |i: usize| surface.layers.get(i).and_then(path::members_of).map(|m| m.depth.at(draw).si());
    (member.left_out..surface.layers.len())
        .filter(|i| depth(*i).is_some())
        .max_by(|a, b| depth(*a).unwrap_or(0.0).total_cmp(&depth(*b).unwrap_or(0.0)))
}

/// A second layer of members: bay and member of it in parallel, as the lower limit takes them.
fn crossed(
    surface: &Surface,
    index: usize,
    bay: ThermalResistance,
    deepest: Option<usize>,
    draw: &Draw,
) -> ThermalResistance {
    let Some(members) = surface.layers.get(index).and_then(path::members_of).filter(|_| deepest != Some(index)) else {
        return bay;
    };
    let Some(through) = members.member.resistance_at(draw) else { return bay };
    let share = (members.width.at(draw).si() / members.spacing.at(draw).si()).min(1.0);
    (bay.transmittance() * (1.0 - share) + through.transmittance() * share).resistance()
}

fn has_metal(surface: &Surface, left_out: usize) -> bool {
    surface.layers.iter().skip(left_out).filter_map(path::members_of).any(|m| m.metal)
}
