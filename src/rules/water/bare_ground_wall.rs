//! A wall in the ground with nothing against soil water, or with too little.

use super::ground::ground_sheets;
use super::ties::material;
use crate::base::finding::{Finding, Weight};
use crate::catalog::Bond;
use crate::model::layer::Body;
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::space::{Use, use_of};
use crate::rules::facts::{Look, Missing};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "water/bare-ground-wall",
    summary: "a wall in the ground with too little against soil water",
    weight: Weight::Stop,
    page: include_str!("bare_ground_wall.md"),
    run: Run::Surface(run),
};

/// What lies against the soil.
#[derive(PartialEq, Eq)]
enum Guard {
    Nothing,
    /// Keeps damp out, not water under pressure.
    Damp,
    Water,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let SidePlace::Ground { drained, .. } = surface.first.place else { return };
    // A room behind it: what has soil or outdoor air on both sides is a garden wall.
    let SidePlace::Room(room) = surface.last.place else { return };
    // The codes ask it of walls round a space that is used; a crawlspace on bare soil is as damp as its soil.
    let used = use_of(look.job, room);
    if surface.kind != SurfaceKind::Wall || used == Use::Service {
        return;
    }
    if let Some(hole) = surface.layers.iter().find(|l| matches!(l.body, Body::Hole)) {
        return sink.cannot(&Missing::new(hole.span, format!("layer `{}` could not be resolved", hole.label)));
    }
    let unknown = |l: &&crate::model::layer::Layer| matches!(&l.body, Body::Sheet(c) if c.builds.iter().any(|b| b.material.is_none()));
    if let Some(layer) = surface.layers.iter().find(unknown) {
        return sink.cannot(&Missing::new(layer.stuff_span, format!("what `{}` is is not known", layer.label)));
    }
    if let (Guard::Nothing | Guard::Damp, Some(broken)) = (guard(surface), &surface.broken) {
        return sink.cannot(&Missing::new(broken.span, broken.why.clone()));
    }
    match (guard(surface), drained) {
        (Guard::Nothing, _) => sink.found(tell(surface, true, used)),
        (Guard::Damp, false) => sink.found(tell(surface, false, used)),
        _ => {}
    }
}

fn guard(surface: &Surface) -> Guard {
    let sheets: Vec<_> = ground_sheets(surface).into_iter().filter_map(|i| surface.layers.get(i)).collect();
    let whole = |l: &&crate::model::layer::Layer| {
        material(l).is_some_and(|m| {
            let damp = m.key() == "damp-proofing" || (m.bond() == Bond::Loose && m.family() == "polyethylene");
            !damp && (m.bond() != Bond::Loose || l.seams.treatment.closed() || m.family() == "clay")
        })
    };
    let drains = |l: &&crate::model::layer::Layer| material(l).is_some_and(|m| m.key() == "dimple-sheet");
    match () {
        () if sheets.is_empty() => Guard::Nothing,
        () if sheets.iter().any(whole) => Guard::Water,
        // A coat behind a sheet that leads the water down is under no pressure.
        () if sheets.len() > 1 && sheets.iter().any(drains) => Guard::Water,
        () => Guard::Damp,
    }
}

fn tell(surface: &Surface, bare: bool, used: Use) -> Finding {
    // Of a space without heating, without a floor that is drawn, it is not known whether it is used.
    let mild = surface.facts.existing || used == Use::Unsaid;
    let (weight, message, help) = if bare {
        (
            Weight::Stop,
            "nothing keeps soil water out of this wall",
            "add a waterproof membrane on the soil side with a drainage sheet over it, and a drain at the footing",
        )
    } else {
        (
            Weight::Fix,
            "a damp-proof coat alone against ground that is not drained",
            "drain the ground and write `drained`, or use a waterproof membrane with closed laps",
        )
    };
    Finding::new(RULE.id, if mild { Weight::Watch } else { weight }, surface.first.span, message)
        .label("soil water")
        .detail(
            "Concrete and masonry draw water out of the soil, and where it stands it is pressed in. A wall of a room in \
             the ground is damp-proofed at least, waterproofed where water stands, and drained at the footing (IRC 2021 \
             sections R405 and R406, from memory; ENERGY STAR foundation checklist, quoted). Nothing said of \
             drainage counts as not drained.",
        )
        .help(help)
}
