//! A layer would stop air, but the drawing relies on none.

use super::{LIMIT_SOURCE, flow, limit, open_way, stands, stuffs, unclaimed};
use crate::base::finding::{Finding, Weight};
use crate::base::near;
use crate::base::quantity::AirPermeance;
use crate::graph::section::leak;
use crate::model::layer::Layer;
use crate::model::surface::Surface;
use crate::rules::facts::vent::left_out;
use crate::rules::facts::{Look, Missing, class, material};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "air/unnamed-layer",
    summary: "an air layer that nobody has named",
    weight: Weight::Fix,
    page: include_str!("unnamed_layer.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(layers) if layers.is_empty() => {}
        Ok(layers) => {
            if let Some(finding) = tell(look, &layers) {
                sink.found(finding);
            }
        }
        Err(missing) => sink.cannot(&missing),
    }
}

/// The layers that would stop air, where none is relied on.
fn find<'a>(look: &Look<'a>) -> Result<Vec<&'a Layer>, Missing> {
    if !unclaimed(look)? || open_way(look).is_some() {
        return Ok(Vec::new());
    }
    let stops = |layer: &&Layer| {
        // The same question asked of a section of this layer alone.
        let alone = Surface { layers: vec![(*layer).clone()], ..look.surface.clone() };
        leak(&alone, &look.draw).is_none()
    };
    Ok(look.surface.layers.iter().skip(left_out(look.surface, &look.draw)).filter(stops).collect())
}

fn tell(look: &Look<'_>, layers: &[&Layer]) -> Option<Finding> {
    // The outermost: the one that is easiest to carry over corners and to inspect.
    // A coat goes with the wall it is on.
    let coat = |l: &&&Layer| material(l, &look.draw).is_some_and(|m| m.kind() == "coating");
    let best = layers.iter().find(|l| !coat(l)).or(layers.first())?;
    let names: Vec<String> = layers.iter().map(|l| l.label.clone()).collect();
    // A section alone shows no edge at which the layer could be lost.
    let bare = look.job.joints.is_empty();
    // Of a solid wall or slab nobody doubts what it is, as long as no joint is drawn.
    let solid =
        |l: &&Layer| coat(&l) || material(l, &look.draw).is_some_and(|m| class::masonry(m) || class::plaster(m));
    let solid = layers.iter().all(solid);
    if bare && solid {
        return None;
    }
    let weight = if bare || solid || stands(look, best) { Weight::Watch } else { Weight::Fix };
    let least = stuffs(best, look).into_iter().filter_map(|s| s.material?.air_permeance()).min_by(by_flow);
    let passes = least.map_or(String::new(), |p| format!(", which passes {}", flow(look, p)));
    let finding = Finding::new(RULE.id, weight, best.span, "no layer is named as the one that stops air")
        .label("this one would")
        .detail(format!(
            "Air would be stopped by {}{passes}; the limit is {} ({LIMIT_SOURCE}). A layer that nobody is told to keep \
             whole is cut through at the first pipe, and no joint is traced to it.",
            near::one_of(&names),
            limit(look)
        ))
        .help(format!("write `-> air` behind `{}`, and keep its seams, edges and holes closed", best.label))
        .number("layers_that_would", layers.len() as f64, "1");
    Some(match least {
        Some(p) => finding.number("air_permeance", p.si(), "L/(s.m2)"),
        None => finding,
    })
}

fn by_flow(a: &AirPermeance, b: &AirPermeance) -> std::cmp::Ordering {
    a.si().total_cmp(&b.si())
}
