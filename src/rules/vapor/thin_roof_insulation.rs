//! An unvented roof whose deck stays cold over insulation that room air can reach.

use super::roof::{self, Unvented};
use super::wall;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Permeance, Temperature, ThermalResistance, VaporThickness};
use crate::base::show::{Show, fixed};
use crate::base::unit::{PERM, R_VALUE};
use crate::catalog::codes::{CLASS_LIMITS, Minimum};
use crate::catalog::{Cup, Seams, Zone};
use crate::model::layer::Layer;
use crate::physics::air;
use crate::rules::facts::path::Part;
use crate::rules::facts::{Look, Missing, PathYear, material};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/thin-roof-insulation",
    summary: "an unvented roof with too little tight insulation at its deck",
    weight: Weight::Stop,
    page: include_str!("thin_roof_insulation.md"),
    run: Run::Surface(run),
};

/// The roof that the table has in mind: its figures are shares of this (IRC Table R806.5 beside the R-49 of the energy
/// code; that zones 1 to 3 ask for a tenth was read in a government drawing, the rest is worked out).
const WHOLE: ThermalResistance = ThermalResistance::new(49.0 * R_VALUE);
/// The other way of R806.5: the deck no colder than this in the mean of the three coldest months (45 F, from memory).
const WARM: Temperature = Temperature::new(7.0);
/// The room of that sum (68 F, from memory).
const ROOM: Temperature = Temperature::new(20.0);
/// A port's cover passes this, perm, on roofs of this slope, in zones up to this (IRC R806.5 item 5.2, from memory).
const PORT_COVER: f64 = 20.0;
const PORT_SLOPE: f64 = 0.25;
const PORT_ZONE: u8 = 3;
/// So many months under the room's dew point count as a winter. Our own choice.
const SEASON: usize = 3;

/// What falls short.
enum Short<'a> {
    Code {
        zone: Zone,
        title: &'static str,
        row: Minimum,
        have: ThermalResistance,
        least: ThermalResistance,
    },
    /// No code: months in which room air that gets to the deck wets it.
    Dew {
        months: usize,
        coldest: Temperature,
        outer: &'a Layer,
    },
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let Some(roof) = roof::unvented(look)? else { return Ok(None) };
    let Some(airy) = roof.airy.and_then(|i| roof.path.parts.get(i)) else { return Ok(None) };
    let Some(layer) = look.surface.layers.get(airy.layer) else { return Ok(None) };
    let short = if look.job.code.is_some() { by_code(look, &roof)? } else { by_dew(look, &roof)? };
    Ok(short.map(|short| tell(look, &roof, layer, &short)))
}

fn by_code<'a>(look: &Look<'a>, roof: &Unvented<'_, 'a>) -> Result<Option<Short<'a>>, Missing> {
    let (code, zone) = wall::edition(look.job)?;
    let row = code.value.unvented_roof_minimum(zone).ok_or_else(|| wall::no_row(code, zone))?;
    if port_serves(look, zone) || dry_tile(look, zone) {
        return Ok(None);
    }
    let (have, below) = (roof.tight(look), roof.below(look));
    let share = row.resistance / WHOLE;
    let by_share = below * (share / (1.0 - share));
    // The table has a roof of R-49 in mind; over more insulation than that its share is held.
    let least = if have + below > WHOLE { row.resistance.max(by_share) } else { row.resistance };
    // A board sold as R-20 may come out a hair below it from its thickness.
    if have.si() >= least.si() * 0.998 {
        return Ok(None);
    }
    // The sum over the coldest months is for insulation above the deck.
    if have > ThermalResistance::ZERO && roof.above(look) == have && roof.plane(three_coldest(look)?, ROOM) >= WARM {
        return Ok(None);
    }
    Ok(Some(Short::Code { zone, title: code.value.title(), row, have, least }))
}

fn three_coldest(look: &Look<'_>) -> Result<Temperature, Missing> {
    let mut months = look.months().map_err(Clone::clone)?.map(|m| m.outdoor.temperature.si());
    months.sort_by(f64::total_cmp);
    Ok(Temperature::new(months.iter().take(3).sum::<f64>() / 3.0))
}

fn port_serves(look: &Look<'_>, zone: Zone) -> bool {
    let facts = &look.surface.facts;
    let steep = facts.slope.as_ref().is_some_and(|s| s.at(&look.draw).si() >= PORT_SLOPE - 1e-9);
    let passes = |p: Permeance| p.si() / PERM >= PORT_COVER - 1e-9;
    let open = facts.port.as_ref().and_then(|p| p.cover.permeance_at(&look.draw, Cup::Dry)).is_some_and(passes);
    zone.number <= PORT_ZONE && steep && open
}

