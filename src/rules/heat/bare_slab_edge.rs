//! A floor slab on the ground whose edge has no insulation.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, ThermalResistance};
use crate::base::show::Show;
use crate::base::unit::{INCH, R_VALUE};
use crate::graph::net::Closure;
use crate::graph::place::{Air, air, place};
use crate::graph::plane::Agent;
use crate::model::joint::{Link, Thing};
use crate::model::surface::SidePlace;
use crate::rules::facts::{JointLook, Missing, class, way};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "heat/bare-slab-edge",
    summary: "a slab edge without insulation",
    weight: Weight::Fix,
    page: include_str!("bare_slab_edge.md"),
    run: Run::Joint(run),
};

/// From this zone on: IECC 2021 Table R402.1.3, from memory.
const COLD: u8 = 3;
/// Deeper than this under grade an edge needs none: IECC 2021 section R402.2.10, from memory.
const SHALLOW: Length = Length::new(24.01 * INCH);
/// Of the same table.
const LEAST: ThermalResistance = ThermalResistance::new(10.0 * R_VALUE);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let Some(zone) = way::zone(look).filter(|z| *z >= COLD) else { return };
    let Some(end) = (0..look.joint.ends.len()).find(|e| heated_slab(look, *e)) else { return };
    let depths: Vec<Option<bool>> = (0..look.joint.ends.len()).map(|e| deep(look, e, end)).collect();
    if look.joint.ends.len() < 2 || insulated(look, end) || depths.contains(&Some(true)) {
        return;
    }
    if let Some((unsaid, _)) = look.joint.ends.iter().zip(&depths).find(|(_, deep)| deep.is_none()) {
        return sink.cannot(&Missing::new(unsaid.span, "how deep the slab lies under grade is not known"));
    }
    match look.whole() {
        Ok(()) => sink.found(tell(look, end, zone)),
        Err(missing) => sink.cannot(&missing),
    }
}

/// A slab between kept air and soil, at its edge.
fn heated_slab(look: &JointLook<'_>, end: usize) -> bool {
    let edge = look.joint.ends.get(end).and_then(|e| e.edge);
    let at_edge = matches!(edge, Some(Edge::Edge | Edge::Front | Edge::Back | Edge::Left | Edge::Right));
    look.joint.surface(look.job, end).is_some_and(|s| {
        let kept = air(look.job, place(&s.first)) == Air::Kept;
        at_edge && s.kind == SurfaceKind::Slab && kept && matches!(s.last.place, SidePlace::Ground { .. })
    })
}

/// Whether the slab lies at the foot of a wall that goes down deeper than its edge is asked about; none where nobody knows.
fn deep(look: &JointLook<'_>, end: usize, slab: usize) -> Option<bool> {
    let Some(surface) = look.joint.surface(look.job, end) else { return Some(false) };
    let own = end == slab;
    let top = look.joint.ends.get(end).is_some_and(|e| e.edge == Some(Edge::Top));
    let (side, foot) = if own { (&surface.last, true) } else { (&surface.first, !top) };
    match &side.place {
        SidePlace::Ground { depth: Some(depth), .. } if foot && depth.low() > SHALLOW => Some(true),
        SidePlace::Ground { depth: Some(depth), .. } if foot && depth.high() > SHALLOW => None,
        SidePlace::Ground { depth: None, .. } if foot && !own && surface.kind == SurfaceKind::Wall => None,
        _ => Some(false),
    }
}

/// Insulation against the slab's edge, or a wall beside or below it that has its own.
fn insulated(look: &JointLook<'_>, slab: usize) -> bool {
    let of_slab = |thing: Thing| match thing {
        Thing::Layer { end, .. } | Thing::Surface { end, .. } => end == slab,
        _ => false,
    };
    let lies = |l: &Link| {
        let verb = matches!(l.verb, Verb::Butts | Verb::LapsOver | Verb::Touches | Verb::SealsTo | Verb::RunsPast);
        let sides = l.object.map(|o| (l.subject.thing, o.thing));
        let bare = |b: Thing| of_slab(b) && !way::insulating(look, b);
        let against = |a: Thing, b: Thing| way::insulating(look, a) && !of_slab(a) && bare(b);
        verb && sides.is_some_and(|(a, b)| against(a, b) || against(b, a))
    };
    let beside = |(index, e): (usize, &crate::model::joint::End)| {
        let edge = matches!(e.edge, Some(Edge::Face | Edge::InsideFace | Edge::Top));
        // Against the face of a wall with a warm room behind it the edge lies in no cold.
        let warm = e.edge == Some(Edge::Face)
            && look.joint.surface(look.job, index).is_some_and(|s| air(look.job, place(&s.last)) == Air::Kept);
        index != slab && (warm || (edge && look.net().controls(index, Agent::Heat).is_some()))
    };
    // Insulation under the slab that is turned up at its edge, or a chain of insulation from the wall's to the slab's.
    let turned =
        |l: &Link| l.verb == Verb::TurnsUp && of_slab(l.subject.thing) && way::insulating(look, l.subject.thing);
    let chained = |station| {
        let closures = look.net().closures(Agent::Heat, station);
        // A sheet that laps over the concrete ties the two as well, and keeps nothing warm.
        let warms = |c: &Closure| c.things.iter().any(|t| way::insulating(look, *t));
        let ties = |c: &Closure| c.meets.iter().any(|(e, _)| *e == slab) && c.meets.iter().any(|(e, _)| *e != slab);
        closures.iter().any(|c| ties(c) && warms(c))
    };
    let said = look.joint.links.iter().any(|l| lies(l) || turned(l));
    said || look.stations().iter().copied().any(chained) || look.joint.ends.iter().enumerate().any(beside)
}

/// What the slab is poured of, as it is called in the text.
fn concrete(look: &JointLook<'_>, end: usize) -> String {
    let layers = look.joint.surface(look.job, end).map(|s| s.layers.as_slice()).unwrap_or_default();
    let poured =
        |i: &usize| look.material(Thing::Layer { end, layer: *i, half: None, part: None }).is_some_and(class::masonry);
    (0..layers.len())
        .find(poured)
        .and_then(|i| layers.get(i))
        .map_or_else(|| "its concrete".to_string(), |l| way::written(look, end, &l.label))
}

fn tell(look: &JointLook<'_>, end: usize, zone: u8) -> Finding {
    let show = Show { metric: look.job.metric };
    let slab = look.joint.surface(look.job, end).map_or("slab", |s| s.name.as_str());
    let span = look.joint.ends.get(end).map_or(look.joint.span, |e| e.span);
    let depth = match (zone, look.job.metric) {
        (3, false) => "2 ft",
        (3, true) => "0.6 m",
        (_, false) => "4 ft",
        (_, true) => "1.2 m",
    };
    let name: String = slab.chars().take(30).collect();
    Finding::new(RULE.id, Weight::Fix, span, format!("the edge of `{name}` has no insulation"))
        .label("bare to outdoors")
        .detail(format!(
            "Most of what a slab loses it loses at its edge, and the floor along the wall gets cold. In climate zone {zone} \
             {} is asked for, {depth} down or in (IECC 2021 Table R402.1.3, from memory; the code in force governs).",
            show.resistance(LEAST)
        ))
        .help(format!(
            "add a piece like `rim: xps {}` and write `rim butts {}`; it goes {depth} down",
            if look.job.metric { "50 mm" } else { "2 in" },
            concrete(look, end)
        ))
        .number("resistance_least", LEAST.si(), "m2.K/W")
}
