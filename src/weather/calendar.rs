//! Whether every hour of a year is there once, in order.
//!
//! Invariant: the year of a record does not count: typical years are put together from months of several years.

use super::{Hour, Refusal};

/// Hours of a year without 29 February.
const HOURS: usize = 8760;
const DAYS: [u8; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
const HELP: &str = "every hour from 1 January to 31 December once, in order: 8,760, or 8,784 with 29 February";

/// Refuses the first record that is not the one expected there.
pub(super) fn in_order(hours: &[Hour], per_hour: usize) -> Result<(), Refusal> {
    let leap = hours.iter().find(|h| (h.month, h.day) == (2, 29));
    if let Some(day) = leap
        && hours.len() == HOURS * per_hour
    {
        let help = "a year with 29 February has 8,784 hours; a file with 8,760 of them is shifted by a day after it";
        return Err(Refusal::at(day.line, "29 February in a file of 8,760 hours", help));
    }
    // Hours are counted 1 to 24; a file that begins at 0 counts 0 to 23 throughout.
    let from = u8::from(hours.first().is_none_or(|h| h.hour != 0));
    let mut wanted = year(leap.is_some(), from).flat_map(|slot| std::iter::repeat_n(slot, per_hour));
    for hour in hours {
        let Some(slot) = wanted.next() else {
            let help = format!("{HELP}; take out what follows");
            return Err(Refusal::at(hour.line, "a record after the last hour of the year", help));
        };
        if slot != (hour.month, hour.day, hour.hour) {
            let is = said((hour.month, hour.day, hour.hour));
            return Err(Refusal::at(hour.line, format!("{is} where {} was expected", said(slot)), HELP));
        }
    }
    match wanted.next() {
        None => Ok(()),
        Some(slot) => {
            let what = format!("it ends before {}: {} records", said(slot), hours.len());
            Err(Refusal { line: hours.last().map(|h| h.line), what, help: HELP.to_owned() })
        }
    }
}

fn year(leap: bool, from: u8) -> impl Iterator<Item = (u8, u8, u8)> {
    (1..).zip(DAYS).flat_map(move |(month, days)| {
        let days = if leap && month == 2 { days + 1 } else { days };
        (1..=days).flat_map(move |day| (from..from + 24).map(move |hour| (month, day, hour)))
    })
}

fn said((month, day, hour): (u8, u8, u8)) -> String {
    format!("{month}/{day} hour {hour}")
}
