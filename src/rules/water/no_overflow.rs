//! A flat surface behind upstands with one way out.

use std::collections::BTreeMap;

use super::cavity::outdoors;
use super::part::{cut, drains_out, weigh};
use crate::base::finding::{Finding, Weight};
use crate::model::Job;
use crate::model::joint::{EndOf, Joint, Thing};
use crate::model::surface::{Drains, Surface};
use crate::rules::facts::Missing;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "water/no-overflow",
    summary: "a roof or balcony behind upstands with one outlet and no overflow",
    weight: Weight::Fix,
    page: include_str!("no_overflow.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    let meets = joints_of(job);
    for (index, surface) in job.surfaces.iter().enumerate() {
        // A gutter hangs at a free edge and runs over it.
        let single = |d: &&Drains| flat(surface) && !d.overflow && d.to != "gutter";
        let Some(drains) = surface.facts.drains.as_ref().filter(single) else { continue };
        let Some(joints) = meets.get(&index) else { continue };
        if joints.iter().any(|(j, end)| free(job, j, *end) || second(j)) {
            continue;
        }
        let Some((joint, _)) = joints.iter().find(|(j, end)| upstand(job, j, *end)) else { continue };
        match joints.iter().find_map(|(j, _)| j.incomplete()) {
            None => sink.found(tell(surface, drains, joint)),
            Some(span) => sink.cannot(&Missing::new(span, "not all of the joint is shown")),
        }
    }
}

/// The joints of each surface, with the index of its end: gathered once for the job.
fn joints_of(job: &Job) -> BTreeMap<usize, Vec<(&Joint, usize)>> {
    let mut meets: BTreeMap<usize, Vec<(&Joint, usize)>> = BTreeMap::new();
    for joint in &job.joints {
        for (end, of) in joint.ends.iter().enumerate() {
            if let EndOf::Surface(surface) = of.of {
                meets.entry(surface).or_default().push((joint, end));
            }
        }
    }
    meets
}

fn flat(surface: &Surface) -> bool {
    surface.kind != SurfaceKind::Wall && outdoors(surface)
}

/// Whether the surface meets something that stands up there.
fn upstand(job: &Job, joint: &Joint, own: usize) -> bool {
    joint.ends.iter().enumerate().filter(|(i, _)| *i != own).any(|(i, end)| match (joint.surface(job, i), end.edge) {
        (Some(s), Some(Edge::Top)) => {
            s.kind == SurfaceKind::Wall && joint.ends.get(own).is_some_and(|e| e.edge != Some(Edge::Eave))
        }
        (Some(s), Some(Edge::Face | Edge::Bottom)) => s.kind == SurfaceKind::Wall,
        _ => false,
    })
}

/// Whether water that rises can run over an edge there.
fn free(job: &Job, joint: &Joint, own: usize) -> bool {
    let edge = joint.ends.get(own).and_then(|e| e.edge);
    matches!(edge, Some(Edge::Eave | Edge::Front | Edge::Rake)) && !upstand(job, joint, own)
}

/// Whether the joint has an overflow, or a piece that drains through an edge.
fn second(joint: &Joint) -> bool {
    joint.links.iter().any(|l| {
        l.overflow || (matches!(l.subject.thing, Thing::Piece(_)) && drains_out(l) && is_out(l.object.map(|o| o.thing)))
    })
}

fn is_out(thing: Option<Thing>) -> bool {
    thing == Some(Thing::Outdoors)
}

fn tell(surface: &Surface, drains: &Drains, joint: &Joint) -> Finding {
    let called = cut(&surface.name);
    Finding::new(
        RULE.id,
        weigh(surface.facts.existing, Weight::Fix),
        drains.span,
        format!("`{called}` fills up when its one way out is blocked"),
    )
    .label("no overflow")
    .also(joint.span, "stands up here")
    .detail(
        "Leaves or ice shut an outlet; behind upstands the water then rises over every lap, and its weight can bring a roof down. \
         A roof that holds water behind its edges needs a second way out (IRC R903.4.1, from memory; the weight of this finding \
         rests on that).",
    )
    .help(format!("write `drains to {}, overflow`, and lead the overflow where it is seen", drains.to))
}
