//! `places FILE`: what is read from a weather file, month by month.
//!
//! Invariant: which years the months are of, and each repair, stand beside the figures.

use super::Exit;
use super::places::where_it_is;
use super::streams::Streams;
use super::texts;
use crate::catalog::zone_from;
use crate::model::climate::zone_weather;
use crate::output::figure::{decimals, month};
use crate::output::look::{Ink, Look};
use crate::output::wrap::hang;
use crate::weather::{self, Layout, Month, Weather};
use std::io::{Result, Write};
use std::path::Path;

/// Shows what is read, or why it is refused.
pub fn run(path: &Path, streams: &mut Streams) -> Result<Exit> {
    let name = texts::shown(path);
    let text = match texts::read_weather(path) {
        Ok(text) => text,
        Err(why) => {
            streams.trouble(&format!("{name}: {why}"), "")?;
            return Ok(Exit::Failed);
        }
    };
    match weather::read(&text) {
        Ok(weather) => {
            let look = streams.looks.out;
            show(&name, &weather, &look, &mut streams.out)?;
            Ok(Exit::Clean)
        }
        Err(refusal) => {
            streams.trouble(&format!("{name}: {refusal}"), &refusal.help)?;
            Ok(Exit::Failed)
        }
    }
}

fn show(name: &str, weather: &Weather, look: &Look, out: &mut dyn Write) -> Result<()> {
    let station = &weather.station;
    let layout = match weather.layout {
        Layout::Epw => "EPW",
        Layout::Tmy3 => "TMY3",
    };
    writeln!(out, "{}", look.paint(Ink::Head, name))?;
    hang(out, look, "  ", 2, &format!("{} ({layout})", station.title))?;
    hang(out, look, "  ", 2, &where_it_is(station.latitude, station.longitude, station.elevation))?;
    let zone = zone_from(&zone_weather(weather));
    let dry = if zone.letter.is_none() && zone.number < 7 { "; a letter wants `rainfall` beside the file" } else { "" };
    hang(out, look, "  ", 2, &format!("zone {zone} ({}{dry})", zone.basis.words()))?;
    hang(out, look, "  ", 2, &weather.record())?;
    let head = |line: String| look.paint(Ink::Faint, line.trim_end());
    writeln!(out, "\n       {}", head(format!("{:>6}{:>15}{:>6}{:>7}", "mean", "vapor", "RH", "year")))?;
    writeln!(out, "       {}", head(format!("{:>6}{:>7}{:>8}{:>6}", "F", "C", "Pa", "%")))?;
    for (index, line) in weather.months.iter().enumerate() {
        writeln!(out, "  {:<5}{}", month(index as u8 + 1), row(line))?;
    }
    writeln!(out)?;
    if weather.repairs.is_empty() {
        return hang(out, look, "", 0, "nothing was repaired");
    }
    weather.repairs.iter().try_for_each(|repair| hang(out, look, "repaired: ", 10, repair))
}

fn row(m: &Month) -> String {
    let t = m.temperature.si();
    format!(
        "{:>6}{:>7}{:>8}{:>6}{:>7}",
        decimals(t * 1.8 + 32.0, 0),
        decimals(t, 1),
        decimals(m.vapor.si(), 0),
        decimals(m.humidity.si() * 100.0, 0),
        m.year
    )
}
