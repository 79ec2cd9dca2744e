//! A slot in masonry too shallow to keep what is tucked into it, or with nothing in it that keeps it there.

use super::edge::porous;
use super::{falls_short, name, seam, show, weigh};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "water/shallow-slot",
    summary: "a slot too shallow to keep what is tucked into it",
    weight: Weight::Stop,
    page: include_str!("shallow_slot.md"),
    run: Run::Joint(run),
};

/// Full depth of a saw cut, sheet-metal manuals (from memory).
const FULL: Length = Length::new(INCH);
/// From here on it is built into the bed joint as the wall goes up, and the mortar closes it. Common practice, no source.
const BUILT_IN: Length = Length::new(2.0 * INCH);
/// What a wedge still holds in. Common practice, no source.
const LEAST: Length = Length::new(0.75 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !seam::wet(look) {
        return;
    }
    for (link, into) in look.joint.links.iter().filter_map(|l| slot(look, l)) {
        let Some(depth) = &link.length else {
            if !link.unread {
                sink.found(tell(look, link, into, None));
            }
            continue;
        };
        match look.least(depth, &format!("the depth of the slot in `{}`", look.name(into)), link.span) {
            Ok(depth) if falls_short(depth, FULL) => sink.found(tell(look, link, into, Some(depth))),
            Ok(depth) if open(look, link) && depth < BUILT_IN => sink.found(tell_open(look, link, into)),
            Ok(_) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// Whether metal sits in a slot that neither sealant nor mortar closes.
fn open(look: &JointLook<'_>, link: &Link) -> bool {
    let hold = &link.hold;
    let closed = hold.sealed || hold.pointed || hold.bonded || hold.taped || link.with.is_some() || link.unread;
    !closed && look.material(link.subject.thing).is_some_and(class::metal)
}

fn tell_open(look: &JointLook<'_>, link: &Link, into: Thing) -> Finding {
    Finding::new(
        RULE.id,
        weigh(look, Weight::Fix),
        link.verb_span,
        format!("nothing closes the slot for `{}` in `{}`", name(look, link.subject.thing), name(look, into)),
    )
    .label("neither sealed nor pointed")
    .detail(
        "Water that runs down the face goes into an open slot and behind the metal. A slot is wedged, and then sealed or \
         pointed (sheet-metal manuals, from memory).",
    )
    .help(format!("add `, wedged, sealed` or `, wedged, pointed` to `{} tucks into`", look.name(link.subject.thing)))
}

/// Something tucked into brick, stone, concrete or render.
fn slot<'a>(look: &JointLook<'a>, link: &'a Link) -> Option<(&'a Link, Thing)> {
    let into = link.object?.thing;
    let cut = link.verb == Verb::TucksInto && !link.not_shown && look.material(into).is_some_and(porous);
    (cut && !seam::inside(look, into)).then_some((link, into))
}

fn tell(look: &JointLook<'_>, link: &Link, into: Thing, depth: Option<Length>) -> Finding {
    let full = show(look, FULL);
    let least = depth.is_none_or(|d| falls_short(d, LEAST));
    let weight = if least { Weight::Stop } else { Weight::Fix };
    let has = depth.map_or_else(|| "no written depth".to_string(), |d| show(look, d));
    let finding = Finding::new(
        RULE.id,
        weigh(look, weight),
        link.length_span.unwrap_or(link.verb_span),
        format!("the slot for `{}` in `{}` has {has}", name(look, link.subject.thing), name(look, into)),
    )
    .label(format!("needs {full}"))
    .detail(format!(
        "A wedge holds from {} on (common practice, no source), and {full} leaves room for the fold, the wedge and the \
         bead (sheet-metal manuals, from memory). In a score the metal hangs on its sealant alone.",
        show(look, LEAST)
    ))
    .help(format!(
        "cut it {full} deep, sloped up into the wall: `{} tucks into {} {full}, wedged, sealed`; or use a bar and a cover",
        look.name(link.subject.thing),
        look.name(into)
    ))
    .number("least_depth", FULL.si(), "m");
    depth.map_or(finding.clone(), |d| finding.number("depth", d.si(), "m"))
}
