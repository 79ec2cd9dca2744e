//! The numbers of a surface, for tables and machines.
//!
//! Invariant: what is reported is what the rules saw midway of everything not decided.

use super::notes;
use super::report::{AirLine, InterfaceLine, MonthLine, PathReport, PointLine, SurfaceReport};
use crate::base::quantity::{MoistureMass, RelativeHumidity, TemperatureDifference};
use crate::physics::air;
use crate::physics::profile::{MonthResult, NO_WATER, Node, Year};
use crate::rules::facts::path::{PartKind, PathKind};
use crate::rules::facts::{Look, PathYear};

/// All numbers of one surface, midway of everything not decided; `above` is its part above grade, where it has one.
pub(super) fn surface_report(look: &Look<'_>, above: Option<&Look<'_>>) -> SurfaceReport {
    let surface = look.surface;
    let (u_value, u_note) = match look.transmittance() {
        Ok(told) => (Some(told.u), told.how.clone()),
        Err(missing) => (None, missing.why.clone()),
    };
    let (mut paths, no_profile) = match look.years() {
        Ok(years) => (years.iter().map(|y| path_report(look, y)).collect(), None),
        Err(missing) => (Vec::new(), Some(missing.why.clone())),
    };
    if let Some(above) = above {
        paths.extend(above_grade_paths(above));
    }
    let mut report = SurfaceReport {
        name: surface.name.clone(),
        span: surface.head,
        kind: surface.kind_word(),
        u_value,
        u_note,
        paths,
        no_profile,
        notes: Vec::new(),
    };
    report.notes = notes::notes(look, &report);
    if above.is_some() && report.u_value.is_some() {
        report.notes.push("the U-value is that of the part below grade".to_string());
    }
    report
}

/// The same layers in outdoor air.
fn above_grade_paths(look: &Look<'_>) -> Vec<PathReport> {
    let named = |of: &PathYear<'_>| {
        let name = match of.path.kind {
            PathKind::Member => "above grade, through members",
            PathKind::Bay => "above grade, between members",
            PathKind::Whole | PathKind::Port => "above grade",
        };
        PathReport { name, ..path_report(look, of) }
    };
    look.years().map(|years| years.iter().map(named).collect()).unwrap_or_default()
}

fn path_report(look: &Look<'_>, of: &PathYear<'_>) -> PathReport {
    let shown = shown_nodes(&of.year);
    let interfaces = shown.iter().filter_map(|i| of.year.nodes.get(*i)).map(|n| interface_line(look, of, n)).collect();
    let mut months: Vec<MonthLine> = of.year.months.iter().filter_map(|m| month_line(look, m, &shown)).collect();
    months.sort_by_key(|m| m.month);
    let peak = of.year.peak();
    let month_of = |at: usize| of.year.months.get(at).map(|m| m.month as u8 + 1);
    PathReport {
        name: of.path.kind.name(),
        share: of.path.share,
        interfaces,
        months,
        first_month: of.year.first_month.map(|m| m as u8 + 1),
        peak: peak.map_or(MoistureMass::ZERO, |(mass, _)| mass),
        peak_month: peak.and_then(|(_, at)| month_of(at)),
        left: of.year.end(),
    }
}

/// Interfaces between layers, and places inside a layer where water was found.
fn shown_nodes(year: &Year) -> Vec<usize> {
    let wet = |i: usize| year.months.iter().any(|m| m.mass.get(i).is_some_and(|w| *w > NO_WATER));
    year.nodes.iter().enumerate().filter(|(i, n)| n.interface.is_some() || wet(*i)).map(|(i, _)| i).collect()
}

fn interface_line(look: &Look<'_>, of: &PathYear<'_>, node: &Node) -> InterfaceLine {
    let label = |part: Option<usize>| part_label(look, of, part?);
    match node.interface {
        Some(at) => InterfaceLine { outside: label(at.checked_sub(1)), inside: label(Some(at)), within: false },
        None => InterfaceLine { outside: label(Some(node.layer)), inside: label(Some(node.layer)), within: true },
    }
}

/// A part goes by its layer's label; where a layer makes several parts (a filled bay, a panel, paint), by its material.
fn part_label(look: &Look<'_>, of: &PathYear<'_>, at: usize) -> Option<String> {
    let part = of.path.parts.get(at)?;
    let alone = of.path.parts.iter().filter(|p| p.layer == part.layer).count() == 1;
    match (part.kind, part.stuff()) {
        (PartKind::Paint(_), _) => Some("paint".to_string()),
        (_, Some(stuff)) if !alone && !painted_alone(of, part.layer) => Some(stuff.name.clone()),
        (PartKind::Air, _) if !alone => Some("air".to_string()),
        _ => look.surface.layers.get(part.layer).map(|l| l.label.clone()),
    }
}

/// One part and its paint.
fn painted_alone(of: &PathYear<'_>, layer: usize) -> bool {
    let parts = of.path.parts.iter().filter(|p| p.layer == layer);
    parts.filter(|p| !matches!(p.kind, PartKind::Paint(_))).count() == 1
}

fn month_line(look: &Look<'_>, month: &MonthResult, shown: &[usize]) -> Option<MonthLine> {
    let input = look.months().ok()?.get(month.month)?;
    let points = shown.iter().filter_map(|i| point_line(month, *i)).collect();
    Some(MonthLine {
        month: month.month as u8 + 1,
        outdoor: AirLine {
            temperature: input.outdoor.temperature,
            vapor: input.outdoor.vapor,
            capped: month.outdoor_capped,
        },
        indoor: AirLine {
            temperature: input.indoor.temperature,
            vapor: input.indoor.vapor,
            capped: month.indoor_capped,
        },
        points,
    })
}

fn point_line(month: &MonthResult, at: usize) -> Option<PointLine> {
    let (temperature, saturation) = (*month.temperature.get(at)?, *month.saturation.get(at)?);
    let vapor = *month.pressure.get(at)?;
    let margin = air::dew_point(vapor).map_or(TemperatureDifference::ZERO, |dew| temperature - dew);
    Some(PointLine {
        temperature,
        saturation,
        vapor,
        humidity: RelativeHumidity::new(vapor / saturation),
        margin,
        water: *month.mass.get(at)?,
    })
}
