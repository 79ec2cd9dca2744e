//! A sill pan that lets its water go behind the layer that keeps water out.

use super::cavity::{material, plane, sheet};
use super::part::{either, has_exit, host, name, pan, pieces, weigh};
use crate::base::finding::{Finding, Weight};
use crate::model::joint::{EndOf, Joint, Piece, Thing};
use crate::model::surface::Surface;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/pan-inside",
    summary: "a sill pan that drains behind the water layer",
    weight: Weight::Stop,
    page: include_str!("pan_inside.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for (wall, plane, thing, piece) in inside(look) {
        match look.whole() {
            // A pan whose water goes nowhere at all is told as that.
            Ok(()) if has_exit(look, thing) => sink.found(tell(look, wall, thing, piece, plane)),
            Ok(()) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// The pans that do not reach the water layer of their wall, each with the wall and the index of that layer.
pub(super) fn inside<'a>(look: &JointLook<'a>) -> Vec<(&'a Surface, usize, Thing, &'a Piece)> {
    let Some(wall) = host(look) else { return Vec::new() };
    let sheeted = |p: &usize| wall.layers.get(*p).and_then(material).is_some_and(sheet);
    let Some(plane) = plane(wall).filter(sheeted) else { return Vec::new() };
    pieces(look)
        .filter(|(t, p)| pan(look, *t, p))
        .filter(|(t, _)| !carried_on(look, *t))
        .filter(|(t, _)| !reaches(look, *t, plane, 0) && !lapped_by_plane(look, *t, plane))
        .map(|(t, p)| (wall, plane, t, p))
        .collect()
}

/// Whether the sill meets a deck or terrace in a joint of its own, and the pan hands its water on there.
fn carried_on(look: &JointLook<'_>, thing: Thing) -> bool {
    let Some(own) = look.job.joints.iter().position(|j| j.span == look.joint.span) else { return false };
    let at_sill = |j: &&Joint| j.ends.iter().any(|e| e.edge == Some(Edge::Sill) && e.of == EndOf::Opening(own));
    let ours = |t: Thing| matches!(t, Thing::Other { joint, piece } if joint == own && thing == Thing::Piece(piece));
    look.job
        .joints
        .iter()
        .filter(at_sill)
        .flat_map(|j| &j.links)
        .any(|l| l.verb == Verb::LapsOver && ours(l.subject.thing))
}

/// Whether a piece lies over the water layer or what is outboard of it, itself or over an apron that does.
fn reaches(look: &JointLook<'_>, thing: Thing, plane: usize, depth: usize) -> bool {
    let over = |t: Thing| match t {
        Thing::Layer { layer, .. } => layer <= plane,
        // Aprons lie over aprons a few deep at most; the bound keeps a circle of laps from running on.
        Thing::Piece(_) => depth < 4 && reaches(look, t, plane, depth + 1),
        _ => false,
    };
    look.joint.links.iter().filter(|l| l.subject.thing == thing).any(|l| match l.verb {
        Verb::RunsPast | Verb::RunsTo => true,
        Verb::LapsOver => l.object.is_some_and(|o| over(o.thing)) || l.not_shown || l.unread,
        Verb::SealsTo => l.object.is_some_and(|o| over(o.thing)),
        _ => false,
    })
}

/// The water layer lies over the pan: a lap the wrong way round, which is told as such.
fn lapped_by_plane(look: &JointLook<'_>, thing: Thing, plane: usize) -> bool {
    look.joint.links.iter().any(|l| {
        l.verb == Verb::LapsOver
            && l.object.is_some_and(|o| o.thing == thing)
            && matches!(l.subject.thing, Thing::Layer { layer, .. } if layer == plane)
    })
}

fn tell(look: &JointLook<'_>, wall: &Surface, thing: Thing, piece: &Piece, plane: usize) -> Finding {
    let called = name(look, thing);
    let layer = wall.layers.get(plane);
    let sheet = layer.map_or_else(|| "the water layer".to_string(), |l| super::part::cut(&l.label));
    let lap = either(look, "50 mm", "2 in");
    let finding = Finding::new(
        RULE.id,
        weigh(piece.shape.existing, Weight::Stop),
        piece.span,
        format!("`{called}` does not lap over `{sheet}` below the opening"),
    )
    .label("drains behind it")
    .detail(format!(
        "What the pan catches runs down between `{sheet}` and the frame. The pan lies over the sheet below it (an information \
         sheet on pan flashing, read) by {lap} or more (common practice, no source)."
    ))
    .help(format!("write `{called} laps over {sheet} {lap}`"));
    match layer {
        Some(layer) => finding.also(layer.span, "the water layer"),
        None => finding,
    }
}
