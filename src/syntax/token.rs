//! A line as words, signs and notes, read one at a time without copying.
//!
//! A word is what stands between spaces, commas, `+` and `->`. A `"` begins a note only where a word could begin, so
//! `2"` is two inches. A `#` there begins a comment unless a digit follows.
//! Invariant: every character that is no space and no comment belongs to exactly one token.

use nom::branch::alt;
use nom::bytes::complete::{tag, take_till, take_while1};
use nom::character::complete::{char, one_of, satisfy};
use nom::combinator::{cond, not, opt, recognize, value};
use nom::multi::many0_count;
use nom::{IResult, Parser};

/// The result of a small grammar: no error text, that is made where the meaning is known.
pub(super) type Out<'t, T> = IResult<&'t str, T, ()>;

/// What a token is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Anything else.
    Word,
    /// `,`
    Comma,
    /// `+`
    Plus,
    /// `->` or `→`
    Arrow,
    /// `"…"`
    Note,
    /// `"…` without its end.
    OpenNote,
    /// The end of the line.
    End,
}

/// A token with its text (a note with its quotes).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Token<'t> {
    /// What it is.
    pub kind: Kind,
    /// Its letters.
    pub text: &'t str,
}

/// Spaces, line breaks and comments.
pub(super) fn trivia(input: &str) -> Out<'_, &str> {
    // Most gaps are plain spaces before a letter or a digit.
    let rest = input.trim_start_matches(' ');
    if rest.as_bytes().first().is_some_and(u8::is_ascii_alphanumeric) {
        return Ok((rest, eaten(input, rest)));
    }
    recognize(many0_count(alt((take_while1(char::is_whitespace), comment)))).parse(input)
}

/// A comment up to the end of its line.
pub(super) fn comment(input: &str) -> Out<'_, &str> {
    recognize((char('#'), not(satisfy(|c| c.is_ascii_digit())), take_till(|c| c == '\n'))).parse(input)
}

/// The next token of a text that starts with one.
pub(super) fn token(input: &str) -> Out<'_, Token<'_>> {
    // Most tokens are words that begin with a letter or a digit: those are told first.
    if input.as_bytes().first().is_some_and(u8::is_ascii_alphanumeric) {
        return word(input);
    }
    alt((note, sign, word)).parse(input)
}

fn sign(input: &str) -> Out<'_, Token<'_>> {
    let kind = |kind, parser| value(kind, tag(parser));
    let (rest, kind) =
        alt((kind(Kind::Comma, ","), kind(Kind::Plus, "+"), kind(Kind::Arrow, "->"), kind(Kind::Arrow, "→")))
            .parse(input)?;
    Ok((rest, Token { kind, text: eaten(input, rest) }))
}

fn note(input: &str) -> Out<'_, Token<'_>> {
    let (inner, open) = one_of("\"“").parse(input)?;
    let closes = |c: char| c == '"' || c == '”' && open == '“';
    let (rest, _) = take_till(|c| c == '\n' || closes(c)).parse(inner)?;
    let (rest, closed) = opt(satisfy(closes)).parse(rest)?;
    let kind = if closed.is_some() { Kind::Note } else { Kind::OpenNote };
    let text = eaten(input, rest);
    let text = if closed.is_some() { text } else { text.trim_end() };
    Ok((rest, Token { kind, text }))
}

fn word(input: &str) -> Out<'_, Token<'_>> {
    let end = word_end(input);
    let (text, rest) = input.split_at(end);
    let (rest, _) = cond(end == 0, satisfy(|_| false)).parse(rest)?;
    Ok((rest, Token { kind: Kind::Word, text }))
}

/// Where the word at the start of `input` ends. A comma between two digits stays inside: the figure is refused later.
fn word_end(input: &str) -> usize {
    // Letters and digits end nothing: they are passed over at once.
    let plain = input.bytes().take_while(u8::is_ascii_alphanumeric).count();
    let mut before = input.as_bytes().get(..plain).and_then(<[u8]>::last).map_or(' ', |b| char::from(*b));
    for (at, c) in input.get(plain..).unwrap_or("").char_indices().map(|(at, c)| (plain + at, c)) {
        let ends = match c {
            ',' => !(before.is_ascii_digit() && follows(input, at + 1, |c| c.is_ascii_digit())),
            '+' | '→' => true,
            '-' => follows(input, at + 1, |c| c == '>'),
            c => c.is_whitespace(),
        };
        if ends {
            return at;
        }
        before = c;
    }
    input.len()
}

fn follows(input: &str, at: usize, fits: impl Fn(char) -> bool) -> bool {
    input.get(at..).and_then(|rest| rest.chars().next()).is_some_and(fits)
}

/// What lies before `rest` in `input`.
pub(super) fn eaten<'t>(input: &'t str, rest: &str) -> &'t str {
    input.get(..input.len() - rest.len()).unwrap_or(input)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(mut text: &str) -> Vec<(Kind, &str)> {
        let mut out = Vec::new();
        loop {
            text = trivia(text).unwrap().0;
            let Ok((rest, token)) = token(text) else { return out };
            out.push((token.kind, token.text));
            text = rest;
        }
    }

    #[test]
    fn signs_need_no_spaces_but_inches_are_no_note() {
        assert_eq!(
            all("a 2\", taped+b->water \"n # o\" # c"),
            [
                (Kind::Word, "a"),
                (Kind::Word, "2\""),
                (Kind::Comma, ","),
                (Kind::Word, "taped"),
                (Kind::Plus, "+"),
                (Kind::Word, "b"),
                (Kind::Arrow, "->"),
                (Kind::Word, "water"),
                (Kind::Note, "\"n # o\""),
            ]
        );
    }

    #[test]
    fn a_hash_before_a_digit_or_inside_a_word_is_no_comment() {
        assert_eq!(all("#15 x#y # z"), [(Kind::Word, "#15"), (Kind::Word, "x#y")]);
    }

    #[test]
    fn a_comma_between_digits_stays_in_the_word() {
        assert_eq!(all("0,5 a,5"), [(Kind::Word, "0,5"), (Kind::Word, "a"), (Kind::Comma, ","), (Kind::Word, "5")]);
    }

    #[test]
    fn notes_end_with_their_line() {
        assert_eq!(all("\"open\nx"), [(Kind::OpenNote, "\"open"), (Kind::Word, "x")]);
        assert_eq!(all("“curly” →"), [(Kind::Note, "“curly”"), (Kind::Arrow, "→")]);
    }
}
