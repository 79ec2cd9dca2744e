//! Spray foam relied on against air in less depth than it needs to be tight.

use super::{backed, claimed, stands, stuffs};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::catalog::Material;
use crate::graph::plane::{self, Agent};
use crate::model::layer::{BayPart, Body, Fill, Layer, Stuff};
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "air/thin-foam",
    summary: "spray foam too thin for an air layer",
    weight: Weight::Fix,
    page: include_str!("thin_foam.md"),
    run: Run::Surface(run),
};

/// Foam that is too thin.
struct Thin<'a> {
    foam: &'a Stuff,
    has: Length,
    least: Length,
}

/// A figure written as the limit itself passes.
const HAIR: Length = Length::new(1e-6);

fn run(look: &Look<'_>, sink: &mut Sink) {
    for (at, layer) in look.surface.layers.iter().enumerate().filter(|(_, l)| claimed(l)) {
        match find(look, at, layer) {
            Ok(Some(thin)) => sink.found(tell(look, layer, &thin)),
            Ok(None) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// The foam that alone makes a layer tight, and its depth, where that is too little.
fn find<'a>(look: &Look<'_>, at: usize, layer: &'a Layer) -> Result<Option<Thin<'a>>, Missing> {
    let foam = |s: &&Stuff| s.material.is_some_and(|m| m.kind() == "spray-foam");
    let tight = |s: &&Stuff| s.material.is_some_and(|m| m.air_tight() == Some(true));
    let (foams, others): (Vec<&Stuff>, Vec<&Stuff>) = stuffs(layer, look).into_iter().filter(tight).partition(foam);
    let [foam] = foams.as_slice() else { return Ok(None) };
    let mut ground = ground(layer, at).filter_map(|i| look.surface.layers.get(i));
    let closed = ground.any(|l| plane::layer_closed(l, Agent::Air, &look.draw));
    if !others.is_empty() || backed(look, at) || closed {
        return Ok(None);
    }
    let usual = foam.material.and_then(|m| m.usual_thickness());
    let Some(has) = foam.thickness.as_ref().map(|t| t.at(&look.draw)).or(usual) else {
        return Err(Missing::new(foam.span, format!("how thick `{}` is is not known", foam.name)));
    };
    let least = foam.material.and_then(Material::air_tight_from);
    Ok(least.filter(|least| has + HAIR < *least).map(|least| Thin { foam, has, least }))
}

/// The layers that the foam is sprayed on: of bays the one that the foam lies against.
fn ground(layer: &Layer, at: usize) -> impl Iterator<Item = usize> {
    let touches = |part: Option<&BayPart>| matches!(part, Some(BayPart::Stuff(s)) if s.material.is_some_and(|m| m.kind() == "spray-foam"));
    let (first, last) = match &layer.body {
        Body::Members(members) => match &members.fill {
            Fill::Parts(parts) => (touches(parts.first()), touches(parts.last())),
            Fill::Unknown(_) => (false, false),
        },
        _ => (true, true),
    };
    [at.checked_sub(1).filter(|_| first), Some(at + 1).filter(|_| last)].into_iter().flatten()
}

fn tell(look: &Look<'_>, layer: &Layer, thin: &Thin<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let Thin { foam, has, least } = *thin;
    let weight = if stands(look, layer) { Weight::Watch } else { Weight::Fix };
    let message = format!("{} of foam in `{}` is too thin to stop air", show.length(has), label(layer));
    Finding::new(RULE.id, weight, foam.span, message)
        .label(format!("at least {}", show.length(least)))
        .also(layer.span, "relied on against air")
        .detail(format!(
            "Thin foam has pinholes and pulls from its edges. Makers get such foam past the test of an air layer (ASTM E2178) \
             from about {} on (a trade article on air sealing, read: 1 to 1-1/2 in closed-cell, 3 to 5-1/2 in open-cell). \
             The figure of the very foam governs.",
            show.length(least)
        ))
        .help(format!("spray at least {}, or claim another layer and close its seams", show.length(least)))
        .number("thickness", has.si(), "m")
        .number("thickness_least", least.si(), "m")
}
