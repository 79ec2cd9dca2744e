//! The commands and their flags, with their help.
//!
//! Invariant: what a flag does stands in its help; no flag is read anywhere but here and in its command.

use super::shelf::args::ShelfArgs;
use crate::base::finding::Weight;
use crate::review::spread::{FEWEST, MOST};
use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// The whole command line.
#[derive(Debug, Parser)]
#[command(
    name = "dewlap",
    version,
    color = clap::ColorChoice::Never,
    about = "Checks a building-envelope detail before it is built",
    disable_help_subcommand = true,
    after_help = "Examples:\n  dewlap review                the built-in demo\n  dewlap review jobs/          every .dew file \
        below a folder\n  dewlap why dew               what the dew-point checks look for\n  dewlap materials plywood     \
        what is known of a material\n\nLocal code and licensed practice decide. dewlap never uses the network."
)]
pub struct Args {
    /// Which command.
    #[command(subcommand)]
    pub command: Command,
    /// How it may look.
    #[command(flatten)]
    pub shared: Shared,
}

/// Flags that every command takes.
#[derive(Clone, Debug, Default, ClapArgs)]
#[command(next_help_heading = "Looks")]
pub struct Shared {
    /// When to write color
    #[arg(
        long,
        global = true,
        value_name = "WHEN",
        default_value = "auto",
        hide_possible_values = true,
        help = "Write color: auto, always or never"
    )]
    pub color: When,
    /// Columns to fit into
    #[arg(long, global = true, value_name = "N", help = "Fit into N columns (40 to 120)")]
    pub width: Option<usize>,
    /// ASCII only
    #[arg(long, global = true, help = "Draw with ASCII signs only")]
    pub ascii: bool,
    /// Sentences
    #[arg(long, global = true, help = "Write sentences, for screen readers")]
    pub plain: bool,
}

/// When color is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// As the environment and the terminal say.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check details and say what to put right
    Review(ReviewArgs),
    /// Explain a rule: what it looks for, and why
    Why(WhyArgs),
    /// Show temperature, humidity and water, month by month
    Profile(ProfileArgs),
    /// Follow a control layer round the job, and show where it lifts
    Trace(TraceArgs),
    /// Say what goes on first at a joint, and where to stop and look
    Order(OrderArgs),
    /// Say what else would serve in the place of a layer
    Swap(SwapArgs),
    /// Look up materials, with where each figure is from
    Materials(WordsArgs),
    /// Look up places and their weather
    Places(PlacesArgs),
    /// Keep proven details, and find them for the next job
    Shelf(ShelfArgs),
    /// Put files into the usual form
    Tidy(TidyArgs),
    /// Write a completion script for a shell
    Completions(CompletionsArgs),
}

/// `review`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Exit code: 0 nothing found that counts, 1 found, 2 could not do it all.\n\nExamples:\n  \
    dewlap review press-room.dew\n  dewlap review --until stop jobs/\n  dewlap review --lines jobs/ | grep water/\n  \
    dewlap review --as press-room.dew - < unsaved.dew")]
pub struct ReviewArgs {
    /// Files, folders (every .dew file below them) or - for standard input; without any, the built-in demo
    #[arg(value_name = "FILES")]
    pub files: Vec<PathBuf>,
    /// Exit with 1 until nothing of this weight or heavier is left: stop, fix or watch
    #[arg(long, value_name = "WEIGHT", default_value = "fix", hide_possible_values = true)]
    pub until: Until,
    /// One JSON document on standard output
    #[arg(long, conflicts_with = "lines")]
    pub json: bool,
    /// One finding a line, for editors and grep
    #[arg(long)]
    pub lines: bool,
    /// List each value that was assumed
    #[arg(long)]
    pub assumed: bool,
    /// Show all findings, however many (a terminal gets the heaviest 200)
    #[arg(long)]
    pub all: bool,
    /// Read standard input and call it PATH
    #[arg(long = "as", value_name = "PATH")]
    pub named: Option<PathBuf>,
}

/// The weight that counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Until {
    /// Do not build this as drawn.
    Stop,
    /// Put right before it is covered.
    Fix,
    /// Inspect.
    Watch,
}

impl Until {
    /// As a weight.
    pub fn weight(self) -> Weight {
        match self {
            Self::Stop => Weight::Stop,
            Self::Fix => Weight::Fix,
            Self::Watch => Weight::Watch,
        }
    }
}

/// `why`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:\n  dewlap why             all rules\n  dewlap why water       the rules of a family")]
pub struct WhyArgs {
    /// A rule as a finding prints it, or a family; without one, all rules are listed
    pub rule: Option<String>,
}

/// `profile`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:\n  dewlap profile press-room.dew\n  dewlap profile press-room.dew east\n  \
    dewlap profile press-room.dew east --month jan\n  dewlap profile press-room.dew east --spread 10000")]
