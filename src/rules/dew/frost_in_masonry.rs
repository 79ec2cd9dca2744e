//! Solid masonry that gets cold behind new insulation inside, and wet from outside.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::ThermalResistance;
use crate::base::show::Show;
use crate::base::unit::R_VALUE;
use crate::model::layer::{Body, Layer};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Draw;
use crate::rules::facts::path::Part;
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Rain, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "dew/frost-in-masonry",
    summary: "solid masonry insulated inside where it freezes wet",
    weight: Weight::Fix,
    page: include_str!("frost_in_masonry.md"),
    run: Run::Surface(run),
};

/// Less insulation inside than this leaves the masonry about as warm as it was: R-2. Our own choice.
const LITTLE: ThermalResistance = ThermalResistance::new(0.35);
/// Up to this the loss of warmth is bearable where the brick is sound: R-10. Common practice, no source.
const MUCH: ThermalResistance = ThermalResistance::new(10.0 * R_VALUE);
/// From this zone on frost goes through masonry that the room no longer warms. Common practice, no source.
const FROST_ZONE: u8 = 5;

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let surface = look.surface;
    let rain = surface.facts.rain.or(look.job.rain).unwrap_or(Rain::Normal);
    let outside = surface.kind == SurfaceKind::Wall
        && matches!(surface.first.place, SidePlace::Outdoors)
        && matches!(surface.last.place, SidePlace::Room(_));
    let Some(masonry) = surface.layers.first().filter(|l| outside && solid(l, &look.draw)) else { return Ok(None) };
    // The strip of a foundation above grade is parged, low and short.
    let foundation = |s: &Surface| s.name == surface.name && matches!(s.first.place, SidePlace::Ground { .. });
    if look.job.surfaces.iter().any(foundation) {
        return Ok(None);
    }
    let wetted = masonry.words.catches_water || rain != Rain::Sheltered;
    if masonry.words.frost_tested || !wetted || surface.facts.existing {
        return Ok(None);
    }
    let paths = look.paths().map_err(Clone::clone)?;
    let Some(path) = paths.first() else { return Ok(None) };
    let (mut inside, mut first) = (ThermalResistance::ZERO, None);
    for part in path.parts.iter().filter(|p| insulates(p)) {
        inside += part.resistance;
        first = first.or_else(|| surface.layers.get(part.layer).filter(|l| !l.words.existing));
    }
    let Some(lining) = first.filter(|_| inside >= LITTLE) else { return Ok(None) };
    let Some(zone) = look.job.climate.as_ref().and_then(|c| c.zone) else {
        let at = look.job.place_span.or(look.job.head).unwrap_or(surface.span);
        return Err(Missing::new(at, "the climate zone of the place is not known"));
    };
    if zone.number < FROST_ZONE && !zone.is_marine_four() {
        return Ok(None);
    }
    let soaked = masonry.words.catches_water || rain >= Rain::Severe;
    Ok(Some(tell(look, masonry, lining, inside, soaked, &zone.to_string())))
}

/// Brick, block or stone laid in mortar, bare to the weather.
fn solid(layer: &Layer, draw: &Draw) -> bool {
    matches!(&layer.body, Body::Sheet(choice)
        if choice.at(draw).and_then(|s| s.material).is_some_and(|m| m.kind() == "masonry" && m.capillary() == Some(true)))
}

fn insulates(part: &Part<'_>) -> bool {
    part.layer > 0
        && part.stuff().is_some_and(|s| {
            let known = s.material.and_then(crate::catalog::Material::conductivity);
            known.is_some_and(|c| c.si() <= 0.065) || (known.is_none() && s.resistance.is_some())
        })
}

fn tell(
    look: &Look<'_>,
    masonry: &Layer,
    lining: &Layer,
    inside: ThermalResistance,
    soaked: bool,
    zone: &str,
) -> Finding {
    let show = Show { metric: look.job.metric };
    let wet = match (masonry.words.catches_water, soaked) {
        (true, _) => "It is written that it catches water",
        (false, true) => "Severe rain wets it",
        (false, false) => "Rain wets it",
    };
    let much = if inside > MUCH {
        format!(
            " More than {} inside asks for a survey first: run-off, brick, beam ends (common practice, no source).",
            show.resistance(MUCH)
        )
    } else {
        String::new()
    };
    Finding::new(
        RULE.id,
        if soaked { Weight::Fix } else { Weight::Watch },
        lining.stuff_span,
        format!("{} inside lets `{}` freeze while it is wet", show.resistance(inside), label(masonry)),
    )
    .label("keeps the room's warmth off")
    .also(masonry.stuff_span, "not `frost tested`")
    .detail(format!(
        "{wet}, in zone {zone} it freezes, and heat from the room no longer dries and warms it. Ice in full pores splits \
         the face off; how much a brick bears differs from kiln to kiln and is tested (a digest on insulating load-bearing \
         masonry inside, read). The sum of vapor does not show frost: amounts stay as computed.{much}"
    ))
    .help(if masonry.words.catches_water {
        "mend ledges, joints and run-off, have the masonry tested, and write `frost tested`; or insulate outside"
    } else {
        "have the masonry tested, and write `frost tested`; or put the insulation outside of it"
    })
    .number("resistance_inside", inside.si(), "m2.K/W")
}
