//! YAML whose places are kept: keys, list items and values as slices of the text, so that several mistakes are told in one
//! run and each where it stands.
//!
//! Mappings and lists are taken apart here, by their rows; what a value says is read by `serde_yaml`, which has first
//! looked over the whole. Anchors, aliases and tags are refused: nothing here needs them.
//! Not here: which keys there are. Invariant: a part lies inside its text; never fails, what can't be read is a problem.

mod check;

use super::rows::{self, Row, bare, first_line};
use crate::base::finding::{Finding, Weight};
use crate::base::span::{FileId, Span};
use crate::syntax::{INCOMPLETE, LIMIT, UNREADABLE, is_hidden};
use std::ops::Range;

/// Most entries of one mapping, or items of one list.
const MOST: usize = 1000;
/// The help where a value is no list.
const AS_LIST: &str = "begin each entry with `- ` on a line of its own";

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
    /// The key, without quotes.
    pub key: Part<'t>,
    /// All that belongs to it; may say nothing.
    pub value: Part<'t>,
}

/// Where one slice begins in the text that holds it.
fn offset(source: &str, slice: &str) -> usize {
    (slice.as_ptr() as usize).saturating_sub(source.as_ptr() as usize).min(source.len())
}

impl<'t> Part<'t> {
    /// The part `text` (a slice of `source`) of a file.
    pub fn new(file: FileId, source: &'t str, text: &'t str) -> Self {
        Self { file, source, text }
    }

