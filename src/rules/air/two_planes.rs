//! Each side of a joint has its air layer, at another depth than its neighbor's: air goes round in the hollow between.

use crate::base::finding::{Finding, Weight};
use crate::graph::net::{Cause, Closure, Leak};
use crate::graph::plane::{self, Agent};
use crate::model::joint::Joint;
use crate::model::layer::Layer;
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Draw;
use crate::rules::facts::{JointLook, way};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::JointKind;

pub(super) const RULE: Rule = Rule {
    id: "air/two-planes",
    summary: "air layers at different depths with a hollow between them",
    weight: Weight::Stop,
    page: include_str!("two_planes.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !way::claimed(look, Agent::Air) || !way::all_controlled(look, Agent::Air) {
        return;
    }
    match way::open(look, Agent::Air, |c| matches!(c, Cause::Misaligned(_))) {
        Ok(leaks) => {
            if let Some(first) = leaks.first() {
                sink.found(tell(look, first, &way::stations(look, &leaks)));
            } else if let Some(left) = left_out(look) {
                sink.found(tell_left(look, &left));
            }
        }
        Err(missing) => sink.cannot(&missing),
    }
}

/// An air layer that the closure passes by: it meets that side on the cold face of the insulation only.
struct Left<'a> {
    layer: &'a Layer,
    met: &'a Layer,
}

/// The first side whose air layer is left out. What closes the seam further in keeps the room's air off the cold as well.
fn left_out<'a>(look: &JointLook<'a>) -> Option<Left<'a>> {
    let joint: &'a Joint = look.joint;
    if joint.kind != JointKind::Joint || !look.leaks(Agent::Air).is_empty() || look.net().undecided().is_some() {
        return None;
    }
    for station in look.stations() {
        let closures = look.net().closures(Agent::Air, *station);
        let ties = |c: &&Closure| c.meets.iter().any(|(e, _)| Some(*e) != c.meets.first().map(|m| m.0));
        let met: Vec<(usize, usize)> = closures.iter().filter(ties).flat_map(|c| c.meets.iter().copied()).collect();
        for end in 0..joint.ends.len() {
            let (Some(surface), Some(control)) = (joint.surface(look.job, end), look.net().controls(end, Agent::Air))
            else {
                continue;
            };
            let own = || met.iter().filter(|(e, _)| *e == end).map(|(_, layer)| *layer);
            let cold = |m: usize| m < control && insulated(surface, m, control);
            let Some(first) = own().max().filter(|_| own().all(cold)) else { continue };
            let layers = (surface.layers.get(control), surface.layers.get(first));
            let (Some(layer), Some(met)) = layers else { continue };
            if matches!(surface.first.place, SidePlace::Outdoors) && plane::relied(layer, Agent::Air) {
                return Some(Left { layer, met });
            }
        }
    }
    None
}

/// Whether insulation lies between two layers.
fn insulated(surface: &Surface, outer: usize, inner: usize) -> bool {
    let between = surface.layers.iter().take(inner).skip(outer + 1);
    between.into_iter().any(|l| plane::layer_closed(l, Agent::Heat, &Draw::middle()))
}

fn tell_left(look: &JointLook<'_>, left: &Left<'_>) -> Finding {
    let (layer, met) = (&left.layer.label, &left.met.label);
    let weight = if way::stands(look) { Weight::Watch } else { Weight::Fix };
    let short: String = layer.chars().take(24).collect();
    Finding::new(RULE.id, weight, look.joint.span, format!("nothing ties `{short}` to the next air layer here"))
        .label("closed on the cold side only")
        .also(left.layer.span, "relied on against air")
        .also(left.met.span, "closed here instead")
        .detail(format!(
            "The seam is closed at `{met}`, outside of the insulation. Room air gets round the edge of `{layer}` into the \
             insulation and leaves its water on the cold side of it. An air layer has to be one, across every joint (ICC \
             IgCC 2012 appendix B, read)."
        ))
        .help(format!("add a strip from air layer to air layer: write `strip laps over {layer} 4 in`"))
}

fn tell(look: &JointLook<'_>, leak: &Leak, at: &str) -> Finding {
    let weight = if way::stands(look) { Weight::Watch } else { Weight::Stop };
    let layers = way::controls(look, Agent::Air);
    let names: Vec<String> = layers.iter().map(|(_, name, _)| format!("`{name}`")).collect();
    let ties: Vec<String> = layers.iter().map(|(t, name, _)| way::tie(look, "strip", *t, name)).collect();
    let finding = Finding::new(
        RULE.id,
        weight,
        look.joint.span,
        format!("the air layers lie at different depths here{at}"),
    )
    .label("air goes round between them")
    .detail(format!(
        "Each side is closed, at {}, and each is tied only to its own kind. The way: {}. An air layer has to be \
                 one, across every joint (ICC IgCC 2012 appendix B, read).",
        names.join(" and "),
        way::steps(leak)
    ))
    .help(format!(
        "carry one strip through the hollow from layer to layer: {}write {}",
        way::tie_piece(look, "strip", &layers),
        ties.join(" and ")
    ));
    layers.iter().fold(finding, |f, (_, _, span)| f.also(*span, "air layer"))
}
