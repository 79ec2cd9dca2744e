//! The spelling that `tidy` writes: plain signs for look-alikes, one word for each unit, one space between words.
//!
//! Names, notes and figures stay as written; `½` is written `1/2`, `2"` is written `2 in`.
//! Invariant: what is written reads as the same amounts (`tidy` checks it each time).

use super::amount::{find_unit, prefix};
use super::number::{self, Form, spelled};
use super::section::pair;
use super::token::{Kind, Token, token, trivia};

/// How the words of a line are meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Meant {
    /// Names only: nothing is respelled but quotes.
    Names,
    /// Amounts may stand anywhere but at the first this many words.
    AmountsAfter(usize),
    /// A list of figures: two that follow each other are never one.
    List,
}

/// The tokens of a line in their spelling.
pub(super) fn spell(line: &str, meant: Meant) -> Vec<(Kind, String)> {
    let tokens = tokens(line);
    let mut out: Vec<(Kind, String)> = Vec::with_capacity(tokens.len());
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        at += 1;
        let amounts = match meant {
            Meant::Names => false,
            Meant::AmountsAfter(names) => at > names && !out.last().is_some_and(|(_, word)| names_next(word)),
            Meant::List => true,
        };
        let text = match token.kind {
            Kind::Arrow => "->".to_owned(),
            Kind::Note => format!("\"{}\"", token.text.trim_start_matches(['"', '“']).trim_end_matches(['"', '”'])),
            Kind::Word if amounts => {
                let (text, taken) = amount(token.text, tokens.get(at..).unwrap_or(&[]), meant == Meant::List);
                at += taken;
                text
            }
            _ => token.text.to_owned(),
        };
        out.push((token.kind, text));
    }
    out
}

/// Joined by single spaces, none before a comma.
pub(super) fn join(tokens: &[(Kind, String)]) -> String {
    let mut out = String::new();
    for (kind, text) in tokens {
        if !out.is_empty() && *kind != Kind::Comma {
            out.push(' ');
        }
        out.push_str(text);
    }
    out
}

fn tokens(line: &str) -> Vec<Token<'_>> {
    let mut out = Vec::new();
    let mut rest = trivia(line).map_or(line, |(rest, _)| rest);
    while let Ok((tail, found)) = token(rest) {
        out.push(found);
        rest = trivia(tail).map_or(tail, |(rest, _)| rest);
    }
    out
}

/// Words after which a name stands.
fn names_next(word: &str) -> bool {
    ["with", "painted", "above", "under"].iter().any(|known| known.eq_ignore_ascii_case(word))
}

/// A word as an amount with its unit if it is one, and how many of the following tokens that took.
fn amount(word: &str, next: &[Token], list: bool) -> (String, usize) {
    let figure = |token: &Token| token.kind == Kind::Word && number::begins(token.text);
    if let Some((unit, rest)) = prefix(word).filter(|(_, rest)| !rest.is_empty() || next.first().is_some_and(figure)) {
        return prefixed(unit.word(), rest, next);
    }
    if pair(word).is_some() {
        return size(word, next);
    }
    let Some((mut figure, taken)) = spelled(word) else { return (word.to_owned(), 0) };
    let rest = word.get(taken..).unwrap_or("");
    if let Some(run) = rest.strip_prefix(':') {
        return match spelled(run) {
            Some((run_figure, end)) if end == run.len() => (format!("{figure}:{run_figure}"), 0),
            _ => (word.to_owned(), 0),
        };
    }
    if !rest.is_empty() {
        return match find_unit(rest) {
            Some(unit) => (format!("{figure} {}", unit.word()), 0),
            None => (word.to_owned(), 0),
        };
    }
    let whole = number::number(word).is_ok_and(|(_, n)| n.form == Form::Whole);
    if whole
        && !list
        && let Some((part, tail)) = fraction(next)
    {
        figure = format!("{figure}-{part}");
        return match find_unit(tail) {
            Some(unit) => (format!("{figure} {}", unit.word()), 1),
            None => with_unit(figure, 1, next),
        };
    }
    with_unit(figure, 0, next)
}

