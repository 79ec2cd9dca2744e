//! Brick, stone or stucco that holds rain in front of an open chain of layers and a tight layer in a cooled room.

use super::skin::{self, harmed, is_loose, perms, series, stands, stays_tight};
use super::wall;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, Permeance};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::{Bond, Cup, Material};
use crate::model::layer::{Body, Layer, Openings};
use crate::model::value::Draw;
use crate::rules::facts::path::Part;
use crate::rules::facts::vent::left_out;
use crate::rules::facts::{Look, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Rain;

pub(super) const RULE: Rule = Rule {
    id: "vapor/wet-cladding-drive",
    summary: "a cladding that holds rain, coupled to a wall that is tight inside",
    weight: Weight::Stop,
    page: include_str!("wet_cladding_drive.md"),
    run: Run::Surface(run),
};

/// Layers between cladding and inner layer that pass more than this, perm, let nearly all of the drive in (common
/// practice, no source).
const OPEN: f64 = 10.0;
/// Up to this, perm, they hold it off (common practice, no source).
const HELD_OFF: f64 = 1.0;
/// Class I, perm (IRC section R202, from memory).
const BARRIER: f64 = 0.1;
/// With less rain a year a wall seldom holds any. Our own choice.
const DRY_PLACE: Length = Length::new(0.25);
/// Zones in which outdoor air alone drives vapor inward for most of the year.
const HOT: u8 = 3;

/// What drives, through what, and where it is stopped.
struct Drive<'a> {
    cladding: &'a Layer,
    inner: Part<'a>,
    layer: &'a Layer,
    between: &'a Layer,
    /// What water does to it.
    what: &'static str,
    chain: Permeance,
    /// The closed or drained gap behind the cladding.
    gap: Option<&'a Layer>,
    last: bool,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(drive)) => {
            if let Some(weight) = weight(look, &drive) {
                sink.found(tell(look, &drive, weight));
            }
        }
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// Whether this rule tells of a layer.
pub(super) fn speaks_of(look: &Look<'_>, layer: &Layer) -> bool {
    let drive = find(look).ok().flatten();
    drive.is_some_and(|d| std::ptr::eq(d.layer, layer) && weight(look, &d).is_some())
}

fn find<'a>(look: &Look<'a>) -> Result<Option<Drive<'a>>, Missing> {
    let surface = look.surface;
    if !wall::outside_wall(look) || !wall::cooled(look) || !rained_on(look) || left_out(surface, &look.draw) > 0 {
        return Ok(None);
    }
    let leaf = surface.layers.iter().take_while(|l| material(l, &look.draw).is_some_and(holds_rain)).count();
    let Some(cladding) = leaf.checked_sub(1).and_then(|i| surface.layers.get(i)) else { return Ok(None) };
    let gap = surface.layers.get(leaf).filter(|l| is_gap(l, &look.draw));
    let Some(path) = skin::between(look)? else { return Ok(None) };
    let behind: Vec<&Part<'a>> = path.parts.iter().filter(|p| p.layer >= leaf).collect();
    let total = skin::resistance(behind.iter().copied()).si();
    let on_room_side = |at: usize| skin::resistance(behind.iter().take(at).copied()).si() >= total / 2.0 && total > 0.0;
    let tight = behind.iter().enumerate().filter(|(at, p)| stays_tight(p) && on_room_side(*at));
    let Some((at, inner)) = tight.min_by(|a, b| perms(a.1, Cup::Dry).total_cmp(&perms(b.1, Cup::Dry))) else {
        return Ok(None);
    };
    let outside = behind.iter().take(at);
    // What lies nearest to the water is told.
    let hurt = outside.clone().rev().find_map(|p| {
        let layer = surface.layers.get(p.layer)?;
        harmed(layer, p).map(|what| (layer, what))
    });
    let (Some((between, what)), Some(layer)) = (hurt, surface.layers.get(inner.layer)) else { return Ok(None) };
    // What tells of the gap's ends is asked last: where nothing else is wrong, nobody need know.
    if let Some(layer) = gap.filter(|l| matches!(&l.body, Body::Gap(g) if matches!(g.openings, Openings::Unknown))) {
        return Err(Missing::new(
            layer.stuff_span,
            format!("whether `{}` is open low and high is not known", layer.label),
        ));
    }
    // Loose insulation holds nothing off; the boards and sheets do.
    let chain = series(outside.copied().filter(|p| !is_loose(p) && p.stuff().is_some()), Cup::Wet);
    let last = inner.layer + 1 == surface.layers.len();
    Ok(Some(Drive { cladding, inner: **inner, layer, between, what, chain, gap, last }))
}

