//! A bead of sealant that sticks to the bottom of its seam as well.

use crate::base::finding::{Finding, Weight};
use crate::rules::facts::JointLook;
use crate::rules::facts::class;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "match/three-sided-bond",
    summary: "a moving bead with nothing behind it",
    weight: Weight::Fix,
    page: include_str!("three_sided_bond.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for link in &look.joint.links {
        let Some(sealant) = link.with.as_ref().and_then(|s| s.material) else { continue };
        let bead = link.verb == Verb::SealsTo && class::sealant(sealant) && link.bead.wide.is_some();
        // Foam fills its seam; a tape that swells has no bottom to stick to.
        let filler = matches!(sealant.key(), "gun-foam" | "foam-tape");
        if !bead || filler || link.bead.backed || link.not_shown || link.unread {
            continue;
        }
        let rod = look
            .joint
            .pieces
            .iter()
            .any(|p| p.stuff.as_ref().and_then(|s| s.material).is_some_and(|m| m.key() == "backer-rod"));
        if rod {
            continue;
        }
        let detail = "A bead that sticks to both sides and to the bottom cannot stretch and tears in its first winter. A backer \
                      rod a quarter to a half thicker than the seam, or bond-breaker tape where there is no depth, frees it. \
                      Source: a handbook of sealants (read); size of the rod: common practice, no source.";
        sink.found(
            Finding::new(
                RULE.id,
                Weight::Fix,
                link.bead_span(),
                "the bead has nothing behind it and sticks on three sides",
            )
            .detail(detail)
            .help("set a backer rod first and write `backed`"),
        );
    }
}
