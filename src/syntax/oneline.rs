//! Stanzas of one line: `material`, `include`, `accept`.
//!
//! Invariant: an acceptance without a reason is not read.

use super::ast::{Accept, LayerLine, Name};
use super::layer::layer;
use super::problem::{Read, incomplete, unreadable};
use super::reader::Reader;
use super::token::Kind;
use crate::base::finding::Finding;

/// `material NAME: …`
pub(super) fn material(reader: &mut Reader, problems: &mut Vec<Finding>) -> Read<LayerLine> {
    const FORM: &str = "`material NAME: MATERIAL`, a colon and a space after the name";
    let Some(word) = reader.word() else { return Err(reader.expected(FORM)) };
    let label = match word.strip_suffix(':') {
        Some(label) => reader.as_name(label)?,
        None => {
            let mut ahead = *reader;
            ahead.bump();
            if let Some((_, after)) = word.split_once(':')
                && !after.is_empty()
            {
                return Err(super::body::no_space(reader, word));
            }
            return Err(match ahead.kind() {
                Kind::End => incomplete(reader.here(), "this material says nothing", format!("write {FORM}")),
                _ => unreadable(reader.here(), "the colon after the name is missing", format!("write {FORM}")),
            });
        }
    };
    reader.bump();
    Ok(layer(reader, label, true, problems))
}

/// `include PATH`
pub(super) fn include(reader: &mut Reader) -> Read<Name> {
    let path = path(reader, "include FILE", "a file: `include ../common.dew`")?;
    reader.finish("the end of the line; a path with spaces goes in quotes")?;
    Ok(path)
}

/// A path: one word, or anything in quotes.
pub(super) fn path(reader: &mut Reader, form: &str, expected: &str) -> Read<Name> {
    match reader.kind() {
        Kind::Word => {
            let text = reader.bump().text;
            Ok(reader.make_name(text))
        }
        Kind::Note => match reader.note()? {
            Some(path) if !path.text.is_empty() => Ok(path),
            _ => Err(unreadable(reader.before(), "an empty path", format!("write `{form}`"))),
        },
        _ => Err(reader.expected(expected)),
    }
}

/// `accept RULE in X because "…"`
pub(super) fn accept(reader: &mut Reader) -> Read<Accept> {
    const FORM: &str = "`accept RULE in SURFACE because \"…\"`";
    let span = reader.origin.span(reader.line());
    let rule = reader.name(FORM)?;
    if !reader.take("in") {
        return Err(reader.expected(FORM));
    }
    let target = reader.name(FORM)?;
    if !reader.take("because") {
        if reader.kind() == Kind::End || reader.kind() == Kind::Note {
            let help = "say why it may stay: `because \"…\"`";
            return Err(incomplete(reader.here(), "an acceptance needs its reason", help));
        }
        return Err(reader.expected(FORM));
    }
    let Some(because) = reader.finish("a reason in quotes")?.filter(|note| !note.text.trim().is_empty()) else {
        let help = "say why it may stay: `because \"…\"`";
        return Err(incomplete(reader.here(), "an acceptance needs its reason", help));
    };
    Ok(Accept { rule, target, because, span })
}
