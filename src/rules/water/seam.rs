//! What sort of seam a joint is, and what rain does there.
//!
//! Invariant: decided from edges and materials; a seam of which an end could not be told is of no sort.

use crate::base::span::Span;
use crate::catalog::{self, Material};
use crate::model::joint::Thing;
use crate::model::layer::{Body, Layer};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Draw;
use crate::rules::facts::{JointLook, class};
use crate::syntax::ast::{Edge, JointKind, Rain, SurfaceKind};

/// What an outer face is, as far as a joint between two of them goes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sort {
    Masonry,
    Plaster,
    Wood,
    Metal,
    Other,
}

/// The surfaces that meet here, each with the index of its end.
fn ends<'a>(look: &JointLook<'a>) -> impl Iterator<Item = (usize, &'a Surface)> + use<'a> {
    let (job, joint) = (look.job, look.joint);
    (0..joint.ends.len()).filter_map(move |end| Some((end, joint.surface(job, end)?)))
}

/// Whether a joint lies under a loft: walls end with their tops at a ceiling that has a room above it, and no roof ends
/// there. What keeps the rain off such a seam is the roof, at its own eave.
pub(super) fn under_loft(look: &JointLook<'_>) -> bool {
    let loft = |s: &Surface| s.kind == SurfaceKind::Ceiling && matches!(s.first.place, SidePlace::Room(_));
    let ends_here = |(end, s): (usize, &Surface)| {
        loft(s) || (s.kind == SurfaceKind::Wall && look.joint.ends.get(end).is_some_and(|e| e.edge == Some(Edge::Top)))
    };
    look.joint.kind == JointKind::Joint && ends(look).any(|(_, s)| loft(s)) && ends(look).all(ends_here)
}

/// Whether rain, soil or splash reaches the joint: some end is not an inner face and has outdoors or soil beside it.
pub(super) fn wet(look: &JointLook<'_>) -> bool {
    !under_loft(look)
        && ends(look).any(|(end, surface)| {
            let inner = look.joint.ends.get(end).is_some_and(|e| e.edge == Some(Edge::InsideFace));
            !inner && [&surface.first, &surface.last].into_iter().any(|s| s.splashed || free(&s.place))
        })
}

/// Outdoor air, soil or standing water.
fn free(place: &SidePlace) -> bool {
    matches!(place, SidePlace::Outdoors | SidePlace::Ground { .. } | SidePlace::Water { .. })
}

/// Whether a layer lies on the room side: behind members, or behind a wall of masonry or concrete. Rain does not get there.
pub(super) fn inside(look: &JointLook<'_>, thing: Thing) -> bool {
    let Thing::Layer { end, layer, .. } = thing else { return false };
    let Some(surface) = look.joint.surface(look.job, end) else { return false };
    let bears = |l: &Layer| match &l.body {
        Body::Members(_) => true,
        Body::Sheet(choice) => {
            let material = choice.at(&Draw::middle()).and_then(|s| s.material);
            material.is_some_and(|m| matches!(m.kind(), "masonry" | "concrete"))
        }
        Body::Panel(_) | Body::Gap(_) | Body::Hole => false,
    };
    let room = look.joint.ends.get(end).is_some_and(|e| e.edge == Some(Edge::InsideFace));
    room || (matches!(surface.last.place, SidePlace::Room(_)) && surface.layers.iter().take(layer).any(bears))
}

/// Whether some end stands in the ground.
pub(super) fn buried(look: &JointLook<'_>) -> bool {
    ends(look).any(|(_, s)| matches!(s.first.place, SidePlace::Ground { .. }))
}

/// Whether everything that meets here stands already.
pub(super) fn stands(look: &JointLook<'_>) -> bool {
    let mut any = false;
    ends(look).all(|(_, s)| {
        any = true;
        s.facts.existing
    }) && any
}

/// The hardest rain on what meets here; normal where nothing is said.
pub(super) fn rain(look: &JointLook<'_>) -> Rain {
    ends(look).map(|(_, s)| s.facts.rain.or(look.job.rain).unwrap_or(Rain::Normal)).max().unwrap_or(Rain::Normal)
}

/// Whether rain is driven hard on to what meets here.
pub(super) fn severe(look: &JointLook<'_>) -> bool {
    rain(look) >= Rain::Severe
}

/// Whether two walls meet side by side: no up and down across the seam.
pub(super) fn upright(look: &JointLook<'_>) -> bool {
    let joint = look.joint;
    let walls = ends(look).filter(|(_, s)| s.kind == SurfaceKind::Wall).count();
    let side = |e: Option<Edge>| matches!(e, Some(Edge::Left | Edge::Right));
    joint.kind == JointKind::Joint
        && joint.ends.len() > 1
        && walls == joint.ends.len()
        && joint.ends.iter().all(|e| side(e.edge) || e.edge == Some(Edge::Face))
        && joint.ends.iter().any(|e| side(e.edge))
}

/// Whether water leaves the surface of this end at the joint.
pub(super) fn upper(edge: Option<Edge>) -> bool {
    matches!(edge, Some(Edge::Bottom | Edge::Eave | Edge::Front | Edge::Sill))
}

/// Whether water enters the surface of this end at the joint.
pub(super) fn lower(edge: Option<Edge>) -> bool {
    matches!(edge, Some(Edge::Top | Edge::High | Edge::Back | Edge::Ridge | Edge::Rake))
}

/// The outermost layer of an end that is no air, with its material.
pub(super) fn outer(look: &JointLook<'_>, end: usize) -> Option<(Thing, &'static Material, Span)> {
    let surface = look.joint.surface(look.job, end)?;
    let (index, layer) = surface.layers.iter().enumerate().find(|(_, l)| !matches!(l.body, Body::Gap(_)))?;
    let material = match &layer.body {
        Body::Sheet(choice) => choice.at(&Draw::middle())?.material?,
        Body::Panel(parts) => parts.first()?.material?,
        Body::Members(members) => members.member.material?,
        Body::Gap(_) | Body::Hole => return None,
    };
    Some((Thing::Layer { end, layer: index, half: None, part: None }, material, layer.span))
}

/// Two ends whose outer faces are of unlike sorts: they move, wet and age unlike each other.
pub(super) fn unlike(look: &JointLook<'_>) -> Option<(Thing, Thing)> {
    let faces: Vec<(Thing, Sort)> =
        ends(look).filter_map(|(end, _)| outer(look, end)).map(|(thing, m, _)| (thing, sort(m))).collect();
    let (first, rest) = faces.split_first()?;
    rest.iter().find(|(_, s)| *s != first.1).map(|(thing, _)| (first.0, *thing))
}

fn sort(m: &Material) -> Sort {
    if class::masonry(m) {
        Sort::Masonry
    } else if class::plaster(m) {
        Sort::Plaster
    } else if class::wood(m) {
        Sort::Wood
    } else if class::metal(m) {
        Sort::Metal
    } else {
        Sort::Other
    }
}

/// Whether the job stands in the United Kingdom.
pub(super) fn british(look: &JointLook<'_>) -> bool {
    let title = look.job.climate.as_ref().map(|c| c.title.as_str());
    title.is_some_and(|title| catalog::places().any(|p| p.title == title && p.country == "GB"))
}
