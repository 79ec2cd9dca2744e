//! A layer is relied on against air, and its material lets air through.

use super::{LIMIT_SOURCE, backed, claimed, flow, left_out, limit, stands, stuffs};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::AirPermeance;
use crate::catalog::{AIR_BARRIER_LIMIT, Material, Property, spread};
use crate::graph::plane::{self, Agent};
use crate::model::layer::{Body, Layer};
use crate::rules::facts::{Look, Missing};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "air/leaky-material",
    summary: "a material that can't be an air layer",
    weight: Weight::Stop,
    page: include_str!("leaky_material.md"),
    run: Run::Surface(run),
};

/// How a layer lets air through.
#[derive(Debug, PartialEq)]
enum Passes {
    /// Not more than the limit.
    Little,
    /// More than the limit.
    Much(&'static str, AirPermeance),
    /// Freely.
    Freely(&'static str),
    /// It is air.
    Air,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    for (at, layer) in look.surface.layers.iter().enumerate().filter(|(_, l)| claimed(l)) {
        if plane::layer_closed(layer, Agent::Air, &look.draw) || backed(look, at) {
            continue;
        }
        match find(look, layer) {
            Ok(Passes::Little) => {}
            Ok(passes) => sink.found(tell(look, layer, &passes)),
            Err(missing) => sink.cannot(&missing),
        }
    }
}

fn find(look: &Look<'_>, layer: &Layer) -> Result<Passes, Missing> {
    match &layer.body {
        Body::Hole => {
            return Err(Missing::new(layer.stuff_span, format!("layer `{}` could not be resolved", layer.label)));
        }
        Body::Gap(_) => return Ok(Passes::Air),
        Body::Sheet(_) | Body::Panel(_) | Body::Members(_) => {}
    }
    let unknown = || {
        Missing::new(layer.stuff_span, format!("how much air the material of `{}` passes is not known", layer.label))
    };
    let stuffs = stuffs(layer, look);
    if stuffs.iter().any(|s| s.material.and_then(Material::air_tight) == Some(true)) {
        return Ok(Passes::Little);
    }
    if stuffs.iter().any(|s| s.material.is_none_or(|m| m.air_tight().is_none())) {
        return Err(unknown());
    }
    // All of them leak; the one that leaks least tells how far off the layer is.
    let told = stuffs.iter().filter_map(|s| s.material).filter_map(|m| m.air_permeance().map(|p| (m.key(), p)));
    let least = told.min_by(|a, b| a.1.si().total_cmp(&b.1.si()));
    match (least, stuffs.first().and_then(|s| s.material)) {
        (Some((name, passes)), _) => Ok(Passes::Much(name, passes)),
        (None, Some(material)) => Ok(Passes::Freely(material.key())),
        (None, None) if matches!(layer.body, Body::Members(_)) => Ok(Passes::Air),
        (None, None) => Err(unknown()),
    }
}

fn tell(look: &Look<'_>, layer: &Layer, passes: &Passes) -> Finding {
    let (name, how) = match passes {
        Passes::Much(name, p) => (*name, format!("passes {} at 75 Pa", flow(look, *p))),
        Passes::Freely(name) => (*name, "is open to air".to_string()),
        Passes::Air | Passes::Little => ("air", "is no material at all".to_string()),
    };
    let source = look_up(layer, look, name);
    let some = matches!(passes, Passes::Much(_, p) if some_pass(layer, look, name, *p));
    let weight = if some || stands(look, layer) { Weight::Watch } else { Weight::Stop };
    let message = if some { format!("not every `{name}` stops air") } else { format!("`{name}` lets air through") };
    let finding = Finding::new(RULE.id, weight, layer.stuff_span, message)
        .label("relied on against air")
        .detail(format!(
            "`{name}` {how}{source}; an air layer passes at most {} ({LIMIT_SOURCE}). Closed seams do not help where the \
             material itself leaks.",
            limit(look)
        ))
        .help(if some {
            format!("ask for its figure by ASTM E2178, at most {}; or {}", limit(look), order(look, layer))
        } else {
            order(look, layer)
        })
        .number("air_permeance_limit", AIR_BARRIER_LIMIT.si(), "L/(s.m2)");
    match passes {
        Passes::Much(_, p) => finding.number("air_permeance", p.si(), "L/(s.m2)"),
        _ => finding,
    }
}

fn look_up(layer: &Layer, look: &Look<'_>, name: &str) -> String {
    let of = stuffs(layer, look).into_iter().filter_map(|s| s.material).find(|m| m.key() == name);
    of.and_then(Material::air_source).map_or(String::new(), |c| format!(" ({}; {})", c.source, c.access.words()))
}

/// Whether makes of a material that is too open as the catalog has it lie within the limit.
fn some_pass(layer: &Layer, look: &Look<'_>, name: &str, passes: AirPermeance) -> bool {
    let of = stuffs(layer, look).into_iter().filter_map(|s| s.material).find(|m| m.key() == name);
    let spread = of.and_then(|m| spread(m.kind(), Property::AirPermeance));
    spread.is_some_and(|s| passes.si() * s.apart.multiplier(0.0) <= AIR_BARRIER_LIMIT.si())
}

/// Move the claim to a layer that can carry it, or put such a layer in.
fn order(look: &Look<'_>, leaky: &Layer) -> String {
    let can = |l: &&Layer| {
        l.label != leaky.label
            && !matches!(l.body, Body::Members(_))
            && stuffs(l, look).iter().any(|s| s.material.and_then(Material::air_tight) == Some(true))
    };
    // Outdoor air is behind what lies outside of a vented gap.
    let inside = look.surface.layers.iter().skip(left_out(look.surface, &look.draw));
    match inside.filter(|l| !stands(look, l)).find(can) {
        Some(better) => format!("move `-> air` to `{}` and close its seams, edges and holes", better.label),
        None => format!("put in a layer that passes at most {}, with closed seams, and claim that one", limit(look)),
    }
}
