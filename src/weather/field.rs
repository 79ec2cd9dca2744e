//! One field of a weather file: a figure, missing or out of range.
//!
//! Invariant: a figure handed on is finite and within its range.

use super::{Hour, Refusal, Station};
use crate::base::quantity::Length;
use csv::StringRecord;

/// What a column holds.
#[derive(Clone, Copy, Debug)]
pub(super) struct Column {
    /// Its name in messages.
    pub name: &'static str,
    /// Its unit in messages.
    pub unit: &'static str,
    /// Lowest and highest figure.
    pub range: (f64, f64),
}

/// Dry bulb.
pub(super) const DRY: Column = Column { name: "dry bulb", unit: "C", range: (-70.0, 70.0) };
/// Dew point.
pub(super) const DEW: Column = Column { name: "dew point", unit: "C", range: (-70.0, 70.0) };
/// Relative humidity.
pub(super) const HUMIDITY: Column = Column { name: "relative humidity", unit: "%", range: (0.0, 110.0) };

/// A reader of comma-separated lines; they may differ in length.
pub(super) fn reader(text: &str, quotes: bool) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .quoting(quotes)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
}

/// The line a record begins at.
pub(super) fn line_of(record: &StringRecord) -> usize {
    record.position().map_or(0, |p| usize::try_from(p.line()).unwrap_or(usize::MAX))
}

/// A field, empty when the line ends before it.
pub(super) fn text(record: &StringRecord, index: usize) -> &str {
    record.get(index).unwrap_or("")
}

/// A record that the layer below can't read.
pub(super) fn unread(error: &csv::Error) -> Refusal {
    let line = error.position().map(|p| usize::try_from(p.line()).unwrap_or(usize::MAX));
    let what = "this line is no list of fields with commas between them".to_owned();
    Refusal { line, what, help: "save the file as text with commas and without quotes inside a field".to_owned() }
}

/// A whole number of a date.
pub(super) fn whole<T: std::str::FromStr>(field: &str, line: usize, what: &str) -> Result<T, Refusal> {
    field.trim().parse().map_err(|_| {
        let help = "each line says year, month, day and hour in whole numbers";
        Refusal::at(line, format!("the {what} `{}` is no whole number", cut(field)), help)
    })
}

/// A figure; none where it is missing.
pub(super) fn figure(
    field: &str,
    line: usize,
    column: Column,
    missing: fn(f64) -> bool,
) -> Result<Option<f64>, Refusal> {
    if field.is_empty() {
        return Ok(None);
    }
    let Some(value) = field.parse::<f64>().ok().filter(|v| v.is_finite()) else {
        let help = format!("a figure in {} is expected there, with a point before its decimals", column.unit);
        return Err(Refusal::at(line, format!("the {} `{}` is no number", column.name, cut(field)), help));
    };
    let (low, high) = column.range;
    let celsius = column.unit == "C";
    let kelvin = celsius && (180.0..340.0).contains(&value);
    if missing(value) && !kelvin {
        return Ok(None);
    }
    if (low..=high).contains(&value) {
        return Ok(Some(value));
    }
    let help = if celsius {
        "degrees Celsius are expected; a file in Fahrenheit, kelvin or tenths has to be converted first"
    } else {
        "percent is expected; a column too few or too many shifts all that follow"
    };
    let what = format!("the {} {} is outside of {low} to {high} {}", column.name, cut(field), column.unit);
    Err(Refusal::at(line, what, help))
}

/// The station of a header line, from its last fields: latitude, longitude and, at the end, elevation.
pub(super) fn station(
    line: usize,
    title: String,
    country: String,
    [latitude, longitude, clock, elevation]: [&str; 4],
    remarks: &mut Vec<String>,
) -> Result<Station, Refusal> {
    let figure = |field: &str, what: &str, (low, high): (f64, f64)| {
        let value = field.parse::<f64>().ok().filter(|v| (low..=high).contains(v));
        value.ok_or_else(|| {
            let help = "latitude, longitude, hours from Greenwich and elevation in m are expected, in this order";
            Refusal::at(line, format!("the {what} `{}` is no figure of {low} to {high}", cut(field)), help)
        })
    };
    let latitude = figure(latitude, "latitude", (-90.0, 90.0))?;
    let longitude = figure(longitude, "longitude", (-180.0, 180.0))?;
    figure(clock, "time zone", (-12.0, 14.0))?;
    let elevation = figure(elevation, "elevation", (-500.0, 9000.0))?;
    if latitude.abs() + longitude.abs() < 1e-9 {
        remarks.push("latitude and longitude are both 0: the place is hardly meant".to_owned());
    }
    Ok(Station { title, country, latitude, longitude, elevation: Length::new(elevation) })
}

/// Refuses humidity written as a fraction: no place stays at 1 % all year.
pub(super) fn percent(hours: &[Hour]) -> Result<(), Refusal> {
    let fits = |h: &Hour| h.humidity.is_none_or(|phi| phi <= 1.0);
    match hours.iter().find(|h| h.humidity.is_some()) {
        Some(first) if hours.iter().all(fits) => Err(Refusal::at(
            first.line,
            "the relative humidity is never above 1",
            "percent is expected, 0 to 100; a fraction has to be multiplied by 100 first",
        )),
        _ => Ok(()),
    }
}

/// A field cut for a message.
pub(super) fn cut(field: &str) -> String {
    field.chars().filter(|c| !c.is_control()).take(16).collect()
}
