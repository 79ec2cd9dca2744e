//! What a layer says after a comma: `taped`, `lapped 6 in`, `bays A + B`, `open top and bottom`.
//!
//! Invariant: only words of the table count; any other remark is refused with the advice to put it in quotes.

use super::amount::{amount, begins};
use super::ast::{Fill, OpenAt, Word};
use super::layer::build;
use super::problem::{Read, did_you_mean, quote, unreadable};
use super::reader::Reader;
use super::section::grid;
use super::token::Kind;
use super::words::{self, LAYER_WORDS, LayerLead, OPEN_AT};
use crate::base::finding::Finding;
use crate::base::span::Spanned;
use crate::base::unit::Dimension;

/// One word with what belongs to it.
pub(super) fn phrase(reader: &mut Reader) -> Read<Word> {
    let Some(word) = reader.word() else {
        return Err(reader.expected("a word such as `taped`, `lapped 6 in` or `painted`"));
    };
    let Some(lead) = words::find(LAYER_WORDS, word) else { return Err(unknown(reader, word)) };
    reader.bump();
    let length = &[Dimension::Length];
    Ok(match lead {
        LayerLead::Lapped => Word::Lapped(if begins(reader) { Some(amount(reader, length)?) } else { None }),
        LayerLead::Taped => Word::Taped { inside: reader.take("inside") },
        LayerLead::Sealed => {
            let with = if reader.take("with") {
                Some(reader.name("what it is sealed with: `sealed with foam`")?)
            } else {
                None
            };
            Word::Sealed { with }
        }
        LayerLead::Welded => Word::Welded,
        LayerLead::Adhered => Word::Adhered,
        LayerLead::Edges => Word::Edges(sealed_or_open(reader)?),
        LayerLead::Holes => Word::Holes(sealed_or_open(reader)?),
        LayerLead::Partly => Word::Partly(Box::new(treatment(reader)?)),
        LayerLead::Reversed => Word::Reversed,
        LayerLead::In => Word::InLayers(layers(reader)?),
        LayerLead::Open => open(reader)?,
        LayerLead::Closed => Word::Closed,
        LayerLead::Bridged => Word::Bridged,
        LayerLead::Bays => Word::Bays(fill(reader)?),
        LayerLead::Cores => Word::Cores(hollow(reader)?),
        LayerLead::Flutes => Word::Flutes(hollow(reader)?),
        LayerLead::Painted => {
            Word::Painted(if reader.kind() == Kind::Word { Some(reader.name("a paint")?) } else { None })
        }
        LayerLead::Covered => {
            if !reader.take("at") {
                return Err(reader.expected("`covered at 28 days` or `covered at 16 %`"));
            }
            Word::WetAt(amount(reader, &[Dimension::Days, Dimension::Ratio])?)
        }
        LayerLead::At => Word::WetAt(amount(reader, &[Dimension::Ratio])?),
        LayerLead::Existing => Word::Existing,
        LayerLead::Catches => second(reader, "water", Word::CatchesWater, "`catches water`")?,
        LayerLead::Frost => second(reader, "tested", Word::FrostTested, "`frost tested`")?,
        LayerLead::Screws => Word::Screws(Box::new(grid(reader)?)),
        LayerLead::Ties => Word::Ties(Box::new(grid(reader)?)),
        LayerLead::Pinched => Word::Pinched(amount(reader, length)?),
        LayerLead::Treated => Word::Treated,
        LayerLead::CopperTreated => Word::CopperTreated,
        LayerLead::Primed => Word::Primed,
        LayerLead::Level => Word::Level,
        LayerLead::Slope => Word::Slope(amount(reader, &[Dimension::Slope, Dimension::Ratio, Dimension::Angle])?),
        LayerLead::Seams => seams(reader)?,
    })
}

/// After `seams`: the same as the bare word.
fn seams(reader: &mut Reader) -> Read<Word> {
    use LayerLead::{Lapped, Sealed, Taped, Welded};
    match reader.word().and_then(|word| words::find(LAYER_WORDS, word)) {
        Some(Lapped | Sealed | Taped | Welded) => phrase(reader),
        _ => Err(reader.expected("`seams taped`, `seams lapped 6 in`, `seams sealed` or `seams welded`")),
    }
}

fn second(reader: &mut Reader, word: &str, then: Word, form: &str) -> Read<Word> {
    if reader.take(word) { Ok(then) } else { Err(reader.expected(form)) }
}

fn sealed_or_open(reader: &mut Reader) -> Read<bool> {
    if reader.take("sealed") {
        return Ok(true);
    }
    if reader.take("open") { Ok(false) } else { Err(reader.expected("`sealed` or `open`")) }
}

