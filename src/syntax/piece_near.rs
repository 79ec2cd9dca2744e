//! What is said of a piece of a joint that cannot be read: what was expected, the nearest word, where a thing belongs.
//!
//! Invariant: only words that the reader itself takes are ever advised.

use super::ast::Amount;
use super::joint_near::{Problem, dropped, ends, near_row, row, sign, whole_verb};
use super::joint_words::{ATTRIBUTES, SHAPES};
use super::problem::{Read, quote, unreadable};
use super::reader::Reader;
use super::words;
use crate::base::near::one_of;

/// What a piece is made of stands before its shape.
pub(super) fn material_first(reader: &Reader) -> Read<()> {
    let Some(word) = row(reader, SHAPES).or_else(|| row(reader, ATTRIBUTES)) else { return Ok(()) };
    let help = "the material comes first: `NAME: MATERIAL, SHAPE`";
    Err(unreadable(reader.here(), format!("`{word}` stands where a material belongs"), help))
}

/// Nothing but a comma or a note may follow a part of a piece.
pub(super) fn piece_part_ends(reader: &Reader) -> Read<()> {
    if ends(reader.kind()) {
        return Ok(());
    }
    if let Some(problem) = sign(reader) {
        return Err(problem);
    }
    let word = reader.text();
    if word.eq_ignore_ascii_case("or") {
        let help = "draw one material; nobody knows: `unknown`";
        return Err(unreadable(reader.here(), "`or` cannot stand at a joint", help));
    }
    let help = match row(reader, SHAPES) {
        Some(shape) => format!("put a comma before `{shape}`"),
        None if reader.is("at") => "put a comma before `at`".to_owned(),
        None => near_shape(reader, word).unwrap_or_else(|| "a name is one word; shapes stand after commas".to_owned()),
    };
    Err(unreadable(reader.here(), format!("{} is not understood here", quote(word)), help))
}

fn near_shape(reader: &Reader, word: &str) -> Option<String> {
    dropped(word).or_else(|| near_row(reader, SHAPES))
}

/// A word where a shape belongs.
pub(super) fn no_shape(reader: &Reader) -> Problem {
    let Some(word) = reader.word() else {
        return sign(reader).unwrap_or_else(|| reader.expected("a shape: `drip`, `end dams`, `at sill`"));
    };
    if let Some(attribute) = row(reader, ATTRIBUTES) {
        let help = format!("it says how a link is made: put it on a sentence, `... laps over ... 3 in, {attribute}`");
        return unreadable(reader.here(), format!("`{attribute}` does not belong on a piece"), help);
    }
    if let Some(form) = whole_verb(reader) {
        let help = "a sentence stands on a line of its own";
        return unreadable(reader.here(), format!("`{}` does not belong on a piece", form.verb.words()), help);
    }
    let help = near_shape(reader, word).unwrap_or_else(|| {
        let shapes: Vec<&str> = words::list(SHAPES).collect();
        format!("shapes: {}; a remark goes in quotes", one_of(&shapes))
    });
    unreadable(reader.here(), format!("{} is no shape of a piece", quote(word)), help)
}

/// A figure of a measure that the material has already.
pub(super) fn second_figure(reader: &Reader, figure: &Amount) -> Problem {
    let span = figure.span();
    match reader.word() {
        Some(word)
            if ["tall", "long", "deep", "height", "width", "broad"].iter().any(|w| w.eq_ignore_ascii_case(word)) =>
        {
            unreadable(
                reader.here(),
                format!("{} is not understood here", quote(word)),
                "write `6 in high`, `36 in wide`",
            )
        }
        _ => unreadable(span, "a second figure of the same measure", "say what it is: `6 in high`, `36 in wide`"),
    }
}
