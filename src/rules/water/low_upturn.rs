//! The roofing of a low slope turns up too little where it meets something that stands above it.

use super::roofs::low_slope;
use super::ties::{edge, quoted, said, same, short, show, stands, surfaces};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::model::joint::{EndOf, Link, Thing};
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/low-upturn",
    summary: "the roofing of a low slope turned up too little",
    weight: Weight::Stop,
    page: include_str!("low_upturn.md"),
    run: Run::Joint(run),
};

/// Common practice where inches are used, no source.
const INCH_JOB: Length = Length::new(8.0 * INCH);
/// Common practice in Britain and much of the world, no source; taken too where no job says which units are in use.
const METRIC_JOB: Length = Length::new(0.150);
/// Below this a night's snow or a blocked outlet is over it. Common practice, no source.
const LEAST: Length = Length::new(4.0 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    // A door over a roof is judged by its sill, with figures of its own.
    let door = |end: usize| {
        matches!(look.joint.ends.get(end).map(|e| e.of), Some(EndOf::Opening(_)))
            || matches!(edge(look, end), Some(Edge::Sill))
    };
    if (0..look.joint.ends.len()).any(door) {
        return;
    }
    let mut best: Option<(Length, &Link)> = None;
    for (link, subject, _) in said(look, Verb::TurnsUp).filter(|(_, s, _)| roofing(look, *s)) {
        // One that goes up who knows how far may be the one that counts.
        let (Some(length), false) = (&link.length, link.not_shown || link.unread) else { return };
        match look.least(length, &format!("how far {} turns up", quoted(look, subject)), link.span) {
            Ok(has) => best = best.filter(|(most, _)| *most >= has).or(Some((has, link))),
            Err(missing) => return sink.cannot(&missing),
        }
    }
    if let Some((has, link)) = best.filter(|(has, _)| short(*has, wanted(look))) {
        sink.found(tell(look, link, has));
    }
}

/// The roofing itself, or a strip of the same kind that carries it up.
fn roofing(look: &JointLook<'_>, thing: Thing) -> bool {
    let low: Vec<usize> = surfaces(look).filter(|(_, s)| low_slope(s)).map(|(end, _)| end).collect();
    match thing {
        Thing::Layer { end, .. } => low.contains(&end) && look.material(thing).is_some_and(class::membrane),
        Thing::Piece(_) => {
            let on_roof = |l: &Link| {
                let other = l.other(thing).map(|p| p.thing);
                matches!(other, Some(Thing::Layer { end, .. }) if low.contains(&end))
            };
            let base = look.material(thing).is_some_and(|m| class::membrane(m) || class::metal(m));
            base && look.joint.links.iter().any(|l| same(l.subject.thing, thing) && on_roof(l))
        }
        _ => false,
    }
}

fn wanted(look: &JointLook<'_>) -> Length {
    if look.job.metric || look.job.name.is_none() { METRIC_JOB } else { INCH_JOB }
}

fn tell(look: &JointLook<'_>, link: &Link, has: Length) -> Finding {
    let show = show(look);
    let (wanted, who) = (wanted(look), link.subject.thing);
    let weight = match () {
        () if stands(look, who) => Weight::Watch,
        () if short(has, LEAST) => Weight::Stop,
        () if short(has, METRIC_JOB) => Weight::Fix,
        // Where inches are used 8 in is asked for, elsewhere 6 in is thought to be enough.
        () => Weight::Watch,
    };
    let span = link.length_span.unwrap_or(link.verb_span);
    Finding::new(
        RULE.id,
        weight,
        span,
        format!("{} turns up {}, {} is asked for", quoted(look, who), show.length(has), show.length(wanted)),
    )
    .label("too low")
    .detail(format!(
        "On a low slope water stands: behind a blocked outlet, in slush, in wind. Turned up less than {} it goes over \
         the edge into the wall, and below {} one wet snow does it (common practice, no source). Where snow drifts \
         against a wall, more.",
        show.length(wanted),
        show.length(LEAST)
    ))
    .help(format!("turn it up {} above the finished roof", show.length(wanted)))
    .number("turned_up", has.si(), "m")
    .number("wanted", wanted.si(), "m")
}
