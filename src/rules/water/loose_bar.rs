//! A bar that is fastened too far apart to press an edge down.

use super::edge::same;
use super::{name, seam, show, weigh};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, Missing};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "water/loose-bar",
    summary: "a bar over an edge, fastened too far apart",
    weight: Weight::Stop,
    page: include_str!("loose_bar.md"),
    run: Run::Joint(run),
};

/// Up to here a bar presses all along. Common practice, no source.
const TIGHT: Length = Length::new(8.0 * INCH);
/// From here it gapes between its fasteners. Common practice, no source.
const GAPING: Length = Length::new(12.0 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !seam::wet(look) {
        return;
    }
    for link in look.joint.links.iter().filter(|l| fastened(look, l)) {
        match find(look, link) {
            Ok(found) => sink.findings.extend(found),
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// How a thing under which some edge lies is fastened.
fn fastened(look: &JointLook<'_>, link: &Link) -> bool {
    let bar = |thing: Thing| look.joint.links.iter().any(|l| l.hold.edge_under.is_some_and(|p| same(p.thing, thing)));
    matches!(link.verb, Verb::FastensTo | Verb::FastensThrough) && !link.not_shown && bar(link.subject.thing)
}

fn find(look: &JointLook<'_>, link: &Link) -> Result<Option<Finding>, Missing> {
    let Some(spacing) = &link.spacing else { return Ok(None) };
    if spacing.axis().is_some() && spacing.low() <= Length::ZERO {
        let bar = look.name(link.subject.thing);
        return Err(Missing::new(link.span, format!("the spacing of the fasteners of `{bar}` is not known")));
    }
    // The wider end of a range is the one that gapes.
    let pitch = spacing.high();
    if pitch.si() <= TIGHT.si() + 5e-3 {
        return Ok(None);
    }
    let gaping = pitch.si() > GAPING.si() + 5e-3;
    let weight = if gaping { Weight::Stop } else { Weight::Fix };
    let (has, needs) = (show(look, pitch), show(look, TIGHT));
    let finding = Finding::new(
        RULE.id,
        weigh(look, weight),
        link.span,
        format!("`{}` is fastened every {has}: it gapes in between", name(look, link.subject.thing)),
    )
    .label(format!("needs {needs}"))
    .detail(format!(
        "A bar presses the edge under it as far as its fasteners reach: up to {needs} apart it holds all along, past {} \
         it bows off the wall (common practice, no source).",
        show(look, GAPING)
    ))
    .help(format!("fasten it `at {needs} oc`, and an inch from its ends"))
    .number("spacing", pitch.si(), "m")
    .number("most_spacing", TIGHT.si(), "m");
    Ok(Some(finding))
}
