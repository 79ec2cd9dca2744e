//! Places: what lies at the ends of a section.
//!
//! Invariant: a word that is no fixed place is a room's name; whether the room exists is asked later.

use super::amount::{amount, begins};
use super::ast::{Amount, PlaceWord};
use super::problem::Read;
use super::reader::Reader;
use super::token::Kind;
use crate::base::unit::Dimension;

/// A place line up to its note.
pub(super) fn place(reader: &mut Reader) -> Read<PlaceWord> {
    if reader.take("outdoors") {
        return Ok(PlaceWord::Outdoors);
    }
    if reader.take("indoors") {
        return Ok(PlaceWord::Indoors { splashed: splashed(reader)? });
    }
    if reader.take("ground") {
        return ground(reader);
    }
    if reader.take("water") {
        return water(reader);
    }
    let name = reader.name("a place: `outdoors`, `indoors`, `ground`, `water` or a room")?;
    Ok(PlaceWord::Room { name, splashed: splashed(reader)? })
}

fn splashed(reader: &mut Reader) -> Read<bool> {
    if !reader.take_kind(Kind::Comma) {
        return Ok(false);
    }
    if reader.take("splashed") { Ok(true) } else { Err(reader.expected("`splashed`: liquid water on the room side")) }
}

fn ground(reader: &mut Reader) -> Read<PlaceWord> {
    let length = &[Dimension::Length];
    let depth = if begins(reader) { Some(amount(reader, length)?) } else { None };
    let (mut above_grade, mut drained) = (None, None);
    while reader.take_kind(Kind::Comma) {
        if drained.is_none() && (reader.is("drained") || reader.is("wet")) {
            drained = Some(reader.is("drained"));
            reader.bump();
        } else if above_grade.is_none() && begins(reader) {
            above_grade = Some(amount(reader, length)?);
            if !(reader.take("above") && reader.take("grade")) {
                return Err(reader.expected("`above grade`: `ground 6 ft, 1 ft above grade`"));
            }
        } else {
            return Err(reader.expected("`1 ft above grade`, `drained` or `wet`"));
        }
    }
    Ok(PlaceWord::Ground { depth, above_grade, drained })
}

fn water(reader: &mut Reader) -> Read<PlaceWord> {
    Ok(match amount(reader, &[Dimension::Temperature])? {
        Amount::Range(winter, summer) => {
            PlaceWord::Water { winter: Amount::Known(winter), summer: Some(Amount::Known(summer)) }
        }
        winter => PlaceWord::Water { winter, summer: None },
    })
}
