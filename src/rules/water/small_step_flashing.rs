//! Flashing between a sloping roof and a wall beside it with a leg that is too short.

use super::roofs::coursed;
use super::seam;
use super::ties::{edge, quoted, said, same, short, show, surfaces};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::span::Span;
use crate::base::unit::INCH;
use crate::model::joint::{Link, Thing};
use crate::model::value::Value;
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/small-step-flashing",
    summary: "roof-to-wall flashing with a leg under 4 in",
    weight: Weight::Fix,
    page: include_str!("small_step_flashing.md"),
    run: Run::Joint(run),
};

/// 4 in up and 4 in out: 2018 IRC section R905.2.8.3, read.
const LEG: Length = Length::new(4.0 * INCH);
/// Upstand of a soaker under a cover flashing in the United Kingdom: lead trade guidance, from memory.
const SOAKER_UP: Length = Length::new(0.075);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let wall = surfaces(look).any(|(end, _)| edge(look, end) == Some(Edge::Face));
    let roof = surfaces(look).any(|(end, _)| matches!(edge(look, end), Some(Edge::Rake | Edge::High)));
    if !(wall && roof && seam::wet(look)) {
        return;
    }
    for (link, step, _) in said(look, Verb::LapsOver).filter(|(_, step, on)| on_courses(look, *step, *on)) {
        let up = said(look, Verb::TurnsUp).map(|(l, s, _)| (l, s)).find(|(_, s)| same(*s, step));
        let high = look.piece(step).and_then(|p| p.shape.high.as_ref().map(|v| (v, p.span)));
        let up = up.and_then(|(l, _)| written(l)).or(high);
        for (leg, (length, span)) in [("out", written(link)), ("up", up)].into_iter().filter_map(|(n, l)| Some((n, l?)))
        {
            match look.least(length, &format!("how far {} reaches {leg}", quoted(look, step)), span) {
                Ok(_) if leg == "up" && soaker(look, step, length) => {}
                Ok(has) if short(has, LEG) => sink.found(tell(look, step, leg, has, span)),
                Ok(_) => {}
                Err(missing) => sink.cannot(&missing),
            }
        }
    }
}

/// Whether a leg is that of a soaker as it is laid in the United Kingdom, a cover flashing over it.
fn soaker(look: &JointLook<'_>, step: Thing, up: &Value<Length>) -> bool {
    let covered = said(look, Verb::LapsOver).any(|(_, over, under)| same(under, step) && look.piece(over).is_some());
    covered && seam::british(look) && look.job.code.is_none() && !short(up.low(), SOAKER_UP)
}

fn written(link: &Link) -> Option<(&Value<Length>, Span)> {
    link.length.as_ref().map(|l| (l, link.length_span.unwrap_or(link.span)))
}

/// A metal piece of this joint on shingles, slates or tiles; the diverter at the low end has figures of its own.
fn on_courses(look: &JointLook<'_>, step: Thing, on: Thing) -> bool {
    let metal = look.material(step).is_some_and(class::metal);
    let run = look.piece(step).is_some_and(|p| p.places.is_empty());
    metal && run && look.layer(on).is_some() && look.material(on).is_some_and(coursed)
}

fn tell(look: &JointLook<'_>, step: Thing, leg: &str, has: Length, span: Span) -> Finding {
    let show = show(look);
    Finding::new(
        RULE.id,
        Weight::Fix,
        span,
        format!("{} reaches {} {leg}, {} is asked for", quoted(look, step), show.length(has), show.length(LEG)),
    )
    .label("short leg")
    .detail(format!(
        "Water that runs down along the wall spreads sideways and splashes. Flashing beside a slope reaches {} up the \
         wall and {} out on the roof (2018 IRC section R905.2.8.3, read).",
        show.length(LEG),
        show.length(LEG)
    ))
    .help(format!("make the leg {leg} {} or more", show.length(LEG)))
    .number("leg", has.si(), "m")
    .number("wanted", LEG.si(), "m")
}
