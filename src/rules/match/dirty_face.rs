//! Something glued to dust or to paint.

use crate::base::finding::{Finding, Weight};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/dirty-face",
    summary: "an adhesive on dust or paint",
    weight: Weight::Stop,
    page: include_str!("dirty_face.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for link in &look.joint.links {
        let (span, weight, what, help) = match (link.face.dusty, link.face.painted) {
            (Some(span), _) => {
                (span, Weight::Stop, "dust", "brush and vacuum the face, prime it, and write `clean, primed`")
            }
            (None, Some(span)) if !link.tested_pair => (
                span,
                Weight::Fix,
                "paint",
                "grind the paint off, or pull a patch that was left on for a day and write `tested pair`",
            ),
            _ => continue,
        };
        let name = look.name(link.subject.thing);
        let detail = format!(
            "An adhesive holds on to {what}, and {what} lets go of the wall. Form oil, wax, laitance and loose coats must come \
             off before waterproofing. Source: Unified Facilities guide specification 07131 (read); paint: common practice, \
             no source."
        );
        sink.found(
            Finding::new(RULE.id, weight, span, format!("`{name}` is glued to {what}"))
                .also(link.subject.span, "what is glued")
                .detail(detail)
                .help(help),
        );
    }
}
