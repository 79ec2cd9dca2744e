//! A material with its figures that stands alone, in a file of another form.
//!
//! Not here: what the material is. Invariant: read by the same readers as a layer line, with the same messages.

use super::amount::{self, amount};
use super::ast::Build;
use super::layer::{self, FIGURES, stray};
use super::problem::unreadable;
use super::reader::{Origin, Reader};
use super::token::Kind;
use super::words::{self, LAYER_WORDS};
use crate::base::finding::Finding;
use crate::base::span::{FileId, Span};

/// Reads `slice`, a part of `source`, as one material with its figures, as a layer line says it: `plywood 5/8 in`, `larch
/// 7/8 in, 12 perm`.
///
/// # Errors
/// Where it is no such thing, or says more.
pub fn build(file: FileId, source: &str, slice: &str) -> Result<Build, Box<Finding>> {
    whole(Reader::new(Origin::new(file, source), slice))
}

/// The same of words that are not written as they are read; all of it lies at `span`.
///
/// # Errors
/// As [`build`].
pub fn build_at(span: Span, words: &str) -> Result<Build, Box<Finding>> {
    whole(Reader::new(Origin::at(span), words))
}

fn whole(mut reader: Reader) -> Result<Build, Box<Finding>> {
    let mut build = layer::build(&mut reader)?;
    if let Some(spacing) = &build.spacing {
        let help = "write the member alone, like `2x6`; the slot has its spacing";
        return Err(unreadable(spacing.span(), "a material of its own has no spacing", help));
    }
    while reader.take_kind(Kind::Comma) {
        if !amount::begins(&reader) {
            return Err(more(&reader));
        }
        while amount::begins(&reader) {
            build.amounts.push(amount(&mut reader, FIGURES)?);
        }
    }
    if reader.kind() == Kind::End { Ok(build) } else { Err(more(&reader)) }
}

/// What follows a material and does not belong to it.
fn more(reader: &Reader) -> Box<Finding> {
    const ALONE: &str = "write one material with its figures, like `plywood 5/8 in`";
    let Some(word) = reader.word() else {
        return unreadable(reader.here(), "this is more than one material", ALONE);
    };
    if word.eq_ignore_ascii_case("or") {
        return unreadable(reader.here(), "this is more than one material", ALONE);
    }
    if words::find(LAYER_WORDS, word).is_some() {
        return unreadable(reader.here(), "words of a layer do not belong here", ALONE);
    }
    stray(reader)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::syntax::ast::MaterialRef;

    fn read(text: &str) -> Result<Build, String> {
        build(FileId(0), text, text).map_err(|f| f.message)
    }

    #[test]
    fn a_material_alone() {
        let plywood = read("plywood 5/8 in, 1 perm").unwrap();
        assert!(matches!(&plywood.material, MaterialRef::Named(n) if n.text == "plywood"));
        assert_eq!(plywood.amounts.len(), 2);
        assert!(matches!(read("larch 2x6").unwrap().material, MaterialRef::Section { .. }));
        let at = Span::new(FileId(3), 7, 9);
        assert_eq!(build_at(at, "plywood 5/8 in").unwrap().amounts[0].span(), at);
        for more in ["plywood, taped", "osb or plywood", "osb + plywood", "2x4 at 16 in", "taped", "plywood 5/8", ""] {
            assert!(read(more).is_err(), "{more}");
        }
    }
}
