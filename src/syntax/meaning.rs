//! What a detail means, as words in one order: the same for two texts that differ in spaces, comments, notes, units or
//! capitals only.
//!
//! Left out: the job, its rooms and climate, acceptances, and which places a detail was tried at: they are where it is
//! judged, not what it is. Stanzas are put in order; lines within a stanza keep theirs, for a section has one.
//! Not here: making a fingerprint of it. Invariant: a change of a material, figure, word or sentence changes the answer.

use super::amount;
use super::lines;
use super::reader::{Origin, Reader};
use super::token::Kind;
use super::words::{self, Home, Opens, STANZAS};
use crate::base::span::FileId;
use crate::base::unit::Dimension;

/// The meaning of a text whose blanks are filled.
pub(super) fn of(text: &str) -> String {
    let mut stanzas: Vec<String> = Vec::new();
    let mut counts = false;
    for line in lines::logical(super::head::body(text)) {
        let opens = if line.indented { None } else { words::find(STANZAS, lines::first_word(line.text)) };
        if let Some(opens) = opens {
            counts = is_drawn(opens);
            if counts {
                stanzas.push(String::new());
            }
        }
        if let Some(stanza) = stanzas.last_mut().filter(|_| counts) {
            words_of(line.text, stanza);
            stanza.push('\n');
        }
    }
    stanzas.sort();
    stanzas.concat()
}

/// Whether a stanza draws something that is built.
fn is_drawn(opens: Opens) -> bool {
    match opens {
        Opens::Material | Opens::Surface(_) | Opens::Joint(_) => true,
        Opens::Block(Home::Job | Home::Room | Home::Climate | Home::Surface)
        | Opens::Include
        | Opens::Accept
        | Opens::Detail
        | Opens::Use => false,
    }
}

/// The words of a line; figures with units as SI to six digits, so that `1/2 in` and `12.7 mm` are one.
fn words_of(line: &str, out: &mut String) {
    let mut reader = Reader::new(Origin::new(FileId::default(), line), line);
    while reader.kind() != Kind::End {
        let mut ahead = reader;
        let figure = amount::begins(&reader) && !reader.is("unknown");
        match figure.then(|| amount::known(&mut ahead, Dimension::ALL).ok()).flatten() {
            Some(quantity) => {
                out.push_str(&format!("{:?}={:.5e} ", quantity.dimension, quantity.si));
                reader = ahead;
            }
            None => match reader.kind() {
                Kind::Note | Kind::OpenNote => drop(reader.bump()),
                Kind::Arrow => {
                    reader.bump();
                    out.push_str("-> ");
                }
                _ => {
                    out.push_str(&reader.bump().text.to_lowercase());
                    out.push(' ');
                }
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::of;

    const TEXT: &str = "job creamery\n  place roanoke-va-us\nwall north \"why\"\n  outdoors\n  board: plywood 1/2 in, \
                        taped -> air\n  indoors\njoint foot\n  joins north bottom\n  board laps over board 2 in\n";

    #[test]
    fn looks_change_nothing() {
        let other = "# so\njoint foot\n  joins north bottom\n  board laps over board 51 mm\n\nwall north\n outdoors # here\n  \
                     Board:   plywood 12.7 mm,\n    taped → air \"x\"\n  indoors\njob mill\n  place boston-ma-us\n";
        assert_eq!(of(TEXT), of(&other.replace("51 mm", "50.8 mm")));
        assert_ne!(of(TEXT), of(other));
    }

    #[test]
    fn what_is_built_counts() {
        for (from, to) in [("plywood", "osb"), (", taped", ""), ("-> air", ""), ("2 in", "3 in"), ("1/2", "5/8")] {
            assert_ne!(of(TEXT), of(&TEXT.replace(from, to)), "{from}");
        }
    }
}
