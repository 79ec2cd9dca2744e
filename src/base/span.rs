//! Where something stands in a text: a file and a byte range.
//!
//! Invariant: a span is always inside its text and on character boundaries, because only the reader makes spans.

/// A text of one review, as an index into [`super::source::Sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct FileId(pub u32);

/// A half-open range of bytes in one text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// The text.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte; equal to `start` for a point.
    pub end: u32,
}

impl Span {
    /// A range of `file`; an end before the start gives a point.
    pub fn new(file: FileId, start: usize, end: usize) -> Self {
        let clip = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Self { file, start: clip(start), end: clip(end.max(start)) }
    }

    /// The smallest span that holds both; `other` is ignored when it is in another file.
    pub fn to(self, other: Self) -> Self {
        if self.file != other.file {
            return self;
        }
        Self { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The byte range, for slicing the text.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// A value and the place it was written at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spanned<T> {
    /// What was written.
    pub value: T,
    /// Where.
    pub span: Span,
}

impl<T> Spanned<T> {
    /// Ties a value to its place.
    pub fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }

    /// The same place with another value.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Spanned<U> {
        Spanned { value: f(self.value), span: self.span }
    }

    /// Borrows the value, keeps the place.
    pub fn as_ref(&self) -> Spanned<&T> {
        Spanned { value: &self.value, span: self.span }
    }
}
