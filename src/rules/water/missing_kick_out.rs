//! A roof edge ends against a wall that runs on past it, and nothing throws the water out there.

use super::seam;
use super::ties::{at, cut, edge, quoted, said, same, short, show, stands, surfaces, upper_water};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::span::Span;
use crate::base::unit::INCH;
use crate::model::joint::{Link, Piece, Thing};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Spot, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/missing-kick-out",
    summary: "an eave that ends against a wall with nothing to throw its water out",
    weight: Weight::Stop,
    page: include_str!("missing_kick_out.md"),
    run: Run::Joint(run),
};

/// Tall enough for the flow: 4 in, ENERGY STAR water management checklist, quoted.
const HIGH: Length = Length::new(4.0 * INCH);

/// What is wrong at the low end.
enum Fault {
    Absent,
    Sealed,
    Low(Length, Span),
    Dry,
    Loose(Thing),
}

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let Some(past) = dies_into(look).filter(|_| seam::wet(look)) else { return };
    if let Err(missing) = look.whole() {
        return sink.cannot(&missing);
    }
    let Some((index, kick)) = diverter(look) else { return sink.found(tell(look, past, None, &Fault::Absent)) };
    if kick.shape.unread || kick.shape.ends_not_shown {
        return sink.cannot(&Missing::new(kick.span, format!("not all of the shape of `{}` is known", kick.name)));
    }
    if !kick.shape.one_piece {
        sink.found(tell(look, past, Some(kick), &Fault::Sealed));
    }
    match &kick.shape.high {
        Some(high) => match look.least(high, &format!("the height of `{}`", kick.name), kick.span) {
            Ok(has) if short(has, HIGH) => sink.found(tell(look, past, Some(kick), &Fault::Low(has, kick.span))),
            Ok(_) => {}
            Err(missing) => sink.cannot(&missing),
        },
        None => sink.cannot(&Missing::new(kick.span, format!("how high `{}` is is not said", kick.name))),
    }
    let out = |l: &Link| l.subject.thing == Thing::Piece(index) && l.verb == Verb::DrainsTo;
    if !look.joint.links.iter().any(out) {
        sink.found(tell(look, past, Some(kick), &Fault::Dry));
    }
    if let Some(thing) = loose(look, index) {
        sink.found(tell(look, past, Some(kick), &Fault::Loose(thing)));
    }
}

/// What should lie over the diverter and does not: the flashing of the run, whose water it takes, or the wall's water
/// layer, whose water would go behind its upper leg.
fn loose(look: &JointLook<'_>, kick: usize) -> Option<Thing> {
    let over = |thing: Thing| {
        let laps = |l: &Link| l.object.is_some_and(|o| o.thing == Thing::Piece(kick)) && same(l.subject.thing, thing);
        look.joint.links.iter().any(|l| matches!(l.verb, Verb::LapsOver | Verb::DrainsTo) && laps(l))
    };
    let run = |(_, p): &(usize, &Piece)| {
        p.places.is_empty() && p.stuff.as_ref().and_then(|s| s.material).is_some_and(class::metal)
    };
    let steps: Vec<Thing> = look.joint.pieces.iter().enumerate().filter(run).map(|(i, _)| Thing::Piece(i)).collect();
    let upper: Vec<Thing> = said(look, Verb::LapsOver)
        .filter(|(_, over, under)| upper_water(look, *over) && steps.iter().any(|s| same(*s, *under)))
        .map(|(_, over, _)| over)
        .collect();
    let missing = |things: &[Thing]| things.first().copied().filter(|_| !things.iter().any(|t| over(*t)));
    missing(&steps).or_else(|| missing(&upper))
}

/// `house runs past low eave`: the sentence that says that the wall carries on past the roof's low corner.
fn dies_into<'a>(look: &JointLook<'a>) -> Option<&'a Link> {
    let faces = surfaces(look).any(|(end, _)| edge(look, end) == Some(Edge::Face));
    let passes = |(_, a, b): &(&Link, Thing, Thing)| match (a, b) {
        (Thing::Surface { end: wall, .. }, Thing::Surface { end: roof, .. }) => {
            wall != roof && matches!(edge(look, *roof), Some(Edge::Rake | Edge::Eave))
        }
        _ => false,
    };
    said(look, Verb::RunsPast).find(passes).filter(|_| faces).map(|(link, _, _)| link)
}

/// The stiff piece at the low end: metal or molded plastic, no sheet.
fn diverter<'a>(look: &JointLook<'a>) -> Option<(usize, &'a Piece)> {
    let stiff = |p: &Piece| {
        let m = p.stuff.as_ref().and_then(|s| s.material);
        m.is_none_or(|m| class::metal(m) || matches!(m.kind(), "flashing" | "metal"))
    };
    look.joint.pieces.iter().enumerate().find(|(_, p)| at(&p.places, Spot::LowEnd) && stiff(p))
}

fn tell(look: &JointLook<'_>, past: &Link, kick: Option<&Piece>, fault: &Fault) -> Finding {
    let show = show(look);
    let high = if look.job.metric { "100 mm".to_string() } else { show.length(HIGH) };
    let (roof, wall) = (past.object.map_or(Thing::Hole, |o| o.thing), past.subject.thing);
    let name = cut(kick.map_or("kick", |k| k.name.as_str()));
    let span = kick.map_or(look.joint.span, |k| k.span);
    let (weight, span, message, help) = match fault {
        Fault::Absent => (
            Weight::Stop,
            span,
            format!("{} ends against {} with no kick-out", quoted(look, roof), quoted(look, wall)),
            format!("add `kick: galvanized-steel, one piece, {high} high, at low end` and let it drain to the gutter"),
        ),
        Fault::Sealed => (
            Weight::Fix,
            span,
            format!("kick-out `{name}` is not one piece: its corner hangs on sealant"),
            format!("write `{name}` as `one piece`: bent and soldered or molded"),
        ),
        Fault::Low(has, at) => (
            Weight::Fix,
            *at,
            format!("kick-out `{name}` is {} high, {high} is asked for", show.length(*has)),
            format!("make it {high} high"),
        ),
        Fault::Dry => (
            Weight::Fix,
            span,
            format!("kick-out `{name}` drains nowhere"),
            format!("say where it throws the water: `{name} drains to gutter`"),
        ),
        Fault::Loose(thing) => (
            Weight::Stop,
            span,
            format!("{} does not lie over kick-out `{name}`", quoted(look, *thing)),
            format!("write `{} laps over {name} {high}`", look.name(*thing)),
        ),
    };
    let old = stands(look, roof) && stands(look, wall);
    Finding::new(RULE.id, if old { Weight::Watch } else { weight }, span, message)
        .also(past.span, "the wall runs on past the eave")
        .detail(
            "All the water of the slope runs down along the wall and at the corner goes behind the cladding, every rain, \
             at the same spot. A diverter is asked for where an eave ends against a wall (Minnesota's IRC section R903.2.1, read on the city of \
             Hopkins' page); one piece of metal, 4 in high (ENERGY STAR water management checklist, quoted).",
        )
        .help(help)
        .number("height_wanted", HIGH.si(), "m")
}
