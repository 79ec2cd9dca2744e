//! Which figures a moisture sum leans on that nobody has looked up.
//!
//! Invariant: a figure that the author wrote is never doubted here, and a layer that hardly counts is not named.

use super::path::{Part, Path};
use crate::base::near;
use crate::catalog::Access;
use crate::model::surface::Surface;

/// Least share of a path's vapor thickness that counts. Our own choice.
const SHARE: f64 = 0.1;

/// "The permeance of `sheath` and `kraft` is a generic figure from memory.", with a blank before it; nothing where the
/// layers that hold back the vapor have figures that were read, computed or written.
pub fn from_memory(surface: &Surface, path: &Path<'_>) -> String {
    // Between the two cups, by equal factors.
    let middle = |p: &Part<'_>| (p.vapor.0.si() * p.vapor.1.si()).sqrt();
    let total: f64 = path.parts.iter().map(middle).sum();
    let mut names: Vec<String> = Vec::new();
    for part in path.parts.iter().filter(|p| recalled(p) && middle(p) >= SHARE * total) {
        let label = surface.layers.get(part.layer).map_or("", |l| l.label.as_str());
        if !names.iter().any(|n| n == label) {
            names.push(label.to_string());
        }
    }
    match names.len() {
        0 => String::new(),
        1 => format!(" The permeance of {} is a generic figure from memory.", near::all_of(&names)),
        _ => format!(" The permeances of {} are generic figures from memory.", near::all_of(&names)),
    }
}

/// The catalog's figure is used, and it was recalled and not looked up.
fn recalled(part: &Part<'_>) -> bool {
    let Some(stuff) = part.stuff() else { return false };
    let written = stuff.permeance.is_some() || stuff.factor.is_some();
    let access = stuff.material.and_then(|m| m.vapor_source()).map(|c| c.access);
    !written && matches!(access, Some(Access::Memory | Access::Practice))
}
