//! Up and down at a joint: which end lies above, where a thing lies, how high a piece's place is.
//!
//! Water leaves a surface at `bottom eave front sill` and enters it at `top high back head`; left, right, jambs and sides
//! make upright seams. At a face the surface carries on: its upper half lies above, its lower half below.
//! Invariant: no verdict without a reason in the text; what gravity does not decide is level or not known.

use super::station::Station;
use crate::model::Job;
use crate::model::joint::{EndOf, Joint, Thing};
use crate::syntax::ast::{Edge, Half, JointKind, Spot, SurfaceKind};

pub use super::laps::{Fall, Falls, Lap, fall, lap};

/// Where a thing lies at a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Height {
    /// Water comes from it.
    Upper,
    /// Between the two: a piece, or a layer that carries on past.
    Between,
    /// Water runs on to it.
    Lower,
    /// Beside the other: an upright seam.
    Beside,
    /// Nothing in the text decides it.
    Unknown,
}

/// Where a thing lies at a station.
pub fn height(job: &Job, joint: &Joint, thing: Thing, station: Station) -> Height {
    match thing {
        Thing::Layer { half: Some(half), .. } | Thing::Surface { half: Some(half), .. } => match half {
            Half::Upper => Height::Upper,
            Half::Lower => Height::Lower,
        },
        Thing::Layer { end, .. } | Thing::Surface { end, .. } => end_height(job, joint, end, station),
        Thing::Piece(0) if joint.kind == JointKind::Opening => across(host_in_wall(station)),
        Thing::Piece(0) if joint.kind == JointKind::Penetration => match host_kind(job, joint) {
            Some(SurfaceKind::Wall) | None => across(host_in_wall(station)),
            Some(_) => Height::Upper,
        },
        Thing::Piece(_) if upright(joint, station) => Height::Beside,
        Thing::Piece(_) => Height::Between,
        Thing::Other { joint: other, .. } => other_height(job, joint, other, station),
        Thing::Outdoors | Thing::Outlet(_) | Thing::Grade | Thing::Paving => Height::Lower,
        Thing::Seam | Thing::Room(_) | Thing::Hole => Height::Unknown,
    }
}

/// Whether up and down run along the seam at a station, not across it.
pub fn upright(joint: &Joint, station: Station) -> bool {
    match joint.kind {
        JointKind::Joint => {
            station == Station::Run && joint.ends.iter().any(|e| e.edge.is_some_and(side_edge)) && !level(joint)
        }
        JointKind::Opening | JointKind::Penetration => {
            matches!(station, Station::At(Spot::Jambs | Spot::Sides))
        }
    }
}

fn side_edge(edge: Edge) -> bool {
    matches!(edge, Edge::Left | Edge::Right | Edge::Jambs)
}

/// Whether some end of a joint lies plainly above or below.
fn level(joint: &Joint) -> bool {
    joint.ends.iter().any(|e| e.edge.is_some_and(|edge| plain(edge).is_some()))
}

/// What an edge says by itself. Water leaves its surface there: the surface lies above; enters it: below.
fn plain(edge: Edge) -> Option<Height> {
    match edge {
        Edge::Bottom | Edge::Eave | Edge::Front | Edge::Sill => Some(Height::Upper),
        Edge::Top | Edge::High | Edge::Back | Edge::Head | Edge::Ridge => Some(Height::Lower),
        Edge::Left | Edge::Right | Edge::Jambs | Edge::Face | Edge::InsideFace | Edge::Rake | Edge::Edge => None,
    }
}

/// Where a surface lies at its end of a joint.
pub fn end_height(job: &Job, joint: &Joint, end: usize, station: Station) -> Height {
    match joint.kind {
        JointKind::Opening => host_in_wall(station),
        JointKind::Penetration => match host_kind(job, joint) {
            Some(SurfaceKind::Wall) | None => host_in_wall(station),
            Some(_) if !pitched(job, joint) => Height::Lower,
            Some(_) => host_in_wall(station),
        },
        JointKind::Joint => {
            let Some(edge) = joint.ends.get(end).and_then(|e| e.edge) else { return Height::Unknown };
            plain(edge).unwrap_or_else(|| by_neighbors(joint, end, edge))
        }
    }
}

