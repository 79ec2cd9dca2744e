//! The edges that each kind of surface has, and the places along each kind of joint.
//!
//! Invariant: one list a kind, from which checks and messages are both made.

use super::context::Context;
use crate::base::near;
use crate::base::span::Spanned;
use crate::model::surface::{Surface, kind_word};
use crate::syntax::ast::{Edge, JointKind, Spot, SurfaceKind};

const WALL: &[Edge] = &[Edge::Top, Edge::Bottom, Edge::Left, Edge::Right, Edge::Face, Edge::InsideFace];
const ROOF: &[Edge] = &[Edge::Eave, Edge::High, Edge::Ridge, Edge::Rake, Edge::Face];
const FLAT: &[Edge] = &[Edge::Front, Edge::Back, Edge::Left, Edge::Right, Edge::Edge, Edge::Face];
const SLOPED_DECK: &[Edge] =
    &[Edge::Front, Edge::Back, Edge::Left, Edge::Right, Edge::Edge, Edge::Face, Edge::Eave, Edge::High];

/// The edges of an opening.
pub(super) const OPENING: &[Edge] = &[Edge::Head, Edge::Jambs, Edge::Sill];

/// The edges of a surface.
pub(super) fn of_surface(surface: &Surface) -> &'static [Edge] {
    of_kind(surface.kind, surface.facts.slope.is_none_or(|s| s.high().si() > 0.0))
}

/// The edges of a kind of surface. A deck that is level has no eave.
pub(super) fn of_kind(kind: SurfaceKind, sloped: bool) -> &'static [Edge] {
    match kind {
        SurfaceKind::Wall => WALL,
        SurfaceKind::Roof => ROOF,
        SurfaceKind::Deck if sloped => SLOPED_DECK,
        SurfaceKind::Floor | SurfaceKind::Slab | SurfaceKind::Deck | SurfaceKind::Ceiling => FLAT,
    }
}

/// "`top`, `bottom` or `face`".
pub(super) fn list(edges: &[Edge]) -> String {
    near::one_of(&edges.iter().map(|e| e.word()).collect::<Vec<_>>())
}

/// The places along a joint of this kind.
pub(super) fn spots(kind: JointKind) -> &'static [Spot] {
    match kind {
        JointKind::Opening => &[Spot::Head, Spot::Jambs, Spot::Sill],
        JointKind::Penetration => &[Spot::Top, Spot::Sides, Spot::Bottom],
        JointKind::Joint => &[Spot::LowEnd, Spot::HighEnd, Spot::TopEnd, Spot::BottomEnd, Spot::BothEnds],
    }
}

fn spot_word(spot: Spot) -> &'static str {
    match spot {
        Spot::Head => "head",
        Spot::Jambs => "jambs",
        Spot::Sill => "sill",
        Spot::Top => "top",
        Spot::Sides => "sides",
        Spot::Bottom => "bottom",
        Spot::LowEnd => "low end",
        Spot::HighEnd => "high end",
        Spot::TopEnd => "top end",
        Spot::BottomEnd => "bottom end",
        Spot::BothEnds => "both ends",
    }
}

/// The word that starts its stanza, with its article.
fn kind_words(kind: JointKind) -> &'static str {
    match kind {
        JointKind::Joint => "a joint",
        JointKind::Opening => "an opening",
        JointKind::Penetration => "a penetration",
    }
}

impl Context<'_> {
    /// Whether a surface has this edge; one problem when it has not.
    pub fn has_edge(&mut self, kind: SurfaceKind, edges: &[Edge], edge: Spanned<Edge>) -> bool {
        let has = edges.contains(&edge.value);
        if !has {
            let message = format!("a {} has no edge `{}`", kind_word(kind), edge.value.word());
            self.contradiction(edge.span, message, None, format!("it has {}", list(edges)));
        }
        has
    }

    /// The places that a joint of this kind has, each once; none when one of them does not fit, with one problem.
    pub fn places(&mut self, kind: JointKind, written: &[Spanned<Spot>]) -> Option<Vec<Spot>> {
        let known = spots(kind);
        let mut places = Vec::new();
        for spot in written {
            if !known.contains(&spot.value) {
                let message = format!("{} has no place `{}`", kind_words(kind), spot_word(spot.value));
                let words: Vec<&str> = known.iter().map(|s| spot_word(*s)).collect();
                self.contradiction(spot.span, message, None, format!("it has {}", near::one_of(&words)));
                return None;
            }
            if !places.contains(&spot.value) {
                places.push(spot.value);
            }
        }
        Some(places)
    }
}
