//! Open ways that are no fault of the joint as drawn: those another stanza tells of, and those that rain does not find.
//!
//! Not here: whether a way is open (net). Invariant: the review and the trace set the same ways aside.

use super::net::{Cause, Leak};
use super::place::{Air, air, place};
use super::plane::{self, Agent, Void};
use super::station::Station;
use crate::base::quantity::Length;
use crate::model::Job;
use crate::model::joint::{End, EndOf, Joint, Link, Thing};
use crate::model::surface::Surface;
use crate::model::value::Draw;
use crate::syntax::ast::{Edge, JointKind, Spot, SurfaceKind, Verb};

/// A roof that stands out this far keeps rain off the top of the wall below: 12 in. Our own choice.
const OVERHANG: Length = Length::new(0.3);

/// Whether an open way at a station is set aside.
pub fn aside(job: &Job, joint: &Joint, agent: Agent, station: Station) -> bool {
    another_stanza(job, joint, agent, station)
        || match agent {
            Agent::Water => mirrored(joint) || overhung(job, joint),
            // Round a pipe or a post the insulation is cut close to it: common practice, and not told.
            Agent::Heat => alone(job, joint) || joint.kind == JointKind::Penetration,
            _ => alone(job, joint),
        }
}

/// Whether an open way lets too little by to be told by a rule: along solid masonry or boards that lie close, which pass
/// little along their length, and for vapor and heat whatever runs along one layer of one side.
pub fn minor(job: &Job, joint: &Joint, leak: &Leak) -> bool {
    let hollow = |end: usize, layer: usize| {
        let found = joint.surface(job, end).and_then(|s| s.layers.get(layer));
        found.and_then(|l| plane::void(l, &Draw::middle())).is_some_and(|v| v != Void::Pores)
    };
    match (leak.agent, &leak.cause) {
        (Agent::Air, Cause::Along(end, layer)) => !hollow(*end, *layer),
        (Agent::Vapor | Agent::Heat, Cause::Along(..) | Cause::OpenLayer(..)) => true,
        _ => false,
    }
}

/// Whether an edge of the unit meets something else in a joint of its own, which tells of it. A balcony or a canopy with
/// outdoor air all round carries no air layer: there the opening itself is closed to its wall.
fn another_stanza(job: &Job, joint: &Joint, agent: Agent, station: Station) -> bool {
    let edge = match station {
        Station::At(Spot::Head) => Edge::Head,
        Station::At(Spot::Jambs) => Edge::Jambs,
        Station::At(Spot::Sill) => Edge::Sill,
        _ => return false,
    };
    if !joint.met.contains(&edge) || agent == Agent::Water {
        return joint.met.contains(&edge);
    }
    let Some(own) = job.joints.iter().position(|j| j.span == joint.span) else { return false };
    let met = |e: &End| e.edge == Some(edge) && e.of == EndOf::Opening(own);
    job.joints.iter().any(|j| j.ends.iter().any(met) && !alone(job, j))
}

/// Whether a unit meets surfaces alone that have the same air on both sides.
fn alone(job: &Job, joint: &Joint) -> bool {
    let unit = joint.ends.iter().any(|e| matches!(e.of, EndOf::Opening(_)));
    let surface = |e: &End| match e.of {
        EndOf::Surface(index) => job.surfaces.get(index),
        _ => None,
    };
    unit && joint.ends.iter().filter_map(surface).all(|s| !parts_air(job, s))
}

fn parts_air(job: &Job, surface: &Surface) -> bool {
    let airs = [&surface.first, &surface.last].map(|side| air(job, place(side)));
    airs.contains(&Air::Kept) && airs.iter().any(|a| matches!(a, Air::Free | Air::Wet))
}

/// A ridge of one roof, drawn on one side: its cover laps over the other side as well.
fn mirrored(joint: &Joint) -> bool {
    let [end] = joint.ends.as_slice() else { return false };
    let over = |l: &Link| l.verb == Verb::LapsOver && matches!(l.object.map(|o| o.thing), Some(Thing::Layer { .. }));
    end.edge == Some(Edge::Ridge) && joint.links.iter().any(over)
}

/// The top of a wall well under its roof: no rain gets up there, and the roof's own edge is judged for itself.
fn overhung(job: &Job, joint: &Joint) -> bool {
    let at = |kind: SurfaceKind, edges: &[Edge], test: &dyn Fn(&Surface) -> bool| {
        joint.ends.iter().enumerate().any(|(index, end)| {
            let edge = end.edge.is_some_and(|e| edges.contains(&e));
            edge && joint.surface(job, index).is_some_and(|s| s.kind == kind && test(s))
        })
    };
    let out = |s: &Surface| s.facts.overhang.as_ref().is_some_and(|o| o.low() >= OVERHANG);
    let top = at(SurfaceKind::Wall, &[Edge::Top], &|_| true);
    top && (at(SurfaceKind::Roof, &[Edge::Eave, Edge::Rake], &out)
        || joint.links.iter().any(|l| hangs_over(job, joint, l)))
}

/// `deck runs past siding 24 in`: a layer of the roof that stands out over the wall below.
fn hangs_over(job: &Job, joint: &Joint, link: &Link) -> bool {
    let of = |thing: Thing, kind: SurfaceKind| match thing {
        Thing::Layer { end, .. } | Thing::Surface { end, .. } => {
            joint.surface(job, end).is_some_and(|s| s.kind == kind)
        }
        _ => false,
    };
    link.verb == Verb::RunsPast
        && !link.not_shown
        && link.length.as_ref().is_some_and(|x| x.low() >= OVERHANG)
        && of(link.subject.thing, SurfaceKind::Roof)
        && link.object.is_some_and(|o| of(o.thing, SurfaceKind::Wall))
}
