//! Floor 1: text to tree. The grammar of the notation, what was expected, and the formatter.
//!
//! Invariant: reading is total. Whatever the text, the answer is a tree with holes and a list of problems; knows no
//! material, place or room by name, and judges nothing.

mod alone;
mod amount;
pub mod ast;
mod ast_joint;
mod ast_reuse;
mod blanks;
mod body;
mod columns;
pub mod head;
mod item;
mod joint;
mod joint_near;
pub mod joint_words;
mod layer;
pub mod limits;
mod lines;
mod meaning;
mod months;
pub mod names;
mod number;
mod oneline;
mod phrase;
mod piece;
mod piece_near;
mod place;
mod problem;
mod reader;
mod reuse;
mod section;
mod sentence;
mod sentence_near;
mod spell;
mod stanza;
mod statement;
mod tidy;
mod token;
pub mod words;

pub use alone::{build, build_at};
pub use lines::is_hidden;
pub use problem::{INCOMPLETE, LIMIT, UNREADABLE};
pub use tidy::tidy;

use crate::base::finding::Finding;
use crate::base::span::FileId;
use crate::base::unit::Dimension;

/// A text, read: what it says, and what could not be read.
#[derive(Clone, Debug, Default)]
pub struct Parsed {
    /// The stanzas, with holes where something could not be read.
    pub tree: ast::Tree,
    /// One report for each mistake, in the order of the text.
    pub problems: Vec<Finding>,
}

/// Reads a text. Never fails: what cannot be read is a hole in the tree and a problem in the list. The blanks of a detail
/// are filled with their defaults.
pub fn parse(file: FileId, text: &str) -> Parsed {
    parse_with(file, text, &[])
}

/// [`parse`] with something else than the default in some blanks: pairs of a parameter and what it is.
pub fn parse_with(file: FileId, text: &str, with: &[(&str, &str)]) -> Parsed {
    blanks::parse(file, text, with, true)
}

/// What a text says of what is built, its blanks filled: the same for two texts that differ in spaces, comments, notes,
/// units or capitals only, and in where they are judged.
pub fn meaning(text: &str, with: &[(&str, &str)]) -> String {
    meaning::of(&blanks::filled(text, with))
}

/// Why a text is no amount of this dimension (`4 in`, `2 in to 4 in`, `unknown`): message and a way out; none where it is.
pub fn amount_fault(text: &str, dimension: Dimension) -> Option<(String, String)> {
    let mut reader = reader::Reader::new(reader::Origin::nowhere(), text);
    let read = amount::amount(&mut reader, &[dimension]).and_then(|_| reader.finish("the end of the figure"));
    read.err().map(|problem| (problem.message, problem.help))
}

/// Reads `slice`, a part of `source`, as one figure with a unit in one of the dimensions that fit.
///
/// # Errors
/// Where it is none, or more than one.
pub fn figure(file: FileId, source: &str, slice: &str, fits: &[Dimension]) -> Result<ast::Quantity, Box<Finding>> {
    let mut reader = reader::Reader::new(reader::Origin::new(file, source), slice);
    let figure = amount::known(&mut reader, fits)?;
    if reader.kind() == token::Kind::End { Ok(figure) } else { Err(reader.expected("nothing after the figure")) }
}

/// The first character in `slice`, a part of `source`, that cannot be seen, told.
pub fn hidden(file: FileId, source: &str, slice: &str) -> Option<Finding> {
    let (at, c) = slice.char_indices().find(|(_, c)| is_hidden(*c))?;
    let found = slice.get(at..at + c.len_utf8())?;
    Some(*stanza::told(reader::Origin::new(file, source), lines::Trouble::Hidden(found)))
}
