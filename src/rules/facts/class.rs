//! What sort of thing a material is, as the rules about joints speak of it.
//!
//! Invariant: decided from the catalog's kind, family and behavior alone, so that a new material falls into its class.

use crate::catalog::{Bond, Material, Reservoir, Seams, Sensitivity};

/// Brick, block, stone, earth, concrete: what a sheet has to be primed for and a slot can be cut in.
pub fn masonry(m: &Material) -> bool {
    matches!(m.kind(), "masonry" | "concrete") || (m.kind() == "cladding" && m.seams() == Seams::Units)
}

/// Plaster, render, stucco.
pub fn plaster(m: &Material) -> bool {
    m.kind() == "plaster"
}

/// Wood and what is made of it.
pub fn wood(m: &Material) -> bool {
    m.sensitivity() == Sensitivity::Wood
}

/// What water harms: wood, paper, steel that rusts.
pub fn sensitive(m: &Material) -> bool {
    matches!(m.sensitivity(), Sensitivity::Wood | Sensitivity::Paper)
}

/// Bare metal.
pub fn metal(m: &Material) -> bool {
    matches!(
        m.family(),
        "aluminum"
            | "brass"
            | "cast-iron"
            | "copper"
            | "galvanized-steel"
            | "lead"
            | "stainless-steel"
            | "steel"
            | "zinc"
    )
}

/// Draws liquid water in.
pub fn porous(m: &Material) -> bool {
    m.capillary() == Some(true)
}

/// Holds rain.
pub fn absorbent(m: &Material) -> bool {
    m.reservoir() == Reservoir::Yes
}

/// A sheet that sticks by its own adhesive: self-adhered sheet or tape.
pub fn self_adhered(m: &Material) -> bool {
    matches!(m.bond(), Bond::SelfAdhered | Bond::Tape)
}

/// A bead of sealant.
pub fn sealant(m: &Material) -> bool {
    m.kind() == "sealant" && m.bond() == Bond::Sealant
}

/// Siding, brick veneer and what else stands in the weather on a wall.
pub fn cladding(m: &Material) -> bool {
    m.kind() == "cladding" || matches!(m.key(), "stucco" | "stucco-one-coat")
}

/// What covers a sloping roof in courses or pans.
pub fn roofing(m: &Material) -> bool {
    m.kind() == "roofing"
}

/// A sheet or coating that keeps water out.
pub fn membrane(m: &Material) -> bool {
    matches!(m.kind(), "membrane" | "coating" | "tape") || matches!(m.family(), "bitumen" if m.kind() == "paper")
}

/// A bought window or door.
pub fn unit(m: &Material) -> bool {
    m.kind() == "frame"
}

/// Insulation by nature.
pub fn insulation(m: &Material) -> bool {
    matches!(m.kind(), "batt" | "board-insulation" | "loose-fill" | "spray-foam")
}

/// Foam plastic in boards or sprayed: burns, and where it is whole no air moves through it.
pub fn foam_plastic(m: &Material) -> bool {
    matches!(m.kind(), "board-insulation" | "spray-foam")
        && matches!(m.family(), "polystyrene" | "polyurethane" | "polyiso" | "phenolic")
}

/// Insulation that air moves through: fibers, blown fill, boards of fiber. Boards that draw liquid water along are another
/// matter: they are bonded and hold no air.
pub fn airy(m: &Material) -> bool {
    let draws = m.kind() == "board-insulation" && porous(m) && !sensitive(m);
    insulation(m) && m.air_tight() == Some(false) && !foam_plastic(m) && !draws
}

/// What a roof is nailed or laid on: boards, wood panels, concrete, sheet steel, factory panels.
pub fn decking(m: &Material) -> bool {
    matches!(m.kind(), "wood-panel" | "lumber" | "concrete" | "panel") || m.key() == "steel-deck"
}

/// What is put on wet or hot and sticks, or sticks by its own adhesive: it wants a dry face.
pub fn wants_dry_face(m: &Material) -> bool {
    let sheet = matches!(m.bond(), Bond::SelfAdhered | Bond::Tape | Bond::Welded);
    // Silyl polymers cure with moisture and forgive a damp face.
    let coat = m.kind() == "coating" && m.family() != "silyl-polymer";
    // Tile is set in cement, which a damp face does not harm.
    let floor = m.kind() == "finish" && m.bond() == Bond::Liquid && m.family() != "ceramic";
    sheet || coat || floor || m.kind() == "spray-foam"
}

/// How rain gets through a material that is no layer against it, however it is laid or bonded; none where it keeps rain
/// out, or where the way it is laid decides.
pub fn rain_through(m: &Material) -> Option<&'static str> {
    let loose = matches!(m.kind(), "batt" | "loose-fill" | "ground");
    if loose || (m.kind() == "board-insulation" && (airy(m) || porous(m))) {
        return Some(
            "Water runs in between its fibers or grains, or soaks through its pores. Glue keeps water from running behind \
             a layer, and not from running through it (common practice, no source).",
        );
    }
    let cloth = matches!(m.kind(), "membrane" | "finish" | "paper") && m.seams() == Seams::Sheet;
    (cloth && m.air_open()).then_some(
        "Water goes through cloth and plain paper. Glue keeps it from running behind a layer, and not from running through \
         it (common practice, no source).",
    )
}

/// A floor, wall or ceiling finish that is sold for rooms, or paper. Tile, terrazzo, cement board and rubber
/// stand in the rain as well, and paper soaked with bitumen sheds it.
pub fn room_finish(m: &Material) -> bool {
    let paper = m.kind() == "paper" && m.sensitivity() == Sensitivity::Paper && m.family() != "bitumen";
    paper || (m.kind() == "finish" && !matches!(m.family(), "cement" | "ceramic" | "rubber"))
}

/// Solid wood and panels of it: a coat on all faces keeps daylight and rain off them for as long as it lasts.
pub fn coatable_wood(m: &Material) -> bool {
    wood(m) && matches!(m.kind(), "lumber" | "trim" | "cladding" | "wood-panel") && m.seams() != Seams::Tongued
}