/// A figure and the unit in the token after those already taken.
fn with_unit(figure: String, taken: usize, next: &[Token]) -> (String, usize) {
    match next.get(taken).filter(|t| t.kind == Kind::Word).and_then(|t| find_unit(t.text)) {
        Some(unit) => (format!("{figure} {}", unit.word()), taken + 1),
        None => (figure, taken),
    }
}

/// A fraction below 1 at the start of what follows, and what is glued to it.
fn fraction<'t>(next: &[Token<'t>]) -> Option<(String, &'t str)> {
    let word = next.first().filter(|t| t.kind == Kind::Word)?.text;
    let (_, read) = number::number(word).ok()?;
    if read.form != Form::Fraction || !(0.0..1.0).contains(&read.value) {
        return None;
    }
    let (part, taken) = spelled(word)?;
    Some((part, word.get(taken..)?))
}

/// `R13`, `RSI-2.3`, `sd 100 m`.
fn prefixed(unit: &str, rest: &str, next: &[Token]) -> (String, usize) {
    let gap = if unit.ends_with('-') { "" } else { " " };
    let (figure, taken) = if rest.is_empty() { (next.first().map_or("", |t| t.text), 1) } else { (rest, 0) };
    let (figure, more) = amount_after_prefix(figure, next.get(taken..).unwrap_or(&[]));
    (format!("{unit}{gap}{figure}"), taken + more)
}

fn amount_after_prefix(figure: &str, next: &[Token]) -> (String, usize) {
    match spelled(figure) {
        Some((text, end)) if end == figure.len() => with_unit(text, 0, next),
        Some((text, end)) => match figure.get(end..).and_then(find_unit) {
            Some(unit) => (format!("{text} {}", unit.word()), 0),
            None => (figure.to_owned(), 0),
        },
        None => (figure.to_owned(), 0),
    }
}

/// `2×6`, `38x140mm`.
fn size(word: &str, next: &[Token]) -> (String, usize) {
    let as_written = || (word.to_owned(), 0);
    let Some((across, end)) = spelled(word) else { return as_written() };
    let Some(rest) = word.get(end..).and_then(|rest| rest.strip_prefix(['x', 'X', '×'])) else { return as_written() };
    let Some((along, end)) = spelled(rest) else { return as_written() };
    let size = format!("{across}x{along}");
    match rest.get(end..) {
        Some("") => with_unit(size, 0, next),
        Some(glued) => find_unit(glued).map_or_else(as_written, |unit| (format!("{size} {}", unit.word()), 0)),
        None => as_written(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(text: &str) -> String {
        join(&spell(text, Meant::AmountsAfter(0)))
    }

    #[test]
    fn look_alikes_and_units_get_one_spelling() {
        for (text, tidy) in [
            ("xps 2″ ,taped→water", "xps 2 in, taped -> water"),
            ("osb ½\"", "osb 1/2 in"),
            ("osb 5½ inches", "osb 5-1/2 in"),
            ("osb 5 1/2\" or a 38mm", "osb 5-1/2 in or a 38 mm"),
            ("2×6 at 16\u{a0}in", "2x6 at 16 in"),
            ("38X140mm", "38x140 mm"),
            ("batt R13 r-15 RSI-2.3 R 19", "batt R-13 R-15 RSI 2.3 R-19"),
            ("70°F 21 º 35%", "70 F 21 deg 35 %"),
            ("sd 100m μ 50 µ50", "sd 100 m mu 50 mu 50"),
            ("−5 C to 1⁄2 in 3:12", "-5 C to 1/2 in 3:12"),
            ("sealed with 5½, in 2 layers “so”", "sealed with 5½, in 2 layers \"so\""),
            ("4A 3m-tape #15 1/150 0.50 in", "4A 3m-tape #15 1/150 0.50 in"),
            ("a 1 in+b R-4", "a 1 in + b R-4"),
        ] {
            assert_eq!(line(text), tidy);
            assert_eq!(line(tidy), tidy);
        }
    }
}
