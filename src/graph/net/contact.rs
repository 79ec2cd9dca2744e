//! What is tied to what at a station, and the chains that close the seam.
//!
//! Layers and pieces that a closed sentence names are the knots of chains. A chain goes on through a layer only if that
//! is closed; on one that is open along its plane it ends: it closes the seam there, and the way round through the layer
//! itself stays open. A piece is a knot only if it is closed.
//! Invariant: only sentences that count at the station are looked at.

use petgraph::unionfind::UnionFind;

use super::ring::{Part, Ring};
use crate::base::quantity::Length;
use crate::graph::gravity::{Falls, Lap};
use crate::graph::plane::{self, Agent};
use crate::graph::station::{self, Station};
use crate::model::Job;
use crate::model::joint::{EndOf, Joint, Link, Thing, Toward};
use crate::model::layer::{Body, Layer, Stuff};
use crate::model::value::Draw;
use crate::syntax::ast::{Edge, Half, JointKind, Spot, Verb};

/// A layer of an end or a piece. The unit of an opening, and the thing that goes through, is a layer: (ends, 0).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Knot {
    /// End, layer as the surface counts; of a face that is cut here: which part.
    Layer(usize, usize, Option<Part>),
    /// A piece of this or another stanza.
    Piece(Thing),
}

/// A tie between two knots and the sentence that makes it; none for one that another stanza or the layers make.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tie {
    pub a: usize,
    pub b: usize,
    pub link: Option<usize>,
}

/// Everything tied at a station.
#[derive(Debug, Default)]
pub(super) struct Contact {
    pub knots: Vec<Knot>,
    pub ties: Vec<Tie>,
    /// Hollows filled at the seam: (end, layer).
    pub filled: Vec<(usize, usize)>,
    /// Layers of a face that are cut here: (end, layer).
    pub cut: Vec<(usize, usize)>,
}

/// A chain that crosses two layers or more.
#[derive(Clone, Debug)]
pub(super) struct Chain {
    /// Its knots.
    pub knots: Vec<usize>,
    /// What it crosses: (stack, layer counted from interface 0).
    pub crossed: Vec<(usize, usize)>,
}

/// How far a cavity tray stands up against the inner leaf: 150 mm (NHBC 6.1, from memory), less a hair.
pub const TRAY: Length = Length::new(0.1495);

/// Boards up to this thickness part insulation from what meets them by nothing that counts: 2 in. Common practice, no
/// source.
const THIN: Length = Length::new(0.0508);

/// Gathers the closed ties.
pub(super) struct Gather<'a> {
    pub job: &'a Job,
    pub joint: &'a Joint,
    pub falls: &'a Falls<'a>,
    pub ring: &'a Ring,
    pub agent: Agent,
    pub station: Station,
}

