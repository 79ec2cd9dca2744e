//! Something glued to a face that was damp.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Bond;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/damp-face",
    summary: "an adhesive on a damp face",
    weight: Weight::Stop,
    page: include_str!("damp_face.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for link in &look.joint.links {
        let Some(damp) = link.face.damp else { continue };
        let subject = look.material(link.subject.thing);
        let tolerant = subject.is_some_and(|m| m.family() == "silyl-polymer" && m.bond() == Bond::Liquid);
        if tolerant || link.tested_pair {
            continue;
        }
        let name = look.name(link.subject.thing);
        let detail = "Water under an adhesive keeps it from wetting the face, and the bond fails later in blisters. A plastic \
                      sheet taped on overnight (ASTM D4263, read; 16 h from memory) must stay free of beads and of a dark \
                      patch; wood at 19 % or less (common practice, no source).";
        sink.found(
            Finding::new(RULE.id, Weight::Stop, damp, format!("`{name}` is glued to a damp face"))
                .also(link.subject.span, "what is glued")
                .detail(detail)
                .help("let it dry until a taped plastic sheet stays clear overnight, then write `dry`"),
        );
    }
}
