//! A wet cladding in the sun that drives vapor into the wall of a cooled room.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{MoistureRate, Permeance, RelativeHumidity, Temperature};
use crate::base::show::{Show, significant};
use crate::base::unit::PERM;
use crate::catalog::Seams;
use crate::model::layer::{Body, Layer};
use crate::model::room::RoomAir;
use crate::model::surface::SidePlace;
use crate::physics::profile::Air;
use crate::physics::sun::{self, Settles};
use crate::rules::facts::path::Part;
use crate::rules::facts::{Look, Missing, PathYear, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Rain, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "dew/sun-driven-vapor",
    summary: "a wet cladding in the sun that drives vapor inward, with its rate",
    weight: Weight::Fix,
    page: include_str!("sun_driven_vapor.md"),
    run: Run::Surface(run),
};

/// Below this, 1 g/(m2 h), the boundary case is told of nothing. Our own choice.
const LEAST: MoistureRate = MoistureRate::new(1.0e-3 / 3600.0);
/// 500 g/m2 in 30 days of six hours of sun: what one face that takes no water up may hold (DIN 4108-3, quoted).
const MUCH: MoistureRate = MoistureRate::new(0.5 / (30.0 * 6.0 * 3600.0));
/// A layer of at most this permeance holds it back: class II (IRC section R202, from memory).
const TIGHT: Permeance = Permeance::new(PERM);
/// Months warmer than this have the sun that it takes. Our own choice.
const SUMMER: Temperature = Temperature::new(18.0);

/// Where it settles.
struct Wetted {
    settles: Settles,
    layer: usize,
    sensitive: bool,
    room: Air,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let Some(cladding) = reservoir(look) else { return Ok(None) };
    let (months, years) = (look.months().map_err(Clone::clone)?, look.years().map_err(Clone::clone)?);
    let Some(of) = years.first().filter(|y| y.path.left_out == 0) else { return Ok(None) };
    let warmest = months.iter().max_by(|a, b| a.outdoor.temperature.si().total_cmp(&b.outdoor.temperature.si()));
    let Some(month) = warmest.filter(|m| m.outdoor.temperature >= SUMMER) else { return Ok(None) };
    let settled = sun::drive(&of.path.build(), sun::FACE, month.indoor)
        .map_err(|e| Missing::new(look.surface.span, e.to_string()))?;
    let wetted = settled.into_iter().filter_map(|s| counts(look, of, s, month.indoor));
    let worst = wetted.max_by(|a, b| a.settles.rate.si().total_cmp(&b.settles.rate.si()));
    Ok(worst.filter(|w| w.settles.rate >= LEAST).and_then(|w| tell(look, cladding, &w)))
}

/// The absorbent cladding of a wall in the rain whose room is cooled.
fn reservoir<'a>(look: &Look<'a>) -> Option<&'a Layer> {
    let surface: &'a crate::model::surface::Surface = look.surface;
    let SidePlace::Room(room) = surface.last.place else { return None };
    let cooled = matches!(look.job.room(room).map(|r| &r.air), Some(RoomAir::Kept { cooled: Some(_), .. }));
    let rain = surface.facts.rain.or(look.job.rain).unwrap_or(Rain::Normal);
    let outside = surface.kind == SurfaceKind::Wall && matches!(surface.first.place, SidePlace::Outdoors);
    let absorbs = |l: &&Layer| match &l.body {
        // Courses that overlap let its vapor out behind and between them.
        Body::Sheet(choice) => choice
            .at(&look.draw)
            .and_then(|s| s.material)
            .is_some_and(|m| class::absorbent(m) && m.seams() != Seams::LappedCladding),
        _ => false,
    };
    surface.layers.first().filter(|_| cooled && outside && rain != Rain::Sheltered).filter(absorbs)
}

/// Water inboard of the cladding, on wood or paper or in front of something tight.
fn counts(look: &Look<'_>, of: &PathYear<'_>, settles: Settles, room: Air) -> Option<Wetted> {
    let (outer, inner) = (of.path.parts.get(settles.interface.checked_sub(1)?)?, of.path.parts.get(settles.interface)?);
    let sensitive = |p: &Part<'_>| p.stuff().and_then(|s| s.material).is_some_and(class::sensitive);
    let harmed = [inner, outer].into_iter().find(|p| p.layer > 0 && sensitive(p));
    let tight = inner.vapor.0.permeance() <= TIGHT && inner.layer > 0;
    let part = harmed.or(tight.then_some(inner))?;
    look.surface.layers.get(part.layer)?;
    Some(Wetted { settles, layer: part.layer, sensitive: harmed.is_some(), room })
}

fn tell(look: &Look<'_>, cladding: &Layer, wetted: &Wetted) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(wetted.layer)?;
    let grams = significant(wetted.settles.rate.si() * 3.6e6);
    let stands = look.surface.facts.existing || layer.words.existing;
    let weight = if wetted.sensitive && wetted.settles.rate >= MUCH && !stands { Weight::Fix } else { Weight::Watch };
    let humidity = crate::physics::air::relative_humidity(wetted.room.vapor, wetted.room.temperature).ok()?;
    Some(
        Finding::new(
            RULE.id,
            weight,
            layer.stuff_span,
            format!("sun on wet `{}` drives {grams} g/(m2.h) onto `{}`", label(cladding), label(layer)),
        )
        .label("water settles here")
        .also(cladding.stuff_span, "holds rain")
        .detail(format!(
            "A boundary case, not a climate: the face of `{}` wet through at {}, the room at {} and {}. Water settles at {} \
             (steady state, ISO 13788:2012 clause 6 from memory). At {} g/(m2.h) thirty days of six hours of sun come to \
             the 500 g/m2 that a face which takes no water up may hold (DIN 4108-3, quoted). The sum of monthly means knows \
             nothing of it.",
            cladding.label,
            show.temperature(sun::FACE),
            show.temperature(wetted.room.temperature),
            show.humidity(RelativeHumidity::new(humidity.si())),
            show.temperature(wetted.settles.temperature),
            significant(MUCH.si() * 3.6e6),
        ))
        .help(format!(
            "open the gap behind `{}` at both ends: `air 1 in, open top and bottom`; or take what is tighter than 1 perm \
             off the room side",
            cladding.label
        ))
        .number("rate", wetted.settles.rate.si(), "kg/(s.m2)")
        .number("temperature", wetted.settles.temperature.si(), "degC"),
    )
}
