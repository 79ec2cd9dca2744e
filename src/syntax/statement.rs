//! Statements: one line, the first word says what it is about.
//!
//! Invariant: a statement is read whole or becomes a hole that keeps its first word.

use super::amount::{amount, begins, known};
use super::ast::{Amount, Fact, Humidity, Season};
use super::item::{edge, edges};
use super::layer::build;
use super::months::twelve;
use super::oneline::path;
use super::phrase::places;
use super::problem::{Read, did_you_mean, quote, unreadable};
use super::reader::Reader;
use super::token::Kind;
use super::words::{self, COMPASS, Lead, RAINS};
use crate::base::unit::Dimension;

/// What follows the first word.
pub(super) fn fact(reader: &mut Reader, lead: Lead) -> Read<Fact> {
    let length = &[Dimension::Length];
    let share = &[Dimension::Ratio];
    Ok(match lead {
        Lead::Place => Fact::Place(reader.name("a place of the list, or a `climate` of your own")?),
        Lead::Code => Fact::Code(reader.name("a code: `code irc-2021`")?),
        Lead::Units => units(reader)?,
        Lead::Rain => rain(reader)?,
        Lead::Airtight => Fact::Airtight(amount(reader, &[Dimension::AirChange])?),
        Lead::Ventilated => Fact::Ventilated(amount(reader, &[Dimension::AirFlow])?),
        Lead::Wood => wood(reader)?,
        Lead::Height => Fact::Height(amount(reader, length)?),
        Lead::Heated => air(reader, Season::Heated)?,
        Lead::Cooled => air(reader, Season::Cooled)?,
        Lead::Always => air(reader, Season::Always)?,
        Lead::Unheated => Fact::Unheated,
        Lead::Open => open(reader)?,
        Lead::Shares => shares(reader)?,
        Lead::Dehumidified => Fact::Dehumidified(amount(reader, share)?),
        Lead::Like => Fact::Like(reader.name("a place of the list: `like asheville-nc-us`")?),
        Lead::File => Fact::File(path(reader, "file FILE", "a weather file: `file press-room.epw`")?),
        Lead::Zone => Fact::Zone(reader.name("a climate zone: `zone 4A`")?),
        Lead::Temperature => Fact::Temperatures(twelve(reader, Dimension::Temperature)?),
        Lead::Humidity => Fact::Humidities(twelve(reader, Dimension::Ratio)?),
        Lead::Rainfall => Fact::Rainfall(amount(reader, length)?),
        Lead::Elevation => Fact::Elevation(amount(reader, length)?),
        Lead::Design => design(reader)?,
        Lead::Slope => {
            let by = amount(reader, &[Dimension::Slope, Dimension::Ratio, Dimension::Angle])?;
            Fact::Slope { by, to: if reader.take("to") { Some(edge(reader)?) } else { None } }
        }
        Lead::Faces => faces(reader)?,
        Lead::Overhang => Fact::Overhang(amount(reader, length)?),
        Lead::Clears => {
            let what = reader.name("what is cleared: `clears grade 8 in`")?;
            Fact::Clears { what, by: amount(reader, length)? }
        }
        Lead::Existing => Fact::Existing,
        Lead::Framing => Fact::Framing(amount(reader, share)?),
        Lead::Port => port(reader)?,
        Lead::Drains => drains(reader)?,
        Lead::Continues => Fact::Continues(edges(reader)?),
        Lead::Unjoined => Fact::Unjoined(edges(reader)?),
    })
}

fn units(reader: &mut Reader) -> Read<Fact> {
    let metric = reader.is("metric");
    if metric || reader.is("inch") {
        reader.bump();
        return Ok(Fact::Units { metric });
    }
    Err(reader.expected("`inch` or `metric`"))
}

fn design(reader: &mut Reader) -> Read<Fact> {
    if reader.take("year") { Ok(Fact::DesignYear) } else { Err(reader.expected("`year`: `design year`")) }
}

fn rain(reader: &mut Reader) -> Read<Fact> {
    match reader.word().and_then(|word| words::find(RAINS, word)) {
        Some(rain) => {
            reader.bump();
            Ok(Fact::Rain(rain))
        }
        None => Err(reader.expected("`sheltered`, `normal`, `severe` or `very-severe`")),
    }
}