/// After `partly`: something that can be done in part.
fn treatment(reader: &mut Reader) -> Read<Word> {
    use LayerLead::{Adhered, Edges, Holes, Lapped, Painted, Sealed, Taped, Welded};
    let fits = [Taped, Sealed, Lapped, Adhered, Welded, Painted, Edges, Holes];
    match reader.word().and_then(|word| words::find(LAYER_WORDS, word)) {
        Some(lead) if fits.contains(&lead) => phrase(reader),
        _ => Err(reader.expected("what is done in part: `partly taped`, `partly sealed with foam`")),
    }
}

fn layers(reader: &mut Reader) -> Read<u32> {
    const HELP: &str = "a count from 1 to 20: `in 2 layers`";
    let Some(word) = reader.word() else { return Err(reader.expected(HELP)) };
    let Some(count) = word.parse().ok().filter(|n| (1..=20).contains(n)) else { return Err(reader.expected(HELP)) };
    reader.bump();
    if reader.take("layers") || reader.take("layer") { Ok(count) } else { Err(reader.expected("`in 2 layers`")) }
}

fn open(reader: &mut Reader) -> Read<Word> {
    if reader.take("unknown") {
        return Ok(Word::OpenUnknown);
    }
    let at = places(reader)?;
    let size = if begins(reader) { Some(amount(reader, &[Dimension::Length, Dimension::Ratio])?) } else { None };
    Ok(Word::Open { at, size })
}

/// `top and bottom`, `both sides`.
pub(super) fn places(reader: &mut Reader) -> Read<Vec<Spanned<OpenAt>>> {
    let mut at = Vec::new();
    loop {
        let first = reader.text();
        let Some(word) = reader.word() else { return Err(reader.expected(&place_words())) };
        let Some(place) = words::find(OPEN_AT, word) else { return Err(no_place(reader, word)) };
        reader.bump();
        let side = match place {
            OpenAt::OneSide => reader.take("side"),
            OpenAt::BothSides => reader.take("sides"),
            _ => true,
        };
        if !side {
            return Err(reader.expected("`one side` or `both sides`"));
        }
        at.push(Spanned::new(place, reader.since(first)));
        if !reader.take("and") {
            return Ok(at);
        }
    }
}

fn place_words() -> String {
    "where: `top`, `bottom`, `eave`, `ridge`, `gables`, `below`, `one side`, `both sides`".to_owned()
}

fn no_place(reader: &Reader, word: &str) -> Box<Finding> {
    let help = did_you_mean(word, words::list(OPEN_AT).filter(|w| !["one", "both"].contains(w)));
    let message = format!("{} is no place to be open at", quote(word));
    unreadable(reader.here(), message, help.unwrap_or_else(place_words))
}

/// What fills cores or flutes: nothing where they are said to be empty.
fn hollow(reader: &mut Reader) -> Read<Fill> {
    if reader.is("empty") {
        reader.bump();
        return Ok(Fill::Parts(Vec::new()));
    }
    fill(reader)
}

/// What fills bays, cores or flutes.
fn fill(reader: &mut Reader) -> Read<Fill> {
    if reader.is("unknown") {
        let mut ahead = *reader;
        ahead.bump();
        if !matches!(ahead.kind(), Kind::Word | Kind::Plus) {
            *reader = ahead;
            return Ok(Fill::Unknown(reader.before()));
        }
    }
    let mut parts = vec![build(reader)?];
    while reader.take_kind(Kind::Plus) {
        parts.push(build(reader)?);
    }
    if reader.is("or") {
        let help = "draw one; nobody knows: `bays unknown`";
        return Err(unreadable(reader.here(), "`or` cannot stand in a filling", help));
    }
    Ok(Fill::Parts(parts))
}

fn unknown(reader: &Reader, word: &str) -> Box<Finding> {
    let here = reader.here();
    if words::find(OPEN_AT, word).is_some() {
        let help = "join places with `and`: `open top and bottom`";
        return unreadable(here, format!("{} is not a layer word", quote(word)), help);
    }
    let help = words::find(words::RENAMED, word)
        .map(|instead| format!("write `{instead}`"))
        .or_else(|| did_you_mean(word, words::list(LAYER_WORDS)))
        .or_else(|| words::statement(word).map(|_| format!("{} stands on a line of its own", quote(word))))
        .unwrap_or_else(|| "a remark goes in quotes at the end of the line".to_owned());
    unreadable(here, format!("{} is not a layer word", quote(word)), help)
}
