//! A hole to be drilled through masonry that stands already.

use super::told_before;
use crate::base::finding::{Finding, Weight};
use crate::model::joint::Thing;
use crate::rules::facts::section::stands;
use crate::rules::facts::{JointLook, class, label, short};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::JointKind;

pub(super) const RULE: Rule = Rule {
    id: "safety/hole-in-old-wall",
    summary: "a hole to be drilled through old masonry",
    weight: Weight::Watch,
    page: include_str!("hole_in_old_wall.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let Some(host) = look.joint.surface(look.job, 0).filter(|_| look.joint.kind == JointKind::Penetration) else {
        return;
    };
    let Some(pipe) = look.joint.pieces.first().filter(|p| !p.shape.existing) else { return };
    let masonry = |at: usize| {
        let thing = Thing::Layer { end: 0, layer: at, half: None, part: None };
        look.material(thing).is_some_and(|m| class::masonry(m) || class::plaster(m))
    };
    let old = host.layers.iter().enumerate().find(|(at, l)| stands(host, l) && masonry(*at));
    let Some((_, layer)) = old.filter(|_| !told_before(look.job, look.joint)) else { return };
    sink.found(
        Finding::new(
            RULE.id,
            Weight::Watch,
            pipe.span,
            format!("old `{}` has to be drilled for `{}`", label(layer), short(&pipe.name)),
        )
        .also(layer.stuff_span, "stands already")
        .detail(
            "Drilling stone, brick and concrete sets free dust that scars lungs: 29 CFR 1926.1153 table 1 asks for \
             water or a shroud with a vacuum (from memory). Old walls hide cables, gas and water lines; bars or \
             strands that are cut take strength from concrete (common practice, no source). Local rules and an \
             engineer decide.",
        )
        .help("scan for lines and steel, switch off, drill wet or with a vacuum, and wear a fitted mask"),
    );
}
