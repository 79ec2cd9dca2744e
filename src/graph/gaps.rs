//! Where an air gap behind a finish ends above something, and what becomes of the water that runs down in it.
//!
//! Not here: whether the gap is wide or clear enough.
//! Invariant: a gap drains at its own low edge unless something at this joint takes that edge away or closes it.

use std::collections::BTreeSet;

use super::drain::{Way, here, plug, run_off};
use super::exposure::{depth, gap, material, water_plane, weather_side};
use super::gravity::{Height, height};
use super::station::{self, Station};
use crate::base::span::Span;
use crate::model::Job;
use crate::model::joint::{Joint, Link, Thing};
use crate::model::layer::{Gap, Openings};
use crate::model::surface::{SidePlace, Surface};
use crate::syntax::ast::{Edge, Half, JointKind, OpenAt, SurfaceKind, Verb};

/// What becomes of the water in a gap that ends at a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// It leaves at the gap's own low edge, which is open.
    Drains,
    /// It lands on this piece, which leads from behind the gap to its front.
    CrossedBy(Thing),
    /// It lands on a roof or deck, behind its finish: the end.
    OntoRoof(usize),
    /// It runs down into a room: the end that lies over it.
    IntoRoom(usize),
    /// It lands on the head of the unit.
    OntoUnit,
    /// It runs into the wall below: its end, and whether that wall lets it out again.
    IntoWall {
        /// The wall's end.
        end: usize,
        /// It has a hollow of its own, open at its foot.
        drained: bool,
    },
    /// This sentence closes the low edge, or the way out of what crosses the gap.
    Blocked(Span),
    /// Said to be closed.
    Closed,
    /// It carries on past the joint.
    CarriesOn,
    /// Nobody says where the gap is open.
    Unknown,
}

/// A gap and its end at a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GapEnd {
    /// Whose gap: an index into [`Joint::ends`].
    pub end: usize,
    /// Which of its layers.
    pub layer: usize,
    /// Where along the joint.
    pub station: Station,
    /// What becomes of its water.
    pub fate: Fate,
}

/// Every gap outboard of a water plane that ends at this joint with something below it.
pub fn gaps_above(job: &Job, joint: &Joint) -> Vec<GapEnd> {
    let mut found = Vec::new();
    for station in station::stations(job, joint) {
        for end in 0..joint.ends.len() {
            let Some(surface) = joint.surface(job, end) else { continue };
            let look = GapLook { job, joint, station, end, surface };
            found.extend(
                look.gaps()
                    .filter_map(|(layer, gap)| look.fate(layer, gap).map(|fate| GapEnd { end, layer, station, fate })),
            );
        }
    }
    found
}

struct GapLook<'a> {
    job: &'a Job,
    joint: &'a Joint,
    station: Station,
    end: usize,
    surface: &'a Surface,
}

