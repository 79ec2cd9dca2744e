//! A cursor over the tokens of one line: look, take, and say where.
//!
//! Invariant: spans come from where a slice lies in the text, never from counting.

use super::ast::{Name, Note};
use super::blanks::{self, Piece};
use super::limits;
use super::problem::{Read, incomplete, quote, unreadable};
use super::token::{Kind, Token, token, trivia};
use crate::base::span::{FileId, Span};

/// The text that slices are placed in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Origin<'t> {
    file: FileId,
    base: usize,
    fixed: Option<Span>,
    filled: &'t [Piece],
}

impl<'t> Origin<'t> {
    /// Slices of `text` get spans in `file`.
    pub fn new(file: FileId, text: &str) -> Self {
        Self { file, base: text.as_ptr() as usize, fixed: None, filled: &[] }
    }

    /// Slices of a text with filled blanks get spans in the text that was written.
    pub fn filled(file: FileId, text: &str, filled: &'t [Piece]) -> Self {
        Self { filled, ..Self::new(file, text) }
    }

    /// Every slice lies at `span`: what was not written there word for word.
    pub fn at(span: Span) -> Self {
        Self { file: span.file, base: 0, fixed: Some(span), filled: &[] }
    }

    /// Every span is the same: trees of two texts can be compared by what they say.
    pub fn nowhere() -> Self {
        Self::at(Span::default())
    }

    /// Where a slice of the text lies.
    pub fn span(self, slice: &str) -> Span {
        if let Some(span) = self.fixed {
            return span;
        }
        let start = (slice.as_ptr() as usize).saturating_sub(self.base);
        let end = start + slice.len();
        if self.filled.is_empty() {
            return Span::new(self.file, start, end);
        }
        Span::new(self.file, blanks::written(self.filled, start, false), blanks::written(self.filled, end, true))
    }
}

/// The tokens of one line; the current one is always read already.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reader<'t> {
    /// The text the line lies in.
    pub origin: Origin<'t>,
    line: &'t str,
    rest: &'t str,
    current: Token<'t>,
    last: &'t str,
}

impl<'t> Reader<'t> {
    /// At the first token of `line`.
    pub fn new(origin: Origin<'t>, line: &'t str) -> Self {
        let end = Token { kind: Kind::End, text: "" };
        let mut reader = Self { origin, line, rest: line, current: end, last: line.get(..0).unwrap_or("") };
        reader.advance();
        reader
    }

    fn advance(&mut self) {
        let rest = trivia(self.rest).map_or(self.rest, |(rest, _)| rest);
        match token(rest) {
            Ok((rest, token)) => {
                self.current = token;
                self.rest = rest;
            }
            Err(_) => {
                self.current = Token { kind: Kind::End, text: rest };
                self.rest = rest;
            }
        }
    }

    /// What the current token is.
    pub fn kind(&self) -> Kind {
        self.current.kind
    }