fn wood(reader: &mut Reader) -> Read<Fact> {
    let at = amount(reader, &[Dimension::Ratio])?;
    if reader.take("at") && reader.take("cover") {
        return Ok(Fact::WoodAtCover(at));
    }
    Err(reader.expected("`wood 16 % at cover`"))
}

fn air(reader: &mut Reader, season: Season) -> Read<Fact> {
    let temperature = amount(reader, &[Dimension::Temperature])?;
    let humidity = humidity(reader)?;
    let mut held = false;
    if reader.take_kind(Kind::Comma) {
        if !reader.take("held") {
            return Err(reader.expected("`held`: the use or a machine keeps it so"));
        }
        held = true;
    }
    Ok(Fact::Air { season, temperature, humidity, held })
}

fn humidity(reader: &mut Reader) -> Read<Humidity> {
    if reader.take("class") {
        let class = reader.word().and_then(|word| word.parse().ok()).filter(|class| (1..=5).contains(class));
        let Some(class) = class else { return Err(reader.expected("a humidity class, 1 to 5")) };
        reader.bump();
        let standard = reader.name("the standard: `class 3 iso-13788`")?;
        return Ok(Humidity::Class { class, standard });
    }
    if !begins(reader) {
        return Err(reader.expected("a humidity: `35 %`, `30 % to 45 %`, `class 3 iso-13788` or `unknown`"));
    }
    Ok(Humidity::Amount(amount(reader, &[Dimension::Ratio])?))
}

fn open(reader: &mut Reader) -> Read<Fact> {
    if reader.take("unknown") {
        return Ok(Fact::OpenRoom { at: Vec::new(), ratio: Some(Amount::Unknown(reader.before())) });
    }
    let at = places(reader)?;
    let ratio = if begins(reader) { Some(amount(reader, &[Dimension::Ratio])?) } else { None };
    Ok(Fact::OpenRoom { at, ratio })
}

fn shares(reader: &mut Reader) -> Read<Fact> {
    let room = reader.name("whose air: `shares indoors`")?;
    let (mut supplied, mut per) = (None, None);
    if reader.take_kind(Kind::Comma) {
        if !reader.take("supplied") {
            return Err(reader.expected("`supplied 50 cfm per 1000 ft2`"));
        }
        supplied = Some(amount(reader, &[Dimension::AirFlow])?);
        if reader.take("per") {
            per = Some(Amount::Known(known(reader, &[Dimension::Area])?));
        }
    }
    Ok(Fact::Shares { room, supplied, per })
}

fn faces(reader: &mut Reader) -> Read<Fact> {
    const EXPECTED: &str = "a direction: `N`, `NE`, `E`, `SE`, `S`, `SW`, `W` or `NW`";
    let Some(word) = reader.word() else { return Err(reader.expected(EXPECTED)) };
    if reader.take("unknown") {
        return Ok(Fact::Faces(reader.make_name(word)));
    }
    if !COMPASS.iter().any(|known| known.eq_ignore_ascii_case(word)) {
        let help = did_you_mean(word, COMPASS.iter().copied()).unwrap_or_else(|| format!("expected {EXPECTED}"));
        return Err(unreadable(reader.here(), format!("{} is no direction", quote(word)), help));
    }
    Ok(Fact::Faces(reader.name(EXPECTED)?))
}

fn drains(reader: &mut Reader) -> Read<Fact> {
    const FORM: &str = "`drains to gutter`, `drains to outlet, overflow`";
    if !reader.take("to") {
        return Err(reader.expected(FORM));
    }
    let to = reader.name("where the water goes: `gutter`, `outlet`")?;
    let mut overflow = false;
    if reader.take_kind(Kind::Comma) {
        if !reader.take("overflow") {
            return Err(reader.expected("`overflow`: a second way out"));
        }
        overflow = true;
    }
    Ok(Fact::Drains { to, overflow })
}

fn port(reader: &mut Reader) -> Read<Fact> {
    let at = places(reader)?;
    let width = amount(reader, &[Dimension::Length])?;
    if !reader.take_kind(Kind::Comma) {
        return Err(reader.expected("a comma and what covers it: `port ridge 4 in, MATERIAL`"));
    }
    Ok(Fact::Port { at, width, cover: Box::new(build(reader)?) })
}
