//! The criteria of this family's rules for water in a section, asked of one path without words.
//!
//! Invariant: what is met here is what the rule of the same name finds; nothing is decided anew. A rule that is silent
//! beside a heavier one still has its criterion met.

use super::{damp_layer, lasting_condensate, peak_condensate, wet};
use crate::physics::profile::MonthInput;
use crate::rules::facts::{Look, Missing, PathYear};

/// How far each criterion is met on a path; none where it is not.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Met {
    /// `dew/lasting-condensate`: water left after a year, kg/m2.
    pub lasting: Option<f64>,
    /// `dew/peak-condensate`: how many times its limit.
    pub peak: Option<f64>,
    /// That peak lies where air behind the cladding carries some of it off.
    pub aired: bool,
    /// `dew/damp-layer`: months over 80 % at the dampest face of wood or paper.
    pub damp: Option<f64>,
}

/// Whether the sum of vapor decides anything of this surface.
///
/// # Errors
/// Where a lining draws liquid water back to the room, which the sum knows nothing of.
pub fn decidable(look: &Look<'_>) -> Result<(), Missing> {
    wet::decidable(look)
}

/// Whether a rule on condensate tells of a surface: of damp alone the others then say nothing, as the mend is the same.
pub(super) fn condensate_told(look: &Look<'_>, months: &[MonthInput; 12], years: &[PathYear<'_>]) -> bool {
    years.iter().any(|of| {
        lasting_condensate::find(look, months, of).is_some() || peak_condensate::find(look, months, of).is_some()
    })
}

/// Asks all three of one path.
pub fn met(look: &Look<'_>, months: &[MonthInput; 12], of: &PathYear<'_>) -> Met {
    let peak = peak_condensate::find(look, months, of);
    Met {
        lasting: lasting_condensate::find(look, months, of).map(|stays| stays.left().si()),
        peak: peak.as_ref().map(|peak| peak.over()),
        aired: peak.is_some_and(|peak| peak.aired),
        damp: damp_layer::find(look, months, of).map(|damp| damp.months() as f64),
    }
}
