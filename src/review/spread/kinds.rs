//! How far the figures of a material lie apart, by its kind.
//!
//! The data have no published spread; these are the distances at which tables, test reports and makers' sheets of a
//! generic name commonly disagree. Invariant: a kind without a row takes the last one; a spread is never nothing where
//! the figure counts.

/// Where every spread of this file comes from.
pub const SOURCE: &str = "common practice, no source";

/// What the author wrote himself is one product, not a generic name: both its figures lie within 10 %.
pub(super) const WRITTEN: Apart = Apart { heat: 0.10, vapor: 1.1 };
/// Room humidity, each way.
pub(super) const HUMIDITY: f64 = 0.05;

/// How far figures lie apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Apart {
    /// Conductivity, as a share each way.
    pub heat: f64,
    /// Permeance, as a factor each way; above 1.
    pub vapor: f64,
}

const fn apart(heat: f64, vapor: f64) -> Apart {
    Apart { heat, vapor }
}

const KINDS: &[(&[&str], Apart)] = &[
    (&["batt", "loose-fill", "board-insulation", "spray-foam"], apart(0.10, 1.5)),
    (&["lumber", "wood-panel", "panel", "frame", "trim"], apart(0.15, 2.0)),
    (&["paper", "paint", "coating"], apart(0.15, 2.0)),
    (&["masonry", "concrete", "ground"], apart(0.30, 2.0)),
    (&["membrane", "tape", "sealant", "roofing"], apart(0.10, 1.5)),
];
const OTHERS: Apart = apart(0.15, 1.5);

/// Kinds that pass no vapor and hold back no heat whatever their make.
const NOTHING_TO_VARY: &[&str] = &["metal", "foil", "glass", "flashing", "hardware", "air"];

/// The spread of a kind as the catalog names it; none where nothing about it counts.
pub(super) fn of_kind(kind: &str) -> Option<Apart> {
    if NOTHING_TO_VARY.contains(&kind) {
        return None;
    }
    let row = KINDS.iter().find(|(kinds, _)| kinds.contains(&kind));
    Some(row.map_or(OTHERS, |(_, apart)| *apart))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog;

    #[test]
    fn every_kind_of_the_table_is_one_of_the_catalog() {
        let known: Vec<&str> = catalog::materials().map(|m| m.kind()).collect();
        let named = KINDS.iter().flat_map(|(kinds, _)| *kinds).chain(NOTHING_TO_VARY);
        for kind in named {
            assert!(known.contains(kind), "{kind}");
        }
    }
}
