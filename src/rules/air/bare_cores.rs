//! Hollow block inside of the air layer, open to the room: its cores carry room air past the layer's edges.

use super::{Air, claimed, of_side};
use crate::base::finding::{Finding, Weight};
use crate::graph::plane::{self, Agent, Void};
use crate::model::joint::EndOf;
use crate::model::layer::Layer;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "air/bare-cores",
    summary: "hollow block inside of the air layer, open to the room",
    weight: Weight::Watch,
    page: include_str!("bare_cores.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let kept = of_side(look.job, &surface.first) == Air::Free && of_side(look.job, &surface.last) == Air::Kept;
    if surface.kind != SurfaceKind::Wall || !kept || surface.broken.is_some() || joined(look) {
        return;
    }
    let Some(air) = surface.layers.iter().rposition(claimed) else { return };
    let inside = || surface.layers.iter().skip(air + 1);
    let closed = |l: &Layer| plane::layer_closed(l, Agent::Air, &look.draw) || l.words.paint.is_some();
    let hollow = |l: &&Layer| plane::void(l, &look.draw) == Some(Void::Cores);
    if let (Some(block), Some(layer)) = (inside().find(hollow), surface.layers.get(air))
        && !inside().any(closed)
    {
        sink.found(tell(layer, block));
    }
}

/// Joints drawn show where the cores end: the graph speaks of them.
fn joined(look: &Look<'_>) -> bool {
    let this = |of: &EndOf| {
        let EndOf::Surface(at) = of else { return false };
        look.job.surfaces.get(*at).is_some_and(|s| s.name == look.surface.name)
    };
    look.job.joints.iter().any(|j| j.ends.iter().any(|e| this(&e.of)))
}

fn tell(air: &Layer, block: &Layer) -> Finding {
    Finding::new(
        RULE.id,
        Weight::Watch,
        block.stuff_span,
        format!("room air gets into the cores of `{}` behind the air layer", label(block)),
    )
    .label("hollow and bare")
    .also(air.span, "the air layer")
    .detail(
        "Bare block passes air into its cores, and they run up the whole wall: room air gets by the air layer at the top, \
         at the base and at every opening where the cores are not closed. Block counts as an air layer only grouted solid \
         or coated (IECC 2021 section C402.5.1.3, from memory; closing the cores: common practice, no source). The \
         section alone does not show whether they are closed.",
    )
    .help(format!(
        "grout or foam the top course, the base and the cores round openings, or coat the room face: `{}: ..., painted`",
        label(block)
    ))
}
