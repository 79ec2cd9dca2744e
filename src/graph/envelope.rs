//! The whole envelope: each edge of each surface that bounds kept air is joined, carries on, or is left open on purpose.
//!
//! Invariant: an edge that nobody speaks of is neither closed nor a leak; it is told.

use super::place::{Air, air, place};
use crate::model::Job;
use crate::model::joint::{End, EndOf};
use crate::model::surface::Surface;
use crate::syntax::ast::{Edge, SurfaceKind};

/// What becomes of an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// A joint: an index into [`Job::joints`].
    Joined(usize),
    /// `continues`.
    Continues,
    /// `unjoined`.
    LeftOpen,
    /// Nobody says.
    Unsaid,
}

/// Every edge of a surface with its fate; none for a surface that does not lie between kept air and other.
pub fn edges(job: &Job, surface: usize) -> Vec<(Edge, Fate)> {
    let Some(here) = job.surfaces.get(surface) else { return Vec::new() };
    let of = |(joint, end): (usize, &End)| match (end.of, end.edge) {
        (EndOf::Surface(s), Some(edge)) if s == surface => Some((edge, joint)),
        _ => None,
    };
    let joints = job.joints.iter().enumerate();
    let joined: Vec<(Edge, usize)> =
        joints.flat_map(|(i, j)| j.ends.iter().map(move |e| (i, e))).filter_map(of).collect();
    told(job, here, &joined)
}

/// The same for every surface of a job, in one pass over its joints.
pub fn all_edges(job: &Job) -> Vec<Vec<(Edge, Fate)>> {
    let mut joined: Vec<Vec<(Edge, usize)>> = vec![Vec::new(); job.surfaces.len()];
    for (index, joint) in job.joints.iter().enumerate() {
        for end in &joint.ends {
            if let (EndOf::Surface(surface), Some(edge)) = (end.of, end.edge)
                && let Some(list) = joined.get_mut(surface)
            {
                list.push((edge, index));
            }
        }
    }
    job.surfaces.iter().zip(&joined).map(|(s, j)| told(job, s, j)).collect()
}

fn told(job: &Job, surface: &Surface, joined: &[(Edge, usize)]) -> Vec<(Edge, Fate)> {
    let airs = [&surface.first, &surface.last].map(|side| air(job, place(side)));
    if airs.iter().filter(|a| **a == Air::Kept).count() != 1 {
        return Vec::new();
    }
    let fate = |names: &[Edge]| {
        let joint = joined.iter().find(|(e, _)| names.contains(e)).map(|(_, j)| Fate::Joined(*j));
        let said = |list: &[crate::base::span::Spanned<Edge>]| list.iter().any(|e| names.contains(&e.value));
        joint.unwrap_or(if said(&surface.facts.continues) {
            Fate::Continues
        } else if said(&surface.facts.unjoined) {
            Fate::LeftOpen
        } else {
            Fate::Unsaid
        })
    };
    match surface.kind {
        SurfaceKind::Wall => [Edge::Top, Edge::Bottom, Edge::Left, Edge::Right].map(|e| (e, fate(&[e]))).to_vec(),
        SurfaceKind::Roof => {
            let upper = [Edge::High, Edge::Ridge];
            let named = |e: &Edge| fate(&[*e]) != Fate::Unsaid;
            let top = upper.into_iter().find(named).unwrap_or(Edge::High);
            vec![(Edge::Eave, fate(&[Edge::Eave])), (top, fate(&upper)), (Edge::Rake, fate(&[Edge::Rake]))]
        }
        SurfaceKind::Ceiling | SurfaceKind::Floor | SurfaceKind::Slab | SurfaceKind::Deck => {
            let around = fate(&[Edge::Edge]);
            if around != Fate::Unsaid {
                return vec![(Edge::Edge, around)];
            }
            [Edge::Front, Edge::Back, Edge::Left, Edge::Right].map(|e| (e, fate(&[e]))).to_vec()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::span::FileId;

    fn fates(text: &str) -> Vec<Vec<(Edge, Fate)>> {
        let tree = crate::syntax::parse(FileId(0), text).tree;
        let job = crate::model::lower(&[tree]).job;
        let one_by_one: Vec<_> = (0..job.surfaces.len()).map(|s| edges(&job, s)).collect();
        assert_eq!(one_by_one, all_edges(&job));
        one_by_one
    }

    #[test]
    fn each_edge_of_what_bounds_kept_air_has_a_fate() {
        let told = fates(
            "wall east\n  continues left\n  outdoors\n  pour: concrete 8 in\n  indoors\nroof low\n  slope 6:12\n  outdoors\n  \
             deck: plywood 1/2 in\n  indoors\nslab floor\n  indoors\n  pour2: concrete 4 in\n  ground\nwall inner\n  \
             indoors\n  board: plywood 1/2 in\n  indoors\njoint eave\n  joins low eave, east top\njoint foot\n  joins east \
             bottom, floor edge\n",
        );
        assert_eq!(
            told[0],
            [
                (Edge::Top, Fate::Joined(0)),
                (Edge::Bottom, Fate::Joined(1)),
                (Edge::Left, Fate::Continues),
                (Edge::Right, Fate::Unsaid)
            ]
        );
        assert_eq!(told[1], [(Edge::Eave, Fate::Joined(0)), (Edge::High, Fate::Unsaid), (Edge::Rake, Fate::Unsaid)]);
        assert_eq!(told[2], [(Edge::Edge, Fate::Joined(1))]);
        assert_eq!(told[3], []);
    }
}
