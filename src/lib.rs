//! dewlap checks a building-envelope detail before it is built.
//!
//! Modules are floors: each imports only from floors below it (a test holds this). See `DEVELOPERS.md`.

pub mod base;
pub mod catalog;
pub mod cli;
pub mod graph;
pub mod model;
pub mod output;
pub mod physics;
pub mod review;
pub mod rules;
pub mod shelf;
pub mod syntax;
pub mod weather;
