//! A bead of sealant as the only thing between rain and what it harms.

use super::edge::flashing;
use super::{seam, weigh};
use crate::base::finding::{Finding, Weight};
use crate::graph::defense::Defense;
use crate::graph::station::Station;
use crate::model::joint::{Link, Piece, Thing};
use crate::model::layer::Stuff;
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{JointKind, Rain, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/sealant-alone",
    summary: "a bead of sealant as the only line against rain",
    weight: Weight::Stop,
    page: include_str!("sealant_alone.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !seam::wet(look) || seam::rain(look) == Rain::Sheltered {
        return;
    }
    let Some(defense) = look.defenses().iter().find(|d| bead_alone(look, d)) else { return };
    match look.whole() {
        Ok(()) => sink.found(tell(look, defense)),
        Err(missing) => sink.cannot(&missing),
    }
}

/// Whether all that stands against rain at a station is one bead.
pub(super) fn bead_alone(look: &JointLook<'_>, defense: &Defense) -> bool {
    defense.depth() <= 1 && bead(look, defense).is_some() && !flashed(look, defense.station)
}

/// Whether a flashing, a pan or a strip lies at a station for itself.
fn flashed(look: &JointLook<'_>, station: Station) -> bool {
    let Station::At(spot) = station else { return false };
    let made = |p: &Piece| p.stuff.as_ref().is_none_or(|s| s.material.is_none_or(flashing));
    look.joint.pieces.iter().skip(1).any(|p| p.places.contains(&spot) && made(p))
}

/// The sentence of the bead, where every line of a defense rests on one.
fn bead<'a>(look: &JointLook<'a>, defense: &Defense) -> Option<&'a Link> {
    let link = |span| look.joint.links.iter().find(|l| l.span == span);
    let links: Vec<&'a Link> = defense.lines.iter().filter_map(|line| link(line.span)).collect();
    let all = links.len() == defense.lines.len() && links.iter().all(|l| is_bead(look, l));
    if all { links.first().copied() } else { None }
}

/// A bead between two things of which neither is a flashing: that of a boot or a counterflashing is not all there is.
fn is_bead(look: &JointLook<'_>, link: &Link) -> bool {
    // The unit or pipe that the bead runs round is no flashing, be it of metal.
    let own = |thing: Thing| thing == Thing::Piece(0) && look.joint.kind != JointKind::Joint;
    let piece =
        |thing: Thing| !own(thing) && look.piece(thing).and_then(|p| p.stuff.as_ref()?.material).is_some_and(flashing);
    if piece(link.subject.thing) || link.object.is_some_and(|o| piece(o.thing)) {
        return false;
    }
    let sealant = |stuff: &Stuff| stuff.material.is_some_and(class::sealant);
    match link.verb {
        Verb::SealsTo => link.with.as_ref().is_none_or(sealant),
        Verb::Butts => link.hold.sealed && link.with.as_ref().is_none_or(sealant),
        _ => false,
    }
}

fn tell(look: &JointLook<'_>, defense: &Defense) -> Finding {
    let at = match defense.station.words() {
        "" => String::new(),
        words => format!(" {words}"),
    };
    let link = bead(look, defense);
    let span = link.map_or(look.joint.span, |l| l.span);
    let harmed = defense.harmed.map_or_else(|| "the room".to_string(), |thing| format!("`{}`", look.name(thing)));
    Finding::new(
        RULE.id,
        weigh(look, Weight::Stop),
        span,
        format!("one bead of sealant is all that keeps rain out{at}"),
    )
    .label("the only line")
    .detail(format!(
        "Behind it rain goes straight to {harmed}. A bead in sun and rain lets go on one side within its life, unseen; it \
         may be part of a line, never the whole of it (common practice, no source)."
    ))
    .help("put a lapped layer behind the bead: a flashing, or a strip bonded to both sides and lapped over from above")
    .number("depth", f64::from(defense.depth()), "1")
}
