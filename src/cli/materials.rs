//! `materials`: a list for some words, everything known for one name.
//!
//! Invariant: each figure stands above the lines that say where it is from, how it was obtained, and how far off it may be.

use super::Exit;
use super::streams::Streams;
use crate::base::near::one_of;
use crate::base::quantity::{AirPermeance, Length, Permeance};
use crate::base::unit::{INCH, PERM, R_VALUE};
use crate::catalog::{self, Basis, Bond, Citation, Cup, Lookup, Material, Property, Reservoir, Seams, Sensitivity};
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
    hang(out, look, "  ", 4, &as_laid(m))?;
    group(out, look, "heat", &heat(m), m.heat_source())?;
    group(out, look, "vapor", &vapor(m), m.vapor_source())?;
    group(out, look, "air", &air(m), m.air_source())?;
    group(out, look, "moisture", &moisture(m), m.moisture_source())?;
    group(out, look, "limits", &limits(m), m.limits_source())?;
    group(out, look, "as cladding", &cladding(m), m.cladding_source())?;
    group(out, look, "as a unit", &unit(m), m.unit_source())?;
    writeln!(out)?;
    hang(
        out,
        look,
        "",
        0,
        "Generic figures: what a maker publishes for the product in hand outranks them. How far off they may be is common \
           practice or our own judgment, with no source.",
    )
}

/// A fact whose figure lies so far from that of the product in hand.
fn spread(m: &Material, property: Property, fact: String) -> String {
    spread_of(m.kind(), property, fact)
}

fn spread_of(kind: &str, property: Property, fact: String) -> String {
    let spread = catalog::spread(kind, property);
    let told = spread.and_then(|s| Some((s.apart.words()?, s)));
    told.map_or(fact.clone(), |(apart, spread)| {
        let basis = match spread.basis {
            Basis::Judgment => "judgment",
            Basis::Practice => "practice",
        };
        format!("{fact}, {apart} ({basis}: {})", spread.why)
    })
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

/// How it meets itself and what it lies on.
fn as_laid(m: &Material) -> String {
    let seams = match m.seams() {
        Seams::Boards => "boards, butted",
        Seams::Tongued => "boards, edges tongued to shed water",
        Seams::Sheet => "a sheet from a roll",
        Seams::Seamless => "without seams",
        Seams::Batts => "batts between members",
        Seams::Fill => "a fill",
        Seams::Units => "units in mortar or laid dry",
        Seams::LappedCladding => "pieces that overlap, open to air",
        Seams::Piece => "a single piece",
    };
    let bond = match m.bond() {
        Bond::Loose => "loose or fastened",
        Bond::SelfAdhered => "self-adhered",
        Bond::Liquid => "put on wet",
        Bond::Tape => "a self-adhered strip",
        Bond::Sealant => "a bead that sticks to both sides",
        Bond::Welded => "torched, mopped or welded",
    };
    format!("{seams}; {bond}; family {}", m.family())
}

fn heat(m: &Material) -> Vec<String> {
    let usual = m.usual_thickness().unwrap_or(Length::new(INCH));
    let mut facts = Vec::new();
    let resistance =
        m.resistance(usual).map(|r| format!("R-{}, RSI {}", decimals(r.si() / R_VALUE, 2), decimals(r.si(), 3)));
    if m.resistance_is_fixed() {
        let fact = |r| spread(m, Property::Conductivity, format!("{r} as built, at any thickness"));
        facts.extend(resistance.map(fact));
    } else {
        facts.extend(m.conductivity().map(|k| {
            let inch = INCH / k.si() / R_VALUE;
            let fact = format!("conductivity {} W/(m.K), R-{} an inch", decimals(k.si(), 4), decimals(inch, 2));
            spread(m, Property::Conductivity, fact)
        }));
    }
    if let (Some(curve), Some(own)) = (m.by_temperature(), m.conductivity()) {
        let point = |(t, times): (f64, f64)| format!("{} at {}", decimals(own.si() * times, 4), degrees(t));
        facts.push(format!(
            "by mean temperature, W/(m.K): {}",
            curve.points().map(point).collect::<Vec<_>>().join(", ")
        ));
        facts.extend(m.temperature_basis().map(|b| format!("points: {b}")));
    }
    let density = |f| spread(m, Property::Density, f);
    facts.extend(m.density().map(|d| density(format!("density {} kg/m3", decimals(d.si(), 0)))));
    let specific = |f| spread(m, Property::SpecificHeat, f);
    facts.extend(m.specific_heat().map(|c| specific(format!("specific heat {} J/(kg.K)", decimals(c.si(), 0)))));
    facts
}

fn vapor(m: &Material) -> Vec<String> {
    let usual = m.usual_thickness().unwrap_or(Length::new(INCH));
    let at = if m.permeance_is_fixed() { "at any thickness".to_owned() } else { format!("at {}", length(usual)) };
    let of_cup = |cup, name| m.permeance(usual, cup).map(|p| format!("{name} {} {at}", permeance(p)));
    let mut facts = Vec::new();
    facts.extend(of_cup(Cup::Dry, "dry cup"));
    // The spread is that of both alike.
    facts.extend(of_cup(Cup::Wet, "wet cup").map(|fact| spread(m, Property::Permeance, fact)));
    if let Some(curve) = m.by_humidity() {
        let scale = m.humidity_thickness().map_or(1.0, |own| own / usual);
        let point = |(h, w): (f64, f64)| format!("{} at {} %", digits(w * scale / PERM), decimals(h * 100.0, 0));
        facts.push(format!("by humidity, perm: {}", curve.points().map(point).collect::<Vec<_>>().join(", ")));
        facts.extend(m.humidity_basis().map(|b| format!("points: {b}")));
    }
    facts
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
        return vec![String::from("air passes freely")];
    }
    let limit = catalog::AIR_BARRIER_LIMIT.si();
    let from = m.air_tight_from().map_or(String::new(), |d| format!(" from {}", length(d)));
    let tight = match m.air_tight() {
        Some(true) => {
            format!("tight enough for an air barrier{from} (at most {limit} L/(s.m2)); seams are another matter")
        }
        Some(false) => format!("too open for an air barrier (more than {limit} L/(s.m2))"),
        None => return Vec::new(),
    };
    let figure = |p: AirPermeance| spread(m, Property::AirPermeance, format!("{} L/(s.m2) at 75 Pa", digits(p.si())));
    let mut facts: Vec<String> = m.air_permeance().filter(|p| p.si() > 0.0).map(figure).into_iter().collect();
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
    let stores = match m.reservoir() {
        Reservoir::Yes => "stores much water",
        Reservoir::Minor => "stores a little water",
        Reservoir::No => "stores no water that counts",
    };
    let mut facts = vec![String::from(harm), String::from(stores)];
    facts.extend(m.capillary().map(|c| String::from(if c { "draws water in" } else { "draws no water in" })));
    let takes = |f| spread(m, Property::Absorption, f);
    facts.extend(m.absorption().map(|a| takes(format!("takes up {} kg/(m2.s0.5)", digits(a.si())))));
    let holds = |f| spread(m, Property::WaterContent, f);
    facts.extend(m.water_at_80().map(|w| holds(format!("holds {} kg/m3 at 80 % humidity", digits(w.si())))));
    facts
}

