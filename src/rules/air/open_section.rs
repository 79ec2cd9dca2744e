//! Nothing in the section stops air: it goes straight through.

use super::{LIMIT_SOURCE, flow, limit, open_way, stands, stuffs, unclaimed};
use crate::base::finding::{Finding, Weight};
use crate::catalog::AIR_BARRIER_LIMIT;
use crate::graph::section::Leak;
use crate::model::layer::{Body, Layer};
use crate::rules::facts::Look;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "air/open-section",
    summary: "a section that air goes straight through",
    weight: Weight::Stop,
    page: include_str!("open_section.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(way)) => sink.found(tell(look, &way)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

fn find(look: &Look<'_>) -> Result<Option<Leak>, crate::rules::facts::Missing> {
    Ok(if unclaimed(look)? { open_way(look) } else { None })
}

fn tell(look: &Look<'_>, way: &Leak) -> Finding {
    let surface = look.surface;
    let (weight, note) = if surface.facts.existing {
        (Weight::Watch, " It stands already: a blower-door test with smoke shows how much passes.")
    } else {
        (Weight::Stop, "")
    };
    let crossed = match way.through.len() {
        1 => "its one layer".to_string(),
        many if many == surface.layers.len() => format!("all {many} layers"),
        many => format!("the {many} layers on the room side of the vented gap"),
    };
    Finding::new(RULE.id, weight, surface.span, "nothing in this section stops air")
        .label("air goes straight through")
        .detail(format!(
            "It finds an open way through {}: {}. An air layer passes at most {} ({LIMIT_SOURCE}) and has all \
             its seams closed.{note}",
            crossed,
            steps(look, way),
            limit(look)
        ))
        .help(order(look))
        .number("layers_crossed", way.through.len() as f64, "1")
        .number("air_permeance_limit", AIR_BARRIER_LIMIT.si(), "L/(s.m2)")
}

/// The way, place by place.
fn steps(look: &Look<'_>, way: &Leak) -> String {
    let step = |(index, between): &(usize, bool)| {
        let layer = look.surface.layers.get(*index)?;
        Some(match (&layer.body, between) {
            (Body::Members(_), true) => format!("between `{}`", layer.label),
            (Body::Gap(_), _) => format!("the air of `{}`", layer.label),
            (Body::Sheet(_) | Body::Panel(_), _) if tight(look, layer).is_some() => {
                format!("the seams of `{}`", layer.label)
            }
            _ => format!("through `{}`", layer.label),
        })
    };
    way.through.iter().filter_map(step).collect::<Vec<_>>().join(", ")
}

/// What a layer passes, where that is little enough.
fn tight(look: &Look<'_>, layer: &Layer) -> Option<crate::base::quantity::AirPermeance> {
    if matches!(layer.body, Body::Members(_)) {
        return None;
    }
    stuffs(layer, look).into_iter().filter_map(|s| s.material?.air_permeance()).find(|p| *p <= AIR_BARRIER_LIMIT)
}

/// Close the layer that is tight but for its seams, the innermost that is new; else put one in.
fn order(look: &Look<'_>) -> String {
    let new = look.surface.layers.iter().rev().filter(|l| !stands(look, l));
    match new.filter_map(|l| tight(look, l).map(|p| (l, p))).next() {
        Some((layer, passes)) => format!(
            "close the seams, edges and holes of `{}`, whose material passes {}, and mark it `-> air`",
            layer.label,
            flow(look, passes)
        ),
        None => format!("add a layer that passes at most {}, close its seams and mark it `-> air`", limit(look)),
    }
}
