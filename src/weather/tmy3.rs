//! The TMY3 layout: a station line, a line of column names, then a line an hour.
//!
//! Invariant: columns are found by their names, because copies differ in how many there are.

use super::field::{self, DEW, DRY, HUMIDITY, cut, figure, line_of, text, whole};
use super::{Hour, Raw, Refusal, Station};
use csv::StringRecord;

/// Where the columns are that are read.
struct Columns {
    date: usize,
    time: usize,
    dry: usize,
    dew: usize,
    humidity: usize,
}

/// Reads station, names and hours.
pub(super) fn read(content: &str) -> Result<Raw, Refusal> {
    let mut reader = field::reader(content, true);
    let mut records = reader.records();
    let mut next = || records.next().transpose().map_err(|e| field::unread(&e)).map(Option::unwrap_or_default);
    let mut remarks = Vec::new();
    let station = station(&next()?, &mut remarks)?;
    let columns = columns(&next()?)?;
    let mut hours = Vec::new();
    for record in records {
        let record = record.map_err(|e| field::unread(&e))?;
        if record.iter().any(|f| !f.is_empty()) {
            hours.push(hour(&record, &columns)?);
        }
    }
    field::percent(&hours)?;
    Ok(Raw { station, hours, per_hour: 1, remarks })
}

/// Number, name, state, time zone, latitude, longitude, elevation; commas inside the name are put up with.
fn station(record: &StringRecord, remarks: &mut Vec<String>) -> Result<Station, Refusal> {
    let fields: Vec<&str> = record.iter().collect();
    let line = line_of(record);
    let used = fields.iter().rposition(|f| !f.is_empty()).map_or(0, |last| last + 1);
    let Some([_, names @ .., clock, latitude, longitude, elevation]) = fields.get(..used).filter(|f| f.len() >= 7)
    else {
        let help = "six digits, name, state, time zone, latitude, longitude and elevation, with commas between them";
        return Err(Refusal::at(line, format!("{used} fields where 7 were expected"), help));
    };
    let title = names.join(", ");
    field::station(line, title, "USA".to_owned(), [latitude, longitude, clock, elevation], remarks)
}

fn columns(record: &StringRecord) -> Result<Columns, Refusal> {
    let find = |name: &str, unit: &str| {
        let begins = |f: &str| f.get(..name.len()).is_some_and(|start| start.eq_ignore_ascii_case(name));
        let unit_of = |f: &str| f.get(name.len()..).map(str::trim).map(str::to_ascii_uppercase);
        let Some((index, found)) = record.iter().enumerate().find(|(_, f)| begins(f)) else {
            let help = "the second line of a TMY3 file names the columns; take the file as it was published";
            return Err(Refusal::at(2, format!("there is no column `{name} {unit}`"), help));
        };
        if unit_of(found).as_deref() == Some(unit) {
            return Ok(index);
        }
        let help = "a file in other units has to be converted first";
        Err(Refusal::at(2, format!("`{}` where `{name} {unit}` was expected", cut(found)), help))
    };
    Ok(Columns {
        date: find("Date", "(MM/DD/YYYY)")?,
        time: find("Time", "(HH:MM)")?,
        dry: find("Dry-bulb", "(C)")?,
        dew: find("Dew-point", "(C)")?,
        humidity: find("RHum", "(%)")?,
    })
}

fn hour(record: &StringRecord, columns: &Columns) -> Result<Hour, Refusal> {
    let line = line_of(record);
    let date = text(record, columns.date);
    let time = text(record, columns.time);
    let mut parts = date.split('/');
    let (Some(month), Some(day), Some(year), None) = (parts.next(), parts.next(), parts.next(), parts.next()) else {
        return Err(Refusal::at(line, format!("`{}` is no date", cut(date)), "a date is written 01/31/1988"));
    };
    let Some((hour, "00")) = time.split_once(':') else {
        return Err(Refusal::at(line, format!("`{}` is no full hour", cut(time)), "a time is written 01:00 to 24:00"));
    };
    if record.len() <= columns.humidity.max(columns.dew).max(columns.dry) {
        let help = "a line has as many columns as the second line names; the last one may be cut short";
        return Err(Refusal::at(line, format!("{} columns only", record.len()), help));
    }
    let missing = |value: f64| value <= -9000.0;
    Ok(Hour {
        line,
        year: whole(year, line, "year")?,
        month: whole(month, line, "month")?,
        day: whole(day, line, "day")?,
        hour: whole(hour, line, "hour")?,
        dry: figure(text(record, columns.dry), line, DRY, missing)?,
        dew: figure(text(record, columns.dew), line, DEW, missing)?,
        humidity: figure(text(record, columns.humidity), line, HUMIDITY, missing)?,
    })
}
