//! `materials`: a list for some words, everything known for one name.
//!
//! Invariant: each figure stands above the line that says where it is from and how it was obtained.

use super::Exit;
use super::streams::Streams;
use crate::base::near::one_of;
use crate::base::quantity::{Length, Permeance};
use crate::base::unit::{INCH, PERM, R_VALUE};
use crate::catalog::{self, Citation, Cup, Lookup, Material, Sensitivity};
use crate::output::figure::decimals;
use crate::output::look::{Ink, Look};
use crate::output::wrap::{columns, hang};
use std::io::{Result, Write};

/// Runs the command.
pub fn run(words: &[String], streams: &mut Streams) -> Result<Exit> {
    let words = words.join(" ");
    let look = streams.looks.out;
    if words.trim().is_empty() {
        list(&catalog::materials().collect::<Vec<_>>(), &look, &mut streams.out)?;
        return Ok(Exit::Clean);
    }
    let (what, way_out) = match catalog::material(&words) {
        Lookup::Found(material) => {
            all_known(material, &look, &mut streams.out)?;
            return Ok(Exit::Clean);
        }
        Lookup::Ambiguous { choices, why } => (format!("`{words}`: {why}"), format!("choose {}", one_of(&choices))),
        Lookup::Unknown { near } => {
            let way_out = if near.is_empty() {
                "`dewlap materials` lists all".to_owned()
            } else {
                format!("did you mean {}?", one_of(&near))
            };
            (format!("nothing is known of `{words}`"), way_out)
        }
    };
    let hits = catalog::search_materials(&words);
    if hits.is_empty() {
        streams.trouble(&what, &way_out)?;
        return Ok(Exit::Failed);
    }
    list(&hits, &look, &mut streams.out)?;
    Ok(Exit::Clean)
}

fn list(materials: &[&Material], look: &Look, out: &mut dyn Write) -> Result<()> {
    let widest = materials.iter().map(|m| columns(m.key())).max().unwrap_or(0);
    for material in materials {
        if look.width >= widest + 32 {
            hang(out, look, &format!("{:<widest$}  ", material.key()), widest + 2, material.what())?;
        } else {
            writeln!(out, "{}", material.key())?;
            hang(out, look, "    ", 4, material.what())?;
        }
    }
    Ok(())
}

fn all_known(m: &Material, look: &Look, out: &mut dyn Write) -> Result<()> {
    writeln!(out, "{}", look.paint(Ink::Head, m.key()))?;
    hang(out, look, "  ", 2, m.what())?;
    let aliases = m.aliases().collect::<Vec<_>>().join(", ");
    if !aliases.is_empty() {
        hang(out, look, "  also: ", 8, &aliases)?;
    }
    hang(out, look, "  kind: ", 8, m.kind())?;
    if let Some(thickness) = m.usual_thickness() {
        hang(out, look, "  ", 4, &format!("{} where no thickness is written", length(thickness)))?;
    }
    group(out, look, "heat", &heat(m), m.heat_source())?;
    group(out, look, "vapor", &vapor(m), m.vapor_source())?;
    group(out, look, "air", &air(m), m.air_source())?;
    group(out, look, "moisture", &moisture(m), m.moisture_source())?;
    group(out, look, "limits", &limits(m), m.limits_source())?;
    group(out, look, "as cladding", &cladding(m), m.cladding_source())?;
    writeln!(out)?;
    hang(out, look, "", 0, "Generic figures: what a maker publishes for the product in hand outranks them.")
}

fn group(out: &mut dyn Write, look: &Look, name: &str, facts: &[String], source: Option<Citation<'_>>) -> Result<()> {
    if facts.is_empty() {
        return Ok(());
    }
    writeln!(out, "  {}", look.paint(Ink::Head, name))?;
    for fact in facts {
        hang(out, look, "    ", 6, fact)?;
    }
    match source {
        Some(cited) if cited.source.contains(cited.access.words()) => hang(out, look, "    from: ", 10, cited.source),
        Some(cited) => hang(out, look, "    from: ", 10, &format!("{}; {}", cited.source, cited.access.words())),
        None => Ok(()),
    }
}

fn heat(m: &Material) -> Vec<String> {
    let usual = m.usual_thickness().unwrap_or(Length::new(INCH));
    let mut facts = Vec::new();
    let resistance =
        m.resistance(usual).map(|r| format!("R-{}, RSI {}", decimals(r.si() / R_VALUE, 2), decimals(r.si(), 3)));
    if m.resistance_is_fixed() {
        facts.extend(resistance.map(|r| format!("{r} as built, at any thickness")));
    } else {
        facts.extend(m.conductivity().map(|k| {
            let inch = INCH / k.si() / R_VALUE;
            format!("conductivity {} W/(m.K), R-{} an inch", decimals(k.si(), 3), decimals(inch, 2))
        }));
    }
    facts.extend(m.density().map(|d| format!("density {} kg/m3", decimals(d.si(), 0))));
    facts.extend(m.specific_heat().map(|c| format!("specific heat {} J/(kg.K)", decimals(c.si(), 0))));
    facts
}

