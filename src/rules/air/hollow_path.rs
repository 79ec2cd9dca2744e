//! Air runs along a hollow or porous layer past what closes the seam.

use crate::base::finding::{Finding, Weight};
use crate::graph::net::{Cause, Leak};
use crate::graph::plane::{self, Agent, Void};
use crate::model::layer::Layer;
use crate::model::value::Draw;
use crate::rules::facts::{JointLook, label, way};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Edge;

pub(super) const RULE: Rule = Rule {
    id: "air/hollow-path",
    summary: "air that runs along a hollow layer past the joint",
    weight: Weight::Stop,
    page: include_str!("hollow_path.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !way::claimed(look, Agent::Air) {
        return;
    }
    // Solid masonry passes little along its length, and boards that lie close none: hollows are told.
    let hollow = |cause: &Cause| match cause {
        Cause::Along(end, index) => {
            layer(look, *end, *index).and_then(|l| plane::void(l, &Draw::middle())).is_some_and(|v| v != Void::Pores)
        }
        _ => false,
    };
    match way::open(look, Agent::Air, hollow) {
        Ok(leaks) => {
            if let Some(finding) = leaks.first().and_then(|first| tell(look, first, &way::stations(look, &leaks))) {
                sink.found(finding);
            }
        }
        Err(missing) => sink.cannot(&missing),
    }
}

fn layer<'a>(look: &JointLook<'a>, end: usize, index: usize) -> Option<&'a Layer> {
    look.joint.surface(look.job, end)?.layers.get(index)
}

fn tell(look: &JointLook<'_>, leak: &Leak, at: &str) -> Option<Finding> {
    let Cause::Along(end, index) = leak.cause else { return None };
    let layer = layer(look, end, index)?;
    let name = way::written(look, end, &layer.label);
    let weight = if way::stands(look) { Weight::Watch } else { Weight::Stop };
    let message = format!("air runs along `{}` past this joint{at}", label(layer));
    Some(
        Finding::new(RULE.id, weight, look.joint.span, message)
            .label("nothing closes it here")
            .also(layer.span, hollow(layer))
            .detail(format!(
                "The way: {}. What closes the seam stops at the face of it, and air goes round inside. Hollow or uncoated \
                 masonry, cavities and bays are no air layer (IECC 2021 section C402.5.1.3: only grouted or coated \
                 masonry, from memory).",
                way::steps(leak)
            ))
            .help(order(look, layer, &name)),
    )
}

fn hollow(layer: &Layer) -> &'static str {
    match plane::void(layer, &Draw::middle()) {
        Some(Void::Gap) => "this cavity",
        Some(Void::Bays) => "these bays",
        Some(Void::Cores) => "these cores",
        Some(Void::Flutes) => "these flutes",
        Some(Void::Planks) => "the joints of these planks",
        Some(Void::Pores) | None => "open to air",
    }
}

fn order(look: &JointLook<'_>, layer: &Layer, name: &str) -> String {
    let what = match plane::void(layer, &Draw::middle()) {
        Some(Void::Bays) => " bays",
        Some(Void::Cores) => " cores",
        Some(Void::Flutes) => " flutes",
        _ => "",
    };
    let face = look.joint.ends.iter().position(|e| e.edge == Some(Edge::Face));
    let inner = face.and_then(|f| way::control(look, f, Agent::Air).map(|(_, l)| way::written(look, f, &l.label)));
    match inner {
        Some(inner) if inner != name => format!(
            "cut it here and tie the seal to `{inner}` behind it, or close it: `foam: spf-closed`, `foam fills {name}{what}`"
        ),
        _ => format!("close it at the joint: `foam: spf-closed` and `foam fills {name}{what}`"),
    }
}
