//! The upper metal covers too little of the flashing below it.

use super::edge::bonded;
use super::seam;
use super::ties::{quoted, said, same, short, show};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "water/short-counterflashing",
    summary: "a counterflashing that covers too little of the flashing below it",
    weight: Weight::Fix,
    page: include_str!("short_counterflashing.md"),
    run: Run::Joint(run),
};

/// Architectural sheet-metal manuals of the trade, from memory: 4 in, and 3 in at least.
const WANTED: Length = Length::new(4.0 * INCH);
const LEAST: Length = Length::new(3.0 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !seam::wet(look) {
        return;
    }
    for (link, upper, lower) in said(look, Verb::LapsOver) {
        let (Some(length), true) = (&link.length, counter(look, upper) && base(look, lower)) else { continue };
        if stuck_beside(look, lower) {
            continue;
        }
        match look.least(length, &format!("how far {} laps", quoted(look, upper)), link.span) {
            Ok(has) if short(has, wanted(look)) => sink.found(tell(look, link, has)),
            Ok(_) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// What is asked for where the job stands: lead covers an upstand by the least in the United Kingdom (lead trade guidance,
/// from memory).
fn wanted(look: &JointLook<'_>) -> Length {
    if seam::british(look) && look.job.code.is_none() { LEAST } else { WANTED }
}

/// Whether what is covered is stuck down at an upright seam: nothing is driven up under the metal there, it guards the edge.
fn stuck_beside(look: &JointLook<'_>, lower: Thing) -> bool {
    let stuck = |l: &Link| l.verb == Verb::LapsOver && same(l.subject.thing, lower) && bonded(look, l);
    seam::upright(look) && look.joint.links.iter().any(stuck)
}

/// Metal that is let into or fixed to what stands above.
fn counter(look: &JointLook<'_>, thing: Thing) -> bool {
    let metal = look.piece(thing).is_some() && look.material(thing).is_some_and(|m| m.kind() == "metal");
    metal && look.joint.links.iter().any(|l| same(l.subject.thing, thing) && l.verb == Verb::TucksInto)
}

/// What turns up behind it, or lies on a roof or on the next piece down.
fn base(look: &JointLook<'_>, thing: Thing) -> bool {
    let turned = |l: &Link| same(l.subject.thing, thing) && matches!(l.verb, Verb::TurnsUp | Verb::LapsOver);
    let flashing = look.material(thing).is_some_and(|m| class::membrane(m) || class::metal(m));
    flashing && look.joint.links.iter().any(turned)
}

fn tell(look: &JointLook<'_>, link: &Link, has: Length) -> Finding {
    let show = show(look);
    let (upper, lower) = (link.subject.thing, link.object.map_or(Thing::Hole, |o| o.thing));
    let weight = if short(has, LEAST) { Weight::Fix } else { Weight::Watch };
    Finding::new(
        RULE.id,
        weight,
        link.length_span.unwrap_or(link.span),
        format!("{} covers {} of {}", quoted(look, upper), show.length(has), quoted(look, lower)),
    )
    .label("short")
    .detail(format!(
        "Wind drives rain up under a loose metal edge. {} over the flashing below is usual, {} the least \
         (architectural sheet-metal manuals, from memory).",
        show.length(WANTED),
        show.length(LEAST)
    ))
    .help(format!("lap it over {} {}, the edge hemmed", quoted(look, lower), show.length(WANTED)))
    .number("lap", has.si(), "m")
    .number("wanted", WANTED.si(), "m")
}