pub struct ProfileArgs {
    /// A file, or - for standard input; without one, the built-in demo
    pub file: Option<PathBuf>,
    /// Only this surface
    pub surface: Option<String>,
    /// One month (1 to 12, or jan to dec) from outside to inside
    #[arg(long, value_name = "M", value_parser = month)]
    pub month: Option<u8>,
    /// Judge N samples (100 to 100000) with figures varied, and say how often the answer turns
    #[arg(long, value_name = "N", value_parser = samples, conflicts_with = "month")]
    pub spread: Option<usize>,
    /// Begin the samples here; the same seed gives the same answer
    #[arg(long, value_name = "S", default_value_t = 1, requires = "spread")]
    pub seed: u64,
    /// The figures as JSON, in SI units
    #[arg(long)]
    pub json: bool,
}

/// `trace`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Exit code: 0 it lifts nowhere, 1 it lifts somewhere, 2 could not do it all.\n\nExamples:\n  \
    dewlap trace air press-room.dew\n  dewlap trace water hatch press-room.dew\n  dewlap trace        all four, \
    round the built-in demo")]
pub struct TraceArgs {
    /// In any order: water, air, vapor or heat (all four without one), a joint (all without one), a file (the
    /// built-in demo without one)
    #[arg(value_name = "WORDS")]
    pub words: Vec<String>,
}

/// `order`.
#[derive(Debug, ClapArgs)]
#[command(
    after_help = "Exit code: 0 it can be built, 1 it cannot, 2 could not do it all.\n\nExamples:\n  dewlap order \
    barn-tie press-room.dew\n  dewlap order press-room.dew      every joint of it"
)]
pub struct OrderArgs {
    /// A joint (all without one) and a file (the built-in demo without one)
    #[arg(value_name = "WORDS")]
    pub words: Vec<String>,
}

/// `swap`.
#[derive(Debug, ClapArgs)]
#[command(
    after_help = "Exit code: 0 something serves, 1 nothing does, 2 could not do it all.\n\nExamples:\n  dewlap swap \
    press-room.dew east.sheathing\n  dewlap swap press-room.dew east.sheathing --all\n  dewlap swap press-room.dew \
    east.studs --yard loft.yaml"
)]
pub struct SwapArgs {
    /// A file, or - for standard input
    pub job: PathBuf,
    /// Which layer: the surface's name, a dot, the layer's label
    #[arg(value_name = "SURFACE.LAYER")]
    pub slot: String,
    /// Try each material of the catalog too
    #[arg(long)]
    pub all: bool,
    /// What lies in the yard (without it yard.yaml beside the job, or in this folder)
    #[arg(long, value_name = "FILE")]
    pub yard: Option<PathBuf>,
    /// One JSON document on standard output
    #[arg(long)]
    pub json: bool,
}

/// `places`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "A list for some words, everything known for one exact name.\n\nExamples:\n  dewlap places \
    virginia\n  dewlap places press-room.epw")]
pub struct PlacesArgs {
    /// A name, words to look for, or a weather file (.epw, or .csv as TMY3); without any, all are listed
    pub words: Vec<String>,
}

/// `materials`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "A list for some words, everything known for one exact name.\n\nExamples:\n  dewlap materials \
    wool\n  dewlap materials plywood")]
pub struct WordsArgs {
    /// A name, or words to look for; without any, all are listed
    pub words: Vec<String>,
}

/// `tidy`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "A text with problems is left as it is. Exit code: 0 done, 1 (--check) something would\n\
    change, 2 could not do it all.\n\nExamples:\n  dewlap tidy press-room.dew\n  dewlap tidy --check jobs/\n  \
    dewlap tidy - < old.dew > new.dew")]
pub struct TidyArgs {
    /// Files, folders (every .dew file below them), or - to read standard input and write standard output
    #[arg(value_name = "FILES", required = true)]
    pub files: Vec<PathBuf>,
    /// Change nothing; name the files that would change and exit with 1
    #[arg(long)]
    pub check: bool,
}

/// `completions`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example:\n  dewlap completions bash > ~/.local/share/bash-completion/completions/dewlap")]
pub struct CompletionsArgs {
    /// The shell
    pub shell: clap_complete::Shell,
}

/// How many samples.
fn samples(text: &str) -> Result<usize, String> {
    let least_to_most = FEWEST..=MOST;
    let number = text.parse().ok().filter(|n| least_to_most.contains(n));
    number.ok_or_else(|| format!("a number of samples is {FEWEST} to {MOST}"))
}

/// A month as a number or the first three letters of its name.
fn month(text: &str) -> Result<u8, String> {
    let lower = text.to_lowercase();
    (1..=12)
        .find(|m| {
            let name = crate::output::figure::month(*m).to_lowercase();
            lower.parse() == Ok(*m) || (lower.len() >= 3 && lower.starts_with(&name))
        })
        .ok_or_else(|| "a month is 1 to 12, or jan to dec".to_owned())
}
