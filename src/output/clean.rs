//! Makes a text safe to print: no control characters, no direction marks, nothing that cannot be seen.
//!
//! Invariant: each replaced character becomes exactly one visible character, so columns do not move.

use std::borrow::Cow;

/// The visible stand-in of a character that must not reach a terminal; none for a harmless one. A line break has
/// one too: who wants to keep lines splits first.
pub fn stand_in(c: char) -> Option<char> {
    match c {
        '\t' | '\u{2028}' | '\u{2029}' => Some(' '),
        '\0'..='\u{1f}' => char::from_u32(0x2400 + c as u32),
        '\u{7f}' => Some('\u{2421}'),
        // C1 controls; zero-width signs; direction marks, embeddings, overrides and isolates; tag characters.
        '\u{80}'..='\u{9f}'
        | '\u{61c}'
        | '\u{200b}'
        | '\u{200e}'
        | '\u{200f}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}'
        | '\u{feff}'
        | '\u{fff9}'..='\u{fffb}'
        | '\u{e0000}'..='\u{e007f}' => Some('\u{fffd}'),
        _ => None,
    }
}

/// Whether a text is nothing but printable ASCII. Most texts are, and this is the quickest way to know.
pub fn plain(text: &str) -> bool {
    text.bytes().fold(true, |plain, b| plain & matches!(b, b' '..=b'~'))
}

/// The text with every character that must not reach a terminal replaced; line breaks stay.
pub fn clean(text: &str) -> Cow<'_, str> {
    replaced(text, |c| if c == '\n' { None } else { stand_in(c) })
}

/// The same on one line: runs of white space become one space.
pub fn one_line(text: &str) -> String {
    let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
    replaced(&joined, stand_in).into_owned()
}

/// Cleans what is already one line.
pub fn clean_line(text: &str) -> Cow<'_, str> {
    replaced(text, stand_in)
}

fn replaced(text: &str, by: impl Fn(char) -> Option<char>) -> Cow<'_, str> {
    if plain(text) || text.chars().all(|c| by(c).is_none()) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.chars().map(|c| by(c).unwrap_or(c)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_unseen_passes() {
        assert_eq!(clean("a\u{1b}[31mb\u{202e}c\u{9b}d"), "a␛[31mb\u{fffd}c\u{fffd}d");
        assert_eq!(clean("5″ °C ½\n"), "5″ °C ½\n");
        assert_eq!(one_line("a\r\n  b\tc"), "a b c");
        assert!(matches!(clean("plain"), Cow::Borrowed(_)));
    }
}
