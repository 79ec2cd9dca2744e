//! The graph of interfaces at one joint: closures, and the ways that nothing closes.
//!
//! For every surface that ends at the joint its interfaces are places, 0 on its outer side. Without any relation the seam
//! is open and ties them all together. A closure, a chain of things and links all closed to an agent that crosses two
//! layers, splits them. A leak is a way from outdoors to a room that meets nothing closed.
//! Invariant: leaks come out in the same order every time, each with the places it goes through.

mod closures;
mod contact;
mod ring;
mod tell;
mod ways;

use super::gravity::Falls;
use super::place::{Air, Place, air, place};
use super::plane::{self, Agent};
use super::station::Station;
use crate::base::span::Span;
use crate::catalog::Bond;
use crate::model::Job;
use crate::model::joint::{EndOf, Joint, Thing};
use crate::model::layer::{Body, Layer};
use crate::model::surface::Surface;
use crate::model::value::Draw;
use crate::syntax::ast::{JointKind, SurfaceKind};
use contact::Gather;
pub use contact::TRAY;
use ring::Ring;
use ways::Ways;

/// A chain that closes the seam at its depth.
#[derive(Clone, Debug, PartialEq)]
pub struct Closure {
    /// Where along the joint.
    pub station: Station,
    /// The layer it meets at each end it reaches: (end, layer). The unit of an opening, and the thing that goes through,
    /// is the end behind the last, of one layer.
    pub meets: Vec<(usize, usize)>,
    /// Its things, in order from the first end.
    pub things: Vec<Thing>,
    /// Its sentences, indices into [`Joint::links`].
    pub links: Vec<usize>,
    /// How many things must fail before it opens to water; 1 for other agents.
    pub worth: u32,
}

/// Why a way is open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cause {
    /// Nothing closes the seam.
    NothingJoined,
    /// Each side is closed, but at different depths, and a hollow between the two links round: the layers (end, layer).
    Misaligned(Vec<(usize, usize)>),
    /// It runs along a hollow or porous layer past the closure: (end, layer).
    Along(usize, usize),
    /// A layer of one side is itself open: (end, layer).
    OpenLayer(usize, usize),
}

/// One place on a way.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// "outdoors", "between `boards` and `membrane` of `east`", "the seam", "the bays of `studs`".
    pub words: String,
    /// The text it speaks of.
    pub span: Option<Span>,
}

/// A way that nothing closes.
#[derive(Clone, Debug, PartialEq)]
pub struct Leak {
    /// Where along the joint.
    pub station: Station,
    /// Of what.
    pub agent: Agent,
    /// From outdoors to the room.
    pub steps: Vec<Step>,
    /// Why.
    pub cause: Cause,
    /// A layer on the way that counts as open because it is not known whether it is closed.
    pub doubt: Option<Span>,
}

/// What lies round the seam at a station.
#[derive(Debug)]
struct Side {
    station: Station,
    ring: Ring,
}

/// What is known of the layers of an end.
#[derive(Debug)]
struct Planes {
    /// Whether each layer is counted on, by agent.
    holds: [Vec<bool>; 4],
    /// Which layer carries the control, by agent.
    control: [Option<usize>; 4],
}

/// The graph of one joint.
#[derive(Debug)]
pub struct Net<'a> {
    /// The job.
    pub job: &'a Job,
    /// The joint.
    pub joint: &'a Joint,
    /// Its laps.
    pub falls: Falls<'a>,
    sides: Vec<Side>,
    planes: Vec<Planes>,
}

impl<'a> Net<'a> {
    /// Connects a joint.
    pub fn new(job: &'a Job, joint: &'a Joint) -> Self {
        let falls = Falls::new(job, joint);
        let side = |station| Side { station, ring: Ring::new(job, joint, station) };
        let sides = falls.stations().map(side).collect();
        let planes = (0..joint.ends.len()).map(|end| planes(job, joint, end)).collect();
        Self { job, joint, falls, sides, planes }
    }