fn vapor(m: &Material) -> Vec<String> {
    let usual = m.usual_thickness().unwrap_or(Length::new(INCH));
    let at = if m.permeance_is_fixed() { "at any thickness".to_owned() } else { format!("at {}", length(usual)) };
    [(Cup::Dry, "dry cup"), (Cup::Wet, "wet cup")]
        .into_iter()
        .filter_map(|(cup, name)| m.permeance(usual, cup).map(|p| format!("{name} {} {at}", permeance(p))))
        .collect()
}

fn permeance(p: Permeance) -> String {
    if p <= Permeance::ZERO {
        return "passes none".to_owned();
    }
    let thickness = p.vapor_thickness().si();
    format!("{} perm, sd {} m", digits(p.si() / PERM), digits(thickness))
}

fn air(m: &Material) -> Vec<String> {
    if m.air_open() {
        return vec!["air passes freely".to_owned()];
    }
    let limit = catalog::AIR_BARRIER_LIMIT.si();
    let tight = match m.air_tight() {
        Some(true) => format!("tight enough for an air barrier (at most {limit} L/(s.m2)); seams are another matter"),
        Some(false) => format!("too open for an air barrier (more than {limit} L/(s.m2))"),
        None => return Vec::new(),
    };
    let mut facts: Vec<String> =
        m.air_permeance().map(|p| format!("{} L/(s.m2) at 75 Pa", digits(p.si()))).into_iter().collect();
    facts.push(tight);
    facts
}

fn moisture(m: &Material) -> Vec<String> {
    if m.moisture_source().is_none() {
        return Vec::new();
    }
    let harm = match m.sensitivity() {
        Sensitivity::Wood => "rots and molds as wood does",
        Sensitivity::Paper => "molds as paper does",
        Sensitivity::Steel => "corrodes",
        Sensitivity::None => "not harmed by water",
    };
    let mut facts = vec![harm.to_owned()];
    facts.extend(m.capillary().map(|c| if c { "draws water in" } else { "draws no water in" }.to_owned()));
    facts.extend(m.absorption().map(|a| format!("takes up {} kg/(m2.s0.5)", digits(a.si()))));
    facts.extend(m.water_at_80().map(|w| format!("holds {} kg/m3 at 80 % humidity", digits(w.si()))));
    facts
}

fn limits(m: &Material) -> Vec<String> {
    let (cold, hot) = m.service_temperatures();
    let degrees = |c: f64| format!("{} C ({} F)", decimals(c, 0), decimals(c * 1.8 + 32.0, 0));
    let mut facts = Vec::new();
    facts.extend(cold.map(|t| format!("in service down to {}", degrees(t.si()))));
    facts.extend(hot.map(|t| format!("in service up to {}", degrees(t.si()))));
    facts.extend(
        m.daylight_limit().map(|d| format!("cover within {} days of daylight", decimals(d.si() / 86_400.0, 0))),
    );
    facts.extend(m.emittance().map(|e| format!("emittance {} clean", decimals(e.si(), 2))));
    facts
}

fn cladding(m: &Material) -> Vec<String> {
    let mut facts: Vec<String> = m
        .vented_cladding()
        .map(|v| {
            if v { "usually hung so that air moves behind it" } else { "usually hung without air behind it" }.to_owned()
        })
        .into_iter()
        .collect();
    facts.extend(m.cladding_allowance().map(|p| format!("counts outward as {} when vented", permeance(p))));
    facts
}

fn length(l: Length) -> String {
    format!("{} in ({} mm)", digits(l.si() / INCH), digits(l.si() * 1000.0))
}

/// Three digits that count, without an exponent.
fn digits(value: f64) -> String {
    let places = match value.abs() {
        v if v >= 100.0 => 0,
        v if v >= 10.0 => 1,
        v if v >= 1.0 => 2,
        v if v >= 0.1 => 3,
        v if v >= 0.01 => 4,
        _ => 5,
    };
    let text = decimals(value, places);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_that_count() {
        assert_eq!(digits(0.5), "0.5");
        assert_eq!(digits(1234.5), "1234");
        assert_eq!(digits(0.0123), "0.0123");
        assert_eq!(digits(100.0), "100");
        assert_eq!(length(Length::new(0.0127)), "0.5 in (12.7 mm)");
    }
}