impl Gather<'_> {
    /// All closed ties at the station.
    pub fn contact(&self) -> Contact {
        let mut out = Contact::default();
        let here = |l: &Link| station::of_link(self.job, self.joint, l).counts(self.station) && self.side_counts(l);
        let links: Vec<(usize, &Link)> = self.joint.links.iter().enumerate().filter(|(_, l)| here(l)).collect();
        for (_, link) in &links {
            for party in std::iter::once(link.subject).chain(link.object) {
                if let Thing::Layer { end, layer, half: Some(_), .. } = party.thing
                    && self.is_face(end)
                    && !out.cut.contains(&(end, layer))
                {
                    out.cut.push((end, layer));
                }
            }
        }
        for (_, link) in &links {
            // What stops clear of the other side is cut there, whether a half is named or not.
            if let (Thing::Layer { end, layer, .. }, Verb::Clears) = (link.subject.thing, link.verb)
                && self.is_face(end)
                && !out.cut.contains(&(end, layer))
            {
                out.cut.push((end, layer));
            }
        }
        let sheltered: Vec<Thing> = links.iter().filter_map(|(_, l)| self.shelters(l)).collect();
        for (index, link) in links {
            self.tie(&mut out, link, Some(index), &sheltered, |t| t);
        }
        self.ties_of_units(&mut out);
        if self.joint.kind == JointKind::Opening && self.station == Station::At(Spot::Sill) {
            self.ties_of_pans(&mut out, self.joint, self.joint.ends.len(), Thing::Piece);
        }
        self.ties_of_members(&mut out);
        self.ties_of_insulation(&mut out);
        out
    }

    fn tie(
        &self,
        out: &mut Contact,
        link: &Link,
        index: Option<usize>,
        sheltered: &[Thing],
        seen: impl Fn(Thing) -> Thing,
    ) {
        let Some(object) = link.object.map(|o| seen(o.thing)) else { return };
        let subject = seen(link.subject.thing);
        let under = self.agent == Agent::Water && tucked(link, sheltered);
        if !under && !self.closed(link, subject) {
            return;
        }
        if link.verb == Verb::Fills {
            self.fill(out, object);
        }
        for a in self.knots_of(out, subject, link) {
            for b in self.knots_of(out, object, link) {
                let (a, b) = (self.slot(out, a), self.slot(out, b));
                out.ties.push(Tie { a, b, link: index });
            }
        }
    }

    /// Where a knot stands in the list. One that no chain goes on through is a new one each time.
    fn slot(&self, out: &mut Contact, knot: Knot) -> usize {
        if self.carries(knot) { slot(out, knot) } else { fresh(out, knot) }
    }

    /// Whether a chain goes on through a knot. Members stand along the seam where they are named: their edge is solid.
    fn carries(&self, knot: Knot) -> bool {
        let Knot::Layer(end, layer, _) = knot else { return true };
        let Some(surface) = self.joint.surface(self.job, end) else { return true };
        surface.layers.get(layer).is_some_and(|l| {
            let solid = self.agent != Agent::Heat && matches!(l.body, Body::Members(_));
            solid || plane::holds(l, self.agent, &Draw::middle())
        })
    }

    /// Whether a sentence closes the way between its two sides.
    fn closed(&self, link: &Link, subject: Thing) -> bool {
        if self.agent == Agent::Water && link.verb == Verb::TurnsUp && self.stands_in_cavity(link) {
            return true;
        }
        if !plane::link_closed(link, self.stuff(subject), self.agent) {
            return false;
        }
        let lap = link.verb == Verb::LapsOver && self.agent == Agent::Water;
        !lap || plane::link_closed(link, self.stuff(subject), Agent::Air) || { self.falls.lap(link) != Lap::Reversed }
    }

    /// A tray that stands up against the inner leaf of a cavity: nothing runs down that face.
    fn stands_in_cavity(&self, link: &Link) -> bool {
        let Some(Thing::Layer { end, layer, .. }) = link.object.map(|o| o.thing) else { return false };
        let Some(surface) = self.joint.surface(self.job, end) else { return false };
        let gap = surface.layers.iter().take(layer).any(|l| matches!(l.body, Body::Gap(_)));
        gap && link.length.as_ref().is_some_and(|l| l.low() >= TRAY)
    }

    /// What lies under a lap that sheds: the gap behind it can be entered only upward.
    fn shelters(&self, link: &Link) -> Option<Thing> {
        let object = link.object?.thing;
        let piece = matches!(object, Thing::Piece(_) | Thing::Other { .. });
        (self.agent == Agent::Water && piece && link.verb == Verb::LapsOver && self.closed(link, link.subject.thing))
            .then_some(object)
    }

    /// At the head of a hole a layer is the half above, at the sill the half below; beside it there is neither.
    fn side_counts(&self, link: &Link) -> bool {
        if self.joint.kind == JointKind::Joint {
            return true;
        }
        let half = |thing: Thing| match thing {
            Thing::Layer { half, .. } | Thing::Surface { half, .. } => half,
            _ => None,
        };
        let counts = |half: Half| match self.station {
            Station::At(Spot::Head | Spot::Top) => half == Half::Upper,
            Station::At(Spot::Sill | Spot::Bottom) => half == Half::Lower,
            _ => false,
        };
        let sides = std::iter::once(link.subject).chain(link.object);
        sides.filter_map(|p| half(p.thing)).all(counts)
    }

    fn is_face(&self, end: usize) -> bool {
        matches!(self.joint.ends.get(end).and_then(|e| e.edge), Some(Edge::Face | Edge::InsideFace))
    }

    /// The knots that a thing is; more than one where the seam is filled.
    fn knots_of(&self, out: &Contact, thing: Thing, link: &Link) -> Vec<Knot> {
        match thing {
            Thing::Layer { end, layer, half, .. } => {
                let part = out.cut.contains(&(end, layer)).then(|| half.map(|h| self.ring.part(h))).flatten();
                // A surface that meets itself round a corner: its layers are meant on both sides.
                let of = self.joint.ends.get(end).map(|e| e.of);
                let twins = self.joint.ends.iter().enumerate().filter(|(i, e)| *i != end && Some(e.of) == of);
                let twins = twins.map(|(i, _)| Knot::Layer(i, layer, None));
                std::iter::once(Knot::Layer(end, layer, part)).chain(twins).collect()
            }
            Thing::Surface { end, .. } => self.control(end).into_iter().collect(),
            Thing::Piece(0) if self.joint.kind != JointKind::Joint => self.unit(thing).into_iter().collect(),
            Thing::Other { joint, piece: 0 } if self.opening_end(joint).is_some() => {
                self.opening_end(joint).map(|end| Knot::Layer(end, 0, None)).into_iter().collect()
            }
            Thing::Piece(_) | Thing::Other { .. } => {
                let closed = self.joint.piece(self.job, thing).is_some_and(|p| plane::piece_closed(p, self.agent));
                if closed { vec![Knot::Piece(thing)] } else { Vec::new() }
            }
            // What fills the seam, or is sealed all along it, meets the control layer of every side.
            Thing::Seam if matches!(link.verb, Verb::Fills | Verb::SealsTo) => {
                (0..self.joint.ends.len()).filter_map(|end| self.control(end)).collect()
            }
            _ => Vec::new(),
        }
    }

    /// The layer by which a whole surface is met: the first of a face, else the one that carries the control.
    fn control(&self, end: usize) -> Option<Knot> {
        match self.joint.ends.get(end)?.edge {
            Some(Edge::Face) => Some(Knot::Layer(end, 0, None)),
            Some(Edge::InsideFace) => {
                let last = self.joint.surface(self.job, end)?.layers.len().checked_sub(1)?;
                Some(Knot::Layer(end, last, None))
            }
            _ => {
                let surface = self.joint.surface(self.job, end)?;
                plane::control(surface, self.agent, &Draw::middle()).map(|layer| Knot::Layer(end, layer, None))
            }
        }
    }

    /// Bought units and what goes through are closed, unless they are loose by nature; what a unit is worth against heat
    /// is no affair of its joint.
    fn unit(&self, thing: Thing) -> Option<Knot> {
        let piece = self.joint.piece(self.job, thing)?;
        let kind = piece.stuff.as_ref().and_then(|s| s.material).map_or("", |m| m.kind());
        let closed = self.agent == Agent::Heat || !matches!(kind, "batt" | "loose-fill");
        closed.then_some(Knot::Layer(self.joint.ends.len(), 0, None))
    }

    /// The end at which the unit of another stanza stands.
    fn opening_end(&self, opening: usize) -> Option<usize> {
        self.joint.ends.iter().position(|e| e.of == EndOf::Opening(opening))
    }

    fn stuff(&self, thing: Thing) -> Option<&Stuff> {
        if let Some(piece) = self.joint.piece(self.job, thing) {
            return piece.stuff.as_ref();
        }
        let Thing::Layer { part, .. } = thing else { return None };
        match &self.joint.layer(self.job, thing)?.body {
            Body::Sheet(choice) => choice.builds.first(),
            Body::Panel(parts) => parts.get(part.unwrap_or(0)),
            Body::Members(members) => Some(&members.member),
            Body::Gap(_) | Body::Hole => None,
        }
    }

    fn fill(&self, out: &mut Contact, object: Thing) {
        match object {
            Thing::Layer { end, layer, .. } => out.filled.push((end, layer)),
            Thing::Surface { end, .. } => {
                let layers = self.joint.surface(self.job, end).map_or(&[][..], |s| &s.layers);
                let hollow = |(i, l): (usize, &Layer)| plane::void(l, &Draw::middle()).map(|_| (end, i));
                out.filled.extend(layers.iter().enumerate().filter_map(hollow));
            }
            _ => {}
        }
    }

    /// Where a unit of another stanza stands at this joint, what is said there of its own pieces holds here too.
    fn ties_of_units(&self, out: &mut Contact) {
        for end in &self.joint.ends {
            let EndOf::Opening(opening) = end.of else { continue };
            let (Some(other), Some(spot)) = (self.job.joints.get(opening), end.edge.and_then(spot)) else { continue };
            let seen = |thing: Thing| match thing {
                Thing::Piece(piece) => Thing::Other { joint: opening, piece },
                _ => Thing::Hole,
            };
            for link in &other.links {
                if station::of_link(self.job, other, link).counts(Station::At(spot)) {
                    self.tie(out, link, None, &[], seen);
                }
            }
            if let (Spot::Sill, Some(end)) = (spot, self.opening_end(opening)) {
                self.ties_of_pans(out, other, end, |piece| Thing::Other { joint: opening, piece });
            }
        }
    }

    /// A pan under a unit that falls outward or is turned up at its back: the gap between the two can be entered only
    /// upward.
    fn ties_of_pans(&self, out: &mut Contact, opening: &Joint, unit: usize, thing: impl Fn(usize) -> Thing) {
        if self.agent != Agent::Water {
            return;
        }
        for (index, piece) in opening.pieces.iter().enumerate().skip(1) {
            let outward = piece.shape.slope.as_ref().is_some_and(|f| f.toward == Toward::Outward);
            let pan = piece.places.contains(&Spot::Sill) && plane::piece_closed(piece, Agent::Water);
            if pan && (outward || piece.shape.back_dam.is_some()) {
                let (a, b) = (slot(out, Knot::Piece(thing(index))), slot(out, Knot::Layer(unit, 0, None)));
                out.ties.push(Tie { a, b, link: None });
            }
        }
    }

    /// What meets a board or sheet that lies on insulation is as near to that as it can be brought.
    fn ties_of_insulation(&self, out: &mut Contact) {
        if self.agent != Agent::Heat {
            return;
        }
        let named: Vec<(usize, Knot)> = out.knots.iter().copied().enumerate().collect();
        for (at, knot) in named {
            let Knot::Layer(end, layer, part) = knot else { continue };
            let Some(surface) = self.joint.surface(self.job, end) else { continue };
            let inward = nearest(surface.layers.iter().skip(layer)).map(|n| layer + n);
            let outward = nearest(surface.layers.iter().take(layer + 1).rev()).map(|n| layer - n);
            let near = [inward, outward];
            for next in near.into_iter().flatten().filter(|n| *n != layer) {
                let b = slot(out, Knot::Layer(end, next, part));
                out.ties.push(Tie { a: at, b, link: None });
            }
        }
    }

    /// Members that a sentence seals to stand along the seam there: they close the edge of the bays, and boards that are
    /// fastened to them and closed in their plane are closed to them too.
    fn ties_of_members(&self, out: &mut Contact) {
        if !matches!(self.agent, Agent::Air | Agent::Vapor) {
            return;
        }
        let named: Vec<(usize, Knot)> = out.knots.iter().copied().enumerate().collect();
        for (at, knot) in named {
            let Knot::Layer(end, layer, part) = knot else { continue };
            let Some(surface) = self.joint.surface(self.job, end) else { continue };
            if !surface.layers.get(layer).is_some_and(|l| matches!(l.body, Body::Members(_))) {
                continue;
            }
            for next in [layer.checked_sub(1), layer.checked_add(1)].into_iter().flatten() {
                let board = |l: &Layer| matches!(l.body, Body::Sheet(_) | Body::Panel(_));
                let holds = |l: &&Layer| board(l) && plane::holds(l, self.agent, &Draw::middle());
                if surface.layers.get(next).filter(holds).is_some() {
                    let b = slot(out, Knot::Layer(end, next, part));
                    out.ties.push(Tie { a: at, b, link: None });
                }
            }
        }
    }
}

