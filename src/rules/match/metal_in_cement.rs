//! Bare aluminum or zinc let into mortar, or against concrete.

use super::metals;
use crate::base::finding::{Finding, Weight};
use crate::rules::facts::JointLook;
use crate::rules::facts::class;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "match/metal-in-cement",
    summary: "bare aluminum or zinc in mortar or concrete",
    weight: Weight::Stop,
    page: include_str!("metal_in_cement.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for link in &look.joint.links {
        let weight = match link.verb {
            Verb::TucksInto => Weight::Stop,
            Verb::Touches => Weight::Fix,
            _ => continue,
        };
        let Some(object) = link.object else { continue };
        let (Some(metal), Some(face)) = (look.material(link.subject.thing), look.material(object.thing)) else {
            continue;
        };
        let mortar = class::masonry(face) || class::plaster(face);
        let bare = metal.family() == "aluminum" || metal.family() == "zinc";
        if !mortar || !bare || !metals::light(metal) || look.piece(link.subject.thing).is_some_and(|p| p.shape.coated) {
            continue;
        }
        let name = look.name(link.subject.thing);
        let detail = format!(
            "Fresh and damp cement is strongly alkaline and eats {}. Source: a metal roofing code of practice (aluminum: \
             read; zinc: from memory).",
            metal.key()
        );
        sink.found(
            Finding::new(RULE.id, weight, link.subject.span, format!("bare `{name}` stands in cement"))
                .also(object.span, "mortar or concrete")
                .detail(detail)
                .help(format!("coat `{name}` and write `painted`, or take stainless steel, copper or lead")),
        );
    }
}
