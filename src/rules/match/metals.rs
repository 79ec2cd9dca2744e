//! Metals in contact: their place in the anodic index, and which may lie under run-off from copper.
//!
//! Index in volt against gold, larger is baser: from copper to lead read in a published anodic index, iron and baser from
//! memory. Invariant: what is no bare metal has no index.

use crate::catalog::Material;

/// Anodic index of a metal by family.
pub fn index(m: &Material) -> Option<f64> {
    // The skins of a factory panel are coated with zinc and painted: they show no bare metal.
    if m.kind() == "panel" {
        return None;
    }
    Some(match m.family() {
        "copper" => 0.35,
        "brass" => 0.40,
        "stainless-steel" => 0.50,
        "lead" => 0.70,
        "steel" | "cast-iron" => 0.85,
        "aluminum" => 0.90,
        "galvanized-steel" => 1.20,
        "zinc" => 1.25,
        _ => return None,
    })
}

/// A metal that copper in solution eats.
pub fn light(m: &Material) -> bool {
    matches!(m.family(), "aluminum" | "galvanized-steel" | "zinc")
}

/// Copper and what is more than half copper.
pub fn coppery(m: &Material) -> bool {
    matches!(m.family(), "copper" | "brass")
}