/// In the dry zones 2 and 3 the table asks for nothing under tiles (from memory).
fn dry_tile(look: &Look<'_>, zone: Zone) -> bool {
    let tile = look.surface.layers.first().and_then(|l| material(l, &look.draw)).is_some_and(|m| {
        m.kind() == "roofing" && m.seams() == Seams::LappedCladding && matches!(m.family(), "clay" | "cement")
    });
    tile && matches!(zone.number, 2 | 3) && zone.letter == Some('B')
}

/// Without a code: little passes outward, no closed retarder lies inside, and the deck is colder than the room's dew point
/// for a winter. Where the sum shows water that stays, the dew rules tell it.
fn by_dew<'a>(look: &Look<'a>, roof: &Unvented<'_, 'a>) -> Result<Option<Short<'a>>, Missing> {
    let at = roof.airy.unwrap_or_default();
    let thick = |(_, p): (usize, &Part<'a>)| p.vapor.1;
    let parts = || roof.path.parts.iter().enumerate();
    let outward: VaporThickness = parts().filter(|(i, _)| *i < at).map(thick).sum();
    let closed = |p: &Part<'a>| {
        let seams = look.surface.layers.get(p.layer).is_some_and(|l| l.seams.treatment.closed());
        seams && p.vapor.0.permeance().si() / PERM <= CLASS_LIMITS.get(1).copied().unwrap_or(1.0)
    };
    if outward.permeance().si() / PERM >= 1.0 || parts().any(|(i, p)| i > at && closed(p)) {
        return Ok(None);
    }
    let mut cold: Vec<Temperature> = Vec::new();
    for month in look.months().map_err(Clone::clone)? {
        let plane = roof.plane(month.outdoor.temperature, month.indoor.temperature);
        let dew = air::dew_point(month.indoor.vapor).map_err(|e| Missing::new(look.surface.span, e.to_string()))?;
        cold.extend((plane < dew).then_some(plane));
    }
    let told = |y: &PathYear<'_>| y.year.zones().iter().any(|z| z.dry_at.is_none());
    if cold.len() < SEASON || look.years().map_err(Clone::clone)?.iter().any(told) {
        return Ok(None);
    }
    let coldest = cold.iter().copied().fold(ROOM, Temperature::min);
    let Some(outer) = look.surface.layers.get(roof.deck) else { return Ok(None) };
    Ok(Some(Short::Dew { months: cold.len(), coldest, outer }))
}

fn tell(look: &Look<'_>, roof: &Unvented<'_, '_>, layer: &Layer, short: &Short<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let stands = layer.words.existing || look.surface.facts.existing;
    let weight = |new: Weight| if stands { Weight::Watch } else { new };
    match short {
        Short::Code { zone, title, row, have, least } => {
            let (has, needs) = (show.resistance(*have), show.resistance(*least));
            let more = show.resistance(*least - *have);
            let below = show.resistance(roof.below(look));
            let message = format!("{has} of tight insulation at the deck, zone {zone} asks for {needs}");
            let held = if *least > row.resistance {
                format!("; the table's {} is that share of an R-49 roof, held here", show.resistance(row.resistance))
            } else {
                String::new()
            };
            // The table's own figure is met where only the share is not.
            let new = if *have >= row.resistance * 0.998 { Weight::Fix } else { Weight::Stop };
            Finding::new(RULE.id, weight(new), layer.stuff_span, message)
                .label(format!("{below} that air moves through"))
                .detail(format!(
                    "No outdoor air passes under the deck, so it has to stay warm: room air that gets through `{}` \
                     wets what it meets first. {title} asks for {needs} above the deck, or without air between \
                     directly under it (section R806.5; {}, {}{held}). A film inside does not stand in for it. An \
                     air gap from eave to ridge under the deck is another way.",
                    layer.label,
                    row.citation.source,
                    row.citation.access.words()
                ))
                .help(if stands {
                    format!(
                        "open a bay in late winter and look; at the next reroofing lay {more} of boards on the deck"
                    )
                } else {
                    format!("lay {more} more of boards above the deck, or spray closed-cell foam under it first")
                })
                .number("tight_resistance", have.si(), "m2.K/W")
                .number("tight_resistance_least", least.si(), "m2.K/W")
        }
        Short::Dew { months, coldest, outer } => {
            let message = format!("the deck is under the room's dew point for {months} months a year");
            Finding::new(RULE.id, weight(Weight::Fix), layer.stuff_span, message)
                .label("air moves through this")
                .detail(format!(
                    "The face under `{}` falls to {}. By vapor alone it dries in a year; room air that leaks in \
                     carries far more, and out through the roof next to nothing dries. Inside there is no layer of {} \
                     perm or less with closed seams (from {SEASON} months on: our own choice).",
                    outer.label,
                    show.temperature(*coldest),
                    fixed(CLASS_LIMITS.get(1).copied().unwrap_or(1.0), 0),
                ))
                .help(format!(
                    "put a film that opens when humid inside of `{}`, taped and sealed at its edges, or insulate above",
                    layer.label
                ))
                .number("cold_months", *months as f64, "1")
        }
    }
}
