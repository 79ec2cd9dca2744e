//! Floor 7: the command line. The only code that touches files, the terminal and the environment.
//!
//! Invariant: results go to standard output, all else to standard error; 0 is clean, 1 is found, 2 is could not.

mod args;
mod completions;
mod materials;
mod meter;
mod order;
mod places;
mod profile;
mod review;
mod rewrite;
mod setting;
mod shelf;
mod spread;
mod streams;
mod swap;
mod texts;
mod tidy;
mod trace;
mod weather;
mod why;

use args::{Args, Command};
use clap::{CommandFactory, FromArgMatches};
use setting::Environment;
use std::io::{self, Write};
use std::process::ExitCode;
use streams::Streams;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Exit {
    /// Nothing found that counts.
    Clean = 0,
    /// Something found that counts.
    Found = 1,
    /// Could not do what was asked, or not all of it.
    Failed = 2,
}

/// Runs the program with what the process was given.
pub fn main() -> ExitCode {
    let environment = Environment::of_process();
    let mut command = Args::command().max_term_width(80);
    if let Some(width) = environment.columns {
        command = command.term_width(width.clamp(40, 80));
    }
    let parsed = command.try_get_matches().and_then(|matches| Args::from_arg_matches(&matches));
    let code = match parsed {
        Ok(args) => run(args, &environment),
        Err(error) => usage(&error),
    };
    ExitCode::from(code as u8)
}

fn run(args: Args, environment: &Environment) -> Exit {
    let looks = setting::looks(&args.shared, environment);
    let mut streams = Streams::new(looks);
    let done = match args.command {
        Command::Review(options) => review::run(&options, &mut streams),
        Command::Why(options) => why::run(&options, &mut streams),
        Command::Profile(options) => profile::run(&options, &mut streams),
        Command::Order(options) => order::run(&options, &mut streams),
        Command::Swap(options) => swap::run(&options, &mut streams),
        Command::Trace(options) => trace::run(&options, &mut streams),
        Command::Materials(options) => materials::run(&options.words, &mut streams),
        Command::Places(options) => places::run(&options.words, &mut streams),
        Command::Shelf(options) => shelf::run(&options, &mut streams),
        Command::Tidy(options) => tidy::run(&options, &mut streams),
        Command::Completions(options) => completions::run(options.shell, &mut streams),
    };
    match done.and_then(|exit| streams.finish().map(|()| exit)) {
        Ok(exit) => exit,
        Err(error) => {
            // Nothing more can be done where the complaint cannot be written either.
            let _ = writeln!(io::stderr(), "dewlap: could not write: {error}");
            Exit::Failed
        }
    }
}

/// Help and version go to standard output and are no failure; a mistake in the command goes to standard error.
fn usage(error: &clap::Error) -> Exit {
    let text = error.render().to_string();
    // A closed pipe is no failure of the help text.
    if error.use_stderr() {
        let _ = io::stderr().write_all(text.as_bytes());
        return Exit::Failed;
    }
    let _ = io::stdout().write_all(text.as_bytes());
    Exit::Clean
}
