//! Problems of reading, as findings: their rule ids and the turns of phrase they share.
//!
//! Invariant: a message has at most 80 characters; words of the text stand in backticks, shortened when long.

use crate::base::finding::{Finding, Weight};
use crate::base::near;
use crate::base::span::Span;

/// Something is written that the notation does not know here.
pub const UNREADABLE: &str = "notation/unreadable";
/// Something is missing.
pub const INCOMPLETE: &str = "notation/incomplete";
/// The text is larger than what is read.
pub const LIMIT: &str = "notation/limit";

/// The outcome of reading a part of a line.
pub(super) type Read<T> = Result<T, Box<Finding>>;

/// Longest word of the text that is quoted whole.
const QUOTED: usize = 24;
/// Longest word for which near words are looked up.
const NEAR: usize = 40;

/// A problem of the text at `span`.
pub(super) fn unreadable(span: Span, message: impl Into<String>, help: impl Into<String>) -> Box<Finding> {
    Box::new(Finding::new(UNREADABLE, Weight::Stop, span, message).help(help))
}

/// A missing part, told at the text that asks for it.
pub(super) fn incomplete(span: Span, message: impl Into<String>, help: impl Into<String>) -> Box<Finding> {
    Box::new(Finding::new(INCOMPLETE, Weight::Stop, span, message).help(help))
}

/// A bound that was passed.
pub(super) fn limit(span: Span, message: impl Into<String>, help: impl Into<String>) -> Box<Finding> {
    Box::new(Finding::new(LIMIT, Weight::Stop, span, message).help(help))
}

/// A word of the text in backticks, shortened when long.
pub(super) fn quote(word: &str) -> String {
    let mut out = String::with_capacity(word.len().min(QUOTED) + 2);
    out.push('`');
    for (i, c) in word.chars().enumerate() {
        if i == QUOTED {
            out.push('…');
            break;
        }
        out.push(match c {
            '`' => '\'',
            c if c.is_control() => ' ',
            c => c,
        });
    }
    out.push('`');
    out
}

/// The known words near to one that is not known, as a question; none when nothing is near.
pub(super) fn did_you_mean<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    if word.len() > NEAR {
        return None;
    }
    let mut words = near::nearest(word, known);
    words.dedup();
    (!words.is_empty()).then(|| format!("did you mean {}?", near::one_of(&words)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_words_are_shortened_and_backticks_replaced() {
        assert_eq!(quote("taped"), "`taped`");
        assert_eq!(quote("a`b"), "`a'b`");
        assert_eq!(quote(&"x".repeat(30)), format!("`{}…`", "x".repeat(24)));
        assert_eq!(did_you_mean("tapd", ["taped", "lapped"]).unwrap(), "did you mean `taped`?");
        assert_eq!(did_you_mean(&"x".repeat(5000), ["taped"]), None);
    }
}
