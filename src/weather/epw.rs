//! The EPW layout: eight header lines, then 35 columns a record. Source: its public data dictionary.
//!
//! Invariant: columns are told by number, so a line of too few or too many is refused.

use super::field::{self, DEW, DRY, HUMIDITY, cut, figure, line_of, text, whole};
use super::{Hour, Raw, Refusal, Station};
use csv::StringRecord;

/// First words of the header lines. The dictionary writes `SAVING`, many files `SAVINGS`.
const HEADERS: [&str; 8] = [
    "LOCATION",
    "DESIGN CONDITIONS",
    "TYPICAL/EXTREME PERIODS",
    "GROUND TEMPERATURES",
    "HOLIDAYS/DAYLIGHT SAVING",
    "COMMENTS 1",
    "COMMENTS 2",
    "DATA PERIODS",
];
/// Columns of a record; older files end before the last six, which are not used here.
const COLUMNS: std::ops::RangeInclusive<usize> = 29..=35;

/// Reads header and records.
pub(super) fn read(content: &str) -> Result<Raw, Refusal> {
    let mut reader = field::reader(content, false);
    let mut records = reader.records();
    let (mut station, mut per_hour, mut remarks) = (None, 1, Vec::new());
    for (index, keyword) in HEADERS.into_iter().enumerate() {
        let record = records.next().transpose().map_err(|e| field::unread(&e))?.unwrap_or_default();
        header(&record, index, keyword)?;
        match keyword {
            "LOCATION" => station = Some(location(&record, &mut remarks)?),
            "DATA PERIODS" => per_hour = records_an_hour(&record)?,
            _ => {}
        }
    }
    let mut hours = Vec::new();
    for record in records {
        let record = record.map_err(|e| field::unread(&e))?;
        if record.iter().any(|f| !f.is_empty()) {
            hours.push(hour(&record)?);
        }
    }
    field::percent(&hours)?;
    let station = station.ok_or_else(|| Refusal::at(1, "there is no station", "`LOCATION,` begins the first line"))?;
    Ok(Raw { station, hours, per_hour, remarks })
}

fn header(record: &StringRecord, index: usize, keyword: &str) -> Result<(), Refusal> {
    let found = text(record, 0);
    if found.get(..keyword.len()).is_some_and(|start| start.eq_ignore_ascii_case(keyword)) {
        return Ok(());
    }
    let line = if record.is_empty() { index + 1 } else { line_of(record) };
    let help = "an EPW file has eight header lines in fixed order; take the file as it was published";
    Err(Refusal::at(line, format!("`{}` where `{keyword}` was expected", cut(found)), help))
}

/// City, state, country, source, station number, then four figures; commas inside the names are put up with.
fn location(record: &StringRecord, remarks: &mut Vec<String>) -> Result<Station, Refusal> {
    let mut fields: Vec<&str> = record.iter().skip(1).collect();
    while fields.last().is_some_and(|f| f.is_empty()) {
        fields.pop();
    }
    let line = line_of(record);
    let joined;
    let figures: [&str; 4];
    let count = if let [.., latitude, longitude, hours, part, elevation] = fields.as_slice()
        && fields.len() == 10
        && decimal_comma(longitude, hours, part)
    {
        joined = format!("{hours}.{part}");
        figures = [latitude, longitude, &joined, elevation];
        remarks.push(format!("a decimal comma in the time zone of line {line}, read as {joined}"));
        5
    } else if let [.., latitude, longitude, clock, elevation] = fields.as_slice()
        && fields.len() >= 9
    {
        figures = [latitude, longitude, clock, elevation];
        4
    } else {
        let help = "`LOCATION,` with city, state, country, source, station number, latitude, longitude, time zone \
                    and elevation";
        return Err(Refusal::at(line, format!("{} fields where 9 were expected", fields.len()), help));
    };
    // Source and station number stand before the figures; commas are inside what comes first.
    let names = fields.get(..fields.len().saturating_sub(count + 2)).unwrap_or_default();
    let country = names.last().copied().unwrap_or("").to_owned();
    let title: Vec<&str> = names.iter().copied().filter(|n| !n.is_empty() && *n != "-").collect();
    field::station(line, title.join(", "), country, figures, remarks)
}

/// `72.633,5,5,55`: a time zone of 5.5 hours written with a comma.
fn decimal_comma(longitude: &str, hours: &str, part: &str) -> bool {
    let number = |s: &str| s.parse::<f64>().is_ok();
    let zone = hours.parse::<i32>().is_ok_and(|h| (-12..=14).contains(&h));
    zone && matches!(part, "5" | "50" | "75" | "25") && number(longitude)
}

fn records_an_hour(record: &StringRecord) -> Result<usize, Refusal> {
    let line = line_of(record);
    let count: usize = whole(text(record, 2), line, "number of records an hour")?;
    if (1..=60).contains(&count) {
        return Ok(count);
    }
    let help = "`DATA PERIODS,1,1,…`: the third field says how many records an hour has, 1 to 60";
    Err(Refusal::at(line, format!("{count} records an hour"), help))
}

fn hour(record: &StringRecord) -> Result<Hour, Refusal> {
    let line = line_of(record);
    let filled = record.iter().zip(1..).filter(|(f, _)| !f.is_empty()).last().map_or(0, |(_, count)| count);
    if !COLUMNS.contains(&filled) && !COLUMNS.contains(&record.len()) {
        let help = "29 to 35 columns; decimal commas make more, a line cut short fewer";
        return Err(Refusal::at(line, format!("{filled} columns where 35 were expected"), help));
    }
    let celsius = |value: f64| value >= 99.9;
    Ok(Hour {
        line,
        year: whole(text(record, 0), line, "year")?,
        month: whole(text(record, 1), line, "month")?,
        day: whole(text(record, 2), line, "day")?,
        hour: whole(text(record, 3), line, "hour")?,
        dry: figure(text(record, 6), line, DRY, celsius)?,
        dew: figure(text(record, 7), line, DEW, celsius)?,
        humidity: figure(text(record, 8), line, HUMIDITY, |value| value >= 999.0)?,
    })
}
