//! A flashing that takes water and hands it on to nothing.

use super::cavity;
use super::part::{crosses, does, ends, flashing, has_exit, name, pieces, weigh, wet};
use super::seam;
use crate::base::finding::{Finding, Weight};
use crate::graph::drain::{Way, run_off_with};
use crate::graph::exposure::outboard;
use crate::graph::station::{Station, of_link};
use crate::model::joint::{End, Link, Thing};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Spot, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/stranded-flashing",
    summary: "a flashing that takes water and hands it on to nothing",
    weight: Weight::Stop,
    page: include_str!("stranded_flashing.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !wet(look) || ends(look).next().is_none() {
        return;
    }
    let mut told: Vec<Thing> = Vec::new();
    for station in look.stations() {
        // A unit, or what goes through, is no flashing: it stands in the opening.
        for (thing, _) in pieces(look) {
            let Some(from) = giver(look, thing, *station) else { continue };
            let Some(Way::Stops(last)) = run_off_with(&look.net().falls, thing, *station) else { continue };
            if last != thing
                || told.contains(&thing)
                || judged_elsewhere(look, thing)
                || runs_down(look, thing, *station)
            {
                continue;
            }
            told.push(thing);
            match look.whole().and_then(|()| read(look, thing)) {
                Ok(()) => sink.found(tell(look, thing, from, *station)),
                Err(missing) => sink.cannot(&missing),
            }
        }
    }
}

/// The sentence by which a flashing takes water at a station.
fn giver<'a>(look: &JointLook<'a>, thing: Thing, station: Station) -> Option<&'a Link> {
    let gives = |l: &&Link| {
        let lapped = l.verb == Verb::LapsOver
            && !on_ground(look, l.subject.thing)
            && l.object.is_some_and(|o| o.thing == thing)
            && !sheltered(look, l.subject.thing, 0);
        // What runs down a wall comes out over metal that is let into it.
        let fed =
            l.verb == Verb::TucksInto && l.subject.thing == thing && look.material(thing).is_some_and(class::metal);
        (lapped || fed) && !l.not_shown && of_link(look.job, look.joint, l).counts(station)
    };
    if !flashing(look, thing) || !outboard(look.job, look.joint, thing) {
        return None;
    }
    look.joint.links.iter().find(gives)
}

/// Whether what lies under a piece stays dry: that has a way out of its own, or lies itself under nothing but such. A
/// lintel under a tray stays dry, and so does one under the bed that the tray lies in.
fn sheltered(look: &JointLook<'_>, thing: Thing, depth: usize) -> bool {
    if [Verb::DrainsTo, Verb::RunsPast].iter().any(|v| does(look, thing, *v)) {
        return true;
    }
    let over = |l: &&Link| l.verb == Verb::LapsOver && l.object.is_some_and(|o| o.thing == thing);
    let mut over = look.joint.links.iter().filter(over).peekable();
    // Bounded: laps may be written in a circle.
    matches!(thing, Thing::Piece(_))
        && depth < look.joint.pieces.len()
        && over.peek().is_some()
        && over.all(|l| matches!(l.subject.thing, Thing::Piece(_)) && sheltered(look, l.subject.thing, depth + 1))
}

/// Whether a piece lies along the whole of an upright seam: what it takes at the top runs down it to the foot, and there
/// off its end, where that stands clear of the ground.
fn runs_down(look: &JointLook<'_>, thing: Thing, station: Station) -> bool {
    let clear = |l: &Link| {
        let ground = l.object.is_some_and(|o| matches!(o.thing, Thing::Grade | Thing::Paving));
        l.verb == Verb::Clears && ground && l.subject.thing == thing
    };
    let foot = matches!(station, Station::At(Spot::BottomEnd | Spot::BothEnds));
    seam::upright(look)
        && look.piece(thing).is_some_and(|p| p.places.is_empty())
        && (!foot || look.joint.links.iter().any(clear))
}

/// Whether a thing is part of a floor on the ground: no rain runs down it.
fn on_ground(look: &JointLook<'_>, thing: Thing) -> bool {
    look.surface(thing).is_some_and(|s| s.kind == SurfaceKind::Slab)
}

/// Trays and pans have a rule of their own, and so has an edge that stops short.
fn judged_elsewhere(look: &JointLook<'_>, thing: Thing) -> bool {
    let catches = look.piece(thing).is_some_and(|p| {
        p.shape.end_dams.is_some() || p.shape.back_dam.is_some() || p.shape.slope.is_some() || p.shape.level.is_some()
    });
    // What crosses a cavity behind brick or stone ends in the outer leaf.
    let leaf = crosses(look, thing).and_then(|(end, _)| look.joint.surface(look.job, end)?.layers.first());
    leaf.and_then(cavity::material).is_some_and(cavity::laid)
        || (catches && !has_exit(look, thing))
        || does(look, thing, Verb::StopsShort)
        || has_exit(look, thing)
        || thrown_clear(look, thing)
}

/// Whether a drip at the free edge of a roof or balcony throws the water clear.
fn thrown_clear(look: &JointLook<'_>, thing: Thing) -> bool {
    let edge = |e: &End| matches!(e.edge, Some(Edge::Eave | Edge::Front));
    look.piece(thing).is_some_and(|p| p.shape.drip) && look.joint.ends.iter().any(edge)
}

fn read(look: &JointLook<'_>, thing: Thing) -> Result<(), Missing> {
    let unread = look.joint.links_of(thing).find(|l| l.not_shown || l.unread);
    unread.map_or(Ok(()), |l| Err(Missing::new(l.span, "what is said of it could not be read in full")))
}

fn tell(look: &JointLook<'_>, thing: Thing, from: &Link, station: Station) -> Finding {
    let called = name(look, thing);
    let piece = look.piece(thing);
    let fed = from.verb == Verb::TucksInto;
    let at = match station.words() {
        "" => String::new(),
        words => format!(" {words}"),
    };
    Finding::new(
        RULE.id,
        weigh(piece.is_some_and(|p| p.shape.existing), Weight::Stop),
        piece.map_or(look.joint.span, |p| p.span),
        format!("`{called}` takes water and hands it on to nothing{at}"),
    )
    .label("ends nowhere")
    .also(if fed { from.object.map_or(from.span, |o| o.span) } else { from.subject.span }, "its water comes from here")
    .detail(
        "Each piece passes its water to the one below it, over a lap or past the face (IRC section R703.4 asks that a \
         flashing leads to the face or to the water layer, read in a state's text). Here the chain breaks: what runs off \
         its lower edge goes into the wall.",
    )
    .help(format!("write what it laps over below, or `{called} drains to` what takes its water, or `runs past` the face"))
}