    /// The ways of an agent that nothing closes; each is taken as mended before the next is looked for. A way straight
    /// through one surface that does not touch the seam is that section's affair and not told here.
    ///
    /// Of water a way from rain, or wet soil beside a wall, past the water layer of a side; it never runs upward. Of
    /// vapor only where the author relies on a vapor layer on every side, of heat only where two sides are insulated and
    /// none that parts free air from kept is bare.
    pub fn leaks(&self, agent: Agent) -> Vec<Leak> {
        /// Ways told of one station.
        const MOST: usize = 8;
        let mut leaks: Vec<Leak> = Vec::new();
        if !self.matters(agent) || !self.can_be_asked(agent) {
            return leaks;
        }
        for side in &self.sides {
            let mut ways = self.ways(side, agent);
            for _ in 0..MOST {
                let Some(way) = ways.cheapest().filter(|w| w.closed == 0) else { break };
                let cause = ways.cause(self, agent, &way);
                // The end of a seam has what the run has; what leaks all along is told once.
                let told = |l: &Leak| l.station == Station::Run && Some(&l.cause) == cause.as_ref();
                if let Some(cause) = cause.as_ref().filter(|_| !leaks.iter().any(told)) {
                    let leak = ways.leak(self, side, agent, &way, cause.clone());
                    leaks.push(Leak { doubt: leak.doubt.or_else(|| self.undrawn(agent)), ..leak });
                }
                if !ways.mend_way(&way, cause.as_ref()) {
                    break;
                }
            }
        }
        leaks
    }

    /// How many closed things stand on the cheapest way at a station; none when there is no way at all.
    pub fn cost(&self, agent: Agent, station: Station) -> Option<u32> {
        let side = self.sides.iter().find(|s| s.station == station)?;
        self.ways(side, agent).cheapest().map(|w| w.closed)
    }

    /// Whether the joint lies between free air and kept air for an agent, so that it has to be closed at all; of water
    /// whether rain, or wet soil beside a wall, reaches it.
    pub fn matters(&self, agent: Agent) -> bool {
        let places =
            |side: &Side| -> Vec<Place> { side.ring.stacks.iter().flat_map(|s| [s.places.0, s.places.1]).collect() };
        let Some(places) = self.sides.first().map(places) else { return false };
        if agent != Agent::Water && places.len() < 4 {
            // A free edge is joined to nothing.
            return false;
        }
        if agent == Agent::Water {
            return (0..self.joint.ends.len()).filter_map(|e| self.joint.surface(self.job, e)).any(|s| {
                let first = place(&s.first);
                first == Place::Outdoors || (first == Place::Ground && s.kind == SurfaceKind::Wall)
            });
        }
        let any = |wanted: Air| places.iter().any(|p| air(self.job, *p) == wanted);
        let free = any(Air::Free) || (agent != Agent::Air && any(Air::Wet));
        free && any(Air::Kept)
    }

    /// Where layers of a side are left undrawn and none that is drawn is relied on: what stops the agent may be among them.
    fn undrawn(&self, agent: Agent) -> Option<Span> {
        let surfaces = self.joint.ends.iter().filter_map(|e| match e.of {
            EndOf::Surface(index) => self.job.surfaces.get(index),
            EndOf::Opening(index) => self.job.joints.get(index)?.surface(self.job, 0),
            EndOf::Hole => None,
        });
        let broken = |s: &&Surface| s.broken.is_some() && !s.layers.iter().any(|l| plane::relied(l, agent));
        surfaces.into_iter().find(broken).and_then(|s| s.broken.as_ref().map(|b| b.span))
    }

    /// Where the joint leaves open what is there: nothing that is missing can be judged.
    pub fn undecided(&self) -> Option<Span> {
        let link = || self.joint.links.iter().find(|l| l.not_shown || l.unread).map(|l| l.span);
        let piece = || self.joint.pieces.iter().find(|p| p.stuff.as_ref().is_none_or(|s| s.material.is_none()));
        self.joint.incomplete().or_else(link).or_else(|| piece().map(|p| p.stuff_span))
    }

    /// Whether the two layers at an interface are bonded to each other: a coat or an adhered sheet on the board or mass
    /// behind it, a coat of plaster on the room side of one.
    fn bonded(&self, stack: &ring::Stack, item: usize) -> bool {
        let layer = |index: Option<usize>| {
            index.filter(|i| *i < stack.layers).and_then(|i| self.layer(stack.end, stack.layer(i)))
        };
        let (Some(over), Some(ground)) = (layer(item.checked_sub(1)), layer(Some(item))) else { return false };
        let firm = |l: &Layer| matches!(&l.body, Body::Sheet(c) if c.builds.first().and_then(|b| b.material).is_some_and(plane::firm));
        let first = |l: &Layer| match &l.body {
            Body::Sheet(choice) => choice.builds.first().and_then(|b| b.material),
            _ => None,
        };
        let coat = |l: &Layer| first(l).is_some_and(|m| m.bond() == Bond::Liquid);
        let mass = |l: &Layer| first(l).is_some_and(|m| matches!(m.kind(), "masonry" | "concrete"));
        ((over.seams.adhered || coat(over)) && firm(ground)) || (coat(ground) && (firm(over) || mass(over)))
    }

