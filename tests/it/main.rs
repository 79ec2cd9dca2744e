//! Integration tests: one binary, one module a subject.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp,
    clippy::print_stderr,
    reason = "a test fails by panicking, its helpers too; an exact zero that is missed is a failed test"
)]

mod answers;
mod attached;
mod bad;
mod catalog;
mod chain;
mod cli;
mod corpus;
mod details;
mod exits;
mod fall;
mod figures;
mod good;
mod ground;
mod heads;
mod house;
mod insulation;
mod joints;
mod log;
mod mends;
mod moisture;
mod mutation;
mod net;
mod order;
mod output;
mod pages;
mod physics;
mod pitfalls;
mod published;
mod quiet;
mod rain;
mod readme;
mod retarders;
mod reuse;
mod sample;
mod schema;
mod sections;
mod shelf;
mod shelf_find;
mod shelf_page;
mod shelf_store;
mod spread;
mod swap;
mod syntax;
mod together;
mod trace;
mod vapor_sections;
mod vapor_walls;
mod weather;
