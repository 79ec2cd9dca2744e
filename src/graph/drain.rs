//! Where water runs: from each wet piece and layer of a joint down to daylight.
//!
//! Not here: the hollows between layers (gaps), which way a lap sheds (laps).
//! Invariant: every step goes down or level; a way out counts only if it is written or follows from the edges.

use std::collections::BTreeSet;

use super::exposure::{depth, material_of, outboard, water_plane};
use super::gravity::{Height, height, upright};
use super::laps::{Falls, Lap};
use super::station::{self, Station};
use crate::base::span::Span;
use crate::model::Job;
use crate::model::joint::{Joint, Link, Thing, Toward};
use crate::syntax::ast::{JointKind, Spot, Verb};

/// How the water of a thing leaves it.
#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    /// To daylight, over these things in turn.
    Out(Vec<Thing>),
    /// It stops here: nothing carries it on.
    Stops(Thing),
    /// It runs into a room or on to something that water harms.
    Inward(Thing),
    /// A written exit is closed by this sentence.
    Plugged(Span),
}

/// How far the free edge of a piece reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FreeEdge {
    /// Past a face: an index into [`Joint::links`].
    Past(usize),
    /// Flush with a face.
    Flush(usize),
    /// Short of it: its water goes behind.
    Short(usize),
}

fn at(places: &[Spot], station: Station) -> bool {
    station::Where::At(places.to_vec()).counts(station)
}

/// The free edge of a thing at a station, as it is written; none when nothing is.
pub fn free_edge(job: &Job, joint: &Joint, thing: Thing, station: Station) -> Option<FreeEdge> {
    let edge = |(index, link): (usize, &Link)| match link.verb {
        Verb::RunsPast => Some(FreeEdge::Past(index)),
        Verb::RunsTo => Some(FreeEdge::Flush(index)),
        Verb::StopsShort => Some(FreeEdge::Short(index)),
        _ => None,
    };
    let own = joint.links.iter().enumerate().filter(|(_, l)| l.subject.thing == thing && here(job, joint, l, station));
    own.filter_map(edge).next()
}

pub(super) fn here(job: &Job, joint: &Joint, link: &Link, station: Station) -> bool {
    !link.not_shown && station::of_link(job, joint, link).counts(station)
}

/// Where the water that reaches a thing at a station goes; none where the thing is no layer or piece, or where all runs
/// along the seam.
pub fn run_off(job: &Job, joint: &Joint, thing: Thing, station: Station) -> Option<Way> {
    run_off_with(&Falls::new(job, joint), thing, station)
}

/// The same of a joint whose laps are looked at already.
pub fn run_off_with(falls: &Falls<'_>, thing: Thing, station: Station) -> Option<Way> {
    let (job, joint) = (falls.job, falls.joint);
    let there = match thing {
        Thing::Piece(index) => joint.pieces.get(index).is_some_and(|p| p.places.is_empty() || at(&p.places, station)),
        Thing::Layer { .. } | Thing::Other { .. } => true,
        _ => false,
    };
    if !there {
        return None;
    }
    let walk = Walk { job, joint, falls, station };
    let way = walk.from(thing);
    // What goes all round a hole hands its water down the sides to the foot.
    let round = matches!(thing, Thing::Piece(index) if joint.pieces.get(index).is_some_and(|p| p.places.is_empty()));
    match (way, station.below()) {
        (Some(Way::Stops(_)) | None, Some(next)) if round => run_off_with(falls, thing, next),
        (way, _) => way,
    }
}

/// Where a step of the way ends.
enum Stop {
    /// In daylight.
    Out,
    /// Short of it.
    Here(Way),
}

struct Walk<'a> {
    job: &'a Job,
    joint: &'a Joint,
    falls: &'a Falls<'a>,
    station: Station,
}

