//! Floor 0: what every floor speaks of (texts and places in them, quantities, findings as plain data).
//!
//! Invariant: knows nothing of the notation's grammar, of buildings or of any output.

pub mod curve;
pub mod finding;
pub mod math;
pub mod near;
pub mod quantity;
pub mod random;
pub mod show;
pub mod source;
pub mod span;
pub mod unit;
