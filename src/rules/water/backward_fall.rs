//! Something in the weather falls toward the house.

use super::cavity::outdoors;
use super::part::{cut, ends, flashing, free_top, ledge, name, pieces, weigh, wet};
use crate::base::finding::{Finding, Weight};
use crate::base::span::Span;
use crate::model::joint::{EndOf, Piece, Thing, Toward};
use crate::model::surface::Surface;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "water/backward-fall",
    summary: "a piece or flat surface that falls toward the house",
    weight: Weight::Stop,
    page: include_str!("backward_fall.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !wet(look) {
        return;
    }
    for (thing, piece) in pieces(look).filter(|(t, p)| flashing(look, *t) || ledge(look, *t, p)) {
        if let Some(span) = inward(look, piece) {
            sink.found(tell_piece(look, thing, piece, span));
        }
    }
    if let Some((piece, span)) = through(look) {
        sink.found(tell_piece(look, Thing::Piece(0), piece, span));
    }
    for (_, edge, surface) in ends(look) {
        if let Some(edge) = edge.filter(|e| toward_house(look, surface, *e)) {
            sink.found(tell_surface(look, surface, edge));
        }
    }
}

/// A pipe or duct through a wall that falls to the room: rain that gets in or on to it follows it.
fn through<'a>(look: &JointLook<'a>) -> Option<(&'a Piece, Span)> {
    let wall = look.joint.surface(look.job, 0).is_some_and(|s| s.kind == SurfaceKind::Wall);
    let piece = look.joint.pieces.first().filter(|_| look.joint.kind == JointKind::Penetration && wall)?;
    Some((piece, inward(look, piece)?))
}

/// Where it is written that a piece falls inward or to a wall. A coping may fall to the roof behind it.
fn inward(look: &JointLook<'_>, piece: &Piece) -> Option<Span> {
    let fall = piece.shape.slope.as_ref().filter(|f| f.slope.high().si() > 0.0)?;
    let back = match fall.toward {
        Toward::Inward => !free_top(look),
        Toward::To(thing) => is_wall(look, thing),
        Toward::Outward | Toward::BothWays => false,
    };
    back.then_some(fall.span)
}

/// A wall that stands over the piece, not one whose top it covers or whose face it clears.
fn is_wall(look: &JointLook<'_>, thing: Thing) -> bool {
    let end = match thing {
        Thing::Surface { end, .. } | Thing::Layer { end, .. } => end,
        _ => return false,
    };
    let edge = look.joint.ends.get(end).and_then(|e| e.edge);
    let wall = look.joint.surface(look.job, end).is_some_and(|s| s.kind == SurfaceKind::Wall);
    wall && matches!(edge, Some(Edge::Face | Edge::Bottom))
}

/// Whether a roof, deck or balcony is said to fall to this edge, and a wall or a door stands there.
fn toward_house(look: &JointLook<'_>, surface: &Surface, edge: Edge) -> bool {
    let stands = |e: &crate::model::joint::End| match e.of {
        EndOf::Opening(_) => true,
        EndOf::Surface(_) => matches!(e.edge, Some(Edge::Face | Edge::Bottom)),
        EndOf::Hole => false,
    };
    // How far paving falls away from a wall is another rule's matter.
    matches!(surface.kind, SurfaceKind::Roof | SurfaceKind::Deck | SurfaceKind::Floor | SurfaceKind::Slab)
        && outdoors(surface)
        && surface.facts.slope_to == Some(edge)
        && (surface.facts.drains.is_none() || at_door(look))
        && look.joint.ends.iter().any(stands)
}

/// Whether the edge lies at the sill of a door or window, which an outlet nearby does not keep dry.
fn at_door(look: &JointLook<'_>) -> bool {
    look.joint.ends.iter().any(|e| matches!(e.of, EndOf::Opening(_)))
}

fn tell_piece(look: &JointLook<'_>, thing: Thing, piece: &Piece, span: Span) -> Finding {
    let called = name(look, thing);
    Finding::new(
        RULE.id,
        weigh(piece.shape.existing, Weight::Stop),
        span,
        format!("`{called}` falls toward the house"),
    )
    .label("the wrong way")
    .also(piece.span, "carries water inward")
    .detail(
        "What lands on it runs to the joint behind it and stands there. Flashings and sills fall outward, 6 % or more (NBC of \
         Canada 9.27.3.8, from memory; that they fall outward at all: by reasoning).",
    )
    .help(format!("turn it round: write `slope 1:12 outward` for `{called}`"))
}

fn tell_surface(look: &JointLook<'_>, surface: &Surface, edge: Edge) -> Finding {
    let called = cut(&surface.name);
    let to = match edge {
        Edge::Back => "its back",
        Edge::High => "its high edge",
        _ => "this edge",
    };
    let span = surface.facts.slope.as_ref().and_then(|s| match s.origin {
        crate::model::value::Origin::Written(span) => Some(span),
        _ => None,
    });
    // With an outlet all hangs on that one.
    let weight = if surface.facts.drains.is_some() { Weight::Watch } else { Weight::Stop };
    Finding::new(
        RULE.id,
        weigh(surface.facts.existing, weight),
        span.unwrap_or(surface.span),
        format!("`{called}` falls to {to}, where the house stands"),
    )
    .label("falls to the house")
    .also(look.joint.span, "all its water comes here")
    .detail(
        "All rain on it runs to the joint with the house, where only the seals then hold it. Flat surfaces fall away from \
         walls and doors (common practice, no source).",
    )
    .help("let it fall to the `front`, or lead the water off with an outlet and an overflow")
}
