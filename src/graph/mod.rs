//! Floor 3: places and passages. What is closed, where it leaks, how many lines stand against rain, where water runs,
//! in what order it is built.
//!
//! Invariant: petgraph is known here alone; answers are plain data that name the model's own things.

pub mod aside;
pub mod defense;
pub mod drain;
pub mod envelope;
pub mod exposure;
pub mod flow;
pub mod gaps;
pub mod gravity;
mod hold_points;
pub mod holds;
pub mod laps;
pub mod net;
pub mod order;
pub mod place;
pub mod plane;
pub mod section;
pub mod stages;
pub mod station;
mod ties;
pub mod trace;
pub mod words;

pub use section::{Leak, leak};
