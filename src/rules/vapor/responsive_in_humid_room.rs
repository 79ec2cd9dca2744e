//! A retarder that opens when humid, on the room side of a wall of a room that is humid all winter.

use super::skin::{self, perms, stands};
use super::wall;
use super::winter::{HUMID, Winter, season, winter};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{MoistureMass, RelativeHumidity};
use crate::base::show::Show;
use crate::catalog::Cup;
use crate::model::layer::Layer;
use crate::rules::dew::criteria::{self, Met};
use crate::rules::facts::path::{Part, Path};
use crate::rules::facts::{Look, Missing, capital, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/responsive-in-humid-room",
    summary: "a retarder that opens when humid, in a room that is humid all winter",
    weight: Weight::Fix,
    page: include_str!("responsive_in_humid_room.md"),
    run: Run::Surface(run),
};

/// The sheet, and what comes of it when it stays open.
struct Opened<'a> {
    part: Part<'a>,
    layer: &'a Layer,
    air: Winter,
    met: Met,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(opened)) => sink.found(tell(look, &opened)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// Whether this rule tells of the wall.
pub(super) fn speaks(look: &Look<'_>) -> bool {
    find(look).is_ok_and(|opened| opened.is_some())
}

fn find<'a>(look: &Look<'a>) -> Result<Option<Opened<'a>>, Missing> {
    if !wall::outside_wall(look) {
        return Ok(None);
    }
    let Some(path) = skin::between(look)? else { return Ok(None) };
    let Some((at, part, layer)) = responsive(look, path) else { return Ok(None) };
    let Some(air) = winter(look)?.filter(|w| w.over(HUMID)) else { return Ok(None) };
    let mut open = path.clone();
    if let Some(part) = open.parts.get_mut(at) {
        part.vapor.0 = part.vapor.1;
    }
    let months = look.months().map_err(Clone::clone)?;
    let year = look.year_of(open, months)?;
    let met = criteria::met(look, months, &year);
    // Where it does no harm even wide open, it may be what it is.
    Ok((met != Met::default()).then_some(Opened { part, layer, air, met }))
}

/// The tightest layer inside of loose insulation, if it opens when humid and none beside it stays tight.
fn responsive<'a>(look: &Look<'a>, path: &Path<'a>) -> Option<(usize, Part<'a>, &'a Layer)> {
    let surface: &'a crate::model::surface::Surface = look.surface;
    let loose = skin::loose_insulation(path)?;
    let inner = path.parts.iter().enumerate().skip(loose + 1).filter(|(_, p)| p.stuff().is_some());
    let (at, part) = inner.min_by(|a, b| perms(a.1, Cup::Dry).total_cmp(&perms(b.1, Cup::Dry)))?;
    let tight_elsewhere =
        path.parts.iter().skip(loose + 1).any(|p| p.stuff().is_some() && perms(p, Cup::Wet) <= 1.0 + 1e-9);
    let opens = perms(part, Cup::Dry) <= 1.0 + 1e-9 && !tight_elsewhere;
    Some((at, *part, surface.layers.get(part.layer)?)).filter(|_| opens)
}

fn tell(look: &Look<'_>, opened: &Opened<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let stands = stands(look, opened.layer);
    // A layer that is damp and gets no water is a matter of storage too.
    let damp = opened.met.lasting.is_none() && opened.met.peak.is_none();
    let weight = if stands || damp { Weight::Watch } else { Weight::Fix };
    let harm = match opened.met {
        Met { lasting: Some(left), .. } => {
            format!("{} of condensate is left in the wall after a year", show.water(MoistureMass::new(left)))
        }
        Met { peak: Some(times), .. } => format!("condensate peaks at {times:.1} times what its place may hold"),
        Met { damp, .. } => format!("wood or paper is over 80 % for {:.0} months", damp.unwrap_or(0.0)),
    };
    let held = if opened.air.held { ", held so" } else { "" };
    Finding::new(
        RULE.id,
        weight,
        opened.layer.stuff_span,
        format!("`{}` stays open all winter in a room this humid", label(opened.layer)),
    )
    .label(format!("{} when humid", show.permeance(opened.part.vapor.1.permeance())))
    .detail(format!(
        "It passes {} dry and {} humid. {} the room has {} on average{held}; over {} such a \
         sheet is to be counted open (common practice, no source). Taken at its wet-cup figure all year, {harm} (monthly \
         means, diffusion only).",
        show.permeance(opened.part.vapor.0.permeance()),
        show.permeance(opened.part.vapor.1.permeance()),
        capital(&season(show)),
        show.humidity(opened.air.humidity),
        show.humidity(RelativeHumidity::new(HUMID)),
    ))
    .help(if stands {
        format!("open the wall at `{}` in late winter, and look", opened.layer.label)
    } else if opened.air.held {
        format!("put in place of `{}` a sheet that stays tight, and insulate outside: have it designed", opened.layer.label)
    } else {
        format!("keep the room at or below {} in winter", show.humidity(RelativeHumidity::new(HUMID)))
    })
    .number("room_humidity", opened.air.humidity.si(), "1")
    .number("permeance_wet", opened.part.vapor.1.permeance().si(), "kg/(s.m2.Pa)")
}
