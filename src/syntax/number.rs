//! Figures as builders write them: `5`, `0.5`, `1/2`, `5-1/2`, `½`, `5½`, with `−` for a minus sign.
//!
//! No exponent, no infinity, no hexadecimal, no decimal comma: a figure has one meaning on every machine.
//! Invariant: a figure that is read is finite.

use nom::branch::alt;
use nom::character::complete::{char, digit0, digit1, one_of, satisfy};
use nom::combinator::{map, map_opt, opt, recognize, verify};
use nom::sequence::{preceded, separated_pair};
use nom::{IResult, Parser};

use super::token::Out;

/// A figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Number {
    /// Its value.
    pub value: f64,
    /// How it was written.
    pub form: Form,
}

/// How a figure was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    /// Digits only: a fraction may follow after a space.
    Whole,
    /// With a point.
    Decimal,
    /// `1/2` or `½`.
    Fraction,
    /// `5-1/2` or `5½`.
    Mixed,
}

/// A figure at the start of `input`, with its sign.
pub(super) fn number(input: &str) -> Out<'_, Number> {
    let (rest, minus) = opt(one_of("-−")).parse(input)?;
    let (rest, number) = verify(unsigned, |n: &Number| n.value.is_finite()).parse(rest)?;
    Ok((rest, if minus.is_some() { Number { value: -number.value, ..number } } else { number }))
}

fn unsigned(input: &str) -> Out<'_, Number> {
    // The commonest form first: digits that are followed by nothing a figure goes on with.
    let plain: IResult<&str, &str, ()> = digit1(input);
    if let Ok((rest, digits)) = plain
        && !rest.starts_with(['.', '/', '⁄', '-', '‑', '–'])
        && rest.chars().next().is_none_or(|c| vulgar_value(c).is_none())
    {
        return map_opt(|_| Ok::<_, nom::Err<()>>((rest, digits)), |d: &str| figure(d, Form::Whole)).parse(input);
    }
    alt((mixed, slashed, vulgar, decimal)).parse(input)
}

fn figure(digits: &str, form: Form) -> Option<Number> {
    digits.parse().ok().map(|value| Number { value, form })
}

fn whole(input: &str) -> Out<'_, f64> {
    map_opt(digit1, |d: &str| d.parse().ok()).parse(input)
}

fn decimal(input: &str) -> Out<'_, Number> {
    let pointed = recognize((digit0, char('.'), digit1));
    alt((map_opt(pointed, |d| figure(d, Form::Decimal)), map_opt(digit1, |d| figure(d, Form::Whole)))).parse(input)
}

fn slashed(input: &str) -> Out<'_, Number> {
    let parts = separated_pair(whole, one_of("/⁄"), verify(whole, |d| *d > 0.0));
    map(parts, |(over, under)| Number { value: over / under, form: Form::Fraction }).parse(input)
}

fn vulgar(input: &str) -> Out<'_, Number> {
    map(map_opt(satisfy(|_| true), vulgar_value), |value| Number { value, form: Form::Fraction }).parse(input)
}

fn mixed(input: &str) -> Out<'_, Number> {
    let hyphen = || one_of("-‑–");
    let part = alt((preceded(hyphen(), slashed), preceded(opt(hyphen()), vulgar)));
    map((whole, part), |(whole, part)| Number { value: whole + part.value, form: Form::Mixed }).parse(input)
}

/// The fraction signs of fonts, with what they are written as.
static VULGAR: &[(char, u8, u8)] = &[
    ('½', 1, 2),
    ('¼', 1, 4),
    ('¾', 3, 4),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
    ('⅓', 1, 3),
    ('⅔', 2, 3),
    ('⅕', 1, 5),
    ('⅖', 2, 5),
    ('⅗', 3, 5),
    ('⅘', 4, 5),
    ('⅙', 1, 6),
    ('⅚', 5, 6),
    ('⅒', 1, 10),
];

fn vulgar_value(sign: char) -> Option<f64> {
    if sign.is_ascii() {
        return None;
    }
    VULGAR.iter().find(|(c, ..)| *c == sign).map(|(_, over, under)| f64::from(*over) / f64::from(*under))
}

/// The figure at the start of `text` in the spelling of the notation, and the length of what was read.
pub(super) fn spelled(text: &str) -> Option<(String, usize)> {
    let (rest, read) = number(text).ok()?;
    let written = super::token::eaten(text, rest);
    let mut out = String::with_capacity(written.len() + 2);
    for c in written.chars() {
        match c {
            '−' | '‑' | '–' => out.push('-'),
            '⁄' => out.push('/'),
            c => match VULGAR.iter().find(|(sign, ..)| *sign == c) {
                Some((_, over, under)) => {
                    if read.form == Form::Mixed && !out.ends_with('-') {
                        out.push('-');
                    }
                    out.push_str(&format!("{over}/{under}"));
                }
                None => out.push(c),
            },
        }
    }
    Some((out, written.len()))
}

/// Whether a word begins with a figure.
pub(super) fn begins(word: &str) -> bool {
    let mut chars = word.chars();
    match chars.next() {
        Some(c) if c.is_ascii_digit() => true,
        Some('.' | '-' | '−') => chars.next().is_some_and(|c| c.is_ascii_digit() || vulgar_value(c).is_some()),
        Some(c) => vulgar_value(c).is_some(),
        None => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (f64, &str) {
        let (rest, n) = number(text).unwrap();
        (n.value, rest)
    }

    #[test]
    #[allow(clippy::float_cmp, reason = "binary fractions are exact")]
    fn figures_as_builders_write_them() {
        for (text, value, rest) in [
            ("5", 5.0, ""),
            ("0.5in", 0.5, "in"),
            (".5", 0.5, ""),
            ("1/2", 0.5, ""),
            ("5-1/2\"", 5.5, "\""),
            ("½", 0.5, ""),
            ("5½\"", 5.5, "\""),
            ("5-½", 5.5, ""),
            ("1⁄4", 0.25, ""),
            ("−5", -5.0, ""),
            ("5:12", 5.0, ":12"),
            ("2x6", 2.0, "x6"),
            ("1.", 1.0, "."),
            ("1e9", 1.0, "e9"),
            ("0,5", 0.0, ",5"),
            ("16-gauge", 16.0, "-gauge"),
        ] {
            assert_eq!(read(text), (value, rest), "{text}");
        }
        for text in ["inf", "nan", "x", "", "-", "."] {
            assert!(number(text).is_err(), "{text}");
        }
        assert_eq!(read("1/0").1, "/0");
        assert!(number(&"9".repeat(400)).is_err());
    }

    #[test]
    fn spelling_keeps_the_figure() {
        for (text, written) in [("5½", "5-1/2"), ("½", "1/2"), ("−5", "-5"), ("0.50", "0.50"), ("5–½", "5-1/2")]
        {
            assert_eq!(spelled(text).unwrap(), (written.to_owned(), text.len()));
        }
    }
}