    /// What it says, spaces and comments before it and spaces after it left out.
    pub fn text(&self) -> &'t str {
        let mut text = self.text.trim();
        while text.starts_with('#') {
            text = text.get(rows::line_end(text)..).unwrap_or("").trim_start();
        }
        text
    }

    /// Its first line, a comment left out.
    fn first(&self) -> &'t str {
        let text = self.text();
        let line = first_line(text);
        match line.chars().next() {
            Some('"' | '\'') => line.get(..rows::quoted(line)).unwrap_or(line).trim_end(),
            Some('[' | '{') => line.get(..rows::flow(line).length).unwrap_or(line).trim_end(),
            _ => bare(line),
        }
    }

    /// Where it stands: its first line.
    pub fn span(&self) -> Span {
        self.slice(self.first()).at()
    }

    /// Where it stands, to its last line.
    pub fn reach(&self) -> Span {
        self.slice(self.text()).at()
    }

    /// Where the slice lies, as it is.
    fn at(&self) -> Span {
        let start = offset(self.source, self.text);
        Span::new(self.file, start, start + self.text.len())
    }

    fn slice(&self, text: &'t str) -> Self {
        Self { text, ..*self }
    }

    /// The text that spans are placed in, and its file.
    pub fn source(&self) -> (FileId, &'t str) {
        (self.file, self.source)
    }

    /// What stands in its first line, without quotes and comment.
    pub fn inner(&self) -> Self {
        let text = self.first();
        let quoted = ['"', '\''].iter().find_map(|q| text.strip_prefix(*q)?.strip_suffix(*q));
        self.slice(quoted.unwrap_or(text).trim())
    }

    /// What follows these words at its start, case put aside; none where it does not begin with them.
    pub fn after(&self, words: &str) -> Option<Self> {
        let text = self.inner().text;
        let (start, rest) = text.split_at_checked(words.len())?;
        let fits = start.eq_ignore_ascii_case(words) && rest.starts_with(' ') && !rest.trim().is_empty();
        fits.then(|| self.slice(rest.trim()))
    }

    /// A problem here.
    pub fn wrong(&self, message: impl Into<String>, help: impl Into<String>) -> Box<Finding> {
        self.problem(UNREADABLE, message, help)
    }

    /// Something is missing here.
    pub fn missing(&self, message: impl Into<String>, help: impl Into<String>) -> Box<Finding> {
        self.problem(INCOMPLETE, message, help)
    }

    /// More stands here than is read.
    fn limit(&self, message: impl Into<String>) -> Box<Finding> {
        self.problem(LIMIT, message, "keep it short and plain")
    }

    /// A problem of this rule.
    pub fn problem(&self, rule: &'static str, message: impl Into<String>, help: impl Into<String>) -> Box<Finding> {
        Box::new(Finding::new(rule, Weight::Stop, self.span(), message).help(help))
    }

    /// Its rows.
    fn rows(&self) -> Vec<Row<'t>> {
        let before = self.source.get(..offset(self.source, self.text)).unwrap_or("");
        let line = before.rsplit('\n').next().unwrap_or(before);
        rows::rows(self.text, line.chars().count())
    }

    /// The column of its first row.
    pub fn column(&self) -> usize {
        self.rows().first().map_or(0, |row| row.column)
    }

    /// Where the last item of a list ends in the source, and the next may begin; none where it has no items.
    pub fn next_item(&self) -> Option<usize> {
        let items = if rows::is_dash(self.text()) { self.blocks(true, &mut Vec::new()) } else { Vec::new() };
        items.last().map(|(_, all)| self.slice(all).end())
    }

    /// Where it ends in the source.
    pub fn end(&self) -> usize {
        offset(self.source, self.text) + self.text.len()
    }

    /// What is written where nothing is said (`[]`, `~`), with the spaces before it; an empty range at its start if nothing is.
    pub fn stand_in(&self) -> Range<usize> {
        let said = self.text();
        let length = if said.starts_with('[') { rows::flow(said).length } else { self.first().len() };
        let start = offset(self.source, if length == 0 { self.text } else { said });
        let before = self.source.get(..start).unwrap_or("");
        let blanks = if length == 0 { 0 } else { before.len() - before.trim_end_matches([' ', '\t']).len() };
        start - blanks..start + length
    }

    /// Whether nothing is said, comments aside.
    pub fn is_empty(&self) -> bool {
        matches!(self.first(), "" | "~" | "null")
    }

    /// The problem of an anchor, an alias or a tag.
    fn marked(&self) -> Option<Box<Finding>> {
        let help = "write it out; a text that begins so goes in quotes";
        self.text().starts_with(['&', '*', '!']).then(|| self.wrong("anchors, aliases and tags are not read", help))
    }

    /// The entries of a mapping, each key once.
    pub fn entries(&self, problems: &mut Vec<Finding>) -> Vec<Entry<'t>> {
        let text = self.text();
        let help = "write `key: value`, one a line";
        let refused = match text.chars().next() {
            Some('{' | '[') => Some(self.wrong("brackets were not expected here", help)),
            _ if rows::is_dash(text) => Some(self.wrong("a list was not expected here", help)),
            _ => self.marked(),
        };
        if let Some(problem) = refused {
            problems.push(*problem);
            return Vec::new();
        }
        let mut out: Vec<Entry<'t>> = Vec::new();
        for (first, all) in self.blocks(false, problems) {
            let Some(colon) = first.colon else {
                problems
                    .push(*self.slice(first.text).wrong("this is no `key: value`", "a colon and a space part the two"));
                continue;
            };
            let (Some(key), Some(value)) = (all.get(..colon), all.get(colon + 1..)) else { continue };
            let entry = Entry { key: self.slice(key).inner(), value: self.slice(value) };
            match out.iter().find(|e| e.key.text == entry.key.text) {
                Some(first) => {
                    let message = format!("`{}` is said twice", short(entry.key.text));
                    let told = entry.key.wrong(message, "keep one of the two");
                    problems.push(told.also(first.key.span(), "and here"));
                }
                None => out.push(entry),
            }
        }
        out
    }

    /// The items of a list: one a line with `- `, or in brackets. A single word is a list of one.
    pub fn items(&self, problems: &mut Vec<Finding>) -> Vec<Self> {
        let text = self.text();
        if text.starts_with('[') {
            let flow = rows::flow(text);
            if flow.nested {
                problems.push(*self.wrong("brackets within brackets", "write plain words between the brackets"));
                return Vec::new();
            }
            let items = flow.items.into_iter().map(|item| self.slice(item));
            return items.filter(|item| !item.text().is_empty()).collect();
        }
        if !rows::is_dash(text) {
            return if self.is_empty() { Vec::new() } else { vec![*self] };
        }
        self.blocks(true, problems).into_iter().map(|(_, all)| self.slice(all.get(1..).unwrap_or(""))).collect()
    }

    /// The items of a list of mappings: each begins with `- `.
    pub fn records(&self, problems: &mut Vec<Finding>) -> Vec<Self> {
        let text = self.text();
        if let Some(marked) = self.marked() {
            problems.push(*marked);
        } else if rows::is_dash(text)
            || text.starts_with('[') && rows::flow(text).items.iter().all(|i| i.trim().is_empty())
        {
            let (empty, said): (Vec<Self>, Vec<Self>) = self.items(problems).into_iter().partition(Self::is_empty);
            problems.extend(
                empty.iter().map(|item| *item.missing("an entry that says nothing", "write it, or take the dash out")),
            );
            return said;
        } else if !self.is_empty() {
            problems.push(*self.wrong("a list was expected here", AS_LIST));
        }
        Vec::new()
    }

    /// What begins at the column of the first row, each with the rows that belong to it.
    fn blocks(&self, dashes: bool, problems: &mut Vec<Finding>) -> Vec<(Row<'t>, &'t str)> {
        let rows = self.rows();
        let Some(column) = rows.first().map(|row| row.column) else { return Vec::new() };
        // The first row of each, and where its last one ends: comments below it are not its own.
        let mut firsts: Vec<(Row<'t>, usize)> = Vec::new();
        for row in rows {
            let end = offset(self.text, row.text) + row.text.len();
            if row.column == column && (dashes || !row.dash) {
                firsts.push((row, end));
                continue;
            }
            match firsts.last_mut() {
                Some(open) if row.column >= column => open.1 = end,
                _ => {
                    let help = "begin it below the line it belongs with";
                    problems.push(*self.slice(row.text).wrong("this line begins too far left", help));
                }
            }
        }
        if firsts.len() > MOST {
            problems.push(*self.limit(format!("more than {MOST} lines of one kind")));
            firsts.truncate(MOST);
        }
        let whole = |(row, end): (Row<'t>, usize)| Some((row, self.text.get(offset(self.text, row.text)..end)?));
        firsts.into_iter().filter_map(whole).collect()
    }

    /// What it says, as words: one line of plain text as written, else as YAML reads it.
    ///
    /// # Errors
    /// Where it says nothing, more than words, or what can't be seen.
    pub fn words(&self) -> Result<String, Box<Finding>> {
        let text = self.text();
        if let Some(marked) = self.marked() {
            return Err(marked);
        }
        let plain = match text.chars().next() {
            _ if self.is_empty() => return Err(self.empty()),
            Some('[' | '{') => return Err(self.wrong("words were expected here", "write it without brackets")),
            Some('"' | '\'' | '|' | '>') => false,
            _ if rows::is_dash(text) || rows::colon(text).is_some() || text.split_whitespace().next() == Some("?") => {
                return Err(self.wrong("words were expected here", "put a text with `: ` in it in quotes"));
            }
            _ => first_line(text).len() == text.len(),
        };
        let said = if plain { bare(text).to_owned() } else { self.read()?.trim().to_owned() };
        match said.chars().find(|c| *c != '\n' && is_hidden(*c)) {
            // What is hidden in the text itself is told with the lines of the head.
            Some(c) if !text.contains(c) => {
                let message = format!("a character that cannot be seen, U+{:04X}", u32::from(c));
                Err(self.wrong(message, "leave it out"))
            }
            _ if said.is_empty() => Err(self.empty()),
            _ => Ok(said),
        }
    }

    fn empty(&self) -> Box<Finding> {
        self.missing("nothing is said here", "write it, or take the key out")
    }

    /// What it says, as `serde_yaml` reads it.
    fn read(&self) -> Result<String, Box<Finding>> {
        let part = self.slice(self.text());
        serde_yaml::from_str(part.text).map_err(|error| part.no_yaml(&error))
    }
}

/// A word of the text, shortened when long.
pub fn short(word: &str) -> String {
    let cut: String = word.chars().take(24).map(|c| if c.is_control() || c == '`' { ' ' } else { c }).collect();
    if word.chars().count() > 24 { cut + "…" } else { cut }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(text: &str) -> Part<'_> {
        Part::new(FileId(0), text, text)
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
        let evidence = top[2].value.records(&mut problems);
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
        let text = "é: 1\nb: é [x\nc: [é\nd: 2\n";
        let told = Part::whole(FileId(0), text, text).unwrap_err();
        assert!(told.message.starts_with("this is no YAML"), "{told:?}");
        assert_eq!(&text[told.primary.span.range()], ": 2", "{told:?}");
        let deep = format!("a: {}", "[".repeat(5000));
        assert_eq!(Part::whole(FileId(0), &deep, &deep).unwrap_err().rule, LIMIT);
        let alias = "a: &x 1\nb: *x\n";
        let all = Part::whole(FileId(0), alias, alias).unwrap().entries(&mut Vec::new());
        assert!(all[0].value.words().is_err() && all[1].value.words().is_err());
        let large = "a: b\n".repeat(20_000);
        assert_eq!(Part::whole(FileId(0), &large, &large).unwrap_err().rule, LIMIT);
        let tab = "a:\n\tb: c\n";
        assert_eq!(Part::whole(FileId(0), tab, tab).unwrap_err().message, "a tab at the start of a line");
    }

    #[test]
    fn words_are_read_as_written() {
        let said = |text: &str| part(text).words();
        assert_eq!(said(" 2026-04-02 # spring").unwrap(), "2026-04-02");
        assert_eq!(said("\"a: b # c\" # d").unwrap(), "a: b # c");
        assert_eq!(said("a long\r\n  text # and\r\n").unwrap(), "a long text");
        assert_eq!(said("|\n  a # b\n  c\n").unwrap(), "a # b\nc");
        assert_eq!(said("it's # so").unwrap(), "it's");
        assert!(said("").is_err() && said("[a]").is_err() && said("a: b").is_err() && said("\"\\e[2J\"").is_err());
    }

    #[test]
    fn what_stands_in_quotes_has_its_own_place() {
        let text = "'key': \"up to 40 %\" # x";
        let all = part(text).entries(&mut Vec::new());
        assert_eq!((all[0].key.text, all[0].value.inner().text), ("key", "up to 40 %"));
        assert_eq!(&text[all[0].value.after("Up to").unwrap().span().range()], "40 %");
        assert!(all[0].value.after("down to").is_none());
    }
}
