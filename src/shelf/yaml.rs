//! YAML whose places are kept: keys, list items and values as slices of the text, so that several mistakes are told in one
//! run and each where it stands.
//!
//! Block mappings and lists are taken apart here, by their indentation; what a value says is read by `serde_yaml`, which
//! has first looked over the whole. Anchors, aliases and tags are refused: nothing here needs them.
//! Not here: which keys there are. Invariant: a part lies inside its text; never fails, what can't be read is a problem.

use crate::base::finding::{Finding, Weight};
use crate::base::near;
use crate::base::span::{FileId, Span};
use crate::syntax::{INCOMPLETE, LIMIT, UNREADABLE};
use serde::de::{DeserializeOwned, IgnoredAny};

/// Largest YAML text that is read, bytes.
pub const LARGEST: usize = 64 << 10;
/// Most entries of one mapping, or items of one list.
const MOST: usize = 1000;

/// A part of a YAML text.
#[derive(Clone, Copy, Debug)]
pub struct Part<'t> {
    file: FileId,
    source: &'t str,
    text: &'t str,
}

/// A key with its value.
#[derive(Clone, Copy, Debug)]
pub struct Entry<'t> {
    /// The key.
    pub key: Part<'t>,
    /// All that belongs to it; may say nothing.
    pub value: Part<'t>,
}

/// Where one slice begins in the text that holds it.
fn offset(source: &str, slice: &str) -> usize {
    (slice.as_ptr() as usize).saturating_sub(source.as_ptr() as usize).min(source.len())
}

impl<'t> Part<'t> {
    /// The part `text` (a slice of `source`) of a file, looked over as a whole.
    ///
    /// # Errors
    /// Where it is too large, or no YAML.
    pub fn whole(file: FileId, source: &'t str, text: &'t str) -> Result<Self, Box<Finding>> {
        let part = Self { file, source, text };
        if text.len() > LARGEST {
            let message = format!("this is larger than {} KiB", LARGEST >> 10);
            let start = part.at(0..text.find('\n').unwrap_or(0));
            return Err(Box::new(Finding::new(LIMIT, Weight::Stop, start, message).help("keep it short")));
        }
        serde_yaml::from_str::<IgnoredAny>(text).map(|_| part).map_err(|error| part.no_yaml(&error))
    }

