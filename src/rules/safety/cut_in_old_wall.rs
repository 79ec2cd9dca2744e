//! A slot to be cut in a wall that stands already: dust, and what may be in it.

use crate::base::finding::{Finding, Weight};
use crate::rules::facts::JointLook;
use crate::rules::facts::class;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "safety/cut-in-old-wall",
    summary: "a slot to be cut in an old wall",
    weight: Weight::Watch,
    page: include_str!("cut_in_old_wall.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for link in look.joint.links.iter().filter(|l| l.verb == Verb::TucksInto) {
        let Some(object) = link.object else { continue };
        let stands = look.surface(object.thing).is_some_and(|s| s.facts.existing)
            || look.layer(object.thing).is_some_and(|l| l.words.existing)
            || look.piece(object.thing).is_some_and(|p| p.shape.existing);
        if !stands || !look.material(object.thing).is_some_and(|m| class::masonry(m) || class::plaster(m)) {
            continue;
        }
        let name = look.name(object.thing);
        let detail = "Sawing stone, brick and mortar sets free dust that scars lungs; old coats may hold lead, old mastic and \
                      fill asbestos. A slot deeper than a sixth of a bearing wall needs an engineer (a UK masonry rule, from \
                      memory). Source: 29 CFR 1926.1153 table 1, 40 CFR 745 and 40 CFR 61 subpart M (all from memory). Local \
                      rules decide.";
        sink.found(
            Finding::new(RULE.id, Weight::Watch, link.verb_span, format!("a slot has to be cut in old `{name}`"))
                .detail(detail)
                .help("test old coats first; cut wet or with a shroud and vacuum, and wear a fitted mask"),
        );
    }
}