    /// The layer of an end that carries an agent's control.
    pub fn controls(&self, end: usize, agent: Agent) -> Option<usize> {
        if self.is_unit(end) {
            return Some(0);
        }
        self.planes.get(end)?.control.get(agent as usize).copied().flatten()
    }

    fn ways<'n>(&'n self, side: &'n Side, agent: Agent) -> Ways<'n> {
        let contact = self.gather(side, agent).contact();
        let chains = contact.chains(&side.ring);
        Ways::new(self, side, agent, &contact, &chains)
    }

    fn gather<'n>(&'n self, side: &'n Side, agent: Agent) -> Gather<'n> {
        let (job, joint, falls) = (self.job, self.joint, &self.falls);
        Gather { job, joint, falls, ring: &side.ring, agent, station: side.station }
    }

    /// The sides of vapor and heat that have to be joined are those that stop it at all.
    fn can_be_asked(&self, agent: Agent) -> bool {
        let mut sides = (0..self.joint.ends.len()).filter_map(|e| Some((e, self.joint.surface(self.job, e)?)));
        match agent {
            Agent::Water | Agent::Air => true,
            Agent::Vapor => sides
                .filter(|(_, s)| s.kind != SurfaceKind::Deck)
                .all(|(_, s)| s.layers.iter().any(|l| plane::relied(l, Agent::Vapor))),
            Agent::Heat => {
                let insulated = |e: &usize| self.controls(*e, Agent::Heat).is_some();
                let units = usize::from(self.joint.kind != JointKind::Joint);
                let bare = |(e, s): (usize, &Surface)| {
                    let airs = [&s.first, &s.last].map(|side| air(self.job, place(side)));
                    let parts = airs.contains(&Air::Kept) && airs.iter().any(|a| matches!(a, Air::Free | Air::Wet));
                    parts && !insulated(&e)
                };
                !sides.any(bare) && (0..self.joint.ends.len()).filter(insulated).count() + units > 1
            }
        }
    }

    fn is_unit(&self, end: usize) -> bool {
        match self.joint.ends.get(end) {
            Some(end) => matches!(end.of, EndOf::Opening(_)),
            None => self.joint.kind != JointKind::Joint,
        }
    }

    fn layer(&self, end: usize, layer: usize) -> Option<&'a Layer> {
        self.joint.surface(self.job, end)?.layers.get(layer)
    }

    fn layer_holds(&self, end: usize, layer: usize, agent: Agent) -> bool {
        self.is_unit(end) || {
            let holds = self.planes.get(end).and_then(|p| p.holds.get(agent as usize));
            holds.and_then(|h| h.get(layer)).copied().unwrap_or(false)
        }
    }

    fn kind(&self, end: usize) -> Option<SurfaceKind> {
        self.joint.surface(self.job, end).map(|s| s.kind)
    }

    /// The hollow layers that a thing is or has: (end, layer).
    fn hollows(&self, thing: Thing) -> Vec<(usize, usize)> {
        let hollow = |end: usize, layer: usize| {
            self.layer(end, layer).and_then(|l| plane::void(l, &Draw::middle())).map(|_| (end, layer))
        };
        match thing {
            Thing::Layer { end, layer, .. } => hollow(end, layer).into_iter().collect(),
            Thing::Surface { end, .. } => {
                let layers = self.joint.surface(self.job, end).map_or(0, |s| s.layers.len());
                (0..layers).filter_map(|layer| hollow(end, layer)).collect()
            }
            _ => Vec::new(),
        }
    }
}

fn planes(job: &Job, joint: &Joint, end: usize) -> Planes {
    let draw = Draw::middle();
    let surface = joint.surface(job, end);
    let holds = |agent: Agent| -> Vec<bool> {
        surface.map(|s| s.layers.iter().map(|l| plane::holds(l, agent, &draw)).collect()).unwrap_or_default()
    };
    Planes {
        holds: Agent::ALL.map(holds),
        control: Agent::ALL.map(|agent| surface.and_then(|s| plane::control(s, agent, &draw))),
    }
}
