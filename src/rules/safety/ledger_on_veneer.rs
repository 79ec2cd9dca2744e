//! A load hung on a veneer that carries nothing but itself.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Seams;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "safety/ledger-on-veneer",
    summary: "a load hung on veneer",
    weight: Weight::Stop,
    page: include_str!("ledger_on_veneer.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for link in look.joint.links.iter().filter(|l| l.verb == Verb::FastensTo) {
        let Some(object) = link.object else { continue };
        let veneer = look.material(object.thing).is_some_and(|m| m.kind() == "cladding" && m.seams() == Seams::Units);
        // Flashings and bars weigh nothing; boards, members and plates carry something.
        let load = look
            .material(link.subject.thing)
            .is_some_and(|m| matches!(m.kind(), "lumber" | "wood-panel") || m.key() == "steel-stud");
        if !veneer || !load {
            continue;
        }
        let name = look.name(link.subject.thing);
        let detail = "A veneer is tied to the wall against wind and carries its own weight only; a ledger pulls it off. Source: \
                      International Residential Code R507.9 on ledgers (from memory) and common practice. An engineer or the \
                      code official decides.";
        sink.found(
            Finding::new(RULE.id, Weight::Stop, link.verb_span, format!("`{name}` hangs on a veneer"))
                .also(object.span, "carries itself only")
                .detail(detail)
                .help("carry it on posts of its own, or take the veneer off and fasten to the structure, flashed"),
        );
    }
}
