//! Floor 6: shows a report. Terminal, plain sentences, one-line form, JSON, profile tables, rule pages.
//!
//! Invariant: reads the report and decides nothing; writes to whatever writer it is given; knows no file, no
//! environment and no terminal. miette is known to `snippet` only.

pub mod answers;
pub mod carry;
pub mod checked;
mod clean;
pub mod figure;
pub mod json;
pub mod json_detail;
pub mod json_shelf;
pub mod json_spread;
mod json_surface;
pub mod json_swap;
pub mod lines;
pub mod look;
pub mod markdown;
pub mod numbers;
pub mod order;
pub mod plain;
pub mod profile;
mod profile_plain;
pub mod shelf;
pub mod shelf_show;
mod snippet;
pub mod spread;
pub mod summary;
pub mod swap;
pub mod tail;
pub mod tally;
pub mod terminal;
pub mod trace;
pub mod verdict;
mod window;
pub mod wrap;
