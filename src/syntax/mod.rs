//! Floor 1: text to tree. The grammar of the notation, what was expected, and the formatter.
//!
//! Invariant: reading is total. Whatever the text, the answer is a tree with holes and a list of problems; knows no
//! material, place or room by name, and judges nothing.

mod alone;
mod amount;
pub mod ast;
mod ast_joint;
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
mod months;
mod number;
mod oneline;
mod phrase;
mod piece;
mod piece_near;
mod place;
mod problem;
mod reader;
mod section;
mod sentence;
mod sentence_near;
mod spell;
mod stanza;
mod statement;
mod tidy;
mod token;
pub mod words;

pub use alone::{build, figure};
pub use problem::{INCOMPLETE, LIMIT, UNREADABLE};
pub use reader::Origin;
pub use tidy::tidy;

use crate::base::finding::Finding;
use crate::base::span::FileId;

/// A text, read: what it says, and what could not be read.
#[derive(Clone, Debug, Default)]
pub struct Parsed {
    /// The stanzas, with holes where something could not be read.
    pub tree: ast::Tree,
    /// One report for each mistake, in the order of the text.
    pub problems: Vec<Finding>,
}

/// Reads a text. Never fails: what cannot be read is a hole in the tree and a problem in the list.
pub fn parse(file: FileId, text: &str) -> Parsed {
    stanza::parse(file, text, Origin::new(file, text))
}