/// How far on the first insulating layer lies, with nothing but thin boards and sheets before it.
fn nearest<'l>(layers: impl Iterator<Item = &'l Layer>) -> Option<usize> {
    let draw = Draw::middle();
    let mut before = Length::ZERO;
    for (index, layer) in layers.enumerate() {
        if plane::layer_closed(layer, Agent::Heat, &draw) {
            return Some(index);
        }
        let Body::Sheet(choice) = &layer.body else { return None };
        let stuff = choice.at(&draw)?;
        let thickness = stuff.thickness.as_ref().map(|t| t.high());
        before += thickness.or_else(|| stuff.material?.usual_thickness())?;
        if before > THIN {
            return None;
        }
    }
    None
}

/// What touches something that lies under a shedding lap: the gap between the two can be entered only upward.
fn tucked(link: &Link, sheltered: &[Thing]) -> bool {
    let lies = matches!(link.verb, Verb::Touches | Verb::Butts | Verb::Clears | Verb::FastensThrough | Verb::FastensTo);
    let under = |thing: Thing| sheltered.contains(&thing);
    lies && !link.not_shown && (under(link.subject.thing) || link.object.is_some_and(|o| under(o.thing)))
}

fn slot(out: &mut Contact, knot: Knot) -> usize {
    out.knots.iter().position(|k| *k == knot).unwrap_or_else(|| fresh(out, knot))
}

