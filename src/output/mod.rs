//! Floor 6: shows a report. Terminal, plain sentences, one-line form, JSON, profile tables, rule pages.
//!
//! Invariant: reads the report and decides nothing; writes to whatever writer it is given; knows no file, no
//! environment and no terminal. miette is known to `snippet` only.

pub mod clean;
pub mod figure;
pub mod json;
mod json_surface;
pub mod lines;
pub mod look;
pub mod markdown;
pub mod numbers;
pub mod plain;
pub mod profile;
mod profile_plain;
mod snippet;
pub mod summary;
pub mod tail;
pub mod tally;
pub mod terminal;
pub mod verdict;
mod window;
pub mod wrap;
