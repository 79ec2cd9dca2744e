//! The commands of the shelf and their flags, with their help.
//!
//! Invariant: as in the other arguments: what a flag does stands in its help.

use crate::model::detail::{Look, Outcome, Status};
use clap::{Args as ClapArgs, Subcommand};
use std::path::PathBuf;

/// `shelf`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Shelves are searched in this order: the folder `details` beside the job or above the current \
        folder, your own, those that DEWLAP_SHELF names, the one that comes with dewlap.\n\nExamples:\n  dewlap shelf find old \
        brick kick-out\n  dewlap shelf show kick-out\n  dewlap shelf carry kick-out --to miami-fl-us\n  dewlap shelf log \
        kick-out --kind \"hose test\" --result passed --by \"the site carpenter\"")]
pub struct ShelfArgs {
    /// What to do.
    #[command(subcommand)]
    pub command: ShelfCommand,
    /// Search these folders and no others (may be given more than once)
    #[arg(long, global = true, value_name = "FOLDER")]
    pub shelf: Vec<PathBuf>,
}

/// The commands of the shelf.
#[derive(Debug, Subcommand)]
pub enum ShelfCommand {
    /// List the details
    List(ListArgs),
    /// Look for details by words, materials, what is joined, zone or status
    Find(FindArgs),
    /// Show a detail: what it holds for, its evidence, its text
    Show(ShowArgs),
    /// Put a detail on a shelf
    Add(AddArgs),
    /// Write down what was seen of a detail where it was built
    Log(LogArgs),
    /// Review every detail again, at every place it names
    Check(CheckArgs),
    /// Review a detail at another place, and say what changes
    Carry(CarryArgs),
}

impl ShelfCommand {
    /// Whether the answer is asked for as JSON.
    pub fn json(&self) -> bool {
        match self {
            Self::List(list) => list.json,
            Self::Find(find) => find.json,
            Self::Show(show) => show.json,
            Self::Check(check) => check.json,
            Self::Add(_) | Self::Log(_) | Self::Carry(_) => false,
        }
    }
}

/// `shelf list`.
#[derive(Debug, ClapArgs)]
pub struct ListArgs {
    /// Only of this status, as the evidence bears it out: drawn, reviewed, built, proven or withdrawn
    #[arg(long, value_name = "STATUS", value_parser = status)]
    pub status: Option<Status>,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}

/// `shelf find`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Words of five letters and more may be misspelled. Details that have all of them come first; \
        those that lack more than half of what counts are left out.\n\nExit code: 0 found, 1 nothing found, 2 could not look \
        at it all.\n\nExamples:\n  dewlap shelf find kick out stucco\n  dewlap shelf find --zone 2A --joins wall,roof\n  \
        dewlap shelf find --material fieldstone --status proven")]
pub struct FindArgs {
    /// Words of its name and title, of what meets, of materials, sources and notes
    pub words: Vec<String>,
    /// Only what holds for this climate zone: 4A, or 4 for any part of it
    #[arg(long, value_name = "ZONE")]
    pub zone: Option<String>,
    /// Only of this status, as the evidence bears it out: drawn, reviewed, built, proven or withdrawn
    #[arg(long, value_name = "STATUS", value_parser = status)]
    pub status: Option<Status>,
    /// Only with this material: a name that `dewlap materials` knows
    #[arg(long, value_name = "MATERIAL")]
    pub material: Option<String>,
    /// Only where one joint joins these, parted by commas: wall, roof, ceiling, floor, slab, deck
    #[arg(long, value_name = "KINDS", value_delimiter = ',')]
    pub joins: Vec<String>,
    /// Show at most N
    #[arg(long, value_name = "N", default_value_t = 12, value_parser = most)]
    pub most: usize,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}

/// `shelf show`.
#[derive(Debug, ClapArgs)]
pub struct ShowArgs {
    /// The detail
    pub detail: String,
    /// Its text alone, as it stands on the shelf
    #[arg(long)]
    pub text: bool,
    /// As JSON
    #[arg(long, conflicts_with = "text")]
    pub json: bool,
}