    /// What it says, spaces and a comment round it left out.
    pub fn text(&self) -> &'t str {
        self.text.trim()
    }

    /// Where it stands: its first line.
    pub fn span(&self) -> Span {
        let text = self.text();
        let first = bare(text.lines().next().unwrap_or(text));
        let start = offset(self.source, text);
        Span::new(self.file, start, start + first.len())
    }

    fn at(&self, range: std::ops::Range<usize>) -> Span {
        let start = offset(self.source, self.text);
        Span::new(self.file, start + range.start, start + range.end)
    }

    fn slice(&self, text: &'t str) -> Self {
        Self { text, ..*self }
    }

    /// A problem here.
    pub fn wrong(&self, message: impl Into<String>, help: impl Into<String>) -> Box<Finding> {
        Box::new(Finding::new(UNREADABLE, Weight::Stop, self.span(), message).help(help))
    }

    /// Something is missing here.
    pub fn missing(&self, message: impl Into<String>, help: impl Into<String>) -> Box<Finding> {
        Box::new(Finding::new(INCOMPLETE, Weight::Stop, self.span(), message).help(help))
    }

    /// The words of `serde_yaml` about this part, at the place it names.
    fn no_yaml(&self, error: &serde_yaml::Error) -> Box<Finding> {
        let span = error.location().map_or_else(|| self.span(), |l| self.place(l.line(), l.column()));
        let told = error.to_string();
        let told = told.split(" at line ").next().unwrap_or(&told);
        let message: String = format!("this is no YAML: {told}").chars().take(80).collect();
        let help = "one `key: value` a line; a text with `: ` or ` #` in it goes in quotes";
        Box::new(Finding::new(UNREADABLE, Weight::Stop, span, message).help(help))
    }

    /// From a line and a column, both from 1, to the end of that line.
    fn place(&self, line: usize, column: usize) -> Span {
        let mut lines = self.text.split_inclusive('\n');
        let before: usize = lines.by_ref().take(line.saturating_sub(1)).map(str::len).sum();
        let here = lines.next().unwrap_or("").trim_end();
        let at = here.char_indices().nth(column.saturating_sub(1)).map_or(here.len(), |(at, _)| at);
        self.at(before + at..before + here.len().max(at))
    }

    /// The column of its first written letter, from 0.
    fn column(&self) -> usize {
        let start = offset(self.source, self.text.trim_start());
        let line = self.source.get(..start).map_or("", |before| before.rsplit('\n').next().unwrap_or(before));
        line.chars().count()
    }

    /// Whether nothing is said, comments aside.
    pub fn is_empty(&self) -> bool {
        self.text.lines().all(|line| bare(line).is_empty())
    }

    /// The entries of a block mapping, each key once.
    pub fn entries(&self, problems: &mut Vec<Finding>) -> Vec<Entry<'t>> {
        let mut out: Vec<Entry<'t>> = Vec::new();
        for rows in self.blocks(false, problems) {
            let first = rows.lines().next().unwrap_or(rows);
            let Some(colon) = colon(first) else {
                let help = "write `key: value`, the colon followed by a space";
                problems.push(*self.slice(first).wrong("this is no `key: value`", help));
                continue;
            };
            let (Some(key), Some(value)) = (rows.get(..colon), rows.get(colon + 1..)) else { continue };
            let entry = Entry { key: self.slice(key), value: self.slice(value) };
            match out.iter().find(|e| e.key.text() == entry.key.text()) {
                Some(first) => {
                    let message = format!("`{}` is said twice", short(entry.key.text()));
                    let told = entry.key.wrong(message, "keep one of the two");
                    problems.push(told.also(first.key.span(), "and here"));
                }
                None => out.push(entry),
            }
        }
        out
    }

    /// The items of a list: one a line with `- `, or in brackets. A single word is a list of one.
    pub fn items(&self, problems: &mut Vec<Finding>) -> Vec<Part<'t>> {
        let text = self.text();
        if text.starts_with('[') {
            return self.flow(text, problems);
        }
        if !text.starts_with("- ") && text != "-" && !text.starts_with("-\n") {
            return if self.is_empty() { Vec::new() } else { vec![*self] };
        }
        let rows = self.blocks(true, problems);
        rows.into_iter().map(|row| self.slice(row.get(1..).unwrap_or(""))).collect()
    }

    /// What begins at the column of the first written line, each with the deeper lines below it.
    fn blocks(&self, dashes: bool, problems: &mut Vec<Finding>) -> Vec<&'t str> {
        let column = self.column();
        let mut starts: Vec<usize> = Vec::new();
        let mut at = 0;
        for (index, line) in self.text.split_inclusive('\n').enumerate() {
            let lead = line.len() - line.trim_start().len();
            let begin = at + lead;
            at += line.len();
            if bare(line).is_empty() {
                continue;
            }
            let own = if index == 0 { self.slice(line).column() } else { lead };
            let opens = own == column && (dashes || !line.trim_start().starts_with("- "));
            if opens {
                starts.push(begin);
            } else if own < column || starts.is_empty() {
                let help = "begin it below the line it belongs with";
                problems.push(*self.slice(line).wrong("this line begins too far left", help));
            }
        }
        if starts.len() > MOST {
            let message = format!("more than {MOST} lines of one kind");
            problems.push(Finding::new(LIMIT, Weight::Stop, self.span(), message).help("keep it short"));
            starts.truncate(MOST);
        }
        let ends = starts.iter().skip(1).copied().chain([self.text.len()]);
        starts.iter().zip(ends).filter_map(|(start, end)| self.text.get(*start..end)).collect()
    }

    /// The items between brackets.
    fn flow(&self, text: &'t str, problems: &mut Vec<Finding>) -> Vec<Part<'t>> {
        let inner = text.strip_prefix('[').unwrap_or(text);
        let mut out = Vec::new();
        let (mut start, mut quote) = (0, None);
        for (at, c) in inner.char_indices() {
            match (quote, c) {
                (None, '[' | '{') => {
                    problems.push(*self.wrong("a list within a list", "write plain words between the brackets"));
                    return Vec::new();
                }
                (None, ',' | ']') => {
                    let item = self.slice(inner.get(start..at).unwrap_or(""));
                    if !item.text().is_empty() {
                        out.push(item);
                    }
                    start = at + 1;
                    if c == ']' {
                        break;
                    }
                }
                (None, '"' | '\'') => quote = Some(c),
                (Some(q), c) if c == q => quote = None,
                _ => {}
            }
        }
        out
    }

    /// What it says, as words: a plain scalar as written, a quoted or folded one as YAML reads it.
    ///
    /// # Errors
    /// Where it says nothing, or more than words.
    pub fn words(&self) -> Result<String, Box<Finding>> {
        let text = self.text();
        let first = text.chars().next();
        match first {
            _ if self.is_empty() => Err(self.missing("nothing is said here", "write it, or take the key out")),
            Some('&' | '*' | '!') => Err(self.wrong("anchors, aliases and tags are not read", "write it out")),
            Some('[' | '{') => Err(self.wrong("words were expected here", "write it without brackets")),
            Some('"' | '\'' | '|' | '>') => self.read(),
            _ if text.starts_with("- ") || colon(text.lines().next().unwrap_or("")).is_some() => {
                Err(self.wrong("words were expected here", "put a text with `: ` in it in quotes"))
            }
            _ => Ok(text.lines().map(bare).filter(|l| !l.is_empty()).collect::<Vec<_>>().join(" ")),
        }
    }

    /// What it says, as `serde_yaml` reads it.
    ///
    /// # Errors
    /// Where it is not of that kind.
    pub fn read<T: DeserializeOwned>(&self) -> Result<T, Box<Finding>> {
        serde_yaml::from_str(self.text()).map_err(|error| self.slice(self.text()).no_yaml(&error))
    }

    /// A key that is not known here.
    pub fn unknown_key(&self, known: &[&str]) -> Box<Finding> {
        let near = near::nearest(self.text(), known.iter().copied());
        let help = if near.is_empty() {
            format!("known here: {}", near::all_of(known))
        } else {
            format!("did you mean {}?", near::one_of(&near))
        };
        self.wrong(format!("there is no key `{}` here", short(self.text())), help)
    }
}

