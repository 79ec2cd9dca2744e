//! The surfaces part of the JSON document: resistances, paths, interfaces and months.
//!
//! Invariant: SI, rounded to what the calculation can answer for; a figure that does not exist is `null`.

use super::json::slashes;
use super::numbers::places;
use crate::base::source::Sources;
use crate::review::report::{AirLine, MonthLine, PathReport, PointLine, Report, SurfaceReport};
use serde::Serialize;

/// One surface.
#[derive(Serialize)]
pub struct SurfaceJson<'a> {
    name: &'a str,
    file: String,
    line: usize,
    kind: &'a str,
    u_value: Option<f64>,
    u_note: &'a str,
    no_profile: Option<&'a str>,
    notes: &'a [String],
    months: Vec<MonthJson>,
    paths: Vec<PathJson<'a>>,
}

#[derive(Serialize)]
struct PathJson<'a> {
    name: &'a str,
    share: Option<f64>,
    interfaces: Vec<InterfaceJson<'a>>,
    first_month: Option<u8>,
    peak: Option<f64>,
    peak_month: Option<u8>,
    left: Option<f64>,
    months: Vec<MonthJson>,
}

#[derive(Serialize)]
struct InterfaceJson<'a> {
    outside: Option<&'a str>,
    inside: Option<&'a str>,
    within: bool,
}

#[derive(Serialize)]
struct MonthJson {
    month: u8,
    outdoor: AirJson,
    indoor: AirJson,
    points: Vec<PointJson>,
}

#[derive(Serialize)]
struct AirJson {
    temperature: Option<f64>,
    vapor: Option<f64>,
    capped: bool,
}

#[derive(Serialize)]
struct PointJson {
    temperature: Option<f64>,
    saturation: Option<f64>,
    vapor: Option<f64>,
    humidity: Option<f64>,
    margin: Option<f64>,
    water: Option<f64>,
}

/// The surfaces of all reports whose name is wanted.
pub fn all<'a>(sources: &Sources, reports: &'a [Report], wanted: impl Fn(&str) -> bool) -> Vec<SurfaceJson<'a>> {
    reports.iter().flat_map(|r| &r.surfaces).filter(|s| wanted(&s.name)).map(|s| surface(sources, s)).collect()
}

fn surface<'a>(sources: &Sources, s: &'a SurfaceReport) -> SurfaceJson<'a> {
    let (file, at) = sources.place(s.span);
    SurfaceJson {
        name: &s.name,
        file: slashes(file),
        line: at.line,
        kind: s.kind,
        u_value: s.u_value.and_then(|u| places(u.si(), 4)),
        u_note: &s.u_note,
        no_profile: s.no_profile.as_deref(),
        notes: &s.notes,
        months: s.paths.first().map_or_else(Vec::new, |p| p.months.iter().map(month).collect()),
        paths: s.paths.iter().map(path).collect(),
    }
}

fn path(p: &PathReport) -> PathJson<'_> {
    PathJson {
        name: p.name,
        share: places(p.share.si(), 4),
        interfaces: p
            .interfaces
            .iter()
            .map(|i| InterfaceJson { outside: i.outside.as_deref(), inside: i.inside.as_deref(), within: i.within })
            .collect(),
        first_month: p.first_month,
        peak: places(p.peak.si(), 6),
        peak_month: p.peak_month,
        left: places(p.left.si(), 6),
        months: p.months.iter().map(month).collect(),
    }
}

fn month(m: &MonthLine) -> MonthJson {
    MonthJson {
        month: m.month,
        outdoor: air(&m.outdoor),
        indoor: air(&m.indoor),
        points: m.points.iter().map(point).collect(),
    }
}

fn air(a: &AirLine) -> AirJson {
    AirJson { temperature: places(a.temperature.si(), 2), vapor: places(a.vapor.si(), 1), capped: a.capped }
}

fn point(p: &PointLine) -> PointJson {
    PointJson {
        temperature: places(p.temperature.si(), 2),
        saturation: places(p.saturation.si(), 1),
        vapor: places(p.vapor.si(), 1),
        humidity: places(p.humidity.si(), 4),
        margin: places(p.margin.si(), 2),
        water: places(p.water.si(), 6),
    }
}