impl Walk<'_> {
    /// The first way that leads out; else why the first one does not.
    fn from(&self, start: Thing) -> Option<Way> {
        // Each thing with the one it came from; a stack of its own, as a chain may be longer than the program's.
        let mut came: Vec<(Thing, Option<usize>)> = vec![(start, None)];
        let mut open = vec![0];
        let mut seen = BTreeSet::new();
        let mut worst = None;
        while let Some(at) = open.pop() {
            let Some((thing, _)) = came.get(at).copied() else { continue };
            let path = || path_to(&came, at);
            let way = match self.arrives(thing) {
                Some(way) => Some(way),
                None if !seen.insert(thing) => Some(Stop::Here(Way::Stops(thing))),
                None => plug(self.job, self.joint, thing, self.station)
                    .map(|span| Stop::Here(Way::Plugged(span)))
                    .or_else(|| self.open_edge(thing).then_some(Stop::Out)),
            };
            let next = if way.is_none() { self.onward(thing) } else { Vec::new() };
            match way.or_else(|| if next.is_empty() { self.edge(thing) } else { None }) {
                Some(Stop::Out) => return Some(Way::Out(path())),
                Some(Stop::Here(way)) => worst = worst.or(Some(way)),
                None => {
                    for thing in next.into_iter().rev() {
                        open.push(came.len());
                        came.push((thing, Some(at)));
                    }
                }
            }
        }
        worst
    }

    /// Whether the water has arrived: in daylight, in a room, or on a surface that carries it on by its own plane.
    fn arrives(&self, thing: Thing) -> Option<Stop> {
        let out = || Some(Stop::Out);
        match thing {
            Thing::Outdoors | Thing::Outlet(_) | Thing::Grade | Thing::Paving => out(),
            Thing::Room(_) => Some(Stop::Here(Way::Inward(thing))),
            // The face of the unit, or of what goes through a wall, is in the weather.
            Thing::Piece(0) if self.joint.kind != JointKind::Joint => {
                (height(self.job, self.joint, thing, self.station) == Height::Lower).then(out).flatten()
            }
            Thing::Layer { .. } | Thing::Surface { .. } => match height(self.job, self.joint, thing, self.station) {
                Height::Lower | Height::Beside if outboard(self.job, self.joint, thing) => out(),
                Height::Lower | Height::Beside => Some(Stop::Here(Way::Inward(thing))),
                _ => None,
            },
            _ => None,
        }
    }

    /// What a thing hands its water to: written exits first, then laps that shed.
    fn onward(&self, thing: Thing) -> Vec<Thing> {
        let links = || self.joint.links.iter().filter(|l| l.subject.thing == thing && self.counts(l));
        let exits = links().filter(|l| l.verb == Verb::DrainsTo);
        let sheds = |l: &&Link| l.verb == Verb::LapsOver && self.falls.at(l, self.station).lap != Lap::Reversed;
        let down = |t: &Thing| *t != Thing::Seam && height(self.job, self.joint, *t, self.station) != Height::Upper;
        let on = exits.chain(links().filter(sheds)).filter_map(|l| l.object).map(|o| o.thing);
        // What tucks into a thing or turns up it takes its water.
        let fed = self.joint.links.iter().filter(|l| {
            let takes = matches!(l.verb, Verb::TucksInto | Verb::TurnsUp) && self.counts(l);
            takes && l.object.is_some_and(|o| o.thing == thing)
        });
        on.filter(down).chain(fed.map(|l| l.subject.thing)).collect()
    }

    /// A sentence counts where it stands; across a corner it counts on both sides.
    fn counts(&self, link: &Link) -> bool {
        let place = station::of_link(self.job, self.joint, link);
        !link.not_shown && (place.counts(self.station) || matches!(place, station::Where::Corner(..)))
    }

    /// A free edge of a piece that reaches the face or passes it.
    fn open_edge(&self, thing: Thing) -> bool {
        let edge = free_edge(self.job, self.joint, thing, self.station);
        matches!(edge, Some(FreeEdge::Past(_) | FreeEdge::Flush(_))) && self.joint.piece(self.job, thing).is_some()
    }

    /// What is left when no sentence carries the water on: a fall, or nothing.
    fn edge(&self, thing: Thing) -> Option<Stop> {
        let short = matches!(free_edge(self.job, self.joint, thing, self.station), Some(FreeEdge::Short(_)));
        let fall = self.joint.piece(self.job, thing).and_then(|p| p.shape.slope.as_ref()).map(|f| f.toward);
        match fall {
            _ if short => Some(Stop::Here(Way::Stops(thing))),
            Some(Toward::Inward) => Some(Stop::Here(Way::Inward(thing))),
            Some(Toward::To(Thing::Layer { .. } | Thing::Surface { .. } | Thing::Outdoors)) => Some(Stop::Out),
            _ if upright(self.joint, self.station) => None,
            _ => Some(Stop::Here(Way::Stops(thing))),
        }
    }
}

