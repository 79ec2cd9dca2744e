//! What a layer is laid as: boards, a sheet, a coat. Another form fits the same place seldom, and is told.
//!
//! Invariant: follows the seams of the material alone; stand-ins go by the first of them.

use crate::catalog::{Material, Seams};
use crate::model::layer::{Body, Stuff};

/// What a layer is laid as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Rigid boards or panels.
    Boards,
    /// From a roll.
    Sheet,
    /// Sprayed, poured, brushed or plastered on.
    Coat,
    /// Between members.
    Batts,
    /// Blown, poured or spread.
    Fill,
    /// Laid one by one.
    Units,
    /// Pieces that lap over one another.
    Lapped,
    /// Members at a spacing.
    Members,
}

impl Form {
    /// "boards".
    pub fn words(self) -> &'static str {
        match self {
            Self::Boards => "boards",
            Self::Sheet => "a sheet from a roll",
            Self::Coat => "a coat, put on or poured",
            Self::Batts => "batts",
            Self::Fill => "a fill",
            Self::Units => "units, laid one by one",
            Self::Lapped => "pieces that lap",
            Self::Members => "members",
        }
    }

    /// None of air, of a hole and of what nobody knows.
    pub(super) fn of(body: &Body) -> Option<Self> {
        let of = |stuff: &Stuff| stuff.material.and_then(Self::of_material);
        match body {
            Body::Sheet(choice) => of(choice.builds.first()?),
            Body::Panel(_) => Some(Self::Boards),
            Body::Members(_) => Some(Self::Members),
            Body::Gap(_) | Body::Hole => None,
        }
    }

    fn of_material(material: &Material) -> Option<Self> {
        Some(match material.seams() {
            Seams::Boards | Seams::Tongued => Self::Boards,
            Seams::Sheet => Self::Sheet,
            Seams::Seamless => Self::Coat,
            Seams::Batts => Self::Batts,
            Seams::Fill => Self::Fill,
            Seams::Units => Self::Units,
            Seams::LappedCladding => Self::Lapped,
            Seams::Piece => return None,
        })
    }
}
