//! Floor 1: what the program knows without being told: materials, places, code tables, and where each figure comes from.
//!
//! Not here: what a figure means for a section (physics), what an author wrote (model), any verdict (rules).
//! Invariant: every figure handed out comes from the embedded data with its source and the way it was obtained;
//! nothing is read before it is asked for, and nothing is read twice.

pub mod codes;
mod entries;
mod figure;
mod material;
mod materials;
mod name;
pub mod pairs;
mod places;
mod ranges;
mod schema;
mod spread;
mod zone;

pub use material::{AIR_BARRIER_LIMIT, Material};
pub use materials::{
    faults, material, material_keys, material_kinds, materials, materials_of_kind, paint, search_materials,
};
pub use name::Lookup;
pub use places::{Place, PlaceMonth, Record, place, places, search_places};
pub use schema::{Access, Bond, Citation, Cup, Reservoir, Seams, Sensitivity};
pub use spread::{Apart, Basis, Property, Spread, WRITTEN, spread};
pub use zone::{Zone, ZoneBasis, ZoneRain, ZoneWeather, degree_days, zone_from};
