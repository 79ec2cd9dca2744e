//! Water of a roof runs against something and has no way round it.

use super::roofs::rained_on;
use super::ties::{at, cut, edge, quoted, said, show, surfaces};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::catalog::Material;
use crate::model::joint::{Piece, Thing, Toward};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, Spot, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/no-saddle",
    summary: "a roof that drains against a wall or a wide stack with no saddle",
    weight: Weight::Stop,
    page: include_str!("no_saddle.md"),
    run: Run::Joint(run),
};

/// A thing wider than 30 in gets a cricket: IRC 2021 section R903.2.2, from memory.
const WIDE: Length = Length::new(30.0 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &JointLook<'_>) -> Result<Option<Finding>, Missing> {
    match look.joint.kind {
        JointKind::Penetration => behind_stack(look),
        JointKind::Joint => against_wall(look),
        JointKind::Opening => Ok(None),
    }
}

fn behind_stack(look: &JointLook<'_>) -> Result<Option<Finding>, Missing> {
    let sloped = surfaces(look).any(|(_, s)| rained_on(s) && s.facts.slope.is_some_and(|v| v.high().si() > 0.0));
    // Skylights come with flashings of their own, which the same section takes.
    let glazed = |m: &Material| class::unit(m) || m.kind() == "glass";
    let skylight = look.material(Thing::Piece(0)).is_some_and(glazed);
    let Some(stack) = look.joint.pieces.first().filter(|_| sloped && !skylight) else { return Ok(None) };
    let Some(wide) = &stack.shape.wide else {
        // A pipe needs none; a stack of masonry may.
        let masonry = stack.stuff.as_ref().and_then(|s| s.material).is_some_and(class::masonry);
        let missing = Missing::new(stack.span, format!("how wide `{}` is is not said", stack.name));
        return if masonry { Err(missing) } else { Ok(None) };
    };
    let wide = look.least(wide, &format!("the width of `{}`", stack.name), stack.span)?;
    if wide <= WIDE || saddle(look) {
        return Ok(None);
    }
    look.whole()?;
    let show = show(look);
    let uphill = look.joint.pieces.iter().find(|p| at(&p.places, Spot::Top));
    let span = uphill.map_or(stack.span, |p| p.shape.level.unwrap_or(p.span));
    let message = match uphill {
        Some(pan) => format!("`{}` behind `{}` does not slope both ways", cut(&pan.name), cut(&stack.name)),
        None => format!("nothing leads water round `{}`", cut(&stack.name)),
    };
    Ok(Some(
        Finding::new(RULE.id, Weight::Stop, span, message)
            .label("water stands here")
            .also(stack.span, show.length(wide))
            .detail(format!(
                "`{}` is {} wide across the slope: water, leaves and snow pile up behind it and stand. Over {} a saddle \
                 is asked for on the uphill side (IRC 2021 section R903.2.2, from memory).",
                stack.name,
                show.length(wide),
                show.length(WIDE)
            ))
            .help("frame a saddle: a piece `slope 1/2:12 both ways, at top`, lapped as a valley is")
            .number("width", wide.si(), "m")
            .number("width_limit", WIDE.si(), "m"),
    ))
}

fn against_wall(look: &JointLook<'_>) -> Result<Option<Finding>, Missing> {
    let wall = surfaces(look).find(|(end, _)| edge(look, *end) == Some(Edge::Face));
    let runs_there = |end: usize, s: &crate::model::surface::Surface| {
        let edge = edge(look, end);
        // A fall that is written to go to the wall is told as a backward fall.
        rained_on(s) && edge == Some(Edge::Eave) && s.facts.slope_to.is_none()
    };
    let roof = surfaces(look).find(|(end, s)| runs_there(*end, s));
    let (Some((_, wall)), Some((end, roof))) = (wall, roof) else { return Ok(None) };
    let carried_off = roof.facts.drains.is_some()
        || said(look, Verb::DrainsTo).any(|(_, _, to)| matches!(to, Thing::Outlet(_) | Thing::Outdoors));
    if carried_off || saddle(look) {
        return Ok(None);
    }
    look.whole()?;
    let span = look.joint.ends.get(end).map_or(look.joint.span, |e| e.span);
    let roof = quoted(look, Thing::Surface { end, half: None });
    Ok(Some(
        Finding::new(
            RULE.id,
            Weight::Stop,
            span,
            format!("{roof} drains against `{}` and has no way out", cut(&wall.name)),
        )
        .label("water runs here")
        .detail(
            "All the water of the slope, and its snow, comes to this seam and stands in it. A roof that falls to a \
                 wall needs a saddle that leads it out to both sides, or a lined gutter with an outlet and an overflow \
                 (common practice, no source).",
        )
        .help(format!("turn the fall of {roof} round, or add a piece `slope 1/2:12 both ways` that leads it out")),
    ))
}

/// A piece that leads water out to both sides: uphill of what goes through, or along the seam.
fn saddle(look: &JointLook<'_>) -> bool {
    let both = |p: &Piece| p.shape.slope.as_ref().is_some_and(|s| s.toward == Toward::BothWays);
    look.joint.pieces.iter().any(|p| both(p) && (p.places.is_empty() || at(&p.places, Spot::Top)))
}
