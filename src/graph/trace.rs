//! A control layer followed round the job: which layer carries it on each surface, how it goes on at each joint, where it
//! lifts, and which edges nobody speaks of.
//!
//! Invariant: plain data in the order of the text; nothing is judged that the joint does not matter for.

use super::aside::aside;
use super::envelope::{self, Fate};
use super::net::{Closure, Leak, Net};
use super::plane::{self, Agent};
use super::station::{self, Station};
use crate::base::span::Span;
use crate::model::Job;
use crate::model::joint::{Joint, Thing};
use crate::model::value::Draw;
use crate::syntax::ast::Edge;

/// A control layer round the job, or at one joint of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// Of what.
    pub agent: Agent,
    /// The surfaces it runs over.
    pub surfaces: Vec<Carrier>,
    /// The joints it comes to.
    pub joints: Vec<Crossing>,
    /// Edges that are not judged: surface, edge.
    pub unsaid: Vec<(usize, Edge)>,
}

/// The layer that carries the control on a surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Carrier {
    /// An index into [`Job::surfaces`].
    pub surface: usize,
    /// An index into its layers; none: nothing carries it.
    pub layer: Option<usize>,
    /// The author relies on it; else it is the best there is.
    pub relied_on: bool,
    /// It is closed by its own material and seams; one that is only relied on may leak, or what is bonded to it may close it.
    pub closed: bool,
    /// The layer as it is called, else the surface.
    pub words: String,
    /// The layer's line, else the surface's name.
    pub span: Span,
}

/// A joint that a control layer comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Crossing {
    /// An index into [`Job::joints`].
    pub joint: usize,
    /// Where the joint leaves open what is there; its ways are then not judged.
    pub undecided: Option<Span>,
    /// Station by station.
    pub stations: Vec<At>,
}

/// How a control layer goes on at a station.
#[derive(Clone, Debug, PartialEq)]
pub struct At {
    /// Where along the joint.
    pub station: Station,
    /// What closes the seam.
    pub closed: Vec<Link>,
    /// Where it lifts.
    pub lifts: Vec<Leak>,
}

/// A closure in words.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// The closure.
    pub closure: Closure,
    /// Its things by name, in order.
    pub names: Vec<String>,
    /// The sentences that make it.
    pub sentences: Vec<Span>,
}

/// Follows a control layer; of one joint only when one is named.
pub fn trace(job: &Job, agent: Agent, only: Option<usize>) -> Trace {
    let ends = |joint: &Joint| -> Vec<usize> {
        let surface = |e: &crate::model::joint::End| match e.of {
            crate::model::joint::EndOf::Surface(index) => Some(index),
            _ => None,
        };
        joint.ends.iter().filter_map(surface).collect()
    };
    let wanted = only.and_then(|j| job.joints.get(j)).map(ends);
    let bounds: Vec<Vec<(Edge, Fate)>> = envelope::all_edges(job);
    let seen = |surface: &usize| match &wanted {
        Some(list) => list.contains(surface),
        None => bounds.get(*surface).is_some_and(|edges| !edges.is_empty()),
    };
    let surfaces: Vec<usize> = (0..job.surfaces.len()).filter(seen).collect();
    let joints = job.joints.iter().enumerate().filter(|(i, _)| only.is_none_or(|o| o == *i));
    let mut unsaid = Vec::new();
    if only.is_none() {
        for surface in &surfaces {
            let edges = bounds.get(*surface).into_iter().flatten();
            unsaid.extend(edges.filter(|(_, f)| *f == Fate::Unsaid).map(|(e, _)| (*surface, *e)));
        }
    }
    Trace {
        agent,
        surfaces: surfaces.into_iter().filter_map(|s| carrier(job, agent, s)).collect(),
        joints: joints.filter_map(|(i, j)| crossing(job, agent, i, j)).collect(),
        unsaid,
    }
}

fn carrier(job: &Job, agent: Agent, surface: usize) -> Option<Carrier> {
    let here = job.surfaces.get(surface)?;
    let layer = plane::control(here, agent, &Draw::middle());
    let found = layer.and_then(|l| here.layers.get(l));
    let (words, span) = found.map_or((&here.name, here.span), |l| (&l.label, l.line));
    let relied_on = found.is_some_and(|l| plane::relied(l, agent));
    let closed = found.is_some_and(|l| plane::layer_closed(l, agent, &Draw::middle()));
    Some(Carrier { surface, layer, relied_on, closed, words: words.clone(), span })
}

fn crossing(job: &Job, agent: Agent, index: usize, joint: &Joint) -> Option<Crossing> {
    let net = Net::new(job, joint);
    if !net.matters(agent) {
        return None;
    }
    let leaks = net.leaks(agent);
    let at = |station: Station| At {
        station,
        closed: net.closures(agent, station).into_iter().map(|c| link(job, joint, c)).collect(),
        lifts: leaks.iter().filter(|l| l.station == station && !aside(job, joint, agent, station)).cloned().collect(),
    };
    let stations = station::stations(job, joint).into_iter().map(at).collect();
    Some(Crossing { joint: index, undecided: net.undecided(), stations })
}

fn link(job: &Job, joint: &Joint, closure: Closure) -> Link {
    let name = |thing: &Thing| -> String {
        if let Some(piece) = joint.piece(job, *thing) {
            return piece.name.clone();
        }
        joint.layer(job, *thing).map_or_else(|| "seam".to_string(), |l| l.label.clone())
    };
    let sentences = closure.links.iter().filter_map(|l| joint.links.get(*l)).map(|l| l.span).collect();
    Link { names: closure.things.iter().map(name).collect(), sentences, closure }
}
