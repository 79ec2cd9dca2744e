//! Lists of twelve monthly figures, January first, with one unit at the end.
//!
//! Invariant: a list that is read has exactly twelve figures of the wanted dimension.

use super::amount::{bad_tail, find_unit, no_unit, unit_after};
use super::number::{self, Number};
use super::problem::{Read, incomplete, unreadable};
use super::reader::Reader;
use super::token::Kind;
use crate::base::unit::Dimension;

/// Twelve figures in SI. Commas between them are allowed.
pub(super) fn twelve(reader: &mut Reader, fits: Dimension) -> Read<Box<[f64; 12]>> {
    let mut figures: Vec<(Number, &str)> = Vec::with_capacity(12);
    let start = reader.text();
    let unit = loop {
        reader.take_kind(Kind::Comma);
        let Some(word) = reader.word() else { break None };
        let Ok((rest, number)) = number::number(word) else {
            break unit_after(reader, "");
        };
        reader.bump();
        figures.push((number, word));
        if !rest.is_empty() {
            match find_unit(rest) {
                Some(unit) => break Some(unit),
                None => return Err(bad_tail(reader, word, rest)),
            }
        }
    };
    if figures.is_empty() {
        return Err(reader.expected(&format!("twelve figures, January first, then the unit: {}", fits.examples())));
    }
    let all = reader.since(start);
    let Some(unit) = unit else {
        if let Some(word) = reader.word() {
            let mut after = *reader;
            after.bump();
            return Err(no_unit(&after, word, word));
        }
        return Err(incomplete(all, "these figures have no unit", format!("units that fit: {}", fits.examples())));
    };
    if unit.dimension != fits {
        let message = format!("{} does not fit here", unit.dimension.name());
        return Err(unreadable(reader.before(), message, format!("what fits: {}", fits.examples())));
    }
    if figures.len() == 1 && reader.word().is_some_and(number::begins) {
        let help = "twelve figures, then the unit once";
        return Err(unreadable(reader.before(), "the unit stands before the list has ended", help));
    }
    let count = figures.len();
    let si: Vec<f64> = figures.iter().map(|(number, _)| unit.to_si(number.value)).collect();
    let help = "one figure for each month, January first, then the unit once";
    let Ok(months) = <[f64; 12]>::try_from(si) else {
        return Err(unreadable(all, format!("{count} figures instead of twelve"), help));
    };
    Ok(Box::new(months))
}