/// `shelf add`.
#[derive(Debug, ClapArgs)]
#[command(
    after_help = "An earlier revision that stands there is kept in the folder `past`, and what was seen of it is carried \
    over. The same or a lower revision with another text is refused.\n\nExamples:\n  dewlap shelf add porch-rake.dew\n  \
    dewlap shelf add kick-out      copies one that comes with dewlap, to log evidence with it"
)]
pub struct AddArgs {
    /// A file with a head, or the name of a detail of another shelf
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The shelf's folder (the project's `details` where there is one, else your own)
    #[arg(long, value_name = "FOLDER")]
    pub to: Option<PathBuf>,
}

/// `shelf log`.
#[derive(Debug, ClapArgs)]
#[command(
    after_help = "The fingerprint of the detail as it stands is kept with the entry: change the detail, and the \
    entry speaks of an earlier form.\n\nExamples:\n  dewlap shelf log kick-out --kind \"opened up\" --winters 3 --result \
    passed --by \"the owner\"\n  dewlap shelf log kick-out --failure \"seal let go\" --cause \"dust under the primer\""
)]
pub struct LogArgs {
    /// The detail
    pub detail: String,
    /// What was done: built, hose test, pull test, blower door, moisture reading or opened up
    #[arg(long, value_name = "KIND", value_parser = look, required_unless_present = "failure")]
    pub kind: Option<Look>,
    /// How it came out: passed, failed or unclear
    #[arg(long, value_name = "RESULT", value_parser = outcome, required_unless_present = "failure")]
    pub result: Option<Outcome>,
    /// Who looked
    #[arg(long, value_name = "WHO", required_unless_present = "failure")]
    pub by: Option<String>,
    /// When, as 2026-04-02; today where it is left out
    #[arg(long, value_name = "DATE")]
    pub date: Option<String>,
    /// In which season
    #[arg(long, value_name = "SEASON")]
    pub season: Option<String>,
    /// How many winters it had seen
    #[arg(long, value_name = "N")]
    pub winters: Option<u32>,
    /// What was read off
    #[arg(long, value_name = "WORDS")]
    pub reading: Option<String>,
    /// A remark
    #[arg(long, value_name = "WORDS")]
    pub note: Option<String>,
    /// A photo, as a path from the shelf's folder
    #[arg(long, value_name = "FILE")]
    pub photo: Option<String>,
    /// What failed, in place of a look at it
    #[arg(long, value_name = "WORDS", requires = "cause",
        conflicts_with_all = ["kind", "result", "by", "season", "winters", "reading", "note", "photo"])]
    pub failure: Option<String>,
    /// Why it failed
    #[arg(long, value_name = "WORDS", requires = "failure")]
    pub cause: Option<String>,
    /// What mended it
    #[arg(long, value_name = "WORDS", requires = "failure")]
    pub cure: Option<String>,
}

/// `shelf check`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Exit code: 0 all quiet or as declared, 1 something else was found, 2 could not do it all.")]
pub struct CheckArgs {
    /// Only these details
    pub details: Vec<String>,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}

/// `shelf carry`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Exit code: 0 it can be carried there, 1 something is in the way, 2 could not do it all.\n\n\
    Example:\n  dewlap shelf carry wall-cold --to miami-fl-us")]
pub struct CarryArgs {
    /// The detail
    pub detail: String,
    /// Where to: a place of `dewlap places`
    #[arg(long, value_name = "PLACE")]
    pub to: String,
}

fn most(text: &str) -> Result<usize, String> {
    let found = text.parse().ok().filter(|most| *most > 0);
    found.ok_or_else(|| "write a whole number from 1".to_owned())
}

fn status(text: &str) -> Result<Status, String> {
    one_of(text, &Status::ALL, Status::word)
}

fn look(text: &str) -> Result<Look, String> {
    one_of(text, &Look::ALL, Look::words)
}

fn outcome(text: &str) -> Result<Outcome, String> {
    one_of(text, &Outcome::ALL, Outcome::word)
}

/// One of a few words; a hyphen does for a space.
fn one_of<T: Copy>(text: &str, all: &[T], word: fn(T) -> &'static str) -> Result<T, String> {
    let plain = text.trim().to_lowercase().replace('-', " ");
    let found = all.iter().copied().find(|known| word(*known) == plain);
    found.ok_or_else(|| {
        let words: Vec<&str> = all.iter().map(|known| word(*known)).collect();
        format!("it is one of {}", words.join(", "))
    })
}