fn path_to(came: &[(Thing, Option<usize>)], end: usize) -> Vec<Thing> {
    let step = |at: &usize| came.get(*at).and_then(|(_, from)| *from);
    let mut path: Vec<Thing> =
        std::iter::successors(Some(end), step).filter_map(|at| came.get(at)).map(|(thing, _)| *thing).collect();
    path.reverse();
    path
}

/// The sentence that closes the way out of a thing: the written exit sealed, a finish above it sealed or filled down on to
/// it, or the foot of the unit above it sealed to what lies outside.
pub fn plug(job: &Job, joint: &Joint, thing: Thing, station: Station) -> Option<Span> {
    let mut links = joint.links.iter().filter(|l| here(job, joint, l, station));
    let closes = |link: &&Link| {
        let held = link.hold.sealed || link.hold.taped || link.hold.bonded;
        let other = link.other(thing).map(|o| o.thing).filter(|_| names(link, thing));
        match link.verb {
            Verb::DrainsTo => link.subject.thing == thing && link.hold.sealed,
            Verb::SealsTo => other.is_some_and(|o| finish_above(job, joint, o, station)),
            Verb::Butts | Verb::LapsOver | Verb::Touches if held => {
                other.is_some_and(|o| finish_above(job, joint, o, station)) || foot_of_unit(joint, link, thing, station)
            }
            _ => false,
        }
    };
    links.find(closes).or_else(|| foot_bedded(job, joint, thing, station)).map(|l| l.span)
}

fn names(link: &Link, thing: Thing) -> bool {
    link.subject.thing == thing || link.object.is_some_and(|o| o.thing == thing)
}

/// Whether a thing is the cladding of what lies above, so that a bead below it shuts the water in.
fn finish_above(job: &Job, joint: &Joint, thing: Thing, station: Station) -> bool {
    let Thing::Layer { end, layer, .. } = thing else { return false };
    let outside = joint.surface(job, end).is_some_and(|s| {
        water_plane(s).is_some_and(|plane| depth(s, layer) < depth(s, plane))
            && material_of(job, joint, thing)
                .is_some_and(|m| matches!(m.kind(), "cladding" | "plaster" | "trim" | "lumber"))
    });
    outside && height(job, joint, thing, station) == Height::Upper
}

/// `frame laps over pan 1 in, sealed` at the sill: the flange is glued down over the way out.
fn foot_of_unit(joint: &Joint, link: &Link, thing: Thing, station: Station) -> bool {
    let sill = station == Station::At(Spot::Sill);
    let unit = Thing::Piece(0);
    joint.kind == JointKind::Opening && sill && link.subject.thing == unit && thing != unit && names(link, thing)
}

/// The foot of a unit bedded on the wall's own water plane or finish, all round or at the sill, with a pan behind it.
fn foot_bedded<'a>(job: &Job, joint: &'a Joint, thing: Thing, station: Station) -> Option<&'a Link> {
    let unit = Thing::Piece(0);
    let sill = station == Station::At(Spot::Sill);
    let drains = |l: &Link| l.verb == Verb::DrainsTo && l.subject.thing == thing;
    if joint.kind != JointKind::Opening || !sill || thing == unit || !joint.links.iter().any(drains) {
        return None;
    }
    let on_plane = |t: Thing| {
        let Thing::Layer { end, layer, .. } = t else { return false };
        // Beads to sheathing or framing behind the plane are the air seal: they leave the front open.
        joint.surface(job, end).is_some_and(|s| water_plane(s).is_some_and(|p| depth(s, layer) <= depth(s, p)))
    };
    joint.links.iter().find(|l| {
        let sealed = l.verb == Verb::SealsTo || (l.verb == Verb::LapsOver && l.hold.sealed);
        let other = l.other(unit).filter(|_| names(l, unit));
        here(job, joint, l, station) && sealed && other.is_some_and(|o| on_plane(o.thing))
    })
}
