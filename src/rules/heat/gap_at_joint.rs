//! The insulation of two sides does not meet at their joint.

use crate::base::finding::{Finding, Weight};
use crate::graph::exposure::outboard;
use crate::graph::net::{Cause, Leak};
use crate::graph::plane::Agent;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, way};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{JointKind, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "heat/gap-at-joint",
    summary: "insulation that does not meet at a joint",
    weight: Weight::Fix,
    page: include_str!("gap_at_joint.md"),
    run: Run::Joint(run),
};

/// Below this zone a strip without insulation costs little. Our own choice.
const COLD: u8 = 4;

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if way::zone(look).is_none_or(|z| z < COLD) {
        return;
    }
    // At the edge of a slab with nothing written of insulation the slab's own rule tells.
    let mut surfaces = (0..look.joint.ends.len()).filter_map(|e| look.joint.surface(look.job, e));
    if surfaces.any(|s| s.kind == SurfaceKind::Slab) && !look.joint.links.iter().any(|l| speaks(look, l)) {
        return;
    }
    match way::open(look, Agent::Heat, |c| matches!(c, Cause::NothingJoined | Cause::Misaligned(_))) {
        Ok(leaks) => {
            if let Some(first) = leaks.first() {
                sink.found(tell(look, first, &way::stations(look, &leaks)));
            }
        }
        Err(missing) => sink.cannot(&missing),
    }
}

/// A sentence that speaks of insulation at the joint.
fn speaks(look: &JointLook<'_>, link: &Link) -> bool {
    let heat = matches!(link.verb, Verb::Butts | Verb::LapsOver | Verb::Fills | Verb::StopsShort);
    let sides = std::iter::once(link.subject).chain(link.object);
    heat && sides.map(|p| p.thing).any(|t| way::insulating(look, t))
}

/// Whether the insulation of an opening's wall lies in the wet: a bead of foam there would shut the way out below the unit.
fn outside(look: &JointLook<'_>) -> bool {
    let layer = look.net().controls(0, Agent::Heat);
    layer.is_some_and(|layer| outboard(look.job, look.joint, Thing::Layer { end: 0, layer, half: None, part: None }))
}

fn tell(look: &JointLook<'_>, leak: &Leak, at: &str) -> Finding {
    let said = look.joint.links.iter().find(|l| speaks(look, l));
    let layers = way::controls(look, Agent::Heat);
    let names: Vec<String> = layers.iter().map(|(_, name, _)| format!("`{name}`")).collect();
    let weight = if said.is_some() && !way::stands(look) { Weight::Fix } else { Weight::Watch };
    let (message, why) = match said {
        Some(_) => ("the insulation is interrupted at this joint", "What is written of it does not reach across"),
        None => ("nothing says that the insulation meets here", "Nothing is written of it"),
    };
    let other = look.joint.pieces.first().filter(|_| look.joint.kind == JointKind::Opening);
    let order = match (layers.as_slice(), other) {
        ([(_, a, _), (_, b, _), ..], _) => {
            format!("bring them together and write `{a} butts {b}`, or a piece between them")
        }
        ([(_, a, _)], Some(unit)) if outside(look) => format!("fill the gap round it: `{a} butts {}`", unit.name),
        ([(_, a, _)], Some(unit)) => format!("fill the gap round it: `{} seals to {a} with gun-foam`", unit.name),
        _ => "bring the insulation of both sides together, with `butts` or a piece between them".to_string(),
    };
    let span = said.map_or(look.joint.span, |l| l.verb_span);
    let finding = Finding::new(RULE.id, weight, span, format!("{message}{at}"))
        .label("a gap in the insulation")
        .detail(format!(
            "{why}: {}. The way of heat: {}. Such a strip is the coldest of the room's faces, and the first to grow mold \
             (any gap counts: common practice, no source).",
            if names.is_empty() { "the insulation".to_string() } else { names.join(" and ") },
            way::steps(leak)
        ))
        .help(order);
    layers.iter().fold(finding, |f, (_, _, span)| f.also(*span, "insulation"))
}
