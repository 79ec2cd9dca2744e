//! Whether air gets through a section, or from a room to a layer inside of it.
//!
//! A verdict of the drawn section: passages that nothing closes. That nobody has named an air layer is no leak.
//! Invariant: what is not known is a reason to be silent, never a leak.

use super::{Look, Missing};
use crate::graph::place::{Air, air, place};
use crate::graph::section::{Leak, leak};
use crate::model::layer::{Body, Layer, Treatment};
use crate::model::surface::Surface;
use crate::syntax::ast::SurfaceKind;

/// The open way between kept air and other air, where there is one.
///
/// # Errors
/// When the air of a side, a layer or the seams of one are not known.
pub fn way(look: &Look<'_>) -> Result<Option<Leak>, Missing> {
    if !parts_air(look)? {
        return Ok(None);
    }
    known(look.surface, look.surface.layers.iter())?;
    Ok(leak(look.surface, &look.draw))
}

/// Whether kept air gets from the last side to a layer and into its seams.
///
/// # Errors
/// As [`way`], for what lies on the way.
pub fn reaches(look: &Look<'_>, layer: usize) -> Result<bool, Missing> {
    if !parts_air(look)? {
        return Ok(false);
    }
    known(look.surface, look.surface.layers.iter().skip(layer))?;
    let inner = look.surface.layers.iter().skip(layer).cloned().collect();
    Ok(leak(&Surface { layers: inner, ..look.surface.clone() }, &look.draw).is_some())
}

/// Whether kept air lies on one side and other air on the other.
fn parts_air(look: &Look<'_>) -> Result<bool, Missing> {
    let surface = look.surface;
    let side = |s| air(look.job, place(s));
    let airs = [side(&surface.first), side(&surface.last)];
    for (air, side) in airs.iter().zip([&surface.first, &surface.last]) {
        if *air == Air::Unsaid {
            return Err(Missing::new(side.span, "nothing is said of the air on one side of it"));
        }
    }
    Ok(surface.kind != SurfaceKind::Deck && airs.contains(&Air::Kept) && airs.contains(&Air::Free))
}

fn known<'l>(surface: &Surface, mut layers: impl Iterator<Item = &'l Layer>) -> Result<(), Missing> {
    if let Some(broken) = &surface.broken {
        return Err(Missing::new(broken.span, broken.why.clone()));
    }
    let reason = layers.find_map(|l| match (&l.body, l.seams.treatment) {
        (Body::Hole, _) => Some(Missing::new(l.stuff_span, format!("layer `{}` could not be resolved", l.label))),
        (_, Treatment::Unknown) => {
            let span = l.seams.span.unwrap_or(l.stuff_span);
            Some(Missing::new(span, format!("how the seams of `{}` are closed is not known", l.label)))
        }
        _ => None,
    });
    reason.map_or(Ok(()), Err)
}