    /// The letters of the current token.
    pub fn text(&self) -> &'t str {
        self.current.text
    }

    /// The whole line.
    pub fn line(&self) -> &'t str {
        self.line
    }

    /// The letters of the current token if it is a word.
    pub fn word(&self) -> Option<&'t str> {
        (self.current.kind == Kind::Word).then_some(self.current.text)
    }

    /// Takes the current token.
    pub fn bump(&mut self) -> Token<'t> {
        let token = self.current;
        if token.kind != Kind::End {
            self.last = token.text;
            self.advance();
        }
        token
    }

    /// Whether the current token is this word, case put aside.
    pub fn is(&self, word: &str) -> bool {
        self.current.kind == Kind::Word && self.current.text.eq_ignore_ascii_case(word)
    }

    /// Takes the current token if it is this word.
    pub fn take(&mut self, word: &str) -> bool {
        let found = self.is(word);
        if found {
            self.bump();
        }
        found
    }

    /// Takes the current token if it is of this kind.
    pub fn take_kind(&mut self, kind: Kind) -> bool {
        let found = self.current.kind == kind;
        if found {
            self.bump();
        }
        found
    }

    /// The current token's place; at the end of the line that of the last token.
    pub fn here(&self) -> Span {
        if self.current.kind == Kind::End { self.origin.span(self.last) } else { self.origin.span(self.current.text) }
    }

    /// The place of the token taken last.
    pub fn before(&self) -> Span {
        self.origin.span(self.last)
    }

    /// Whether the token taken last is this word.
    pub fn before_is(&self, word: &str) -> bool {
        self.last.eq_ignore_ascii_case(word)
    }

    /// From the start of `first` to the end of the token taken last.
    pub fn since(&self, first: &str) -> Span {
        self.origin.span(first).to(self.origin.span(self.last))
    }

    /// Skips to the next token of one of these kinds, or the end.
    pub fn skip_to(&mut self, kinds: &[Kind]) {
        while self.current.kind != Kind::End && !kinds.contains(&self.current.kind) {
            self.bump();
        }
    }

    /// A problem that the current token is not what was expected.
    pub fn expected(&self, what: &str) -> Box<crate::base::finding::Finding> {
        let help = format!("expected {what}");
        match self.current.kind {
            Kind::End => incomplete(self.here(), format!("something is missing after {}", quote(self.last)), help),
            Kind::OpenNote => self.open_note(),
            _ => unreadable(self.here(), format!("{} is not understood here", quote(self.current.text)), help),
        }
    }

    /// A name: one word.
    pub fn name(&mut self, what: &str) -> Read<Name> {
        let Some(text) = self.word() else { return Err(self.expected(what)) };
        let name = self.as_name(text)?;
        self.bump();
        Ok(name)
    }

    /// A name of the author's own: letters, digits and hyphens, and no word that always means the same. A dot parts names
    /// elsewhere, and a slash a path.
    pub fn plain_name(&mut self, what: &str) -> Read<Name> {
        const RESERVED: [&str; 6] = ["outdoors", "indoors", "ground", "water", "grade", "seam"];
        let name = self.name(what)?;
        let letters = name.text.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'));
        if !letters || RESERVED.iter().any(|word| name.text.eq_ignore_ascii_case(word)) {
            let help = "a name here is letters, digits and hyphens, and no place";
            return Err(unreadable(name.span, format!("{} can't be a name here", quote(&name.text)), help));
        }
        if name.text.len() > limits::NAME {
            let help = format!("a name has {} letters at most; a title goes in quotes", limits::NAME);
            return Err(unreadable(name.span, "this name is too long", help));
        }
        Ok(name)
    }

    /// A slice of the line as a name, if its letters allow.
    pub fn as_name(&self, text: &'t str) -> Read<Name> {
        let fits = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | '/' | '\'' | '#' | '&');
        if text.is_empty() || !text.chars().all(fits) {
            let help = "a name is one word of letters, digits and hyphens";
            return Err(unreadable(self.origin.span(text), format!("{} is not a name", quote(text)), help));
        }
        Ok(self.make_name(text))
    }

    /// A slice of the line as a name, whatever its letters.
    pub fn make_name(&self, text: &str) -> Name {
        Name { text: text.to_owned(), span: self.origin.span(text) }
    }

    /// The note that may end the line, and nothing after it.
    pub fn finish(&mut self, expected: &str) -> Read<Option<Note>> {
        let note = self.note()?;
        match self.current.kind {
            Kind::End => Ok(note),
            _ if note.is_some() => Err(unreadable(
                self.here(),
                format!("{} stands after the note", quote(self.current.text)),
                "a note ends its line; inches inside it are written `24 in`",
            )),
            _ => Err(self.expected(expected)),
        }
    }

    /// A note, if one stands here.
    pub fn note(&mut self) -> Read<Option<Note>> {
        match self.current.kind {
            Kind::Note => {
                let text = self.bump().text;
                let mut inner = text.chars();
                inner.next();
                inner.next_back();
                Ok(Some(self.make_name(inner.as_str())))
            }
            Kind::OpenNote => Err(self.open_note()),
            _ => Ok(None),
        }
    }

    fn open_note(&self) -> Box<crate::base::finding::Finding> {
        unreadable(
            self.here(),
            "this note is not closed",
            "close it with `\"` on the same line; two inches are written `2\"` or `2 in`",
        )
    }
}