/// An edge that says nothing by itself, judged by the edges it meets.
fn by_neighbors(joint: &Joint, end: usize, edge: Edge) -> Height {
    let others = || joint.ends.iter().enumerate().filter(|(i, _)| *i != end).filter_map(|(_, e)| e.edge);
    let meets = |wanted: Edge| others().any(|e| e == wanted);
    match edge {
        // A rake against a face: the roof is the lower side. On top of a wall it is the upper.
        Edge::Rake if meets(Edge::Face) => Height::Lower,
        Edge::Rake if meets(Edge::Top) => Height::Upper,
        Edge::Rake => Height::Beside,
        Edge::Edge if meets(Edge::Bottom) => Height::Lower,
        Edge::Edge if meets(Edge::Top) => Height::Upper,
        Edge::Edge => Height::Unknown,
        // A layer that is not cut carries on past a level seam; along an upright one it is the other side.
        Edge::Face if others().any(side_edge) && !level(joint) => Height::Beside,
        Edge::Face => Height::Between,
        Edge::InsideFace => Height::Unknown,
        _ if level(joint) => Height::Unknown,
        _ => Height::Beside,
    }
}

/// The host of an opening, or of a thing through a wall or up a pitched roof.
fn host_in_wall(station: Station) -> Height {
    match station {
        Station::At(Spot::Head | Spot::Top) => Height::Upper,
        Station::At(Spot::Sill | Spot::Bottom) => Height::Lower,
        Station::At(Spot::Jambs | Spot::Sides) => Height::Beside,
        Station::Run | Station::At(_) => Height::Unknown,
    }
}

/// The side across from it.
fn across(height: Height) -> Height {
    match height {
        Height::Upper => Height::Lower,
        Height::Lower => Height::Upper,
        same => same,
    }
}

/// A piece of another stanza: the end it belongs to, or what lies at that end of the seam.
fn other_height(job: &Job, joint: &Joint, other: usize, station: Station) -> Height {
    let end = joint.ends.iter().position(|e| e.of == EndOf::Opening(other));
    match (end, station) {
        (Some(end), _) => end_height(job, joint, end, station),
        (None, Station::At(Spot::LowEnd | Spot::BottomEnd)) => Height::Lower,
        (None, Station::At(Spot::HighEnd | Spot::TopEnd)) => Height::Upper,
        (None, _) => Height::Unknown,
    }
}

/// What sort of surface a thing goes through.
pub fn host_kind(job: &Job, joint: &Joint) -> Option<SurfaceKind> {
    joint.surface(job, 0).map(|s| s.kind)
}

/// Whether the host of a penetration has an uphill side: it falls, as far as anybody says.
fn pitched(job: &Job, joint: &Joint) -> bool {
    joint.surface(job, 0).and_then(|s| s.facts.slope.as_ref()).is_some_and(|slope| slope.high().si() > 0.0)
}

/// Whether water stands rather than runs on the host: below 2:12 the layers are made tight, not shingled.
/// IRC R905 asks for a membrane roof below that fall (from memory).
pub(super) fn low_slope(job: &Job, joint: &Joint, end: usize) -> bool {
    let Some(surface) = joint.surface(job, end) else { return false };
    let slope = surface.facts.slope.as_ref().map_or(0.0, |s| s.high().si());
    surface.kind != SurfaceKind::Wall && slope < 1.0 / 6.0
}

/// How low and how high the places of a piece reach beside the others of its joint; none for what has no place.
/// A piece of a seam without a place lies along the run, above its low end and below its high one.
pub fn reach(joint: &Joint, thing: Thing) -> Option<(i8, i8)> {
    let Thing::Piece(index) = thing else { return None };
    let places = &joint.pieces.get(index)?.places;
    if places.is_empty() {
        return (joint.kind == JointKind::Joint).then_some((0, 0));
    }
    let rank = |spot: &Spot| match spot {
        Spot::Head | Spot::Top | Spot::HighEnd | Spot::TopEnd => Some(1),
        Spot::Jambs | Spot::Sides => Some(0),
        Spot::Sill | Spot::Bottom | Spot::LowEnd | Spot::BottomEnd => Some(-1),
        Spot::BothEnds => None,
    };
    let ranks: Option<Vec<i8>> = places.iter().map(rank).collect();
    let ranks = ranks?;
    Some((*ranks.iter().min()?, *ranks.iter().max()?))
}
