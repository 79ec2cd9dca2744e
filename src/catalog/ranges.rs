//! The kinds of material and the plausible range of each kind's figures: what the reading of the data refuses.
//!
//! The ranges are wide on purpose: they catch a slipped decimal, a swapped unit or a figure in the wrong column, not an
//! unusual product. They are judgment, set about a factor of two outside the spread that the reference tables show (ISO
//! 10456 Tables 3 to 5, ASHRAE Handbook of Fundamentals 2013 chapter 26 Table 1). Invariant: every kind has a row.

use super::schema::{Measured, Row};
use crate::base::quantity::Length;

/// Plausible figures of one kind, both ends included.
pub(super) struct Kind {
    /// The word after `unknown`.
    pub name: &'static str,
    /// Conductivity, W/(m K).
    conductivity: (f64, f64),
    /// Density, kg/m3.
    density: (f64, f64),
    /// Permeance of the usual thickness, dry and wet cup, ng/(s m2 Pa).
    permeance: (f64, f64),
}

const fn kind(name: &'static str, conductivity: (f64, f64), density: (f64, f64), permeance: (f64, f64)) -> Kind {
    Kind { name, conductivity, density, permeance }
}

/// All kinds, in alphabetical order.
pub(super) static KINDS: &[Kind] = &[
    kind("air", (0.02, 1.0), (1.0, 1.4), (1e3, 1e6)),
    kind("batt", (0.025, 0.08), (5.0, 120.0), (100.0, 1e4)),
    kind("board-insulation", (0.004, 0.12), (10.0, 500.0), (0.0, 1e4)),
    kind("cladding", (0.08, 400.0), (50.0, 9000.0), (0.0, 5e3)),
    kind("coating", (0.1, 2.0), (500.0, 2500.0), (0.0, 3e3)),
    kind("concrete", (0.1, 4.0), (300.0, 2600.0), (2.0, 1500.0)),
    kind("finish", (0.03, 3.0), (100.0, 3000.0), (0.0, 2e4)),
    kind("flashing", (0.1, 400.0), (800.0, 12e3), (0.0, 10.0)),
    kind("foil", (0.1, 250.0), (800.0, 3000.0), (0.0, 2.0)),
    kind("frame", (0.1, 250.0), (300.0, 9000.0), (0.0, 200.0)),
    kind("glass", (0.1, 1.5), (1000.0, 2700.0), (0.0, 20.0)),
    kind("ground", (0.2, 4.0), (500.0, 2800.0), (0.0, 4e3)),
    kind("gypsum-board", (0.12, 0.4), (500.0, 1300.0), (2.0, 5e3)),
    kind("hardware", (0.1, 400.0), (800.0, 9000.0), (0.0, 10.0)),
    kind("loose-fill", (0.03, 0.12), (5.0, 400.0), (100.0, 1e4)),
    kind("lumber", (0.08, 0.25), (300.0, 900.0), (5.0, 1200.0)),
    kind("masonry", (0.1, 4.0), (400.0, 3000.0), (0.0, 2e3)),
    kind("membrane", (0.1, 2.0), (500.0, 2500.0), (0.0, 2e4)),
    kind("metal", (10.0, 400.0), (2500.0, 12e3), (0.0, 100.0)),
    kind("paint", (0.1, 2.0), (500.0, 2500.0), (1.0, 1e4)),
    kind("panel", (0.02, 0.2), (40.0, 1100.0), (0.0, 60.0)),
    kind("paper", (0.03, 0.3), (500.0, 1300.0), (5.0, 4e3)),
    kind("plaster", (0.1, 1.6), (500.0, 2200.0), (50.0, 6e3)),
    kind("roofing", (0.05, 400.0), (200.0, 12e3), (0.0, 2e4)),
    kind("sealant", (0.03, 0.6), (20.0, 1900.0), (0.5, 2e3)),
    kind("spray-foam", (0.018, 0.05), (6.0, 60.0), (20.0, 2e3)),
    kind("tape", (0.1, 200.0), (500.0, 3000.0), (0.0, 2e3)),
    kind("trim", (0.08, 400.0), (300.0, 9000.0), (0.0, 1e3)),
    kind("wood-panel", (0.04, 0.25), (200.0, 1300.0), (5.0, 4e3)),
];

