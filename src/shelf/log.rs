//! Works what was seen of a detail into its head, text to text.
//!
//! Not here: files, the clock, what the evidence bears out. Invariant: all bytes but those put in stay as they are, and what
//! comes out reads back as the old head with the entry; where it would not, nothing is done and the reason is told.

use super::head::{self, Reading};
use super::rows;
use super::yaml::Part;
use crate::base::finding::Finding;
use crate::base::span::FileId;
use crate::model::detail::{Evidence, Failure, Head};
use crate::syntax;
use std::ops::Range;

/// How far items stand in from their key where a list is begun.
const INDENT: usize = 2;

/// Why a head was left as it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// What is wrong.
    pub message: String,
    /// The way out.
    pub help: String,
}

impl Refused {
    fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { message: message.into(), help: help.into() }
    }

    /// The first of what is wrong with what was to be put down.
    fn first(problems: &[Finding]) -> Self {
        let unread = || Self::new("this head can't be added to", "write the entry by hand");
        problems.first().map_or_else(unread, |problem| Self::new(&problem.message, &problem.help))
    }
}

/// The keys of an entry and their words as YAML, in the order in which they are written.
type Lines = Vec<(&'static str, String)>;

/// The text with one more entry of evidence in its head.
///
/// # Errors
/// Where there is no head, it has mistakes, or the entry can't be read.
pub fn with_evidence(text: &str, entry: &Evidence) -> Result<String, Refused> {
    let mut lines: Lines = vec![
        ("date", scalar(&entry.date)),
        ("kind", entry.kind.words().to_owned()),
        ("result", entry.result.word().to_owned()),
        ("by", scalar(&entry.by)),
    ];
    let words = |key, said: &Option<String>| said.as_ref().map(|said| (key, scalar(said)));
    lines.extend(words("form", &entry.form));
    lines.extend(words("season", &entry.season));
    lines.extend(entry.winters.map(|winters| ("winters", winters.to_string())));
    lines.extend(words("reading", &entry.reading));
    lines.extend(words("note", &entry.note));
    lines.extend(words("photo", &entry.photo));
    lines.extend(entry.example.then(|| ("example", true.to_string())));
    added(text, "evidence", &lines, |head| head.evidence.len())
}

/// The text with one more failure in its head.
///
/// # Errors
/// Where there is no head, it has mistakes, or the entry can't be read.
pub fn with_failure(text: &str, entry: &Failure) -> Result<String, Refused> {
    let said = [("date", Some(&entry.date)), ("what", Some(&entry.what)), ("cause", Some(&entry.cause))];
    let more = [("cure", entry.cure.as_ref()), ("form", entry.form.as_ref())];
    let lines: Lines = said.into_iter().chain(more).filter_map(|(key, said)| Some((key, scalar(said?)))).collect();
    added(text, "failures", &lines, |head| head.failures.len())
}

/// The head of a text, which must be whole.
fn sound(text: &str) -> Result<Head, Refused> {
    let cut = syntax::head::cut(text)
        .ok_or_else(|| Refused::new("this text has no head", "begin it with a head between two lines `---`"))?;
    if !cut.closed {
        return Err(Refused::new("the head of this text is not closed", "put a line `---` below the head"));
    }
    let Reading { head, problems } = reread(text);
    head.filter(|_| problems.is_empty())
        .ok_or_else(|| Refused::new("the head of this text has mistakes", "review it, and mend them first"))
}

fn reread(text: &str) -> Reading {
    head::read(FileId::default(), text).unwrap_or_default()
}

/// The text with an entry at the end of the list of a key; `count` tells how many there are.
fn added(text: &str, key: &str, lines: &[(&str, String)], count: impl Fn(&Head) -> usize) -> Result<String, Refused> {
    let before = count(&sound(text)?);
    let place = place(text, key).ok_or_else(|| Refused::first(&[]))?;
    let end = if text.split('\n').next().is_some_and(|line| line.ends_with('\r')) { "\r\n" } else { "\n" };
    let mut new = String::new();
    if place.begins {
        new += &format!("{}{key}:{end}", " ".repeat(place.column.saturating_sub(INDENT)));
    }
    for (index, (key, said)) in lines.iter().enumerate() {
        let dash = if index == 0 { "- " } else { "  " };
        new += &format!("{}{dash}{key}: {said}{end}", " ".repeat(place.column));
    }
    let kept = spliced(text.get(..place.at).unwrap_or(text), &place.empty, "");
    let out = [&kept, &new, text.get(place.at..).unwrap_or("")].concat();
    match reread(&out) {
        Reading { head: Some(head), problems } if problems.is_empty() && count(&head) == before + 1 => Ok(out),
        Reading { problems, .. } => Err(Refused::first(&problems)),
    }
}

/// Where an entry goes.
struct Place {
    /// The byte before which it is put.
    at: usize,
    /// The column of its dash.
    column: usize,
    /// Whether the key is to be written first.
    begins: bool,
    /// An empty list that makes room for it, before `at`; an empty range where there is none.
    empty: Range<usize>,
}

fn place(text: &str, key: &str) -> Option<Place> {
    let cut = syntax::head::cut(text)?;
    let top = Part::whole(FileId::default(), text, cut.yaml).ok()?;
    let entries = top.entries(&mut Vec::new());
    let column = top.column() + INDENT;
    let Some(entry) = entries.iter().find(|entry| entry.key.text() == key) else {
        return Some(Place { at: top.end(), column, begins: true, empty: 0..0 });
    };
    if let Some(at) = entry.value.next_item() {
        return Some(Place { at, column: entry.value.column(), begins: false, empty: 0..0 });
    }
    let empty = entry.value.stand_in();
    let at = empty.end + rows::line_end(text.get(empty.end..)?);
    Some(Place { at, column, begins: false, empty })
}

fn spliced(text: &str, range: &Range<usize>, new: &str) -> String {
    let (before, after) = (text.get(..range.start).unwrap_or(""), text.get(range.end..).unwrap_or(""));
    [before, new, after].concat()
}

/// Words as YAML: plain where that reads back as the same words, else in quotes.
fn scalar(said: &str) -> String {
    let said = said.trim().replace("\r\n", "\n");
    let plain = said.starts_with(char::is_alphanumeric)
        && !said.contains(['\n', '\t'])
        && !said.contains(": ")
        && matches!(serde_yaml::from_str(&said), Ok(serde_yaml::Value::String(read)) if read == said);
    if plain {
        return said;
    }
    let mut out = String::from('"');
    for c in said.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out += "\\n",
            '\t' => out += "\\t",
            // No YAML as they are.
            '\u{fffe}' | '\u{ffff}' => out += &format!("\\u{:04X}", u32::from(c)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
