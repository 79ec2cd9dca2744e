//! Floor 3: details with a head: what it says, which form of a detail it speaks of, and how a detail is placed in a job; and
//! what lies in the yard.
//!
//! Not here: reviewing (review), files (cli). Invariant: pure; reading is total, and what can't be read is a problem with
//! its place.

pub mod alone;
pub mod card;
mod conditions;
pub mod deck;
mod evidence;
pub mod form;
mod head;
pub mod kept;
mod keys;
pub mod log;
mod names;
pub mod place;
pub mod record;
mod rename;
mod rows;
pub mod search;
pub mod words;
mod yaml;
pub mod yard;

pub use head::{Reading, begun_late, read};
