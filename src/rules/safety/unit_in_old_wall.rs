//! A new window or door in a wall that stands already: old paint, old putty, and what the opening carries.

use super::told_before;
use crate::base::finding::{Finding, Weight};
use crate::rules::facts::{JointLook, short};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::JointKind;

pub(super) const RULE: Rule = Rule {
    id: "safety/unit-in-old-wall",
    summary: "a new window or door in an old wall",
    weight: Weight::Watch,
    page: include_str!("unit_in_old_wall.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let host = look.joint.surface(look.job, 0).filter(|s| s.facts.existing);
    let unit = look.joint.pieces.first().filter(|p| !p.shape.existing);
    let (Some(host), Some(unit)) = (host.filter(|_| look.joint.kind == JointKind::Opening), unit) else { return };
    if told_before(look.job, look.joint) {
        return;
    }
    sink.found(
        Finding::new(
            RULE.id,
            Weight::Watch,
            unit.span,
            format!("`{}` goes into old `{}`: test its paint", short(&unit.name), short(&host.name)),
        )
        .detail(
            "Coats from before 1978 may hold lead; in the US taking out a window counts as lead work however small \
             it is: EPA renovation, repair and painting rule (quoted). Putty and sealant of that time may hold \
             asbestos or PCB (from memory). A hole that is cut or widened takes the support from what is above it: \
             an engineer says how it is carried.",
        )
        .help("test paint and putty first; contain and vacuum; prop before cutting, by an engineer's drawing"),
    );
}
