//! A tight layer on the cold side of loose insulation, with too little insulation outside of it to keep it warm.

use super::skin::{self, known, lapped, perms, stands, stays_tight};
use super::{class_three_unearned, wall};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::ThermalResistance;
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::{Cup, Material};
use crate::model::climate::Climate;
use crate::model::layer::Layer;
use crate::model::surface::Surface;
use crate::physics::profile::MONTH_DAYS;
use crate::physics::{OutOfRange, air};
use crate::rules::facts::path::{Part, Path};
use crate::rules::facts::{Look, Missing, class};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/cold-side-tight",
    summary: "a tight layer outside of loose insulation that is not kept warm",
    weight: Weight::Fix,
    page: include_str!("cold_side_tight.md"),
    run: Run::Surface(run),
};

/// NBC of Canada: a layer that passes less is to be kept warm, kg/(s.m2.Pa) (60 ng, read in its statement of intent).
const CANADA: f64 = 60e-12;
/// The same of air, L/(s.m2) at 75 Pa (read there).
const CANADA_AIR: f64 = 0.1;
/// NBC of Canada 9.25.5.2: below these degree days (18 C) the ratio of insulation outside to inside (from memory).
const RATIOS: [(f64, f64); 9] = [
    (5_000.0, 0.20),
    (6_000.0, 0.30),
    (7_000.0, 0.35),
    (8_000.0, 0.40),
    (9_000.0, 0.50),
    (10_000.0, 0.55),
    (11_000.0, 0.60),
    (12_000.0, 0.65),
    (f64::INFINITY, 0.75),
];
/// With a dew point above the sheathing for a season of monthly means water gathers there. Our own choice.
const SEASON: usize = 3;

/// A tight layer and what lies on either side of it.
pub(super) struct Cold<'a> {
    tight: Part<'a>,
    layer: &'a Layer,
    outside: ThermalResistance,
    inside: ThermalResistance,
    /// How much outside would do.
    least: ThermalResistance,
    /// By which yardstick.
    by: String,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(cold)) => sink.found(tell(look, &cold)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// The tight layer that is too cold.
pub(super) fn find<'a>(look: &Look<'a>) -> Result<Option<Cold<'a>>, Missing> {
    if !wall::outside_wall(look) {
        return Ok(None);
    }
    let Some(path) = skin::between(look)? else { return Ok(None) };
    for (at, _) in path.parts.iter().enumerate().filter(|(_, p)| skin_of(p)) {
        let loose = path.parts.iter().enumerate().skip(at + 1).find(|(_, p)| skin::is_loose(p));
        let Some((loose, _)) = loose else { return Ok(None) };
        if let Some(cold) = judge(look, path, at, loose)? {
            return Ok(Some(cold));
        }
    }
    Ok(None)
}

/// One tight layer, and the first loose insulation inside of it.
fn judge<'a>(look: &Look<'a>, path: &Path<'a>, at: usize, loose: usize) -> Result<Option<Cold<'a>>, Missing> {
    let surface: &'a Surface = look.surface;
    let Some((tight, layer)) = path.parts.get(at).and_then(|t| Some((*t, surface.layers.get(t.layer)?))) else {
        return Ok(None);
    };
    let inside = skin::resistance(path.parts.iter().skip(at + 1));
    let Some((outside, least, by)) = yardstick(look, path, at, loose)? else { return Ok(None) };
    // A board sold as may come out a hair below it from its thickness.
    let enough = outside.si() >= least.si() * 0.998;
    Ok((!enough).then_some(Cold { tight, layer, outside, inside, least, by }))
}

/// A tight sheet or board, not lapped siding. Brick and stone store water and lead it away; what nobody knows is told by what hangs on it.
fn skin_of(part: &Part<'_>) -> bool {
    let porous = part.stuff().and_then(|s| s.material).is_some_and(|m| class::porous(m) || class::masonry(m));
    stays_tight(part) && !porous && !lapped(part) && known(part)
}

/// How much lies outside, how much is needed, and by which rule.
type Measure = (ThermalResistance, ThermalResistance, String);

