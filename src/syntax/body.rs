//! Body lines: told apart by sight as layer, place or statement, and what is said of one that is none.
//!
//! Invariant: the first word decides, with a look at a colon and at whether more words follow.

use super::ast::{Name, Statement};
use super::number;
use super::problem::{Read, did_you_mean, quote, unreadable};
use super::reader::Reader;
use super::statement;
use super::token::Kind;
use super::words::{self, Home, Lead};
use crate::base::finding::Finding;

/// What a line of a surface is.
pub(super) enum Sort<'t> {
    /// `LABEL:`; the label without its colon.
    Layer(&'t str),
    /// A place.
    Place,
    /// `not shown`.
    NotShown,
    /// A statement.
    Statement,
    /// The first word of a statement with a colon.
    WrongStatement(&'static str, Box<Finding>),
    /// None of these.
    Wrong(Box<Finding>),
}

/// Told apart by sight. `above`: the section has not begun.
pub(super) fn sort<'t>(reader: &Reader<'t>, above: bool) -> Sort<'t> {
    let Some(word) = reader.word() else {
        return Sort::Wrong(reader.expected("a layer (`LABEL: MATERIAL`), a place or a statement"));
    };
    if let Some(label) = word.strip_suffix(':') {
        return match statement_with_colon(reader, label).filter(|_| above) {
            Some(word) => Sort::WrongStatement(word, colon_in_statement(reader, label)),
            None => Sort::Layer(label),
        };
    }
    let mut ahead = *reader;
    ahead.bump();
    if words::is_place(word) {
        return Sort::Place;
    }
    if word.eq_ignore_ascii_case("not") && ahead.is("shown") {
        return Sort::NotShown;
    }
    if words::statement(word).is_some() {
        return Sort::Statement;
    }
    if let Some((label, after)) = word.split_once(':')
        && !label.is_empty()
        && !after.is_empty()
        && !number::begins(label)
    {
        return Sort::Wrong(no_space(reader, word));
    }
    match ahead.kind() {
        Kind::End | Kind::Note | Kind::OpenNote => Sort::Place,
        Kind::Comma => {
            ahead.bump();
            if ahead.is("splashed") { Sort::Place } else { Sort::Wrong(no_line(reader, word)) }
        }
        _ => Sort::Wrong(no_line(reader, word)),
    }
}

/// `slope: 5:12`: a statement written like a layer.
fn statement_with_colon(reader: &Reader, label: &str) -> Option<&'static str> {
    let (known, lead, homes) = words::statement(label)?;
    let mut ahead = *reader;
    ahead.bump();
    let figure = ahead.word().is_some_and(|word| number::begins(word) && super::section::pair(word).is_none());
    (homes.contains(&Home::Surface) && (figure || matches!(lead, Lead::Faces | Lead::Clears))).then_some(*known)
}

fn colon_in_statement(reader: &Reader, label: &str) -> Box<Finding> {
    let message = format!("no colon after {}", quote(label));
    unreadable(reader.here(), message, format!("write {} and its value: only layers have a colon", quote(label)))
}

/// `gap:air`: the space after the colon is missing.
pub(super) fn no_space(reader: &Reader, word: &str) -> Box<Finding> {
    let (label, after) = word.split_once(':').unwrap_or((word, ""));
    if words::statement(label).is_some() && number::begins(after) {
        return colon_in_statement(reader, label);
    }
    let help = format!("write `{}: {}`", clip(label), clip(after));
    unreadable(reader.here(), "a space is missing after the colon", help)
}

fn clip(word: &str) -> String {
    quote(word).trim_matches('`').to_owned()
}

/// The label of a layer, taken with its colon.
pub(super) fn label<'t>(reader: &mut Reader<'t>, label: &'t str) -> Read<Name> {
    if label.is_empty() {
        let help = "every layer has a name of its own: `gap: air 1 in`";
        return Err(unreadable(reader.here(), "a label is missing before the colon", help));
    }
    let name = reader.as_name(label)?;
    reader.bump();
    Ok(name)
}

