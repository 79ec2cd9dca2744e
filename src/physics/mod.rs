//! Floor 1: air, heat and vapor in one dimension, as pure functions from typed values to typed values.
//!
//! No names of materials, no text, no judgment of a building: limits belong to the rules above.
//! How sure each source is, is marked in the doc comments: *read* (seen in the document or an excerpt),
//! *digest* (seen in a third party's summary of a printed book), *from memory* (recalled, not seen in print).
//!
//! Invariant: a value outside the stated range is an [`Error`]; nothing is clamped without a flag in the result.

pub mod air;
mod error;
pub mod ground;
pub mod heat;
pub mod leak;
pub mod profile;
pub mod reserve;
pub mod sun;
pub mod surface;
pub mod vapor;
pub mod wood;

pub use error::{Error, OutOfRange};
