//! Hold points: where the work stops for a look before the next thing covers what was done.
//!
//! Before bonding: the face. Before cover: laps and edges. Before cladding: water from a hose. Before lining: smoke. All of
//! it common practice, no source, but the moisture of wood: 19 % (a new-home builders' standard, read).
//! Invariant: a hold stands on the last step before what it protects, and only where there is such work.

use super::exposure::{material_of, rained_on, sensitive, sticks};
use super::holds::bonds_by_nature;
use super::order::Step;
use super::stages::Stage;
use super::words::name;
use crate::catalog::Material;
use crate::model::Job;
use crate::model::joint::{Joint, Link, Thing};
use crate::syntax::ast::Verb;

/// Puts the hold points on the steps.
pub(super) fn put(job: &Job, joint: &Joint, steps: &mut [Step]) {
    let points = [face(job, joint, steps), laps(job, joint, steps), hose(job, joint, steps), smoke(job, joint, steps)];
    for (at, words) in points.into_iter().flatten() {
        let Some(step) = steps.get_mut(at) else { continue };
        step.hold = Some(match step.hold.take() {
            Some(before) => format!("{before}; then {words}"),
            None => words,
        });
    }
}

/// The step before the first that `wanted` picks.
fn before(steps: &[Step], wanted: impl Fn(&Step) -> bool) -> Option<usize> {
    steps.iter().position(wanted)?.checked_sub(1)
}

/// Before anything is stuck to masonry, concrete or what stands already.
fn face(job: &Job, joint: &Joint, steps: &[Step]) -> Option<(usize, String)> {
    let stuck = |link: &Link| {
        let hold = &link.hold;
        link.verb == Verb::LapsOver && (hold.bonded || hold.torched || hold.sealed || bonds_by_nature(job, joint, link))
    };
    let rough = |thing: Thing| {
        let old = steps.iter().any(|s| s.thing == thing && s.stage == Stage::Existing);
        old || material_of(job, joint, thing).is_some_and(|m: &Material| matches!(m.kind(), "masonry" | "concrete"))
    };
    let asks = |step: &Step| {
        step.stage > Stage::Existing
            && step
                .links
                .iter()
                .filter_map(|i| joint.links.get(*i))
                .any(|l| l.subject.thing == step.thing && stuck(l) && l.object.is_some_and(|o| rough(o.thing)))
    };
    let at = before(steps, asks)?;
    let onto = steps
        .get(at + 1)?
        .links
        .iter()
        .filter_map(|i| joint.links.get(*i))
        .find_map(|l| l.object.map(|o| o.thing).filter(|o| stuck(l) && rough(*o)))?;
    let face = name(job, joint, onto);
    let words = format!(
        "the face of `{face}` is sound, bare, dry and brushed clean; stick a test patch on it and peel it after a day"
    );
    Some((at, words))
}

/// Whether something's edge lies under a step's piece.
fn holds_an_edge(joint: &Joint, step: &Step) -> bool {
    joint.links.iter().any(|l| l.hold.edge_under.is_some_and(|bar| bar.thing == step.thing))
}

/// After the last strip or membrane that is tied at the joint, before anything hides it.
fn laps(job: &Job, joint: &Joint, steps: &[Step]) -> Option<(usize, String)> {
    let skin = |s: &Step| {
        let sheet = material_of(job, joint, s.thing).is_some_and(|m| sticks(m) || m.kind() == "membrane");
        matches!(s.stage, Stage::Membrane | Stage::Flashing)
            && (sheet && !s.links.is_empty() || holds_an_edge(joint, s))
    };
    let last = steps.iter().rposition(skin)?;
    let hidden = steps.iter().skip(last + 1).any(|s| s.stage != Stage::Inside);
    let words =
        "every lap is as long as written, its edges are down all along, with no mouth, fold or hole; take a picture";
    hidden.then(|| (last, words.to_string()))
}

/// Before the first cladding goes on over the flashings.
fn hose(job: &Job, joint: &Joint, steps: &[Step]) -> Option<(usize, String)> {
    if !rained_on(job, joint) {
        return None;
    }
    let tied = |s: &Step| !s.links.is_empty() || holds_an_edge(joint, s);
    let flashed = steps.iter().rposition(|s| matches!(s.stage, Stage::Membrane | Stage::Flashing) && tied(s))?;
    let hides = |s: &Step| matches!(s.stage, Stage::Outboard | Stage::Cladding | Stage::Cover);
    let covered = steps.iter().skip(flashed + 1).any(hides);
    let words =
        "run a hose on it from the bottom up, five minutes a stretch, while somebody looks from inside: all dry";
    covered.then(|| (flashed, words.to_string()))
}

/// Before the first lining closes the room side.
fn smoke(job: &Job, joint: &Joint, steps: &[Step]) -> Option<(usize, String)> {
    let lining = |s: &Step| s.stage == Stage::Inside && matches!(s.thing, Thing::Layer { .. });
    // A film or batt on the room side still leaves the seam in sight: the last layer is the one that shuts it in.
    let board = |s: &Step| {
        lining(s)
            && material_of(job, joint, s.thing)
                .is_some_and(|m| !matches!(m.kind(), "membrane" | "foil" | "paper" | "batt" | "loose-fill"))
    };
    let at = before(steps, board)?;
    let wood = steps.iter().take(at + 1).any(|s| joint.layer(job, s.thing).is_some_and(sensitive));
    let meter = if wood { ", and the wood reads 19 % or less" } else { "" };
    Some((at, format!("smoke along the seam with a fan drawing on the house shows no stream{meter}")))
}
