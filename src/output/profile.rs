//! The moisture profile as tables: at which interface, in which month, how far from the dew point and how much water.
//!
//! Invariant: what the figures leave out stands after them, every time.

use super::clean::clean_line;
use super::figure::{Units, month, percent, water};
use super::look::{Ink, Look};
use super::profile_plain;
use super::summary::{resistance, units};
use super::verdict::{path_name, place_short, sentence};
use super::wrap::{columns, hang, pad};
use crate::review::report::{AirLine, InterfaceLine, MonthLine, PathReport, PointLine, Report, SurfaceReport};
use std::io::{Result, Write};

/// What every profile rests on.
pub const ASSUMPTIONS: &str = "The figures are for steady monthly means and a dry start: vapor moves by diffusion only, \
    layers store no water; no liquid flow, no rain, no sun, no air flow through gaps or leaks. A mold index would need \
    the humidity of every hour and is not given; the month's 80 % stands in its place. Use them to compare details, not \
    as a forecast: to pass proves no building dry, to fail is a reason to change the section or to have it simulated. \
    Local code and licensed practice decide.";

/// Writes the profile of one surface: all months at each interface, or one month across the section.
pub fn write(out: &mut dyn Write, report: &Report, s: &SurfaceReport, only: Option<u8>, look: &Look) -> Result<()> {
    let units = units(report);
    let title = format!("{} {}", s.kind, clean_line(&s.name));
    writeln!(out, "{}", look.paint(Ink::Head, &title))?;
    hang(out, look, "  ", 2, &resistance(s, units))?;
    if let Some(job) = report.job.as_ref().filter(|j| !j.climate.is_empty()) {
        hang(out, look, "  ", 2, &format!("climate: {}", job.climate))?;
    }
    if let Some(why) = &s.no_profile {
        hang(out, look, "  ", 2, &format!("no moisture figures: {why}"))?;
    }
    for path in &s.paths {
        writeln!(out, "\n{}", look.paint(Ink::Head, &path_name(path)))?;
        hang(out, look, "  ", 2, &sentence(path))?;
        match (only, look.plain) {
            (_, true) => profile_plain::write(out, path, only, units, look)?,
            (Some(month), _) => across(out, path, month, units, look)?,
            (None, _) => {
                calendar(out, path, look)?;
                figures(out, path, units, look)?;
            }
        }
    }
    writeln!(out)?;
    let of_job = report.job.iter().flat_map(|j| &j.notes);
    for note in s.notes.iter().chain(of_job.filter(|_| !s.paths.is_empty())) {
        hang(out, look, "note: ", 6, note)?;
    }
    if s.paths.is_empty() { Ok(()) } else { hang(out, look, "", 0, ASSUMPTIONS) }
}

/// The year at a glance: one row an interface, one sign a month.
fn calendar(out: &mut dyn Write, path: &PathReport, look: &Look) -> Result<()> {
    let cell = if look.width >= 50 { 3 } else { 2 };
    let cells = |sign: &dyn Fn(&MonthLine) -> char| {
        path.months.iter().map(|m| format!("{:>cell$}", sign(m))).collect::<String>()
    };
    let rows: Vec<(String, String)> = path
        .interfaces
        .iter()
        .enumerate()
        .map(|(i, at)| (named(i, at), cells(&|m| m.points.get(i).map_or('-', sign))))
        .collect();
    writeln!(out)?;
    let initials = cells(&|m| month(m.month).chars().next().unwrap_or('-'));
    table(out, look, ("", &initials), &rows)?;
    hang(out, look, "  ", 2, "# water lies there; o humidity of 80 % or more; . drier")
}

/// "3 membrane | sheathing".
fn named(index: usize, at: &InterfaceLine) -> String {
    format!("{} {}", index + 1, clean_line(&place_short(at)))
}

fn sign(point: &PointLine) -> char {
    if point.water.si() > 0.0 {
        '#'
    } else if point.humidity.si() >= 0.8 {
        'o'
    } else {
        '.'
    }
}

/// Rows of a label and right-aligned cells; where the labels leave no room, each stands on a line of its own.
fn table(out: &mut dyn Write, look: &Look, head: (&str, &str), rows: &[(String, String)]) -> Result<()> {
    let cells = rows.iter().map(|(_, c)| columns(c)).max().unwrap_or(0).max(columns(head.1));
    let widest = rows.iter().map(|(l, _)| columns(l)).max().unwrap_or(0).max(columns(head.0));
    let room = look.width.saturating_sub(cells + 2);
    let label = if widest <= room { widest } else { room };
    writeln!(out, "  {}{}", pad(head.0, label), look.paint(Ink::Faint, head.1))?;
    for (name, row) in rows {
        if columns(name) <= label {
            writeln!(out, "  {}{row}", pad(name, label))?;
        } else {
            hang(out, look, "  ", 2, name)?;
            writeln!(out, "  {}{row}", pad("", label))?;
        }
    }
    Ok(())
}

