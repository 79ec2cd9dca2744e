//! Something that burns against a masonry chimney.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::JointLook;
use crate::rules::facts::class;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{JointKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "safety/chimney-gap",
    summary: "something that burns against a chimney",
    weight: Weight::Stop,
    page: include_str!("chimney_gap.md"),
    run: Run::Joint(run),
};

/// Outside the walls of the house, the lesser of the two figures: International Residential Code R1003.18 (from memory).
const LEAST: Length = Length::new(0.96 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if look.joint.kind != JointKind::Penetration {
        return;
    }
    let chimney = Thing::Piece(0);
    if !look.material(chimney).is_some_and(class::masonry) {
        return;
    }
    for link in look.joint.links_of(chimney).filter(|l| against(l)) {
        let Some(other) = link.other(chimney) else { continue };
        let burns = |m: &crate::catalog::Material| {
            class::wood(m) || matches!(m.family(), "polystyrene" | "polyurethane" | "polyiso" | "paper" | "cellulose")
        };
        if !look.material(other.thing).is_some_and(burns) {
            continue;
        }
        let name = look.name(other.thing);
        let detail = "A chimney that is in use heats what touches it until it lights. Framing and foam keep 2 in (50 mm) from a \
                      masonry chimney inside the house and 1 in (25 mm) outside its walls, closed with metal. Source: \
                      International Residential Code R1003.18 (from memory). The code official decides; a flue out of use \
                      must be proved to be so.";
        sink.found(
            Finding::new(RULE.id, Weight::Stop, other.span, format!("`{name}` burns and lies against the chimney"))
                .detail(detail)
                .help("keep it 2 in (50 mm) away and close the gap with sheet metal"),
        );
    }
}

/// Whether a sentence leaves no gap, or one that is surely too narrow outdoors already.
fn against(link: &Link) -> bool {
    match link.verb {
        Verb::Touches | Verb::Butts | Verb::SealsTo | Verb::Fills => true,
        Verb::Clears => link.length.as_ref().is_some_and(|l| l.high() < LEAST),
        _ => false,
    }
}