/// What is wrong with a row: of the first fault a line of words, nothing when it stands.
pub(super) fn fault(row: &Row) -> Option<String> {
    let Some(kind) = KINDS.iter().find(|k| k.name == row.kind) else {
        return Some(format!("`{}` is no kind", row.kind));
    };
    shape(row).or_else(|| figures(row, kind))
}

/// Groups that name one thing twice or not at all, and sources that are no words.
fn shape(row: &Row) -> Option<String> {
    let sources = [
        row.heat.as_ref().map(|g| &g.source),
        row.vapor.as_ref().map(|g| &g.source),
        row.air.as_ref().map(|g| &g.source),
        row.moisture.as_ref().map(|g| &g.source),
        row.limits.as_ref().map(|g| &g.source),
        row.cladding.as_ref().map(|g| &g.source),
        row.unit.as_ref().map(|g| &g.source),
    ];
    if sources.into_iter().flatten().any(|s| s.trim().len() < 4) {
        return Some("a source is missing".into());
    }
    if let Some(heat) = &row.heat {
        if heat.conductivity.is_some() && heat.resistance.is_some() {
            return Some("heat: conductivity and resistance exclude each other".into());
        }
        if heat.at.is_some() && heat.resistance.is_none() {
            return Some("heat: `at` belongs to a resistance".into());
        }
    }
    if let Some(vapor) = &row.vapor {
        let given = [vapor.permeance.is_some(), vapor.mu.is_some(), vapor.sd.is_some(), vapor.curve.is_some()];
        if given.into_iter().filter(|g| *g).count() != 1 {
            return Some("vapor: exactly one of permeance, mu, sd and curve".into());
        }
        if vapor.at.is_some() && vapor.curve.is_none() {
            return Some("vapor: `at` belongs to a curve".into());
        }
    }
    match &row.air {
        Some(air) if air.permeance.is_some() == air.passes.is_some() => {
            Some("air: exactly one of permeance and passes".into())
        }
        _ => None,
    }
}

fn figures(row: &Row, kind: &Kind) -> Option<String> {
    let mut checks: Vec<(&str, f64, (f64, f64))> = Vec::new();
    if let Some(thickness) = row.thickness {
        checks.push(("thickness, m", thickness.0.si(), (1e-5, 2.0)));
    }
    if let Some(heat) = &row.heat {
        let proportional = heat.at.zip(heat.resistance).map(|(at, r)| (at.0 / r.0).si());
        let conductivity = heat.conductivity.map(|c| c.0.si()).or(proportional);
        checks.extend(conductivity.map(|c| ("conductivity, W/(m K)", c, kind.conductivity)));
        if heat.at.is_none() {
            checks.extend(heat.resistance.map(|r| ("resistance, m2 K/W", r.0.si(), (0.0, 10.0))));
        }
        let points = heat.by_temperature.iter().flat_map(|series| &series.points);
        checks.extend(points.map(|(_, c)| ("conductivity, W/(m K)", c.0.si(), kind.conductivity)));
        checks.extend(heat.density.map(|d| ("density, kg/m3", d.0.si(), kind.density)));
        checks.extend(heat.specific_heat.map(|c| ("specific heat, J/(kg K)", c.0.si(), (100.0, 4200.0))));
    }
    for (name, ng) in permeances(row) {
        checks.push((name, ng, kind.permeance));
    }
    checks.extend(bounds(row));
    checks
        .into_iter()
        .find(|(_, value, (low, high))| !(low..=high).contains(&value))
        .map(|(name, value, (low, high))| format!("{name} is {value}, outside {low} to {high} for {}", kind.name))
}

