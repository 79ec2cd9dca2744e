//! A door sill too low over a balcony, deck or flat roof.

use super::cavity::outdoors;
use super::part::{either, ends, show, weigh};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::span::Span;
use crate::model::joint::{EndOf, Link, Thing};
use crate::rules::facts::{JointLook, Missing};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/low-threshold",
    summary: "a door sill too low over a balcony, deck or flat roof",
    weight: Weight::Fix,
    page: include_str!("low_threshold.md"),
    run: Run::Joint(run),
};

/// Upstand at a door (NHBC Standards 7.1, from memory).
const UPSTAND: Length = Length::new(0.150);
/// Upstand where a sill stands out over it (NHBC Standards 7.1, from memory).
const SHELTERED: Length = Length::new(0.075);
/// How far that sill stands out (NHBC Standards 7.1, from memory).
const OVERHANG: Length = Length::new(0.045);
/// 3 in and 6 in are written for 75 and 150 mm.
const ROUNDING: Length = Length::new(0.001);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let sill = look.joint.ends.iter().any(|e| e.edge == Some(Edge::Sill));
    let flat = ends(look).find(|(_, _, s)| s.kind != SurfaceKind::Wall && outdoors(s));
    if flat.is_none() || !sill {
        return;
    }
    let led_off = |l: &Link| l.verb == Verb::DrainsTo && matches!(l.subject.thing, Thing::Piece(_));
    let channel = look.joint.links.iter().any(led_off);
    sink.take(judge(look, channel));
}

fn judge(look: &JointLook<'_>, channel: bool) -> Result<Option<Finding>, Missing> {
    let unit = |l: &Link| matches!(l.subject.thing, Thing::Piece(_) | Thing::Other { .. } | Thing::Surface { .. });
    let stands = |l: &&Link| l.verb == Verb::TurnsUp || (l.verb == Verb::Clears && unit(l));
    let highs = look.joint.links.iter().filter(stands).filter(|l| !l.not_shown);
    let mut best: Option<(Length, Span)> = None;
    for link in highs {
        let Some(length) = &link.length else { continue };
        let high = look.least(length, "how high it stands", link.length_span.unwrap_or(link.span))?;
        // The lowest counts: water gets in where it first can.
        if best.is_none_or(|(least, _)| high < least) {
            best = Some((high, link.length_span.unwrap_or(link.span)));
        }
    }
    let (high, span) = match best {
        Some(best) => best,
        None if highs_unsaid(look) => {
            return Err(Missing::new(look.joint.span, "how high the sill stands over the floor outside is not said"));
        }
        // What is not written is not there: the sheet stops at the sill.
        None => {
            look.whole()?;
            (Length::ZERO, look.joint.span)
        }
    };
    let needed = if overhangs(look)? { SHELTERED } else { UPSTAND };
    // A channel along the sill, led off, stands in for height: the usual way to a level threshold.
    Ok((high + ROUNDING < needed && !channel).then(|| tell(look, high, needed, span)))
}

/// Whether something turns up or stands clear, nobody says how far.
fn highs_unsaid(look: &JointLook<'_>) -> bool {
    look.joint
        .links
        .iter()
        .any(|l| matches!(l.verb, Verb::TurnsUp | Verb::Clears) && (l.length.is_none() || l.not_shown))
}

/// Whether a sill stands out far enough over the upstand.
fn overhangs(look: &JointLook<'_>) -> Result<bool, Missing> {
    for link in look.joint.links.iter().filter(|l: &&Link| l.verb == Verb::RunsPast) {
        let Some(length) = &link.length else { continue };
        let far = look.least(length, "how far the sill stands out", link.length_span.unwrap_or(link.span))?;
        if far >= OVERHANG {
            return Ok(true);
        }
    }
    Ok(false)
}

fn tell(look: &JointLook<'_>, high: Length, needed: Length, span: Span) -> Finding {
    let existing = look.joint.ends.iter().any(|e| match e.of {
        EndOf::Surface(index) => look.job.surfaces.get(index).is_some_and(|s| s.facts.existing),
        EndOf::Opening(_) | EndOf::Hole => false,
    });
    let (upstand, sheltered, stands_out) =
        (either(look, "150 mm", "6 in"), either(look, "75 mm", "3 in"), either(look, "45 mm", "1-3/4 in"));
    let message = if high > Length::ZERO {
        format!("the sill stands only {} over the floor outside", show(look).length(high))
    } else {
        "nothing stands up between the sill and the floor outside".to_string()
    };
    let wanted = if needed == UPSTAND { upstand } else { sheltered };
    Finding::new(
        RULE.id,
        weigh(existing, Weight::Fix),
        span,
        message,
    )
    .label("too low")
    .detail(format!(
        "Splashed rain, drifted snow and a blocked outlet reach so far. {wanted} here: {sheltered} below a sill that stands out \
         {stands_out} or more, {upstand} otherwise (NHBC Standards 7.1, from memory; the weight of this finding rests on that).",
    ))
    .help(format!("turn the sheet up {wanted}, or lay a channel along the sill and write where it `drains to`"))
    .number("upstand", high.si(), "m")
    .number("least", needed.si(), "m")
}