/// A statement of a stanza; on failure its first word if that is known there.
pub(super) fn statement(reader: &mut Reader, home: Home) -> Result<Statement, (Option<&'static str>, Box<Finding>)> {
    let span = reader.origin.span(reader.line());
    let Some(word) = reader.word() else {
        return Err((None, reader.expected("a statement")));
    };
    let Some((known, lead, homes)) = words::statement(word) else {
        return Err((None, no_statement(reader, word, home)));
    };
    if !homes.contains(&home) {
        return Err((None, wrong_home(reader, known, homes, home)));
    }
    reader.bump();
    let read = statement::fact(reader, *lead).and_then(|fact| Ok((fact, reader.finish("the end of the line")?)));
    match read {
        Ok((fact, note)) => Ok(Statement { span, fact, note }),
        Err(problem) => Err((Some(known), problem)),
    }
}

fn wrong_home(reader: &Reader, word: &str, homes: &[Home], home: Home) -> Box<Finding> {
    let message = format!("`{word}` does not belong in a {}", name_of(home));
    let names: Vec<&str> = homes.iter().map(|home| name_of(*home)).collect();
    unreadable(reader.here(), message, format!("it belongs in a {}", names.join(" or a ")))
}

fn name_of(home: Home) -> &'static str {
    match home {
        Home::Job => "`job`",
        Home::Room => "`room`",
        Home::Climate => "`climate`",
        Home::Surface => "surface (`wall`, `roof`, ...)",
    }
}

/// A line of a `job`, `room` or `climate` whose first word is no statement.
fn no_statement(reader: &Reader, word: &str, home: Home) -> Box<Finding> {
    if let Some((label, _)) = word.split_once(':')
        && words::statement(label).is_some()
    {
        return colon_in_statement(reader, label);
    }
    let stanza = name_of(home);
    if word.ends_with(':') {
        let help = "layers stand in a `wall`, `roof`, `ceiling`, `floor`, `slab` or `deck`";
        return unreadable(reader.here(), format!("a layer does not belong in a {stanza}"), help);
    }
    if words::is_place(word) {
        let help = "places end the section of a `wall`, `roof`, `ceiling`, `floor`, `slab` or `deck`";
        return unreadable(reader.here(), format!("{} does not belong in a {stanza}", quote(word)), help);
    }
    let known: Vec<&str> = words::statements_of(home).collect();
    let help = did_you_mean(word, known.iter().copied())
        .unwrap_or_else(|| format!("what a {stanza} says: {}", crate::base::near::one_of(&known)));
    unreadable(reader.here(), format!("{} is not known in a {stanza}", quote(word)), help)
}

/// A line of a surface that begins with an unknown word and goes on.
fn no_line(reader: &Reader, word: &str) -> Box<Finding> {
    let mut ahead = *reader;
    ahead.bump();
    if word.eq_ignore_ascii_case("room")
        && let Some(name) = ahead.word()
    {
        let help = format!("write {} alone", quote(name));
        return unreadable(reader.here(), "a room is a place by its name", help);
    }
    if super::lines::is_sentence(reader.line()) {
        let help = "sentences and `joins` stand in a `joint`, `opening` or `penetration`";
        return unreadable(reader.here(), "a surface has no sentences", help);
    }
    // `air gap: air 1 in`: a label of several words.
    for _ in 0..3 {
        if let Some(last) = ahead.word().and_then(|word| word.strip_suffix(':'))
            && !last.is_empty()
        {
            let span = reader.here().to(ahead.here());
            let help = format!("join its words: `{}-{}:`", clip(word), clip(last));
            return unreadable(span, "a label is one word", help);
        }
        ahead.bump();
    }
    let known = words::statements_of(Home::Surface).chain(words::PLACES.iter().copied());
    let help = words::find(words::RENAMED, word)
        .map(|instead| format!("did you mean `{instead}`?"))
        .or_else(|| did_you_mean(word, known))
        .unwrap_or_else(|| "a layer is written `LABEL: MATERIAL`, with a colon".to_owned());
    unreadable(reader.here(), format!("{} is not understood here", quote(word)), help)
}

/// Whether a line at the left edge looks like one of a stanza's own: a layer, a place, a statement.
pub(super) fn belongs_in_a_stanza(reader: &Reader, near_a_stanza_word: bool, in_surface: bool) -> bool {
    let Some(word) = reader.word() else { return true };
    if word.len() > 1 && word.ends_with(':') {
        return true;
    }
    if words::is_place(word) || words::statement(word).is_some() {
        return true;
    }
    let mut ahead = *reader;
    ahead.bump();
    if word.eq_ignore_ascii_case("not") && ahead.is("shown") {
        return true;
    }
    let alone = matches!(ahead.kind(), Kind::End | Kind::Comma);
    in_surface && alone && !near_a_stanza_word
}
