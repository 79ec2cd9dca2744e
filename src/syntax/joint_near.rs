//! What is said of heads and lines of a joint that cannot be read, and what pieces and sentences share of that.
//!
//! Invariant: only words that the reader itself takes are ever advised.

use std::mem::discriminant;

use super::amount::begins_figure;
use super::ast::{Joint, JointKind, JointLine, Name};
use super::body;
use super::joint_words::{DROPPED, HALVES, VERBS, VerbForm};
use super::problem::{Read, did_you_mean, quote, unreadable};
use super::reader::Reader;
use super::token::Kind;
use super::words;
use crate::base::finding::Finding;
use crate::base::near::one_of;
use crate::base::span::{Span, Spanned};

/// A report.
pub(super) type Problem = Box<Finding>;

/// Takes the words of a row of a table, if they stand here.
pub(super) fn take<T: Copy>(reader: &mut Reader, table: &[(&'static str, T)]) -> Option<T> {
    let first = reader.word()?;
    for (words, value) in table {
        if begins(words, first) {
            let mut parts = words.split(' ').skip(1);
            let mut ahead = *reader;
            ahead.bump();
            if parts.all(|word| ahead.take(word)) {
                *reader = ahead;
                return Some(*value);
            }
        }
    }
    None
}

/// A row of a table whose words stand here.
pub(super) fn row<T: Copy>(reader: &Reader, table: &[(&'static str, T)]) -> Option<&'static str> {
    let first = reader.word()?;
    table.iter().map(|(words, _)| *words).find(|words| {
        let mut ahead = *reader;
        begins(words, first) && words.split(' ').all(|word| ahead.take(word))
    })
}

/// Whether this is the first word of a row.
fn begins(row: &str, word: &str) -> bool {
    let ends = matches!(row.as_bytes().get(word.len()), None | Some(b' '));
    ends && row.get(..word.len()).is_some_and(|first| first.eq_ignore_ascii_case(word))
}

/// What is written instead of a word of an earlier form or another habit.
pub(super) fn dropped(word: &str) -> Option<String> {
    words::find(DROPPED, word).map(|instead| format!("write {instead}"))
}

/// A row of a table that begins with this word but has others after it, or is near to it and the next.
pub(super) fn near_row<T>(reader: &Reader, table: &'static [(&'static str, T)]) -> Option<String> {
    let word = reader.word()?;
    let begun =
        words::list(table).filter(|row| row.split_once(' ').is_some_and(|(first, _)| first.eq_ignore_ascii_case(word)));
    let begun: Vec<&str> = begun.collect();
    if !begun.is_empty() {
        return Some(format!("write {}", one_of(&begun)));
    }
    let mut ahead = *reader;
    ahead.bump();
    let both = ahead.word().and_then(|next| did_you_mean(&format!("{word} {next}"), words::list(table)));
    both.or_else(|| did_you_mean(word, words::list(table)))
}

/// The label of a piece, taken with its colon.
pub(super) fn piece_label(reader: &mut Reader, label: &str) -> Read<Name> {
    if words::find(HALVES, label).is_some() {
        let help = "`upper membrane` and `lower membrane` are the two sides of a layer; name the piece otherwise";
        return Err(unreadable(reader.here(), format!("{} cannot be a name", quote(label)), help));
    }
    if label.is_empty() {
        let help = "every piece has a name of its own: `cap: galvanized-steel`";
        return Err(unreadable(reader.here(), "a name is missing before the colon", help));
    }
    let span = reader.here();
    let name = reader.as_name(label)?;
    reader.bump();
    if let Some(form) = whole_verb(reader) {
        let help = format!("write `{label} {} ...`: only pieces have a colon", form.verb.words());
        return Err(unreadable(span, "a sentence takes no colon", help));
    }
    Ok(name)
}

/// The verb whose words stand here.
pub(super) fn whole_verb(reader: &Reader) -> Option<&'static VerbForm> {
    let first = reader.word()?;
    VERBS.iter().find(|form| {
        let mut ahead = *reader;
        ahead.bump();
        form.begins(first) && form.rest.iter().all(|word| ahead.take(word))
    })
}

/// Whether a part of a line may end here.
pub(super) fn ends(kind: Kind) -> bool {
    matches!(kind, Kind::Comma | Kind::Note | Kind::OpenNote | Kind::End)
}

/// A sign that never stands at a joint.
pub(super) fn sign(reader: &Reader) -> Option<Problem> {
    match reader.kind() {
        Kind::Arrow => {
            let help = "leave it out: what a piece closes follows from its material and its sentences";
            Some(unreadable(reader.here(), "no `->` at a joint", help))
        }
        Kind::Plus => {
            let help = "one material for a piece; another is a piece of its own";
            Some(unreadable(reader.here(), "`+` joins parts of bays or of a panel", help))
        }
        _ => None,
    }
}

/// A shape or an attribute that stands there already.
pub(super) fn twice<T>(known: &[Spanned<T>], new: &T, span: Span) -> Option<Problem> {
    let again = known.iter().any(|known| discriminant(&known.value) == discriminant(new));
    again.then(|| unreadable(span, "this is said twice", "leave one out"))
}

/// A first word that begins neither a piece nor a sentence.
pub(super) fn no_line(reader: &Reader) -> Read<()> {
    let Some(word) = reader.word() else { return Ok(()) };
    if let Some((label, after)) = word.split_once(':')
        && !label.is_empty()
        && !after.is_empty()
    {
        return Err(body::no_space(reader, word));
    }
    let mut ahead = *reader;
    ahead.bump();
    let figure = begins_figure(&ahead);
    if figure && let Some((known, ..)) = words::statement(word) {
        let help = "it stands above the section of a surface, or on a piece";
        return Err(unreadable(reader.here(), format!("`{known}` does not belong here"), help));
    }
    Ok(())
}

/// A joint names its edges on a line of their own.
pub(super) fn no_host(reader: &Reader) -> Read<()> {
    let begins = ["in", "through", "at", "of", "between"].iter().any(|word| reader.is(word));
    if !begins {
        return Ok(());
    }
    let help = "its edges stand on the first line below: `joins house top, flat high`";
    Err(unreadable(reader.here(), "a `joint` is in no surface", help))
}

/// `joins` stands once, in a joint.
pub(super) fn joins_belongs(reader: &Reader, joint: &Joint) -> Read<()> {
    let word = match joint.kind.value {
        JointKind::Joint if joint.lines.iter().any(|line| matches!(line, JointLine::Joins(..))) => {
            let help = "name all edges on one line: `joins wall top, low eave, high rake`";
            return Err(unreadable(reader.before(), "a second `joins`", help));
        }
        JointKind::Joint => return Ok(()),
        JointKind::Opening => "opening",
        JointKind::Penetration => "penetration",
    };
    let help = "leave it out: the first line names the surface";
    Err(unreadable(reader.before(), format!("`joins` does not belong in `{word}`"), help))
}

/// After an edge: a comma or the end.
pub(super) fn end_ends(reader: &Reader) -> Read<()> {
    if ends(reader.kind()) {
        return Ok(());
    }
    if let Some(problem) = sign(reader) {
        return Err(problem);
    }
    Err(unreadable(
        reader.here(),
        format!("{} is not understood here", quote(reader.text())),
        "edges are listed with commas, their names say which is above: `joins house top, flat high`",
    ))
}