/// How much is needed outside, and by what rule; none where nothing is asked for, or another rule tells it.
fn yardstick(look: &Look<'_>, path: &Path<'_>, at: usize, loose: usize) -> Result<Option<Measure>, Missing> {
    let inside = skin::resistance(path.parts.iter().skip(at + 1)).si();
    let outside = skin::resistance(path.parts.iter().take(at + 1));
    let climate = look.job.climate.as_ref();
    if let (None, Some(climate)) = (&look.job.code, climate.filter(|c| c.country == Some("CA"))) {
        return Ok(path.parts.get(at).filter(|p| canadian(p)).map(|_| {
            let days = degree_days(climate);
            let ratio = RATIOS.iter().find(|(below, _)| days < *below).map_or(0.75, |(_, ratio)| *ratio);
            let by = format!(
                "NBC of Canada 9.25.5.2 asks for {ratio:.2} of what lies inside of it at {days:.0} degree days (limits of \
                 permeance and air read, ratios from memory; days from monthly means)"
            );
            (outside, ThermalResistance::new(inside * ratio), by)
        }));
    }
    // With a layer of class I or II inside the room's vapor does not get there, and codes ask for no more.
    let room_side = path.parts.iter().skip(loose + 1).filter(|p| p.stuff().is_some());
    if room_side.clone().any(|p| perms(p, Cup::Dry) <= 1.0 + 1e-9) || class_three_unearned::speaks(look) {
        return Ok(None);
    }
    if let (Some(frame), Ok((edition, zone, _))) = (wall::frame(look)?, wall::table(look.job))
        && let Some(row) = edition.class_three_minimum(zone, frame.depth)
    {
        let condition = class_three_unearned::condition(&frame, row, look);
        let by = format!(
            "{} asks for so much outside of {} studs with class III inside in zone {zone} ({}; {}), and vented cladding \
             helps no sheathing that lies behind a tight layer",
            edition.title(),
            Show { metric: look.job.metric }.length(frame.depth),
            row.citation.source,
            row.citation.access.words()
        );
        return Ok(Some((condition.have, condition.least, by)));
    }
    by_dew_point(look, path, at, loose)
}

/// As much outside as keeps the outer face of the loose insulation above the room's dew point in all but two months.
fn by_dew_point(look: &Look<'_>, path: &Path<'_>, at: usize, loose: usize) -> Result<Option<Measure>, Missing> {
    let months = look.months().map_err(Clone::clone)?;
    let mut shares = Vec::new();
    for month in months {
        let refuse = |e: OutOfRange| Missing::new(look.surface.span, e.to_string());
        let dew_point = air::dew_point(month.indoor.vapor).map_err(refuse)?;
        let (out, inn) = (month.outdoor.temperature.si(), month.indoor.temperature.si());
        // The share of the way from outdoors at which the wall is as warm as the dew point.
        shares.push(if inn > out { (dew_point.si() - out) / (inn - out) } else { 0.0 });
    }
    shares.sort_by(|a, b| b.total_cmp(a));
    let needed = shares.get(SEASON - 1).copied().unwrap_or(0.0).min(0.95);
    let outside = skin::resistance(path.parts.iter().take(at + 1));
    let outside_films = path.first_film.si();
    let board = skin::resistance(path.parts.iter().take(loose).skip(at + 1)).si();
    let warm = skin::resistance(path.parts.iter().skip(loose)).si() + path.last_film.si();
    let least = (warm * needed / (1.0 - needed) - board - outside_films).max(0.0);
    let by = format!(
        "what lies next to the loose insulation is below the dew point of the room for {SEASON} months or more (monthly \
         means, heat through the bay alone)"
    );
    Ok(Some((outside, ThermalResistance::new(least), by)))
}

/// Tight to vapor and to air, as the Canadian code has it.
fn canadian(part: &Part<'_>) -> bool {
    let air = part.stuff().and_then(|s| s.material).and_then(Material::air_permeance);
    perms(part, Cup::Dry) * PERM < CANADA && air.is_some_and(|a| a.si() < CANADA_AIR)
}

/// Kelvin days below 18 C in a year, from monthly means.
fn degree_days(climate: &Climate) -> f64 {
    climate.months.iter().zip(MONTH_DAYS).map(|(m, days)| (18.0 - m.temperature.si()).max(0.0) * days).sum()
}

fn tell(look: &Look<'_>, cold: &Cold<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let layer = cold.layer;
    let stuff = cold.tight.stuff();
    let name = stuff.map_or(layer.label.as_str(), |s| s.name.as_str());
    let dry = cold.tight.vapor.0.permeance();
    let more = ThermalResistance::new((cold.least.si() - cold.outside.si()).max(0.0));
    let stands = stands(look, layer);
    let weight = if stands { Weight::Watch } else { Weight::Fix };
    let help = if stands {
        format!("open `{}` at one place in late winter, and look for damp behind it", layer.label)
    } else {
        format!(
            "put {} more of insulation outside of `{}`, or swap it for a layer that passes 10 perm or more",
            show.resistance(more),
            layer.label
        )
    };
    let tight = crate::rules::facts::label(layer);
    Finding::new(RULE.id, weight, layer.stuff_span, format!("`{tight}` is tight and not kept warm from outside"))
        .label(show.permeance(dry))
        .detail(format!(
            "`{name}` passes {}. Outside of its inner face are {} and inside {}; {}. It takes {}. Room vapor that gets \
             through the insulation stays at its cold side.",
            show.permeance(dry),
            show.resistance(cold.outside),
            show.resistance(cold.inside),
            cold.by,
            show.resistance(cold.least)
        ))
        .help(help)
        .number("outside_resistance", cold.outside.si(), "m2.K/W")
        .number("outside_resistance_least", cold.least.si(), "m2.K/W")
        .number("inside_resistance", cold.inside.si(), "m2.K/W")
}
