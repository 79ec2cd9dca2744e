//! Pairs of figures: lumber sizes (`2x6`, `38x140 mm`) and spacings both ways (`16x24 in`).
//!
//! Invariant: a size without a unit is a nominal one of the table; with a unit it is as measured.

use super::amount::{quantity, unit_after};
use super::ast::Amount;
use super::number::{self, Number};
use super::problem::{Read, incomplete, quote, unreadable};
use super::reader::Reader;
use crate::base::near::one_of;
use crate::base::span::Span;
use crate::base::unit::{self, Dimension};

/// `16x24 in`: two lengths that share a unit.
pub(super) fn grid(reader: &mut Reader) -> Read<[Amount; 2]> {
    const HELP: &str = "two spacings with one unit: `16x24 in`, `400x600 mm`";
    if reader.take("unknown") {
        return Ok([Amount::Unknown(reader.before()); 2]);
    }
    let Some(word) = reader.word() else { return Err(reader.expected(HELP)) };
    let Some((across, along, rest)) = pair(word) else { return Err(reader.expected(HELP)) };
    reader.bump();
    let span = reader.before();
    let Some(unit) = unit_after(reader, rest).filter(|u| u.dimension == Dimension::Length) else {
        return Err(incomplete(span, format!("{} has no unit", quote(word)), HELP));
    };
    let span = reader.since(word);
    Ok([across, along].map(|figure| Amount::Known(quantity(figure, unit, span))))
}

/// `2x6`, `38x140mm`: two figures and what follows them in the word.
pub(super) fn pair(word: &str) -> Option<(Number, Number, &str)> {
    if !word.bytes().next()?.is_ascii_digit() {
        return None;
    }
    let (rest, across) = number::number(word).ok()?;
    let rest = rest.strip_prefix(['x', 'X', '×'])?;
    let (rest, along) = number::number(rest).ok()?;
    Some((across, along, rest))
}

/// The sizes that softwood is sold by, in inches: what is said and what it measures dressed and dry.
///
/// American Softwood Lumber Standard PS 20, table 3 (from memory); 14 and 16 follow the same step.
static DRESSED: &[(f64, f64)] = &[
    (1.0, 0.75),
    (2.0, 1.5),
    (3.0, 2.5),
    (4.0, 3.5),
    (5.0, 4.5),
    (6.0, 5.5),
    (8.0, 7.25),
    (10.0, 9.25),
    (12.0, 11.25),
    (14.0, 13.25),
    (16.0, 15.25),
];

/// The section of a member in metres: nominal inches without a unit, as measured with one.
pub(super) fn section(reader: &mut Reader) -> Option<Read<(f64, f64, Span)>> {
    let word = reader.word()?;
    let (wide, deep, rest) = pair(word)?;
    reader.bump();
    if let Some(unit) = unit_after(reader, rest).filter(|u| u.dimension == Dimension::Length) {
        return Some(Ok((unit.to_si(wide.value), unit.to_si(deep.value), reader.since(word))));
    }
    let span = reader.before();
    let dressed = |n: Number| DRESSED.iter().find(|(said, _)| (said - n.value).abs() < 1e-9).map(|(_, is)| *is);
    let (Some(w), Some(d), true) = (dressed(wide), dressed(deep), rest.is_empty()) else {
        let sizes = one_of(&["2x4", "2x6", "2x8", "2x10", "2x12"]);
        let help = format!("sizes: {sizes}; or measured: `38x140 mm`");
        return Some(Err(unreadable(span, format!("{} is no lumber size", quote(word)), help)));
    };
    // Timbers, 5 in and more both ways, lose half an inch in every direction.
    let timber = |said: Number, is: f64| if wide.value >= 5.0 && deep.value >= 5.0 { said.value - 0.5 } else { is };
    Some(Ok((timber(wide, w) * unit::INCH, timber(deep, d) * unit::INCH, span)))
}
