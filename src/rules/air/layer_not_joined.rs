//! Air goes straight through a joint: nothing ties the air layers of its sides.

use crate::base::finding::{Finding, Weight};
use crate::base::span::Span;
use crate::graph::net::{Cause, Leak};
use crate::graph::plane::Agent;
use crate::model::joint::{EndOf, Link, Thing};
use crate::rules::facts::{JointLook, way};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Control, JointKind};

pub(super) const RULE: Rule = Rule {
    id: "air/layer-not-joined",
    summary: "a joint that air goes straight through",
    weight: Weight::Stop,
    page: include_str!("layer_not_joined.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !way::claimed(look, Agent::Air) || !way::all_controlled(look, Agent::Air) {
        return;
    }
    match way::open(look, Agent::Air, |c| *c == Cause::NothingJoined) {
        Ok(leaks) => {
            if let Some(first) = leaks.first() {
                sink.found(tell(look, first, &way::stations(look, &leaks)));
            } else if let Some(pierced) = pierced(look) {
                match look.whole() {
                    Ok(()) => sink.found(tell_pierced(look, &pierced)),
                    Err(missing) => sink.cannot(&missing),
                }
            }
        }
        Err(missing) => sink.cannot(&missing),
    }
}

/// The layer relied on against air that something passes through while nothing ties the two, be it that another layer
/// is closed round it.
fn pierced(look: &JointLook<'_>) -> Option<(Thing, String, Span)> {
    if look.joint.kind != JointKind::Penetration {
        return None;
    }
    let relied = |t: Thing| look.layer(t).is_some_and(|l| l.relied_on.iter().any(|c| c.value == Control::Air));
    let spoken = |t: Thing| {
        let layer = |t: Thing| if let Thing::Layer { end, layer, .. } = t { Some((end, layer)) } else { None };
        let names = |l: &Link| [Some(l.subject), l.object].into_iter().flatten().any(|p| layer(p.thing) == layer(t));
        look.joint.links.iter().any(names)
    };
    way::controls(look, Agent::Air).into_iter().find(|(thing, ..)| relied(*thing) && !spoken(*thing))
}

fn tell_pierced(look: &JointLook<'_>, (thing, name, span): &(Thing, String, Span)) -> Finding {
    let weight = if way::stands(look) { Weight::Watch } else { Weight::Fix };
    let layers = [(*thing, name.clone(), *span)];
    let through = look.joint.pieces.first().map_or_else(|| "it".to_string(), |p| format!("`{}`", p.name));
    Finding::new(RULE.id, weight, look.joint.span, format!("{through} goes through `{name}`, and nothing ties the two"))
        .label("the air layer has a hole here")
        .also(*span, "air layer")
        .detail(
            "Another layer is closed round it, but the one that is relied on is cut: room air gets past it to what lies \
             outside of it (ICC IgCC 2012 appendix B: an air layer joined at every seam, read).",
        )
        .help(order(look, &layers))
}

fn tell(look: &JointLook<'_>, leak: &Leak, at: &str) -> Finding {
    let weight = if way::stands(look) { Weight::Watch } else { Weight::Stop };
    let layers = way::controls(look, Agent::Air);
    let finding =
        Finding::new(RULE.id, weight, look.joint.span, format!("air finds an open way through this joint{at}"))
            .label("the air layers are not tied")
            .detail(format!(
                "The way: {}. No chain of seals ties the air layer of one side to that of the other; a lap that is \
                 neither taped, sealed nor bonded passes air (ICC IgCC 2012 appendix B: an air layer joined at every \
                 seam, read; the same in IECC 2021 section C402.5.1, from memory).",
                way::steps(leak)
            ))
            .help(order(look, &layers));
    layers.iter().fold(finding, |f, (_, _, span)| f.also(*span, "air layer"))
}

/// A strip from one air layer to the next; round a unit from the air layer to the unit.
fn order(look: &JointLook<'_>, layers: &[(Thing, String, Span)]) -> String {
    let strip = "strip";
    let mut ties: Vec<String> = layers.iter().map(|(t, name, _)| way::tie(look, strip, *t, name)).collect();
    if look.joint.kind != JointKind::Joint
        && let Some(unit) = look.joint.pieces.first()
    {
        ties.push(way::tie(look, strip, Thing::Piece(0), &unit.name));
    }
    // The unit of an opening whose edge meets something else.
    for end in &look.joint.ends {
        if let EndOf::Opening(joint) = end.of
            && let Some(unit) = look.job.joints.get(joint)
            && let Some(piece) = unit.pieces.first()
        {
            ties.push(way::tie(
                look,
                strip,
                Thing::Other { joint, piece: 0 },
                &format!("{}.{}", unit.name, piece.name),
            ));
        }
    }
    let piece = way::tie_piece(look, strip, layers);
    format!("tie them with a self-adhered strip or tape: {piece}write {}", ties.join(" and "))
}