fn limits(m: &Material) -> Vec<String> {
    let (cold, hot) = m.service_temperatures();
    let mut facts = Vec::new();
    facts.extend(cold.map(|t| format!("in service down to {}", degrees(t.si()))));
    facts.extend(hot.map(|t| format!("in service up to {}", degrees(t.si()))));
    facts.extend(m.daylight_limit().map(|d| {
        let fact = format!("cover within {} days of daylight", decimals(d.si() / 86_400.0, 0));
        spread(m, Property::Daylight, fact)
    }));
    facts.extend(m.emittance().map(|e| {
        // A bright face is metal, whatever lies behind it.
        let kind = if e.si() < 0.3 { "foil" } else { m.kind() };
        spread_of(kind, Property::Emittance, format!("emittance {} clean", decimals(e.si(), 2)))
    }));
    facts
}

fn cladding(m: &Material) -> Vec<String> {
    let hung = |vented| {
        String::from(if vented {
            "usually hung so that air moves behind it"
        } else {
            "usually hung without air behind it"
        })
    };
    let mut facts: Vec<String> = m.vented_cladding().map(hung).into_iter().collect();
    facts.extend(m.cladding_allowance().map(|p| format!("counts outward as {} when vented", permeance(p))));
    facts
}

fn unit(m: &Material) -> Vec<String> {
    let Some((flanged, weeps)) = m.unit() else { return Vec::new() };
    let flange = if flanged { "usually has a nailing flange" } else { "usually has no nailing flange" };
    vec![
        String::from(flange),
        String::from(if weeps { "its frame drains through weeps" } else { "its frame has no weeps" }),
    ]
}

fn degrees(c: f64) -> String {
    format!("{} C ({} F)", decimals(c, 0), decimals(c * 1.8 + 32.0, 0))
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
