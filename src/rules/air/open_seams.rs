//! A layer is relied on against air, and its seams, edges or holes are open.

use super::{LIMIT_SOURCE, backed, claimed, flow, limit, stands, stuffs, unknown_seams};
use crate::base::finding::{Finding, Weight};
use crate::catalog::{self, Material};
use crate::model::layer::{Body, Layer, Treatment};
use crate::rules::facts::Look;
use crate::rules::facts::section::{Opening, openings};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "air/open-seams",
    summary: "an air layer with open seams, edges or holes",
    weight: Weight::Stop,
    page: include_str!("open_seams.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    for (at, layer) in look.surface.layers.iter().enumerate().filter(|(_, l)| claimed(l)) {
        // What is bonded to it closes its seams.
        if let Some(material) = tight(look, layer).filter(|_| !backed(look, at)) {
            if layer.seams.treatment == Treatment::Unknown {
                sink.cannot(&unknown_seams(layer));
                continue;
            }
            let open = openings(layer, "a lap sheds rain but not air");
            if let Some(first) = open.first() {
                sink.found(tell(look, layer, material, &open, first));
            }
        }
    }
}

/// The tight material of a layer that has seams; a leaky one is another rule's.
fn tight(look: &Look<'_>, layer: &Layer) -> Option<&'static Material> {
    if !matches!(layer.body, Body::Sheet(_) | Body::Panel(_)) {
        return None;
    }
    stuffs(layer, look).into_iter().filter_map(|s| s.material).find(|m| m.air_tight() == Some(true))
}

fn tell(look: &Look<'_>, layer: &Layer, material: &Material, open: &[Opening], first: &Opening) -> Finding {
    let names: Vec<&str> = open.iter().map(|o| o.what).collect();
    let names = names.join(" and ");
    let each: Vec<String> = open.iter().map(|o| format!("{}: {}", o.what, o.how)).collect();
    let stands = stands(look, layer);
    let weight = if stands { Weight::Watch } else { Weight::Stop };
    let passes = material.air_permeance().map_or(String::new(), |p| format!("The material passes {}", flow(look, p)));
    let mut finding = Finding::new(RULE.id, weight, first.span, format!("the {names} of this air layer are open"))
        .label(first.how)
        .detail(format!(
            "{passes}, within {} ({LIMIT_SOURCE}), but the same standards ask that every seam be closed. {}.",
            limit(look),
            capital(&each.join("; "))
        ))
        .help(if stands {
            format!("leave `{}`, and find its leaks with a blower door and smoke before it is relied on", layer.label)
        } else {
            format!("{} of `{}`, all round", closing(material, open), layer.label)
        })
        .number("openings", open.len() as f64, "1")
        .number("air_permeance", material.air_permeance().map_or(0.0, |p| p.si()), "L/(s.m2)");
    for other in open.iter().skip(1) {
        finding = finding.also(other.span, other.what);
    }
    finding
}

/// How this sort of material is closed.
fn closing(material: &Material, open: &[Opening]) -> String {
    let how = |o: &Opening| match (o.what, material.seams()) {
        ("seams", catalog::Seams::Sheet) => "tape the laps",
        ("seams", catalog::Seams::Boards | catalog::Seams::Tongued) => "tape or seal the seams",
        ("seams", _) => "seal the joints",
        ("edges", _) => "seal the edges",
        _ => "seal the holes",
    };
    open.iter().map(how).collect::<Vec<_>>().join(", ")
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
