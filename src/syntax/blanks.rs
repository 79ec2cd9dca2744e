//! The blanks of a detail: `<NAME>` stands for what a parameter is, and is filled in before the lines are read.
//!
//! Invariant: a place in the filled text leads back to the place in the written one; the head of a text has no blanks.

use super::ast::{Detail, Parameter};
use super::lines;
use super::problem::{did_you_mean, incomplete, quote, unreadable};
use super::reader::{Origin, Reader};
use super::words::{self, Opens, STANZAS};
use super::{Parsed, head, reuse, stanza};
use crate::base::finding::Finding;
use crate::base::span::FileId;
use std::borrow::Cow;

/// Most blanks that are filled in one text.
const MOST: usize = 10_000;

/// A blank that was filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    /// Where what it was filled with begins and ends.
    filled: (usize, usize),
    /// Where the blank begins and ends in the written text.
    blank: (usize, usize),
}

/// The place in the written text of a place in the filled one; a place within a blank is its beginning, or its end.
pub(super) fn written(pieces: &[Piece], at: usize, end: bool) -> usize {
    let before = pieces.partition_point(|p| p.filled.0 < at || (p.filled.0 == at && !end));
    let Some(piece) = before.checked_sub(1).and_then(|i| pieces.get(i)) else { return at };
    match (at < piece.filled.1 || (end && at == piece.filled.1), end) {
        (true, false) => piece.blank.0,
        (true, true) => piece.blank.1,
        (false, _) => at - piece.filled.1 + piece.blank.1,
    }
}

/// Reads a text with its blanks filled: with what `with` says of a parameter, else with its default. Blanks mean nothing
/// in a text without a `detail` line.
pub(super) fn parse(file: FileId, text: &str, with: &[(&str, &str)], placed: bool) -> Parsed {
    let plain = || if placed { Origin::new(file, text) } else { Origin::nowhere() };
    let Some(detail) = detail(file, text).filter(|d| d.parameters.iter().any(|p| p.sort.is_blank())) else {
        return stanza::parse(file, text, plain());
    };
    let (filled, pieces, mut problems) = fill(file, text, &detail, with);
    let origin = if placed { Origin::filled(file, &filled, &pieces) } else { Origin::nowhere() };
    let mut parsed = stanza::parse(file, &filled, origin);
    problems.append(&mut parsed.problems);
    problems.sort_by_key(|p| p.primary.span.start);
    Parsed { problems, ..parsed }
}

/// The text with its blanks filled.
pub(super) fn filled<'t>(text: &'t str, with: &[(&str, &str)]) -> Cow<'t, str> {
    let file = FileId::default();
    detail(file, text).map_or(Cow::Borrowed(text), |detail| Cow::Owned(fill(file, text, &detail, with).0))
}

/// The first `detail` line of a text that can be read.
fn detail(file: FileId, text: &str) -> Option<Detail> {
    // Most texts have no blank and need not be looked through.
    text.find('<')?;
    let opens = |line: &lines::Logical| {
        !line.indented && matches!(words::find(STANZAS, lines::first_word(line.text)), Some(Opens::Detail))
    };
    let line = lines::logical(head::body(text)).find(opens)?;
    let mut reader = Reader::new(Origin::new(file, text), line.text);
    reader.bump();
    reuse::detail(&mut reader).ok()
}

fn fill(file: FileId, text: &str, detail: &Detail, with: &[(&str, &str)]) -> (String, Vec<Piece>, Vec<Finding>) {
    let origin = Origin::new(file, text);
    let body = head::body(text);
    let mut out = text.get(..text.len() - body.len()).unwrap_or("").to_owned();
    let mut pieces: Vec<Piece> = Vec::new();
    let mut problems = Vec::new();
    let mut used: Vec<&str> = Vec::new();
    let mut rest = body;
    while let Some((at, name)) = next(rest).filter(|_| pieces.len() < MOST) {
        let blank = rest.get(at..at + name.len() + 2).unwrap_or("");
        out.push_str(rest.get(..at).unwrap_or(""));
        rest = rest.get(at + blank.len()..).unwrap_or("");
        let start = text.len() - rest.len() - blank.len();
        let from = out.len();
        match filling(detail, with, name) {
            Some((parameter, value)) => {
                used.push(&parameter.name.text);
                out.push_str(value);
                pieces.push(Piece { filled: (from, out.len()), blank: (start, start + blank.len()) });
            }
            None => {
                let known = detail.parameters.iter().filter(|p| p.sort.is_blank()).map(|p| p.name.text.as_str());
                let help = did_you_mean(name, known).unwrap_or_else(|| "name it in the `detail` line".to_owned());
                let message = format!("{} is no parameter of this detail", quote(name));
                problems.push(*unreadable(origin.span(blank), message, help));
                out.push_str(blank);
            }
        }
    }
    out.push_str(rest);
    for idle in detail.parameters.iter().filter(|p| p.sort.is_blank() && !used.contains(&p.name.text.as_str())) {
        let name = &idle.name.text;
        let help = format!("write `<{name}>` where it stands, or take the parameter out");
        problems.push(*incomplete(idle.name.span, format!("nothing in the detail asks for {}", quote(name)), help));
    }
    (out, pieces, problems)
}

/// What a blank of this name is filled with.
fn filling<'v>(detail: &'v Detail, with: &[(&str, &'v str)], name: &str) -> Option<(&'v Parameter, &'v str)> {
    let parameter = detail.parameters.iter().find(|p| p.sort.is_blank() && p.name.text == name)?;
    let said = with.iter().find(|(of, _)| *of == name).map(|(_, value)| *value);
    Some((parameter, said.or_else(|| parameter.default.as_ref().map(|d| d.text.as_str()))?))
}

/// The next blank: where it begins, and its name. A comment has none.
fn next(text: &str) -> Option<(usize, &str)> {
    let mut from = 0;
    loop {
        let at = from + text.get(from..)?.find('<')?;
        let inside = text.get(at + 1..)?;
        let letters = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
        let end = inside.find(|c| !letters(c)).unwrap_or(inside.len());
        if end > 0 && inside.get(end..)?.starts_with('>') {
            return Some((at, inside.get(..end)?));
        }
        from = at + 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "detail creamery-wall(length depth = 4 in, material board = xps)\nwall north\n  outdoors\n  \
                        outboard: <board> <depth>, taped\n  indoors\n";

    #[test]
    fn blanks_are_filled_and_lead_back() {
        let parsed = parse(FileId(0), TEXT, &[("depth", "100 mm")], true);
        assert!(parsed.problems.is_empty(), "{:?}", parsed.problems);
        let tree = format!("{:?}", parsed.tree);
        assert!(tree.contains("xps") && tree.contains("si: 0.1"), "{tree}");
        let broken = TEXT.replace("taped", "tapd");
        let told = parse(FileId(0), &broken, &[], true).problems;
        let span = told[0].primary.span;
        assert_eq!(&broken[span.range()], "tapd");
        let wrong = parse(FileId(0), TEXT, &[("depth", "4 s")], true).problems;
        assert_eq!(&TEXT[wrong[0].primary.span.range()], "<depth>");
    }

    #[test]
    fn a_blank_without_a_parameter_and_one_without_a_blank_are_told() {
        let text = TEXT.replace("<depth>", "<dept>");
        let told: Vec<String> = parse(FileId(0), &text, &[], true).problems.into_iter().map(|p| p.message).collect();
        assert!(told.iter().any(|m| m == "`dept` is no parameter of this detail"), "{told:?}");
        assert!(told.iter().any(|m| m == "nothing in the detail asks for `depth`"), "{told:?}");
    }
}
