//! Floor 1: the text of a weather file (EPW, TMY3) to the twelve monthly means that a climate is made of.
//!
//! Not here: fetching the text (cli), what a climate means for a job (model). Invariant: vapor is averaged as pressure;
//! what was repaired is counted and told, and what can't be repaired is refused with its line.

mod calendar;
mod epw;
mod field;
mod means;
mod repair;
mod tmy3;

use crate::base::math;
use crate::base::quantity::{Length, Pressure, RelativeHumidity, Temperature};
use std::fmt;

/// Most lines of a weather file: a year of hours in 22 records each.
const MOST_LINES: usize = 200_000;
/// Longest line, bytes.
const LONGEST_LINE: usize = 64 << 10;

/// Why a text can't be read as weather.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// Line of the weather file, from 1; none when it is about the whole.
    pub line: Option<usize>,
    /// What is wrong: lower case, no full stop.
    pub what: String,
    /// What was expected, and a way out.
    pub help: String,
}

impl Refusal {
    fn at(line: usize, what: impl Into<String>, help: impl Into<String>) -> Self {
        Self { line: Some(line), what: what.into(), help: help.into() }
    }

    fn whole(what: impl Into<String>, help: impl Into<String>) -> Self {
        Self { line: None, what: what.into(), help: help.into() }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        f.write_str(&self.what)
    }
}

/// Layout of a weather file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layout {
    /// Eight header lines, then 35 columns an hour.
    Epw,
    /// A station line, a line of column names, then a line an hour.
    Tmy3,
}

/// Where the weather was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// What the file calls it.
    pub title: String,
    /// Country as the file writes it (`USA`); TMY3 files have none and are of the United States.
    pub country: String,
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// Height above the sea.
    pub elevation: Length,
}

/// Means of one month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Month {
    /// Mean air temperature.
    pub temperature: Temperature,
    /// Mean vapor pressure, over water.
    pub vapor: Pressure,
    /// Mean of the hours' relative humidity, over water: for print only.
    pub humidity: RelativeHumidity,
    /// The year its hours are of.
    pub year: i32,
}

/// A weather file, read.
#[derive(Clone, Debug, PartialEq)]
pub struct Weather {
    /// Its layout.
    pub layout: Layout,
    /// Its place.
    pub station: Station,
    /// January first.
    pub months: [Month; 12],
    /// K d below 18.33 C (65 F) and above 10 C in the year, from daily means.
    pub degree_days: (f64, f64),
    /// What was repaired, with counts.
    pub repairs: Vec<String>,
}

impl Weather {
    /// The year, where all months are of one.
    pub fn single_year(&self) -> Option<i32> {
        let [first, rest @ ..] = self.months;
        rest.iter().all(|m| m.year == first.year).then_some(first.year)
    }

    /// What the months are, and which years they are of.
    pub fn record(&self) -> String {
        match self.single_year() {
            Some(year) => format!("hours of one year, {year}: a single year is no mean"),
            None => {
                let years: Vec<String> = self.months.iter().map(|m| m.year.to_string()).collect();
                format!("typical year, January to December from {}: single months can be off by 2 K", years.join(", "))
            }
        }
    }
}

/// Reads the text of a weather file.
///
/// # Errors
/// A [`Refusal`] when the layout is neither, an hour is missing or out of place, a figure is out of range, or a gap is
/// longer than six hours.
pub fn read(text: &str) -> Result<Weather, Refusal> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    within_limits(text)?;
    let first = text.lines().next().unwrap_or("").trim_start();
    let layout = if first.get(..8).is_some_and(|s| s.eq_ignore_ascii_case("LOCATION")) {
        Layout::Epw
    } else if first.split(',').next().is_some_and(|id| id.len() == 6 && id.bytes().all(|b| b.is_ascii_digit())) {
        Layout::Tmy3
    } else {
        let help = "an EPW file begins with `LOCATION,`, a TMY3 file with the station's six digits and a comma";
        return Err(Refusal::at(1, "this is no line that a weather file begins with", help));
    };
    let raw = match layout {
        Layout::Epw => epw::read(text)?,
        Layout::Tmy3 => tmy3::read(text)?,
    };
    calendar::in_order(&raw.hours, raw.per_hour)?;
    let filled = repair::fill(&raw)?;
    let months = means::months(&filled.states);
    let mut repairs = raw.remarks;
    repairs.extend(filled.repairs);
    let degree_days = means::degree_days(&filled.states, raw.per_hour);
    Ok(Weather { layout, station: raw.station, months, degree_days, repairs })
}

fn within_limits(text: &str) -> Result<(), Refusal> {
    for (index, line) in text.split('\n').enumerate() {
        if index >= MOST_LINES {
            let help = "a year of hours has 8,760; a file of shorter steps has to be averaged to hours first";
            return Err(Refusal::whole(format!("more than {MOST_LINES} lines"), help));
        }
        if line.len() > LONGEST_LINE {
            return Err(Refusal::at(index + 1, "a line of more than 64 KiB", "save the file with one line an hour"));
        }
    }
    Ok(())
}

/// Saturation vapor pressure over water, degC to Pa: `611.2 exp(17.62 t/(243.12 + t))`.
///
/// Source: WMO Guide to Instruments and Methods of Observation (No. 8), Annex 4.B, from memory. Weather services report
/// humidity over water in frost too.
fn saturation(celsius: f64) -> f64 {
    611.2 * math::exp(17.62 * celsius / (243.12 + celsius))
}

/// What a layout's reader hands on.
#[derive(Debug)]
struct Raw {
    station: Station,
    hours: Vec<Hour>,
    /// Records an hour.
    per_hour: usize,
    remarks: Vec<String>,
}

/// One record; a figure is none where the file says it is missing.
#[derive(Clone, Copy, Debug)]
struct Hour {
    line: usize,
    year: i32,
    month: u8,
    day: u8,
    hour: u8,
    /// Dry bulb, degC.
    dry: Option<f64>,
    /// Dew point, degC.
    dew: Option<f64>,
    /// Relative humidity, %.
    humidity: Option<f64>,
}