/// Permeance of the usual thickness in both cups, ng/(s m2 Pa).
fn permeances(row: &Row) -> Vec<(&'static str, f64)> {
    let Some(vapor) = &row.vapor else { return Vec::new() };
    let nano = 1e12;
    let usual = row.thickness.map_or(Length::new(0.025), |t| t.0);
    let of_factor = |mu: f64| 200.0 / (mu * usual.si());
    let of_measured = |p: &Measured, w: f64| w * nano * p.at.map_or(1.0, |at| at.0 / usual);
    if let Some(series) = &vapor.curve {
        let scale = nano * vapor.at.map_or(1.0, |at| at.0 / usual);
        return series.points.iter().map(|(_, w)| ("permeance, ng/(s m2 Pa)", w.0.si() * scale)).collect();
    }
    let (dry, wet) = if let Some(p) = &vapor.permeance {
        (of_measured(p, p.dry.0.si()), of_measured(p, p.wet.0.si()))
    } else if let Some(mu) = &vapor.mu {
        (of_factor(mu.dry.0.si()), of_factor(mu.wet.0.si()))
    } else if let Some(sd) = &vapor.sd {
        (sd.dry.0.permeance().si() * nano, sd.wet.0.permeance().si() * nano)
    } else {
        return Vec::new();
    };
    vec![("dry permeance, ng/(s m2 Pa)", dry), ("wet permeance, ng/(s m2 Pa)", wet)]
}

/// Figures whose range is the same for every kind.
fn bounds(row: &Row) -> Vec<(&'static str, f64, (f64, f64))> {
    let mut checks = Vec::new();
    if let Some(air) = &row.air {
        checks.extend(air.permeance.map(|p| ("air permeance, L/(s m2)", p.0.si(), (1e-4, 100.0))));
    }
    if let Some(moisture) = &row.moisture {
        checks.extend(moisture.absorption.map(|a| ("absorption, kg/(m2 s0.5)", a.0.si(), (0.0, 1.0))));
        checks.extend(moisture.w80.map(|w| ("water at 80 %, kg/m3", w.0.si(), (0.0, 150.0))));
    }
    if let Some(limits) = &row.limits {
        checks.extend(limits.coldest.map(|t| ("coldest, C", t.0.si(), (-270.0, 15.0))));
        checks.extend(limits.hottest.map(|t| ("hottest, C", t.0.si(), (30.0, 1000.0))));
        checks.extend(limits.daylight.map(|d| ("daylight, s", d.0.si(), (86_400.0, 4e7))));
        checks.extend(limits.emittance.map(|e| ("emittance", e.0.si(), (0.02, 1.0))));
    }
    checks
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROW: &str = "{what: a board, kind: wood-panel, family: wood, seams: boards, bond: loose, thickness: 11 mm,
        heat: {conductivity: 0.1 W/(m.K), source: test table, access: reasoned}}";

    fn fault_of(text: &str) -> Result<Option<String>, String> {
        serde_yaml::from_str::<Row>(text).map(|row| fault(&row)).map_err(|e| e.to_string())
    }

    #[test]
    fn the_schema_refuses_what_it_must() {
        assert_eq!(fault_of(ROW), Ok(None));
        assert!(fault_of(&ROW.replace("0.1 W/(m.K)", "0.1")).unwrap_err().contains("with its unit"));
        assert!(fault_of(&ROW.replace("family", "familly")).unwrap_err().contains("unknown field"));
        assert!(fault_of(&ROW.replace("source: test table, ", "")).unwrap_err().contains("missing field"));
        assert!(fault_of(&ROW.replace("test table", "''")).unwrap().unwrap().contains("source"));
        assert!(fault_of(&ROW.replace("0.1 W", "1.1 W")).unwrap().unwrap().contains("outside"));
        assert!(fault_of(&ROW.replace("wood-panel", "wooden")).unwrap().unwrap().contains("no kind"));
    }

    #[test]
    fn kinds_are_sorted() {
        assert!(KINDS.is_sorted_by_key(|k| k.name));
    }
}
