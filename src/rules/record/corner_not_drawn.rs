//! Two seams that run into one corner, of three surfaces or more, with nothing said of the corner.

use std::collections::BTreeSet;

use crate::base::finding::{Finding, Weight};
use crate::graph::exposure::rained_on;
use crate::model::Job;
use crate::model::joint::{EndOf, Joint, Thing};
use crate::rules::facts::Missing;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, Spot, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "record/corner-not-drawn",
    summary: "a corner where three surfaces meet and nothing is said of it",
    weight: Weight::Watch,
    page: include_str!("corner_not_drawn.md"),
    run: Run::Job(run),
};

/// A seam's end that runs into another seam.
struct Corner {
    /// The seam that stands or slopes.
    seam: usize,
    /// The seam it runs into.
    other: usize,
    /// Which of its ends.
    end: Spot,
}

fn run(job: &Job, sink: &mut Sink) {
    let threes: Vec<(usize, &Joint)> = job.joints.iter().enumerate().filter(|(_, j)| j.ends.len() > 2).collect();
    for corner in corners(job) {
        let (Some(seam), Some(other)) = (job.joints.get(corner.seam), job.joints.get(corner.other)) else { continue };
        if drawn(&threes, &corner, seam, other) {
            continue;
        }
        match seam.incomplete().or_else(|| other.incomplete()) {
            Some(span) => sink.cannot(&Missing::new(span, "not all of a joint at this corner is shown")),
            None => sink.found(tell(seam, other, corner.end)),
        }
    }
}

/// Every corner of three surfaces, seam by seam, one an end.
fn corners(job: &Job) -> Vec<Corner> {
    let mut on: Vec<Vec<(usize, Edge)>> = vec![Vec::new(); job.surfaces.len()];
    for (index, joint) in job.joints.iter().enumerate().filter(|(_, j)| j.kind == JointKind::Joint && rained_on(job, j))
    {
        for end in &joint.ends {
            if let (EndOf::Surface(surface), Some(edge)) = (end.of, end.edge)
                && let Some(list) = on.get_mut(surface)
            {
                list.push((index, edge));
            }
        }
    }
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    for (surface, list) in job.surfaces.iter().zip(&on) {
        // The edges of a surface are few; a joint more than a dozen on one surface is a seam cut in pieces.
        for (seam, edge) in list.iter().take(12) {
            for (other, across) in list.iter().take(12).filter(|(o, _)| o != seam) {
                let Some(end) = meets(surface.kind, *edge, *across) else { continue };
                if three(job, *seam, *other) && seen.insert((*seam, end)) {
                    found.push(Corner { seam: *seam, other: *other, end });
                }
            }
        }
    }
    found
}

/// The end at which a seam along one edge runs into a seam along another.
fn meets(kind: SurfaceKind, seam: Edge, across: Edge) -> Option<Spot> {
    match (kind, seam, across) {
        (SurfaceKind::Wall, Edge::Left | Edge::Right, Edge::Bottom) => Some(Spot::BottomEnd),
        (SurfaceKind::Wall, Edge::Left | Edge::Right, Edge::Top) => Some(Spot::TopEnd),
        (SurfaceKind::Roof, Edge::Rake, Edge::Eave) => Some(Spot::LowEnd),
        (SurfaceKind::Roof, Edge::Rake, Edge::High | Edge::Ridge) => Some(Spot::HighEnd),
        _ => None,
    }
}

fn three(job: &Job, a: usize, b: usize) -> bool {
    let of = |joint: usize| job.joints.get(joint).into_iter().flat_map(|j| &j.ends).map(|e| e.of);
    let surfaces: BTreeSet<usize> =
        of(a).chain(of(b)).filter_map(|e| if let EndOf::Surface(s) = e { Some(s) } else { None }).collect();
    surfaces.len() >= 3
}

/// Whether something is said of the corner: at that end of the seam, or by a piece of one joint in the other, or by
/// a joint of the three, one of `threes`.
fn drawn(threes: &[(usize, &Joint)], corner: &Corner, seam: &Joint, other: &Joint) -> bool {
    let here = |spots: &[Spot]| spots.iter().any(|s| *s == corner.end || *s == Spot::BothEnds);
    let at_end = seam.pieces.iter().any(|p| here(&p.places)) || seam.links.iter().any(|l| here(&l.places));
    let names = |joint: &Joint, wanted: usize| {
        let of = |t: Thing| matches!(t, Thing::Other { joint, .. } if joint == wanted);
        joint.links.iter().any(|l| of(l.subject.thing) || l.object.is_some_and(|o| of(o.thing)))
    };
    // `house runs past low eave`: the wall carries on past the corner.
    let past = seam.links.iter().any(|l| matches!(l.subject.thing, Thing::Surface { .. }));
    let together = |j: &Joint| shares(j, seam) && shares(j, other);
    let third = |(i, j): &(usize, &Joint)| *i != corner.seam && *i != corner.other && together(j);
    at_end || past || names(seam, corner.other) || names(other, corner.seam) || threes.iter().any(third)
}

fn shares(a: &Joint, b: &Joint) -> bool {
    b.ends.iter().filter(|e| e.of != EndOf::Hole).all(|e| a.ends.iter().any(|own| own.of == e.of))
}

fn tell(seam: &Joint, other: &Joint, end: Spot) -> Finding {
    let word = match end {
        Spot::BottomEnd => "bottom end",
        Spot::TopEnd => "top end",
        Spot::LowEnd => "low end",
        _ => "high end",
    };
    let short =
        |name: &str| if name.chars().count() <= 20 { name.to_string() } else { name.chars().take(20).collect() };
    let message = format!("nothing is said of the corner of `{}` and `{}`", short(&seam.name), short(&other.name));
    let mut finding = Finding::new(RULE.id, Weight::Watch, seam.span, message)
        .label(format!("at its {word}"))
        .also(other.span, "runs into it there")
        .detail(
            "Three surfaces meet here. Two sections drawn apart each look closed, and where they meet both can be open: \
             laps change over from one direction to the other, and a fold or a preformed corner is cut on the day. Corners \
             are where seams fail first (common practice, no source).",
        )
        .help(format!(
            "draw it: a piece or sentence `, at {word}`, or `PIECE laps over {}.PIECE 6 in, at {word}`",
            other.name
        ));
    finding.joint = Some(seam.name.clone());
    finding
}
