//! A bare strip between the wall's water layer and the sheet that keeps soil water out.

use super::ground::{ground_sheets, in_soil};
use super::ties::{cut, edge, joined, material, short, show, surfaces, water_layers, whole};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::graph::plane::Agent;
use crate::model::joint::Thing;
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/open-grade-line",
    summary: "a wall's water layer and the sheet in the ground that do not meet",
    weight: Weight::Fix,
    page: include_str!("open_grade_line.md"),
    run: Run::Joint(run),
};

/// The sheet in the ground comes up this far: common practice; 150 mm in NHBC Standards 11.2.8, read.
const UP: Length = Length::new(6.0 * INCH);

/// The wall above, the wall in the ground: (end, surface).
type Pair<'a> = ((usize, &'a Surface), (usize, &'a Surface));

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let Some(pair) = pair(look) else { return };
    let ((upper, above), (lower, below)) = pair;
    let layer = |end, layer| Thing::Layer { end, layer, half: None, part: None };
    let sheets: Vec<Thing> = ground_sheets(below).into_iter().map(|l| layer(lower, l)).collect();
    let water: Vec<Thing> =
        water_layers(above).into_iter().filter(|i| laps(above, *i)).map(|l| layer(upper, l)).collect();
    if sheets.is_empty() || water.is_empty() {
        return;
    }
    let meets = water.iter().any(|w| joined(look, *w).iter().any(|t| sheets.contains(t)));
    // Where rain gets through at once, that is told as a leak.
    if !meets && look.leaks(Agent::Water).is_empty() {
        match look.whole() {
            Ok(()) => sink.found(bare(look, pair, &sheets)),
            Err(missing) => sink.cannot(&missing),
        }
    }
    match height(look, &sheets, below) {
        Ok(Some((has, span))) if short(has, UP) => sink.found(low(look, below, has, span)),
        Ok(_) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

fn pair<'a>(look: &JointLook<'a>) -> Option<Pair<'a>> {
    let outside = |s: &Surface| s.kind == SurfaceKind::Wall && matches!(s.first.place, SidePlace::Outdoors);
    let above = surfaces(look).find(|(e, s)| outside(s) && edge(look, *e) == Some(Edge::Bottom))?;
    let below = surfaces(look).find(|(e, s)| in_soil(s) && edge(look, *e) == Some(Edge::Top))?;
    Some((above, below))
}

/// A sheet or coating, not the cladding or the masonry itself.
fn laps(surface: &Surface, layer: usize) -> bool {
    let m = surface.layers.get(layer).and_then(material);
    m.is_some_and(|m| !class::masonry(m) && !class::cladding(m))
}

/// How far above grade the sheet in the ground ends, and where that is written.
fn height(
    look: &JointLook<'_>,
    sheets: &[Thing],
    below: &Surface,
) -> Result<Option<(Length, crate::base::span::Span)>, Missing> {
    let mut turned = Length::ZERO;
    for link in look.joint.links.iter().filter(|l| l.verb == Verb::TurnsUp) {
        let sheet = sheets.contains(&whole(link.subject.thing))
            || look.piece(link.subject.thing).is_some()
                && sheets.iter().any(|s| link_ties(look, link.subject.thing, *s));
        let Some(length) = link.length.as_ref().filter(|_| sheet) else { continue };
        let span = link.length_span.unwrap_or(link.span);
        let up = look.least(length, "how far the sheet in the ground turns up", span)?;
        if link.above.is_some_and(|a| a.thing == Thing::Grade)
            || matches!(link.object.map(|o| o.thing), Some(Thing::Grade))
        {
            return Ok(Some((up, span)));
        }
        turned = turned.max(up);
    }
    let SidePlace::Ground { above_grade, .. } = &below.first.place else { return Ok(None) };
    match above_grade {
        Some(value) => {
            let base = look.least(value, &format!("how far `{}` stands above grade", below.name), below.first.span)?;
            Ok(Some((base + turned, below.first.span)))
        }
        None => Err(Missing::new(below.first.span, format!("how far `{}` stands above grade is not said", below.name))),
    }
}

fn link_ties(look: &JointLook<'_>, piece: Thing, sheet: Thing) -> bool {
    super::ties::of(look, piece).any(|l| l.other(piece).is_some_and(|o| whole(o.thing) == sheet))
}

fn bare(look: &JointLook<'_>, pair: Pair<'_>, sheets: &[Thing]) -> Finding {
    let ((_, above), (_, below)) = pair;
    let sheet = sheets.first().map_or_else(String::new, |s| look.name(*s));
    let weight = if above.facts.existing && below.facts.existing { Weight::Watch } else { Weight::Fix };
    let message = format!("the water layers of `{}` and `{}` do not meet", cut(&above.name), cut(&below.name));
    Finding::new(RULE.id, weight, look.joint.span, message)
        .label("a bare strip at the grade line")
        .detail(
            "Splash, snow and what runs down the wall go in between the two, at the plate and the rim, the wettest place \
             of the wall. The sheet from the ground comes up under the wall's water layer or a base flashing, 2 in of lap \
             or more (common practice, no source).",
        )
        .help(format!("add a strip over the joint: let the wall's water layer lap over it and it over `{sheet}`"))
}

fn low(look: &JointLook<'_>, below: &Surface, has: Length, span: crate::base::span::Span) -> Finding {
    let show = show(look);
    let weight = if below.facts.existing { Weight::Watch } else { Weight::Fix };
    Finding::new(
        RULE.id,
        weight,
        span,
        format!("the sheet in the ground ends {} above grade, {} is asked for", show.length(has), show.length(UP)),
    )
    .detail(format!(
        "Splash and snow lie higher than that, and soil and mulch get raised in the years. {} above the finished grade \
         (common practice; 150 mm in NHBC Standards 11.2.8, read).",
        show.length(UP)
    ))
    .help(format!("let it turn up {} above grade, kept from sunlight", show.length(UP)))
    .number("above_grade", has.si(), "m")
    .number("wanted", UP.si(), "m")
}
