//! A flashing that ends behind the face.

use super::part::{does, either, flashing, name, weigh, wet};
use crate::base::finding::{Finding, Weight};
use crate::model::joint::{Link, Thing};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "water/short-of-face",
    summary: "a flashing that ends behind the face it has to drain past",
    weight: Weight::Stop,
    page: include_str!("short_of_face.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !wet(look) {
        return;
    }
    for link in look.joint.links.iter().filter(|l| l.verb == Verb::StopsShort && !l.not_shown) {
        let thing = link.subject.thing;
        if matches!(thing, Thing::Piece(_) | Thing::Other { .. }) && flashing(look, thing) && !carried_on(look, thing) {
            sink.found(tell(look, link));
        }
    }
}

/// Whether the piece lies on another that does reach the face: a metal edge under a sheet.
fn carried_on(look: &JointLook<'_>, thing: Thing) -> bool {
    let reaches = |t: Thing| does(look, t, Verb::RunsPast) || does(look, t, Verb::RunsTo);
    reaches(thing)
        || look
            .joint
            .links
            .iter()
            .filter(|l| l.verb == Verb::LapsOver && l.subject.thing == thing)
            .any(|l| l.object.is_some_and(|o| reaches(o.thing)))
}

fn tell(look: &JointLook<'_>, link: &Link) -> Finding {
    let subject = name(look, link.subject.thing);
    let object = link.object.map(|o| name(look, o.thing)).unwrap_or_default();
    let (past, range) = (either(look, "10 mm", "3/8 in"), either(look, "6 to 13 mm", "1/4 to 1/2 in"));
    let existing = look.piece(link.subject.thing).is_some_and(|p| p.shape.existing);
    let finding = Finding::new(
        RULE.id,
        weigh(existing, Weight::Stop),
        link.verb_span,
        format!("`{subject}` ends behind the face of `{object}`"),
    )
    .label("water turns back here")
    .detail(format!(
        "What runs off its hidden edge goes back into the wall. A flashing reaches the face of the finish (IRC 2021 R703.4, \
         quoted) and {range} past it with a drip (usual figure: common practice; an institute detail with a drip edge, read)."
    ))
    .help(format!(
        "write `{subject} runs past {object} {past}` and give it a `drip`; under a sheet, lap it over a metal edge that does"
    ));
    match &link.length {
        Some(length) => finding.number("short_by", length.low().si(), "m"),
        None => finding,
    }
}
