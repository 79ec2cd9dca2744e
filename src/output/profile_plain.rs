//! The moisture profile in sentences, for screen readers.
//!
//! Invariant: the same figures as the tables.

use super::figure::{Units, month, percent, water_full};
use super::look::Look;
use super::verdict::place_words;
use super::wrap::hang;
use crate::review::report::{PathReport, PointLine};
use std::io::{Result, Write};

/// Writes one sentence an interface and month.
pub fn write(out: &mut dyn Write, path: &PathReport, only: Option<u8>, units: Units, look: &Look) -> Result<()> {
    for (index, at) in path.interfaces.iter().enumerate() {
        hang(out, look, "", 0, &format!("Interface {}, {}.", index + 1, place_words(at)))?;
        for line in path.months.iter().filter(|m| only.is_none_or(|o| o == m.month)) {
            if let Some(point) = line.points.get(index) {
                hang(out, look, "", 0, &format!("{}: {}.", month(line.month), words(point, units)))?;
            }
        }
    }
    Ok(())
}

fn words(p: &PointLine, units: Units) -> String {
    let water = if p.water.si() > 0.0 { water_full(p.water) } else { "no".to_owned() };
    format!(
        "{} {}, humidity {} %, {} above the dew point, {water} water",
        units.temperature(p.temperature),
        units.temperature_word(),
        percent(p.humidity),
        units.difference_full(p.margin),
    )
}
