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

mod catalog;
mod chain;
mod cli;
mod details;
mod house;
mod mends;
mod output;
mod pages;
mod physics;
mod pitfalls;
mod readme;
mod retarders;
mod sample;
mod schema;
mod sections;
mod syntax;
