//! Amounts: figures with units, ranges, `unknown`.
//!
//! Invariant: an amount that is read has one dimension, is one of those that fit, and is finite.

use super::ast::{Amount, Quantity};
use super::number::{self, Form, Number};
use super::problem::{Read, did_you_mean, incomplete, quote, unreadable};
use super::reader::Reader;
use super::words;
use crate::base::finding::Finding;
use crate::base::span::Span;
use crate::base::unit::{self, Dimension, SHARE, SLOPE, Side, Unit};

/// A figure whose unit may stand further on.
enum Half<'t> {
    Full(Quantity),
    Bare { number: Number, span: Span, text: &'t str },
}

/// Whether the current word begins an amount (`unknown` does).
pub(super) fn begins(reader: &Reader) -> bool {
    reader
        .word()
        .is_some_and(|word| number::begins(word) || prefix(word).is_some() || word.eq_ignore_ascii_case("unknown"))
}

/// Whether the current word begins an amount whose unit stands after it: `r` and `sd` may be names there.
pub(super) fn begins_figure(reader: &Reader) -> bool {
    reader.word().is_some_and(|word| number::begins(word) || word.eq_ignore_ascii_case("unknown"))
}

/// An amount in one of the dimensions that fit.
pub(super) fn amount(reader: &mut Reader, fits: &[Dimension]) -> Read<Amount> {
    if reader.take("unknown") {
        return Ok(Amount::Unknown(reader.before()));
    }
    if !begins(reader) {
        return Err(reader.expected(&wanted(fits)));
    }
    let low = half(reader, fits)?;
    if !reader.is("to") {
        return Ok(Amount::Known(whole(reader, low, fits)?));
    }
    let mut ahead = *reader;
    ahead.bump();
    if !begins(&ahead) || ahead.is("unknown") {
        return match low {
            // `slope 1:80 to front`: the word belongs to what follows.
            Half::Full(quantity) => Ok(Amount::Known(fitting(quantity, fits)?)),
            Half::Bare { .. } => Err(ahead.expected("the upper end of the range, with its unit")),
        };
    }
    *reader = ahead;
    let high = half(reader, fits)?;
    range(reader, low, high, fits)
}

fn range(reader: &Reader, low: Half, high: Half, fits: &[Dimension]) -> Read<Amount> {
    let (low, high) = match (low, high) {
        (Half::Bare { number, span, .. }, Half::Full(high)) if high.unit.side == Side::After => {
            (quantity(number, high.unit, span), high)
        }
        (Half::Full(low), Half::Bare { number, span, .. }) if low.unit.side == Side::Before => {
            (low, quantity(number, low.unit, span))
        }
        (low, high) => (whole(reader, low, fits)?, whole(reader, high, fits)?),
    };
    let (low, high) = (fitting(low, fits)?, fitting(high, fits)?);
    if low.dimension != high.dimension {
        let message = format!("a range from {} to {}", low.dimension.name(), high.dimension.name());
        return Err(unreadable(low.span.to(high.span), message, "both ends of a range measure the same thing"));
    }
    if low.si > high.si {
        let help = "write the lower end first";
        return Err(unreadable(low.span.to(high.span), "this range runs from high to low", help));
    }
    Ok(Amount::Range(low, high))
}

/// One figure with its unit, never a range or `unknown`.
pub(super) fn known(reader: &mut Reader, fits: &[Dimension]) -> Read<Quantity> {
    if !begins(reader) || reader.is("unknown") {
        return Err(reader.expected(&wanted(fits)));
    }
    let half = half(reader, fits)?;
    whole(reader, half, fits)
}

/// The unit glued to a figure, or the next word if it is a unit (which is then taken).
pub(super) fn unit_after(reader: &mut Reader, glued: &str) -> Option<&'static Unit> {
    if !glued.is_empty() {
        return find_unit(glued);
    }
    let unit = reader.word().and_then(find_unit)?;
    reader.bump();
    Some(unit)
}

pub(super) fn quantity(number: Number, unit: &'static Unit, span: Span) -> Quantity {
    Quantity { dimension: unit.dimension, si: unit.to_si(number.value), unit, span }
}

/// A unit that stands after its figure, case put aside where that is plain.
pub(super) fn find_unit(word: &str) -> Option<&'static Unit> {
    // No unit word is longer than this in any spelling.
    if word.len() > 20 {
        return None;
    }
    let after = |word: &str| unit::find(word).filter(|u| u.side == Side::After);
    after(word).or_else(|| {
        let plain = word.len() <= 6 && word.bytes().all(|b| b.is_ascii_alphanumeric());
        let capital = plain && word.bytes().any(|b| b.is_ascii_uppercase());
        // Only the degrees have a word in capitals alone, of one letter.
        let small = if capital { after(&word.to_ascii_lowercase()) } else { None };
        small.or_else(|| if plain && word.len() == 1 { after(&word.to_ascii_uppercase()) } else { None })
    })
}

