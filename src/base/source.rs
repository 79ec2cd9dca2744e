//! The texts of one review, and the way from a byte to a line and column.
//!
//! Invariant: columns count characters, from 1; a byte order mark at the start counts as nothing.

use super::span::{FileId, Span};

/// One text with its name and a table of line starts.
#[derive(Clone, Debug)]
pub struct Source {
    name: String,
    text: String,
    lines: Vec<u32>,
}

/// A place for people: line and column from 1, the column in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LineColumn {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

impl Source {
    /// Takes a text in; `name` is what findings print before the line.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let mut lines = vec![0];
        lines.extend(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i as u32 + 1));
        Self { name: name.into(), text, lines }
    }

    /// The name findings print.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text, a byte order mark included.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The text of a range; empty when the range is outside the text or splits a character.
    pub fn slice(&self, range: std::ops::Range<usize>) -> &str {
        self.text.get(range).unwrap_or("")
    }

    /// How many lines the text has (at least 1).
    pub fn line_count(&self) -> usize {
        self.lines.len()
    }

    /// Index (from 0) of the line that holds a byte.
    pub fn line_of(&self, offset: usize) -> usize {
        self.lines.partition_point(|start| *start as usize <= offset).saturating_sub(1)
    }

    /// Byte range of a line (from 0) without its line break.
    pub fn line_range(&self, line: usize) -> std::ops::Range<usize> {
        let end_of_text = self.text.len();
        let start = self.lines.get(line).map_or(end_of_text, |s| *s as usize);
        let next = self.lines.get(line + 1).map_or(end_of_text, |s| *s as usize);
        let body = self.slice(start..next);
        start..start + body.trim_end_matches(['\n', '\r']).len()
    }

    /// Line and column of a byte.
    pub fn line_column(&self, offset: usize) -> LineColumn {
        let line = self.line_of(offset);
        let range = self.line_range(line);
        let upto = self.slice(range.start..offset.clamp(range.start, range.end));
        let bom = usize::from(line == 0 && upto.starts_with('\u{feff}'));
        LineColumn { line: line + 1, column: upto.chars().count() - bom + 1 }
    }
}

/// All texts of one review.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<Source>,
}

impl Sources {
    /// Adds a text and gives its id.
    pub fn add(&mut self, source: Source) -> FileId {
        self.files.push(source);
        FileId(self.files.len() as u32 - 1)
    }

    /// The text of an id; none for an id of another review.
    pub fn get(&self, file: FileId) -> Option<&Source> {
        self.files.get(file.0 as usize)
    }

    /// All texts in the order they were read.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &Source)> {
        self.files.iter().enumerate().map(|(i, s)| (FileId(i as u32), s))
    }

    /// The written text of a span.
    pub fn text(&self, span: Span) -> &str {
        self.get(span.file).map_or("", |s| s.slice(span.range()))
    }

    /// Name, line and column of a span's start.
    pub fn place(&self, span: Span) -> (&str, LineColumn) {
        self.get(span.file)
            .map_or(("", LineColumn { line: 1, column: 1 }), |s| (s.name(), s.line_column(span.start as usize)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_skip_the_mark() {
        let s = Source::new("a", "\u{feff}5″ °C x\r\nend");
        let x = s.text().find('x').unwrap();
        assert_eq!(s.line_column(x), LineColumn { line: 1, column: 7 });
        assert_eq!(s.slice(s.line_range(0)), "\u{feff}5″ °C x");
        assert_eq!(s.line_column(s.text().len()), LineColumn { line: 2, column: 4 });
        assert_eq!(s.line_column(9999), LineColumn { line: 2, column: 4 });
    }
}
