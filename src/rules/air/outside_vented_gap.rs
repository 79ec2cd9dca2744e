//! A layer is relied on against air, and outdoor air passes on the room side of it.

use super::{Air, claimed, of_side, stands};
use crate::base::finding::{Finding, Weight};
use crate::graph::plane::{self, Agent};
use crate::model::layer::Layer;
use crate::model::surface::SidePlace;
use crate::rules::facts::vent::left_out;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "air/outside-vented-gap",
    summary: "an air layer outside of a gap that outdoor air passes through",
    weight: Weight::Stop,
    page: include_str!("outside_vented_gap.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let kept = of_side(look.job, &surface.last) == Air::Kept && matches!(surface.first.place, SidePlace::Outdoors);
    let inner = left_out(surface, &look.draw);
    let (outside, inside) = surface.layers.split_at_checked(inner).unwrap_or_default();
    if !kept || inside.iter().any(claimed) {
        return;
    }
    let (Some(air), Some(gap)) = (outside.iter().rfind(|l| claimed(l)), outside.last()) else { return };
    let closed = inside.iter().rfind(|l| plane::layer_closed(l, Agent::Air, &look.draw));
    sink.found(tell(look, air, gap, closed, inside.iter().rfind(|l| could(look, l))));
}

/// A layer whose material would do, were its seams closed.
fn could(look: &Look<'_>, layer: &Layer) -> bool {
    let tight = |s: &&crate::model::layer::Stuff| s.material.is_some_and(|m| m.air_tight() == Some(true));
    !stands(look, layer) && super::stuffs(layer, look).iter().any(tight)
}

fn tell(look: &Look<'_>, air: &Layer, gap: &Layer, closed: Option<&Layer>, could: Option<&Layer>) -> Finding {
    let weight = match closed {
        _ if stands(look, air) => Weight::Watch,
        Some(_) => Weight::Fix,
        None => Weight::Stop,
    };
    let help = match (closed, could) {
        (Some(inner), _) => format!("move `-> air` to `{}`, which lies on the room side of the gap", inner.label),
        (None, Some(inner)) => format!("close the seams, edges and holes of `{}` and move `-> air` to it", inner.label),
        (None, None) => format!("put an air layer on the room side of `{}` and claim that one", gap.label),
    };
    Finding::new(
        RULE.id,
        weight,
        air.span,
        format!("outdoor air passes behind `{}`, the air layer", label(air)),
    )
    .label("relied on against air")
    .also(gap.span, "open low and high")
    .detail(
        "A gap that is open low and high is outdoor air (ISO 6946 6.9.4, from memory). What lies outside of it keeps no \
         room air in: nothing on the room side of the gap is relied on.",
    )
    .help(help)
}