/// Brick, stone, stucco or stuck stone; poured concrete takes in too little.
fn holds_rain(m: &'static Material) -> bool {
    let leaf = class::masonry(m) && m.kind() != "concrete";
    class::absorbent(m) && (leaf || class::plaster(m) || (class::cladding(m) && m.bond() == Bond::Liquid))
}

fn material(layer: &Layer, draw: &Draw) -> Option<&'static Material> {
    match &layer.body {
        Body::Sheet(choice) => choice.at(draw)?.material,
        _ => None,
    }
}

/// A gap, empty battens or a mat: what keeps a cladding off the wall.
fn is_gap(layer: &Layer, draw: &Draw) -> bool {
    let mat = material(layer, draw).is_some_and(|m| matches!(m.key(), "drainage-mat" | "dimple-sheet"));
    mat || matches!(layer.body, Body::Gap(_) | Body::Members(_)) && !wall::is_stud(layer, draw)
}

/// Rain reaches it, and there is some.
fn rained_on(look: &Look<'_>) -> bool {
    let sheltered = look.surface.facts.rain.or(look.job.rain) == Some(Rain::Sheltered);
    let rainfall = look.job.climate.as_ref().and_then(|c| c.rainfall);
    !sheltered && rainfall.is_none_or(|r| r >= DRY_PLACE)
}

/// One step lighter for each thing that is less than the worst; none where so little is left.
fn weight(look: &Look<'_>, drive: &Drive<'_>) -> Option<Weight> {
    let chain = drive.chain.si() / PERM;
    if chain <= HELD_OFF + 1e-9 {
        return None;
    }
    let barrier = perms(&drive.inner, Cup::Dry) <= BARRIER + 1e-9;
    let steps = u8::from(!barrier) + u8::from(chain <= OPEN + 1e-9) + u8::from(!barrier && drive.gap.is_some());
    let hot = look.job.climate.as_ref().and_then(|c| c.zone).is_some_and(|z| z.number <= HOT);
    if stands(look, drive.layer) {
        return (steps < 3).then_some(Weight::Watch);
    }
    match (steps, hot && drive.last) {
        (0, _) => Some(Weight::Stop),
        (1, _) | (_, true) => Some(Weight::Fix),
        (2, false) => Some(Weight::Watch),
        _ => None,
    }
}

fn tell(look: &Look<'_>, drive: &Drive<'_>, weight: Weight) -> Finding {
    let show = Show { metric: look.job.metric };
    let (inner, cladding) = (drive.layer, drive.cladding);
    let stuff = drive.inner.stuff();
    let name = stuff.map_or(inner.label.as_str(), |s| s.name.as_str());
    let dry = drive.inner.vapor.0.permeance();
    let least = show.permeance(Permeance::new(PERM));
    let coupled = match drive.gap {
        Some(gap) => format!("`{}` behind it is not open both low and high", gap.label),
        None => "nothing lies between it and the wall that air passes through".to_string(),
    };
    let help = match drive.gap {
        _ if stands(look, inner) => format!("lift `{}` at one place in late summer, and look behind it", inner.label),
        Some(gap) if matches!(gap.body, Body::Gap(_)) && !stands(look, cladding) => {
            format!("open `{}` low and high: write `open top and bottom`", gap.label)
        }
        _ => format!("put in place of `{name}` what passes {least} or more in the wet cup"),
    };
    Finding::new(
        RULE.id,
        weight,
        stuff.map_or(inner.stuff_span, |s| s.span),
        format!("`{}` holds what sun drives out of wet cladding", crate::rules::facts::label(inner)),
    )
    .label(format!("{} dry", show.permeance(dry)))
    .also(cladding.stuff_span, "holds rain")
    .also(drive.between.stuff_span, drive.what)
    .detail(format!(
        "Sun on the wet cladding drives vapor into the wall: {coupled}. The layers from there to `{name}` pass {}, and \
         `{name}` only {}: while the room is cooled, water gathers on its outer face, beside `{}`, which {}. That this \
         happens was read in published studies; the limits of 10, 1 and 0.1 perm are common practice, no source.",
        show.permeance(drive.chain),
        show.permeance(dry),
        drive.between.label,
        drive.what
    ))
    .help(help)
    .number("permeance_outside", drive.chain.si(), "kg/(s.m2.Pa)")
    .number("permeance_inside", dry.si(), "kg/(s.m2.Pa)")
}