/// The figures, a grid each: interfaces by number down, months across.
fn figures(out: &mut dyn Write, path: &PathReport, units: Units, look: &Look) -> Result<()> {
    let air = |side: fn(&MonthLine) -> &AirLine| -> Vec<String> {
        path.months.iter().map(|m| units.temperature_whole(side(m).temperature)).collect()
    };
    let points = |figure: &dyn Fn(&PointLine) -> String| -> Vec<(String, Vec<String>)> {
        (0..path.interfaces.len())
            .map(|i| {
                let row = path.months.iter().map(|m| m.points.get(i).map_or_else(|| "-".to_owned(), figure));
                ((i + 1).to_string(), row.collect())
            })
            .collect()
    };
    let mut temperatures = vec![("out".to_owned(), air(|m| &m.outdoor))];
    temperatures.extend(points(&|p| units.temperature_whole(p.temperature)));
    temperatures.push(("in".to_owned(), air(|m| &m.indoor)));
    grid(out, path, look, &format!("temperature, {}", units.temperature_word()), &temperatures)?;
    grid(out, path, look, "relative humidity, %", &points(&|p| percent(p.humidity)))?;
    let margin = format!("above the dew point by, {}", units.difference_word());
    grid(out, path, look, &margin, &points(&|p| units.difference_short(p.margin)))?;
    let wet = path.months.iter().flat_map(|m| &m.points).any(|p| p.water.si() > 0.0);
    if wet {
        grid(out, path, look, "water at the month's end, g/m2", &points(&|p| water(p.water)))?;
    }
    let capped: Vec<&str> =
        path.months.iter().filter(|m| m.outdoor.capped || m.indoor.capped).map(|m| month(m.month)).collect();
    if capped.is_empty() {
        return Ok(());
    }
    let text = format!("more vapor was given than the air can hold, taken as saturated: {}", capped.join(", "));
    hang(out, look, "  ", 2, &text)
}

/// Months across where they fit, else the half years below each other.
fn grid(
    out: &mut dyn Write,
    path: &PathReport,
    look: &Look,
    title: &str,
    rows: &[(String, Vec<String>)],
) -> Result<()> {
    let cell = rows.iter().flat_map(|(_, cells)| cells).map(|c| columns(c) + 1).max().unwrap_or(0).max(4);
    let band = if look.width >= 5 + 12 * cell { 12 } else { 6 };
    writeln!(out)?;
    hang(out, look, "  ", 2, title)?;
    for from in (0..path.months.len()).step_by(band) {
        let head = path.months.iter().skip(from).take(band).map(|m| format!("{:>cell$}", month(m.month)));
        let head: String = head.collect();
        writeln!(out, "     {}", look.paint(Ink::Faint, &head))?;
        for (label, cells) in rows {
            let row = cells.iter().skip(from).take(band).map(|c| format!("{c:>cell$}"));
            writeln!(out, "  {label:<3}{}", row.collect::<String>())?;
        }
    }
    Ok(())
}

fn cells(p: &PointLine, units: Units) -> String {
    format!(
        "{:>7}{:>6}{:>8}{:>8}",
        units.temperature(p.temperature),
        percent(p.humidity),
        units.difference(p.margin),
        water(p.water)
    )
}

fn unit_row(units: Units) -> String {
    format!("{:>7}{:>6}{:>8}{:>8}", units.temperature_word(), "%", units.difference_word(), "g/m2")
}

/// One month from outside to inside.
fn across(out: &mut dyn Write, path: &PathReport, number: u8, units: Units, look: &Look) -> Result<()> {
    let Some(line) = path.months.iter().find(|m| m.month == number) else {
        return writeln!(out, "  no figures for {}", month(number));
    };
    let side = |name: &str, a: &AirLine| {
        (name.to_owned(), format!("{:>7}{:>6}{:>8}{:>8}", units.temperature(a.temperature), "", "", ""))
    };
    let mut rows = vec![side("air outside", &line.outdoor)];
    rows.extend(
        path.interfaces
            .iter()
            .zip(&line.points)
            .map(|(i, p)| (clean_line(&place_short(i)).into_owned(), cells(p, units))),
    );
    rows.push(side("air inside", &line.indoor));
    for row in &mut rows {
        row.1.truncate(row.1.trim_end().len());
    }
    writeln!(out, "\n  {}", month(number))?;
    let widest = rows.iter().map(|(l, _)| columns(l)).max().unwrap_or(0);
    let room = look.width.saturating_sub(31);
    let heads = format!("{:>7}{:>6}{:>8}{:>8}", "temp", "humid", "to dew", "water");
    table(out, look, (&pad("", widest.min(room)), &heads), &[])?;
    table(out, look, ("", &unit_row(units)), &rows)
}