fn fresh(out: &mut Contact, knot: Knot) -> usize {
    out.knots.push(knot);
    out.knots.len() - 1
}

fn spot(edge: Edge) -> Option<Spot> {
    match edge {
        Edge::Head => Some(Spot::Head),
        Edge::Jambs => Some(Spot::Jambs),
        Edge::Sill => Some(Spot::Sill),
        _ => None,
    }
}

impl Contact {
    /// The chains that cross two layers or more, in the order of their first knot.
    pub fn chains(&self, ring: &Ring) -> Vec<Chain> {
        let mut sets = UnionFind::<usize>::new(self.knots.len());
        for tie in &self.ties {
            sets.union(tie.a, tie.b);
        }
        let root: Vec<usize> = sets.into_labeling();
        let mut chains: Vec<(usize, Chain)> = Vec::new();
        for (index, (knot, label)) in self.knots.iter().zip(&root).enumerate() {
            let at = chains.iter().position(|(l, _)| l == label).unwrap_or_else(|| {
                chains.push((*label, Chain { knots: Vec::new(), crossed: Vec::new() }));
                chains.len() - 1
            });
            let Some((_, chain)) = chains.get_mut(at) else { continue };
            chain.knots.push(index);
            for at in crossed(ring, *knot) {
                if !chain.crossed.contains(&at) {
                    chain.crossed.push(at);
                }
            }
        }
        chains.into_iter().map(|(_, c)| c).filter(|c| c.crossed.len() > 1).collect()
    }
}

/// Where a knot stands on the ring: a layer of a face that is not cut stands there twice.
fn crossed(ring: &Ring, knot: Knot) -> impl Iterator<Item = (usize, usize)> {
    let (end, layer, part) = match knot {
        Knot::Layer(end, layer, part) => (Some(end), layer, part),
        Knot::Piece(_) => (None, 0, None),
    };
    let stands = move |s: &super::ring::Stack| {
        Some(s.end) == end && layer < s.layers && (s.part == Part::Whole || part.is_none_or(|p| p == s.part))
    };
    ring.stacks.iter().enumerate().filter(move |(_, s)| stands(s)).map(move |(i, s)| (i, s.layer(layer)))
}