/// A unit that stands before its figure, and what follows it in the word.
pub(super) fn prefix(word: &str) -> Option<(&'static Unit, &str)> {
    let starts = |c: char| matches!(c, 'R' | 'r' | 's' | 'S' | 'm' | 'M' | 'μ' | 'µ');
    if !word.starts_with(starts) {
        return None;
    }
    let letters = word.find(|c: char| !c.is_alphabetic()).unwrap_or(word.len());
    let (name, rest) = word.split_at_checked(letters)?;
    let name = match name {
        "R" | "r" => "R",
        "μ" | "µ" => "mu",
        n if n.eq_ignore_ascii_case("rsi") => "RSI",
        n if n.eq_ignore_ascii_case("sd") => "sd",
        n if n.eq_ignore_ascii_case("mu") => "mu",
        _ => return None,
    };
    let rest = if name.starts_with('R') { rest.strip_prefix(['-', '‑', '–']).unwrap_or(rest) } else { rest };
    if !rest.is_empty() && !number::begins(rest) {
        return None;
    }
    unit::find(name).map(|unit| (unit, rest))
}

fn half<'t>(reader: &mut Reader<'t>, fits: &[Dimension]) -> Read<Half<'t>> {
    let word = reader.text();
    if let Some((unit, rest)) = prefix(word) {
        reader.bump();
        return prefixed(reader, word, unit, rest);
    }
    let Ok((rest, mut number)) = number::number(word) else {
        return Err(reader.expected(&wanted(fits)));
    };
    reader.bump();
    if let Some(run) = rest.strip_prefix(':') {
        return slope(reader, word, number, run);
    }
    let mut rest = rest;
    if rest.is_empty() && number.form == Form::Whole {
        // `5 1/2 in`: the fraction after a space.
        if let Some((tail, part)) = reader.word().and_then(|next| number::number(next).ok())
            && part.form == Form::Fraction
            && (0.0..1.0).contains(&part.value)
        {
            number = Number { value: number.value + part.value, form: Form::Mixed };
            reader.bump();
            rest = tail;
        }
    }
    let span = reader.since(word);
    if let Some(unit) = unit_after(reader, rest) {
        return Ok(Half::Full(quantity(number, unit, reader.since(word))));
    }
    if !rest.is_empty() {
        return Err(bad_tail(reader, word, rest));
    }
    if number.form == Form::Fraction && fits.contains(&Dimension::Ratio) {
        return Ok(Half::Full(quantity(number, &SHARE, span)));
    }
    Ok(Half::Bare { number, span, text: word })
}

fn prefixed<'t>(reader: &mut Reader<'t>, word: &'t str, unit: &'static Unit, rest: &'t str) -> Read<Half<'t>> {
    let figure = if rest.is_empty() { reader.word().unwrap_or("") } else { rest };
    let Ok((tail, number)) = number::number(figure) else {
        return Err(reader.expected(&format!("a figure after `{}`", unit.word())));
    };
    if rest.is_empty() {
        reader.bump();
    }
    let mut factor = 1.0;
    if unit.dimension == Dimension::VaporThickness {
        match unit_after(reader, tail) {
            Some(length) if length.dimension == Dimension::Length => factor = length.factor,
            None if tail.is_empty() && reader.is("to") => {}
            _ => {
                let message = format!("`sd {}` has no unit", quote(figure).trim_matches('`'));
                return Err(incomplete(reader.since(word), message, "write `sd 100 m`"));
            }
        }
    } else if !tail.is_empty() {
        return Err(bad_tail(reader, word, tail));
    }
    let mut read = quantity(number, unit, reader.since(word));
    read.si *= factor;
    Ok(Half::Full(read))
}

fn slope<'t>(reader: &Reader<'t>, word: &'t str, rise: Number, run: &str) -> Read<Half<'t>> {
    let span = reader.since(word);
    match number::number(run) {
        Ok(("", run)) if run.value > 0.0 => {
            Ok(Half::Full(Quantity { dimension: Dimension::Slope, si: rise.value / run.value, unit: &SLOPE, span }))
        }
        _ => Err(unreadable(span, format!("{} is no slope", quote(word)), "rise first, then run: `5:12`")),
    }
}

