//! `places`: a list for some words, the weather of one place for its name, or what a weather file holds.
//!
//! Invariant: where weather is shown, its period, kind and credit are shown too.

use super::streams::Streams;
use super::{Exit, texts, weather};
use crate::base::near::one_of;
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::catalog::{self, Lookup, Place, PlaceMonth, Record};
use crate::output::figure::{decimals, month};
use crate::output::look::{Ink, Look};
use crate::output::wrap::{columns, hang};
use std::io::{Result, Write};
use std::path::Path;

/// Runs the command.
pub fn run(words: &[String], streams: &mut Streams) -> Result<Exit> {
    let words = words.join(" ");
    if texts::is_weather(Path::new(&words)) {
        return weather::run(Path::new(&words), streams);
    }
    let look = streams.looks.out;
    if words.trim().is_empty() {
        list(&catalog::places().collect::<Vec<_>>(), &look, &mut streams.out)?;
        return Ok(Exit::Clean);
    }
    let near = match catalog::place(&words) {
        Lookup::Found(place) => {
            show(place, &look, &mut streams.out)?;
            return Ok(Exit::Clean);
        }
        Lookup::Ambiguous { choices, .. } => choices,
        Lookup::Unknown { near } => near,
    };
    let hits = catalog::search_places(&words);
    if hits.is_empty() {
        let way_out = if near.is_empty() {
            "`dewlap places` lists all; a `climate` stanza describes any other".to_owned()
        } else {
            format!("did you mean {}? a `climate` stanza describes any other place", one_of(&near))
        };
        streams.trouble(&format!("no weather is known of `{words}`"), &way_out)?;
        return Ok(Exit::Failed);
    }
    list(&hits, &look, &mut streams.out)?;
    Ok(Exit::Clean)
}

fn list(places: &[&Place], look: &Look, out: &mut dyn Write) -> Result<()> {
    let widest = places.iter().map(|p| columns(p.key)).max().unwrap_or(0);
    for place in places {
        let text = format!("{:<4}{}", place.zone.to_string(), place.title);
        if look.width >= widest + 30 {
            writeln!(out, "{:<widest$}  {text}", place.key)?;
        } else {
            writeln!(out, "{}\n    {text}", place.key)?;
        }
    }
    let credits = credits(places);
    writeln!(out)?;
    credits.iter().try_for_each(|c| hang(out, look, "weather: ", 9, c))
}

/// Each credit line once, in the order they come.
fn credits(places: &[&Place]) -> Vec<&'static str> {
    let mut out: Vec<&'static str> = Vec::new();
    for credit in places.iter().flat_map(|p| p.credit.iter().copied()) {
        if !out.contains(&credit) {
            out.push(credit);
        }
    }
    out
}

fn show(place: &Place, look: &Look, out: &mut dyn Write) -> Result<()> {
    writeln!(out, "{}", look.paint(Ink::Head, place.key))?;
    hang(out, look, "  ", 2, &format!("{}, {}", place.title, place.country))?;
    hang(out, look, "  ", 2, &where_it_is(place.latitude, place.longitude, place.elevation))?;
    hang(out, look, "  ", 2, &format!("zone {} ({})", place.zone, place.zone.basis.words()))?;
    hang(out, look, "  ", 2, &format!("{}, {}", record(place.record), place.period))?;
    let head = |line: String| look.paint(Ink::Faint, line.trim_end());
    writeln!(out, "\n       {}", head(format!("{:>6}{:>15}{:>6}", "mean", "vapor", "rain")))?;
    writeln!(out, "       {}", head(format!("{:>6}{:>7}{:>8}{:>6}{:>6}", "F", "C", "Pa", "in", "mm")))?;
    for (index, line) in place.months.iter().enumerate() {
        writeln!(out, "  {:<5}{}", month(index as u8 + 1), row(line))?;
    }
    writeln!(out)?;
    if let Some(rain) = place.yearly_rain() {
        let (inch, mm) = (decimals(rain.si() / INCH, 1), decimals(rain.si() * 1000.0, 0));
        hang(out, look, "", 0, &format!("{inch} in ({mm} mm) of rain and snow a year"))?;
    }
    place.credit.iter().try_for_each(|c| hang(out, look, "weather: ", 9, c))
}

/// Where a station lies, in one line.
pub fn where_it_is(latitude: f64, longitude: f64, elevation: Length) -> String {
    let north = if latitude < 0.0 { 'S' } else { 'N' };
    let east = if longitude < 0.0 { 'W' } else { 'E' };
    format!(
        "{} {north}, {} {east}, {} ft ({} m) above the sea",
        decimals(latitude.abs(), 2),
        decimals(longitude.abs(), 2),
        decimals(elevation.si() / (12.0 * INCH), 0),
        decimals(elevation.si(), 0)
    )
}

fn record(record: Record) -> &'static str {
    match record {
        Record::Mean => "mean year",
        Record::TypicalYear => "typical year: single months can be off by 2 K",
        Record::Table => "mean year by a published table of monthly figures",
    }
}

fn row(m: &PlaceMonth) -> String {
    let t = m.temperature.si();
    let rain = |factor: f64, places| m.rain.map_or_else(|| "-".to_owned(), |r| decimals(r.si() * factor, places));
    format!(
        "{:>6}{:>7}{:>8}{:>6}{:>6}",
        decimals(t * 1.8 + 32.0, 0),
        decimals(t, 1),
        decimals(m.vapor.si(), 0),
        rain(1.0 / INCH, 1),
        rain(1000.0, 0)
    )
}
