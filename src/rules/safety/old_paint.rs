//! Grinding or gluing on an old coat of paint, which may hold lead.

use crate::base::finding::{Finding, Weight};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "safety/old-paint",
    summary: "work on an old coat of paint",
    weight: Weight::Watch,
    page: include_str!("old_paint.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for link in &look.joint.links {
        let Some(painted) = link.face.painted else { continue };
        let stands = link.object.is_some_and(|o| look.surface(o.thing).is_some_and(|s| s.facts.existing));
        if !stands {
            continue;
        }
        let detail = "Coats from before 1978 may hold lead. In the US more than 6 ft2 in a room or 20 ft2 outside needs \
                      certified lead-safe work. Source: EPA renovation, repair and painting rule (quoted). Elsewhere ask first.";
        sink.found(
            Finding::new(RULE.id, Weight::Watch, painted, "an old coat has to come off: it may hold lead")
                .detail(detail)
                .help("test the coat before grinding; contain and vacuum, never dry-sand"),
        );
    }
}
