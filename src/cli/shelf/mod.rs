//! `shelf`: proven details for the next job.
//!
//! Invariant: only `add` and `log` write, one detail at a time, under its shelf's lock.

pub mod shelves;
