//! Brick or stone tied to a frame through more foam than ties are made for.

use super::{board, foam, heavy, material};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::catalog::{Bond, Seams};
use crate::model::layer::Layer;
use crate::rules::facts::path::members_of;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "heat/heavy-cladding-on-foam",
    summary: "brick or stone tied through more foam than ties are made for",
    weight: Weight::Fix,
    page: include_str!("heavy_cladding_on_foam.md"),
    run: Run::Surface(run),
};

/// Most foam between a veneer and the panel of a frame without design: 2 in (IRC 2018 R703.8.4 in a public note on Ohio's
/// code, quoted).
const MOST: Length = Length::new(0.0508);
/// So that 51 mm is 2 in.
const HAIR: Length = Length::new(0.0005);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let (Some(veneer), SurfaceKind::Wall) = (surface.layers.first().filter(|l| tied(look, l)), surface.kind) else {
        return;
    };
    let Some(frame) =
        surface.layers.iter().position(|l| members_of(l).is_some_and(|m| m.depth.at(&look.draw) > super::FRAME))
    else {
        return;
    };
    // Masonry or concrete behind the foam takes ties of another sort.
    let before = || surface.layers.iter().take(frame).skip(1);
    if before().any(|l| heavy(l, &look.draw)) {
        return;
    }
    let foams: Vec<(&Layer, Length)> = before()
        .filter_map(|l| {
            let stuff = board(l, &look.draw).filter(|s| s.material.is_some_and(foam))?;
            Some((l, stuff.thickness.as_ref()?.at(&look.draw)))
        })
        .collect();
    let depth: Length = foams.iter().map(|f| f.1).sum();
    if let Some((first, _)) = foams.first()
        && depth > MOST + HAIR
    {
        sink.found(tell(look, veneer, first, depth));
    }
}

/// Brick or stone that stands on its own and is held by ties.
fn tied(look: &Look<'_>, layer: &Layer) -> bool {
    material(layer, &look.draw).is_some_and(|m| {
        m.seams() == Seams::Units && m.bond() == Bond::Loose && matches!(m.kind(), "cladding" | "masonry")
    })
}

fn tell(look: &Look<'_>, veneer: &Layer, foam: &Layer, depth: Length) -> Finding {
    let show = Show { metric: look.job.metric };
    let code = look.job.code.is_some();
    let stands = veneer.words.existing || look.surface.facts.existing;
    let weight = if code && !stands { Weight::Fix } else { Weight::Watch };
    let (has, most) = (show.length(depth), show.length(MOST));
    let asks = if code { "the job's code" } else { "no code is stated; the rule of the IRC" };
    Finding::new(RULE.id, weight, foam.stuff_span, format!("`{}` is tied through {has} of foam", label(veneer)))
        .label(format!("at most {most} without design"))
        .also(veneer.span, "held by ties through it")
        .detail(format!(
            "Ties to a frame are made for {most} of foam at most ({asks}: R703.8.4 of 2018, quoted in a public note). Longer \
             ones bend under wind and let the veneer crack or come down. An engineer or the maker's tested tie may allow \
             more; local code decides."
        ))
        .help(format!("keep the foam to {most} and put the rest between or inside the studs, or have the ties designed"))
        .number("foam_depth", depth.si(), "m")
        .number("foam_depth_most", MOST.si(), "m")
}
