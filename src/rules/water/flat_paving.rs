//! Paving that lies almost level at a wall.

use super::ground::paved;
use super::ties::{edge, quoted, surfaces};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Slope;
use crate::base::show::fixed;
use crate::model::joint::Thing;
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Origin;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "water/flat-paving",
    summary: "paving that hardly falls away from a wall",
    weight: Weight::Fix,
    page: include_str!("flat_paving.md"),
    run: Run::Joint(run),
};

/// A hard surface falls 2 % away within 10 ft: Building America Solution Center guide on patio slabs, read.
const AWAY: Slope = Slope::new(0.02);
/// 1:60, which is meant for the same, passes.
const ROUND: f64 = 0.83;

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let wall = |s: &Surface| s.kind == SurfaceKind::Wall;
    if !surfaces(look).any(|(_, s)| wall(s)) {
        return;
    }
    for (end, surface) in surfaces(look).filter(|(_, s)| on_soil(s)) {
        if let Some(finding) = find(look, end, surface) {
            sink.found(finding);
        }
    }
}

/// Paving on the ground; a balcony or roof terrace is judged as a roof.
fn on_soil(surface: &Surface) -> bool {
    paved(surface) && surface.kind == SurfaceKind::Slab && matches!(surface.last.place, SidePlace::Ground { .. })
}

fn find(look: &JointLook<'_>, end: usize, surface: &Surface) -> Option<Finding> {
    let slope = surface.facts.slope?;
    // A fall to the wall is told as a backward fall.
    let inward = surface.facts.slope_to.is_some() && surface.facts.slope_to == edge(look, end);
    let carried = surface.facts.drains.is_some()
        || look.joint.links.iter().any(|l| l.object.is_some_and(|o| matches!(o.thing, Thing::Outlet(_))));
    let least = slope.low();
    if inward || carried || least.si() >= AWAY.si() * ROUND {
        return None;
    }
    let name = quoted(look, Thing::Surface { end, half: None });
    let span = if let Origin::Written(span) = slope.origin { span } else { surface.span };
    let message = match least.si() {
        fall if fall <= 0.0 => format!("{name} lies level at the wall, 2 % is asked for"),
        fall => format!("{name} falls {} % away from the wall, 2 % is asked for", fixed(fall * 100.0, 1)),
    };
    let weight = if surface.facts.existing || least.si() > 0.0 { Weight::Watch } else { Weight::Fix };
    Some(
        Finding::new(RULE.id, weight, span, message)
            .detail(
                "Water that stands at the foot of a wall goes in at the plate or down to the footing, and paving settles \
                 most along the wall. Hard surfaces fall 2 % or more away within 10 ft, soil 5 % (Building \
                 America guide on patio slabs and ENERGY STAR checklist, read). The inner corner of an addition counts as a surface.",
            )
            .help("lay it at `slope 2 % to front`, the front being the edge away from the wall, or drain it")
            .number("slope", least.si(), "1")
            .number("slope_least", AWAY.si(), "1"),
    )
}
