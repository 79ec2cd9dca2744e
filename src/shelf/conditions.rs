//! Reads the conditions that a detail holds for: zones, rain, air of the rooms, height, directions.
//!
//! Not here: whether a job keeps them (rules). Invariant: total; a condition that can't be read is told and left out.

use super::keys::{Form, unknown};
use super::yaml::{Part, short};
use crate::base::finding::Finding;
use crate::base::quantity::{Length, RelativeHumidity, Temperature};
use crate::base::span::{Span, Spanned};
use crate::base::unit::Dimension;
use crate::catalog::{Zone, ZoneBasis};
use crate::model::UNKNOWN_NAME;
use crate::model::detail::{Cooling, Holds, ZoneMask};
use crate::syntax;
use crate::syntax::ast::Rain;
use crate::syntax::words::{self, RAINS};

/// The keys under `holds`.
const KEYS: &[&str] = &["zones", "rain", "heated", "cooled", "height", "faces"];

type Said<T> = Result<Spanned<T>, Box<Finding>>;

/// Reads what stands under `holds`.
pub(super) fn holds(part: &Part, problems: &mut Vec<Finding>) -> Holds {
    let mut form = Form::new(part, *part, KEYS, problems);
    Holds {
        zones: form.once("zones", zone),
        rain: form.read("rain", rain),
        heated: form.read("heated", heated),
        cooled: form.read("cooled", cooled),
        height: form.read("height", height),
        faces: form.once("faces", face),
    }
}

fn zone(part: &Part) -> Said<ZoneMask> {
    let said = part.words()?;
    let zone = Zone::read(&said, ZoneBasis::Written).ok_or_else(|| {
        let help = "zones are 0 to 8, 0 to 6 with a letter: `4A`; a bare number is all letters of it";
        part.problem(UNKNOWN_NAME, format!("there is no zone `{}`", short(&said)), help)
    })?;
    Ok(Spanned::new(ZoneMask { number: zone.number, letter: zone.letter }, part.inner().span()))
}

fn rain(part: &Part) -> Said<Rain> {
    let word = bound(part, "up to", "normal")?;
    let found = RAINS.iter().find(|(known, _)| known.eq_ignore_ascii_case(word.text()));
    let known: Vec<&str> = RAINS.iter().map(|(known, _)| *known).collect();
    let (_, rain) = found.ok_or_else(|| unknown(&word, "rain", word.text(), &known))?;
    Ok(Spanned::new(*rain, part.inner().span()))
}

fn heated(part: &Part) -> Said<RelativeHumidity> {
    let (share, span) = figure(part, "up to", "40 %", Dimension::Ratio)?;
    if share > 1.0 {
        return Err(part.wrong("a humidity above 100 %", "write it as `up to 40 %`"));
    }
    Ok(Spanned::new(RelativeHumidity::new(share), span))
}

fn cooled(part: &Part) -> Said<Cooling> {
    if part.inner().text().eq_ignore_ascii_case("never") {
        return Ok(Spanned::new(Cooling::Never, part.inner().span()));
    }
    let (degrees, span) = figure(part, "down to", "72 F", Dimension::Temperature)?;
    Ok(Spanned::new(Cooling::DownTo(Temperature::new(degrees)), span))
}

fn height(part: &Part) -> Said<Length> {
    let (metres, span) = figure(part, "up to", "30 ft", Dimension::Length)?;
    if metres <= 0.0 {
        return Err(part.wrong("no building is so low", "write it as `up to 30 ft`"));
    }
    Ok(Spanned::new(Length::new(metres), span))
}

fn face(part: &Part) -> Said<String> {
    let said = part.words()?;
    let known: Vec<&str> = words::directions().collect();
    let face = words::compass(&said).ok_or_else(|| unknown(part, "direction", &said, &known))?;
    Ok(Spanned::new(face, part.inner().span()))
}

/// What stands after `up to` or `down to`.
fn bound<'t>(part: &Part<'t>, words: &str, example: &str) -> Result<Part<'t>, Box<Finding>> {
    part.words()?;
    let help = || format!("write it as `{words} {example}`");
    part.after(words).ok_or_else(|| part.wrong(format!("`{}` is no bound", short(part.inner().text())), help()))
}

/// The figure of a bound in SI, and where the bound stands.
fn figure(part: &Part, words: &str, example: &str, fits: Dimension) -> Result<(f64, Span), Box<Finding>> {
    let after = bound(part, words, example)?;
    let (file, source) = after.source();
    let figure = syntax::figure(file, source, after.text(), &[fits])?;
    Ok((figure.si, part.inner().span()))
}