impl<'a> GapLook<'a> {
    /// The gaps outboard of the water plane.
    fn gaps(&self) -> impl Iterator<Item = (usize, &'a Gap)> + use<'a> {
        let surface = self.surface;
        let plane = water_plane(surface).map(|p| depth(surface, p));
        let outside = move |i: usize| plane.is_some_and(|p| depth(surface, i) < p);
        surface.layers.iter().enumerate().filter(move |(i, _)| outside(*i)).filter_map(|(i, l)| Some((i, gap(l)?)))
    }

    fn fate(&self, layer: usize, gap: &Gap) -> Option<Fate> {
        let thing = Thing::Layer { end: self.end, layer, half: None, part: None };
        let face = self.joint.ends.get(self.end).is_some_and(|e| e.edge == Some(Edge::Face));
        let halved = face && self.halved();
        match height(self.job, self.joint, thing, self.station) {
            Height::Upper => {}
            Height::Between if face && (halved || self.below().is_some()) => {}
            _ => return None,
        }
        if self.joint.kind == JointKind::Penetration {
            return None;
        }
        if let Some(span) = self.filled(layer) {
            return Some(Fate::Blocked(span));
        }
        if let Some(piece) = self.crossing(layer) {
            let plugged = matches!(run_off(self.job, self.joint, piece, self.station), Some(Way::Plugged(_)));
            let span = plugged.then(|| plug(self.job, self.joint, piece, self.station)).flatten();
            return Some(span.map_or(Fate::CrossedBy(piece), Fate::Blocked));
        }
        Some(self.uncrossed(layer, gap, face))
    }

    /// Nothing crosses the gap: what lies below takes the water, or the gap's own low edge lets it out.
    fn uncrossed(&self, layer: usize, gap: &Gap, face: bool) -> Fate {
        if self.joint.kind == JointKind::Opening {
            return Fate::OntoUnit;
        }
        if let Some(below) = self.below() {
            if face && self.stands_clear(layer) {
                return self.own_edge(gap);
            }
            return self.onto(below, gap, face);
        }
        if face { Fate::CarriesOn } else { self.own_edge(gap) }
    }

    fn own_edge(&self, gap: &Gap) -> Fate {
        match &gap.openings {
            Openings::Unknown => Fate::Unknown,
            Openings::Closed => Fate::Closed,
            Openings::At { at, .. } if at.iter().any(low) => Fate::Drains,
            Openings::At { .. } => Fate::Closed,
        }
    }

    /// What the water lands on.
    fn onto(&self, below: usize, gap: &Gap, face: bool) -> Fate {
        let Some(lower) = self.joint.surface(self.job, below) else { return self.own_edge(gap) };
        let room = matches!(lower.last.place, SidePlace::Room(_));
        match lower.kind {
            SurfaceKind::Roof | SurfaceKind::Deck | SurfaceKind::Ceiling if face && room => Fate::IntoRoom(below),
            SurfaceKind::Roof | SurfaceKind::Deck | SurfaceKind::Ceiling if face => Fate::OntoRoof(below),
            SurfaceKind::Wall if !face && clad(lower) => Fate::IntoWall { end: below, drained: drained(lower) },
            _ => self.own_edge(gap),
        }
    }

    /// The end that lies below at this joint.
    fn below(&self) -> Option<usize> {
        let thing = |end| Thing::Surface { end, half: None };
        let lower = |end: &usize| height(self.job, self.joint, thing(*end), self.station) == Height::Lower;
        (0..self.joint.ends.len()).filter(|e| *e != self.end).find(lower)
    }

    fn halved(&self) -> bool {
        let upper = |t: Thing| matches!(t, Thing::Layer { end, half: Some(Half::Upper), .. } if end == self.end);
        self.joint.links.iter().any(|l| upper(l.subject.thing) || l.object.is_some_and(|o| upper(o.thing)))
    }

    fn links(&self) -> impl Iterator<Item = &'a Link> + use<'a> {
        let (job, joint, station) = (self.job, self.joint, self.station);
        joint.links.iter().filter(move |l| here(job, joint, l, station))
    }

    /// Whether the finish outside the gap stops above what lies below, so that the gap's low edge is in the open.
    fn stands_clear(&self, gap: usize) -> bool {
        let finish =
            |t: Thing| matches!(t, Thing::Layer { end, layer, .. } if end == self.end && self.outside(layer, gap));
        self.links().any(|l| l.verb == Verb::Clears && finish(l.subject.thing))
    }

    fn filled(&self, layer: usize) -> Option<Span> {
        let gap = |t: Thing| matches!(t, Thing::Layer { end, layer: l, half, .. } if end == self.end && l == layer && half != Some(Half::Lower));
        let fills = |l: &&Link| l.verb == Verb::Fills && l.object.is_some_and(|o| gap(o.thing));
        self.links().find(fills).map(|l| l.span)
    }

    fn outside(&self, layer: usize, gap: usize) -> bool {
        depth(self.surface, layer) < depth(self.surface, gap)
    }

    /// A piece that is tied behind the gap and leads in front of it.
    fn crossing(&self, gap: usize) -> Option<Thing> {
        (0..self.joint.pieces.len()).map(Thing::Piece).find(|piece| {
            let unit = *piece == Thing::Piece(0) && self.joint.kind != JointKind::Joint;
            !unit && self.tied_behind(*piece, gap) && self.reaches_front(*piece, gap)
        })
    }

    /// Water from behind the gap is led on to the piece: a layer behind it laps over the piece, or holds or carries it.
    fn tied_behind(&self, piece: Thing, gap: usize) -> bool {
        let behind = |t: Thing| {
            matches!(t, Thing::Layer { end, layer, half, .. } if end == self.end
                && half != Some(Half::Lower)
                && depth(self.surface, layer) > depth(self.surface, gap))
        };
        self.joint.links_of(piece).filter(|l| here(self.job, self.joint, l, self.station)).any(|l| {
            let ties = matches!(l.verb, Verb::LapsOver | Verb::SealsTo | Verb::TucksInto | Verb::TurnsUp);
            ties && l.other(piece).is_some_and(|o| behind(o.thing))
        })
    }

    /// The piece, or what it hands its water to, comes out at the front.
    fn reaches_front(&self, piece: Thing, gap: usize) -> bool {
        let finish =
            |t: Thing| matches!(t, Thing::Layer { end, layer, .. } if end == self.end && self.outside(layer, gap));
        let mut seen = BTreeSet::from([piece]);
        let mut open = vec![piece];
        while let Some(thing) = open.pop() {
            for link in self.links() {
                let Some(object) = link.object.map(|o| o.thing) else { continue };
                let hands = matches!(link.verb, Verb::DrainsTo | Verb::LapsOver);
                let ends = matches!(link.verb, Verb::RunsPast | Verb::RunsTo | Verb::StopsShort | Verb::TucksInto);
                if link.subject.thing == thing && (hands || ends) && self.in_front(object, gap)
                    || link.verb == Verb::LapsOver && object == thing && finish(link.subject.thing)
                {
                    return true;
                }
                if link.subject.thing == thing && hands && matches!(object, Thing::Piece(_)) && seen.insert(object) {
                    open.push(object);
                }
            }
        }
        false
    }

    /// In front of the gap: its own finish, the unit's face, the outside of a roof, the finish of the wall below, daylight.
    fn in_front(&self, thing: Thing, gap: usize) -> bool {
        match thing {
            Thing::Outdoors | Thing::Outlet(_) | Thing::Grade | Thing::Paving => true,
            Thing::Piece(0) => self.joint.kind == JointKind::Opening,
            Thing::Layer { end, layer, .. } if end == self.end => self.outside(layer, gap),
            Thing::Layer { end, layer, .. } => self.joint.surface(self.job, end).is_some_and(|s| match s.kind {
                SurfaceKind::Wall => depth(s, layer) == 0,
                _ => water_plane(s).is_some_and(|p| depth(s, layer) <= depth(s, p)),
            }),
            Thing::Surface { .. } => true,
            _ => false,
        }
    }
}

fn low(at: &OpenAt) -> bool {
    matches!(at, OpenAt::Bottom | OpenAt::Eave | OpenAt::Front | OpenAt::Below | OpenAt::BothSides)
}

/// Whether a wall has a finish outside its water plane, so that what runs in from above stays behind it.
fn clad(surface: &Surface) -> bool {
    let finish = surface.layers.iter().enumerate().find(|(i, _)| depth(surface, *i) == 0);
    weather_side(surface).is_some()
        && finish.is_some_and(|(i, l)| {
            water_plane(surface) != Some(i) && material(l).is_some_and(|m| !matches!(m.kind(), "masonry" | "concrete"))
        })
}

/// Whether a wall has a gap in front of its water plane that is open at its foot.
fn drained(surface: &Surface) -> bool {
    let plane = water_plane(surface).map(|p| depth(surface, p));
    surface.layers.iter().enumerate().any(|(i, l)| {
        plane.is_some_and(|p| depth(surface, i) < p)
            && gap(l).is_some_and(|g| matches!(&g.openings, Openings::At { at, .. } if at.iter().any(low)))
    })
}