/// A word of the text, shortened when long.
pub fn short(word: &str) -> String {
    let cut: String = word.chars().take(24).map(|c| if c.is_control() || c == '`' { ' ' } else { c }).collect();
    if word.chars().count() > 24 { cut + "…" } else { cut }
}

/// A line without its comment and the spaces round it.
fn bare(line: &str) -> &str {
    let text = line.trim();
    if text.starts_with('#') {
        return "";
    }
    let quoted = text.starts_with(['"', '\'']);
    let cut = if quoted { None } else { text.find(" #") };
    cut.and_then(|at| text.get(..at)).unwrap_or(text).trim_end()
}

/// Where the colon after the key at the start of a line stands.
fn colon(line: &str) -> Option<usize> {
    let line = line.trim_end();
    line.find(": ").or_else(|| line.ends_with(':').then(|| line.len() - 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(text: &str) -> Part<'_> {
        Part { file: FileId(0), source: text, text }
    }

    fn entries(text: &str) -> (Vec<(&str, &str)>, Vec<Finding>) {
        let mut problems = Vec::new();
        let all = part(text).entries(&mut problems);
        (all.iter().map(|e| (e.key.text(), e.value.text())).collect(), problems)
    }

    #[test]
    fn mappings_and_lists_come_apart() {
        let text =
            "title: a\nholds:\n  zones: [4A, \"5, A\"]\n  rain: normal # so\nevidence:\n- date: x\n  kind: y\n- z\n";
        let (all, problems) = entries(text);
        assert!(problems.is_empty(), "{problems:?}");
        assert_eq!(all.len(), 3);
        let mut problems = Vec::new();
        let top = part(text).entries(&mut problems);
        let holds = top[1].value.entries(&mut problems);
        assert_eq!(holds[1].value.words().unwrap(), "normal");
        let zones: Vec<String> = holds[0].value.items(&mut problems).iter().map(|i| i.words().unwrap()).collect();
        assert_eq!(zones, ["4A", "5, A"]);
        let evidence = top[2].value.items(&mut problems);
        assert_eq!(evidence.len(), 2);
        let first = evidence[0].entries(&mut problems);
        assert_eq!((first[1].key.text(), first[1].value.text()), ("kind", "y"));
        assert_eq!(first[1].key.span().range(), text.find("kind").unwrap()..text.find("kind").unwrap() + 4);
        assert!(problems.is_empty(), "{problems:?}");
    }

    #[test]
    fn mistakes_are_told_one_by_one() {
        let (_, problems) = entries("title: a\nstray\ntitle: b\n");
        assert_eq!(problems.len(), 2);
        let text = "a: 1\nb: [x\nc: 2\n";
        let told = Part::whole(FileId(0), text, text).unwrap_err();
        assert!(told.message.starts_with("this is no YAML"), "{told:?}");
        assert!(told.primary.span.start >= 8, "{told:?}");
        let deep = format!("a: {}", "[".repeat(5000));
        assert!(Part::whole(FileId(0), &deep, &deep).is_err());
        let alias = "a: &x 1\nb: *x\n";
        let all = Part::whole(FileId(0), alias, alias).unwrap().entries(&mut Vec::new());
        assert!(all[0].value.words().is_err() && all[1].value.words().is_err());
        let large = "a: b\n".repeat(20_000);
        assert_eq!(Part::whole(FileId(0), &large, &large).unwrap_err().rule, LIMIT);
    }

    #[test]
    fn words_are_read_as_written() {
        let said = |text: &str| part(text).words();
        assert_eq!(said(" 2026-04-02 # spring").unwrap(), "2026-04-02");
        assert_eq!(said("\"a: b\"").unwrap(), "a: b");
        assert_eq!(said("a long\n  text").unwrap(), "a long text");
        assert_eq!(said("|\n  a\n  b\n").unwrap(), "a\nb");
        assert!(said("").is_err() && said("[a]").is_err() && said("a: b").is_err());
    }
}
