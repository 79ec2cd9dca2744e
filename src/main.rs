//! The binary: turns the command's result into an exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    dewlap::cli::main()
}
