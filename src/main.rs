//! The binary: turns the command's result into an exit code.
fn main() {}
