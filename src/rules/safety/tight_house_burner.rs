//! A tight building in which an old burner may stand.

use crate::base::finding::{Finding, Weight};
use crate::model::Job;
use crate::model::joint::{Joint, Thing};
use crate::rules::facts::section::stands;
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::JointKind;

pub(super) const RULE: Rule = Rule {
    id: "safety/tight-house-burner",
    summary: "an old or chimneyed building made tight",
    weight: Weight::Watch,
    page: include_str!("tight_house_burner.md"),
    run: Run::Job(run),
};

/// Air changes an hour at 50 Pa below which a building needs a fan: International Residential Code R303.4 of 2021 (from
/// memory).
const TIGHT: f64 = 5.0;

fn run(job: &Job, sink: &mut Sink) {
    let Some(said) = job.airtight.filter(|a| a.value < TIGHT) else { return };
    let old = job.surfaces.iter().any(|s| s.layers.iter().any(|l| stands(s, l)));
    let flue = job.joints.iter().find(|j| chimney(job, j));
    if !old && flue.is_none() {
        return;
    }
    let mut finding = Finding::new(
        RULE.id,
        Weight::Watch,
        said.span,
        format!("at {} ach50 a burner that draws room air can spill its smoke", said.value),
    )
    .detail(format!(
        "A hood or dryer pulls the air it cannot get through the walls down the flue, and carbon monoxide with it. \
         Below {TIGHT} ach50 a building needs a ventilating fan, and what burns in it air of its own: International \
         Residential Code R303.4 of 2021 and its chapters on fuel gas (from memory). A licensed heating trade tests \
         it; carbon monoxide alarms stay."
    ))
    .help(
        "have the draft of every burner tested with all fans on, before and after; use sealed ones, and add a \
         ventilator",
    )
    .number("ach50", said.value, "1/h");
    if let Some(flue) = flue {
        finding = finding.also(flue.span, "a chimney passes here");
    }
    sink.found(finding);
}

fn chimney(job: &Job, joint: &Joint) -> bool {
    let look = JointLook::new(job, joint);
    joint.kind == JointKind::Penetration && look.material(Thing::Piece(0)).is_some_and(class::masonry)
}
