//! The surfaces at a glance: name, heat resistance, and one sentence on water.
//!
//! Invariant: each surface of the report has its line, with a reason where there is no figure.

use super::clean::clean_line;
use super::figure::Units;
use super::look::{Ink, Look};
use super::verdict::{Verdict, path_name, sentence, verdict};
use super::wrap::hang;
use crate::review::report::{Report, SurfaceReport};
use std::io::{Result, Write};

/// Writes the block.
pub fn write(out: &mut dyn Write, report: &Report, look: &Look) -> Result<()> {
    if report.surfaces.is_empty() {
        return Ok(());
    }
    let units = units(report);
    writeln!(out, "\n{}", look.paint(Ink::Head, "surfaces"))?;
    for surface in &report.surfaces {
        let title = format!("{} {}", surface.kind, clean_line(&surface.name));
        hang(out, look, "  ", 4, &format!("{title}: {}", resistance(surface, units)))?;
        for line in water_lines(surface) {
            hang(out, look, "    ", 4, &line)?;
        }
        for note in &surface.notes {
            hang(out, look, "    note: ", 10, note)?;
        }
    }
    writeln!(out, "  `dewlap profile` shows the months")
}

/// The units of the report's job; inch where there is no job.
pub fn units(report: &Report) -> Units {
    Units { metric: report.job.as_ref().is_some_and(|j| j.metric) }
}

/// "R-24.1, U 0.042 Btu/(h.ft2.F)", or why it cannot be told.
pub fn resistance(surface: &SurfaceReport, units: Units) -> String {
    match surface.u_value {
        Some(u) => format!("{}, {}", units.resistance(u), units.transmittance(u)),
        None if surface.u_note.is_empty() => "heat resistance not known".to_owned(),
        None => format!("heat resistance not known, {}", surface.u_note),
    }
}

/// A sentence for the first path, and one for each other path that holds water.
pub fn water_lines(surface: &SurfaceReport) -> Vec<String> {
    if let Some(why) = &surface.no_profile {
        return vec![format!("no moisture figures: {why}")];
    }
    let many = surface.paths.len() > 1;
    let told = |i: &usize, wet: bool| *i == 0 || wet;
    surface
        .paths
        .iter()
        .enumerate()
        .filter(|(i, path)| told(i, matches!(verdict(path), Verdict::Wet { .. })))
        .map(|(_, path)| if many { format!("{}: {}", path_name(path), sentence(path)) } else { sentence(path) })
        .collect()
}
