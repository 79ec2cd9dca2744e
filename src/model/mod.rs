//! Floor 2: the job as it is meant: rooms, climate, surfaces, layers; every value with its origin; holes kept in place.
//!
//! Not here: any calculation (physics), any verdict (rules).
//! Invariant: lowering is total. What can't be resolved stays as a hole, so that two layers round it never become neighbours.

pub mod climate;
pub mod detail;
pub mod job;
pub mod joint;
pub mod layer;
pub mod room;
pub mod surface;
pub mod value;

mod lower;

pub use job::{Assumption, Job};
pub use lower::{CONTRADICTION, Lowered, UNKNOWN_NAME, WeatherFiles, lower, lower_with};
