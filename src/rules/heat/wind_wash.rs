//! Loose insulation with its outer face in moving outdoor air.

use super::{fluffy, parted};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::model::layer::{BayPart, Body, Fill, Layer, Members, Stuff};
use crate::model::surface::SidePlace;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "heat/wind-wash",
    summary: "loose insulation whose outer face lies in moving outdoor air",
    weight: Weight::Fix,
    page: include_str!("wind_wash.md"),
    run: Run::Surface(run),
};

/// From this thickness on wind costs enough in roofs to be told. Common practice, no source.
const THICK: Length = Length::new(0.1);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    if !matches!(surface.first.place, SidePlace::Outdoors) {
        return;
    }
    let open = surface.layers.iter().enumerate().find_map(|(at, l)| washed(look, at, l).map(|s| (l, s)));
    let Some((layer, stuff)) = open else { return };
    let roof = surface.kind != SurfaceKind::Wall;
    if roof && stuff.thickness.as_ref().is_none_or(|t| t.at(&look.draw) <= THICK) {
        return;
    }
    match parted(look) {
        Ok(true) => sink.found(tell(look, layer, stuff, roof)),
        Ok(false) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// The insulation of a layer that lies bare in a gap open low and high.
fn washed<'a>(look: &Look<'a>, at: usize, layer: &'a Layer) -> Option<&'a Stuff> {
    let outer = at.checked_sub(1).and_then(|i| look.surface.layers.get(i));
    let stuff = match &layer.body {
        Body::Sheet(choice) if outer.is_some_and(airy) => choice.at(&look.draw)?,
        Body::Members(members) => first_fill(members, outer.is_some_and(airy))?,
        _ => return None,
    };
    stuff.material.is_some_and(fluffy).then_some(stuff)
}

/// The outermost of what fills the bays, where nothing but moving air lies outside of it.
fn first_fill(members: &Members, outer: bool) -> Option<&Stuff> {
    let Fill::Parts(parts) = &members.fill else { return None };
    match parts.as_slice() {
        [BayPart::Stuff(stuff), ..] if outer => Some(stuff),
        [BayPart::Air(_), BayPart::Stuff(stuff), ..] if members.openings.vented() => Some(stuff),
        _ => None,
    }
}

/// A gap or empty bays through which outdoor air passes.
fn airy(layer: &Layer) -> bool {
    match &layer.body {
        Body::Gap(gap) => gap.openings.vented(),
        Body::Members(m) => {
            m.openings.vented() && matches!(&m.fill, Fill::Parts(p) if p.iter().all(|p| matches!(p, BayPart::Air(_))))
        }
        Body::Sheet(_) | Body::Panel(_) | Body::Hole => false,
    }
}

fn tell(look: &Look<'_>, layer: &Layer, stuff: &Stuff, roof: bool) -> Finding {
    let stands = layer.words.existing || look.surface.facts.existing;
    // Codes ask for a baffle at the eave alone; that one is drawn in no section.
    let weight = if roof || stands { Weight::Watch } else { Weight::Fix };
    let what: String = stuff.name.chars().take(24).collect();
    Finding::new(RULE.id, weight, stuff.span, format!("wind blows through `{what}` in `{}`", label(layer)))
        .label("open to moving air")
        .detail(
            "Outdoor air that moves along loose wool or fill blows through it and carries its warmth off. It wants a wind \
             stop on its outer face, and in a vented roof a baffle at each bay (a government guide on wind washing, read; \
             that fill of 40 kg/m3 or more stands the wind: common practice, no source).",
        )
        .help(if roof {
            format!("put a baffle between the air and `{}`: `baffle: wood-fiber-sheathing 1/2 in`", layer.label)
        } else {
            format!("put a wind stop on the outer face of `{}`: `wrap: vapor-open-sheet, lapped 6 in, taped`", layer.label)
        })
}