/// What is wrong with the letters glued to a figure.
pub(super) fn bad_tail(reader: &Reader, word: &str, tail: &str) -> Box<Finding> {
    let span = reader.before();
    if let Some(after) = tail.strip_prefix(',') {
        return decimal_comma(span, word, after);
    }
    if tail.starts_with(['e', 'E']) && number::begins(tail.get(1..).unwrap_or("")) {
        let help = "write the figure out, without an exponent";
        return unreadable(span, format!("{} has an exponent", quote(word)), help);
    }
    if tail.starts_with(['\'', '′', '’']) && tail.chars().any(|c| c.is_ascii_digit()) {
        let help = "write one figure: `74 in` or `6.17 ft`";
        return unreadable(span, format!("{} is in feet and inches", quote(word)), help);
    }
    if tail == "/0" {
        return unreadable(span, format!("{} divides by 0", quote(word)), "write a fraction such as `1/2`");
    }
    if tail == "." {
        return unreadable(span, format!("{} ends in a point", quote(word)), "write `2` or `2.0`");
    }
    no_unit(reader, word, tail)
}

pub(super) fn no_unit(reader: &Reader, word: &str, unit: &str) -> Box<Finding> {
    let help = if unit.len() > 20 { None } else { did_you_mean(unit, unit::near_words(unit)) };
    let help = help.unwrap_or_else(|| "units: `in`, `ft`, `mil`, `mm`, `m`, `F`, `C`, `%`, `perm`, `ga`".to_owned());
    let message = if word == unit {
        format!("{} is not a unit", quote(unit))
    } else {
        format!("{} in {} is not a unit", quote(unit), quote(word))
    };
    unreadable(reader.before(), message, help)
}

fn decimal_comma(span: Span, word: &str, after: &str) -> Box<Finding> {
    let digits: String = after.chars().take_while(char::is_ascii_digit).take(12).collect();
    let before: String = word.chars().take_while(|c| *c != ',').take(12).collect();
    let help = if digits.len() == 3 && !before.starts_with('0') {
        format!("write `{before}.{digits}`, or `{before}{digits}` if thousands are meant")
    } else {
        format!("write `{before}.{digits}`; a list has a space after each comma")
    };
    unreadable(span, format!("{} has a decimal comma", quote(word)), help)
}

fn whole(reader: &Reader, half: Half, fits: &[Dimension]) -> Read<Quantity> {
    match half {
        Half::Full(quantity) => fitting(quantity, fits),
        Half::Bare { span, text, .. } => {
            // A word that follows and is nothing else is taken for a misspelled unit.
            if let Some(word) = reader.word()
                && words::find(words::LAYER_WORDS, word).is_none()
                && !JOINING.contains(&word)
                && !number::begins(word)
                && !unit::near_words(clip(word)).is_empty()
            {
                let mut after = *reader;
                after.bump();
                return Err(no_unit(&after, word, word));
            }
            let message = format!("{} has no unit", quote(text));
            Err(incomplete(span, message, format!("units that fit: {}", examples(fits))))
        }
    }
}

/// Words that may follow a figure and are never taken for a unit.
const JOINING: &[&str] = &["or", "to", "at", "and", "per", "with", "above", "unknown"];

fn clip(word: &str) -> &str {
    if word.len() > 20 { "" } else { word }
}

fn fitting(quantity: Quantity, fits: &[Dimension]) -> Read<Quantity> {
    if !fits.contains(&quantity.dimension) {
        let message = format!("{} does not fit here", quantity.dimension.name());
        return Err(unreadable(quantity.span, message, format!("what fits: {}", examples(fits))));
    }
    if quantity.si < 0.0 && quantity.dimension != Dimension::Temperature {
        let message = format!("{} cannot be below 0", quantity.dimension.name());
        return Err(unreadable(quantity.span, message, "leave the minus sign out"));
    }
    Ok(quantity)
}

/// "a length such as …", for what was expected.
pub(super) fn wanted(fits: &[Dimension]) -> String {
    match fits {
        [one, ..] if fits.len() <= 3 => format!("{}: {}", one.name(), examples(fits)),
        _ => format!("an amount: {}", examples(fits)),
    }
}

/// How to write what fits: all units of one dimension, one example each of several.
fn examples(fits: &[Dimension]) -> String {
    match fits {
        [one] => one.examples().to_owned(),
        several => {
            let mut out: Vec<&str> = Vec::new();
            for dimension in several {
                let all = dimension.examples();
                let first = all.split(", ").next().unwrap_or(all);
                if !out.contains(&first) {
                    out.push(first);
                }
            }
            out.join(", ")
        }
    }
}
