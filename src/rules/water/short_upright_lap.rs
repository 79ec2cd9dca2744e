//! A lap of sheets at an upright seam that is too short.

use super::edge::{bonded, porous, sheet};
use super::{falls_short, laps, name, reach, seam, show, weigh};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::graph::gravity::Lap;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::JointKind;

pub(super) const RULE: Rule = Rule {
    id: "water/short-upright-lap",
    summary: "an upright lap of sheets too short against wind",
    weight: Weight::Stop,
    page: include_str!("short_upright_lap.md"),
    run: Run::Joint(run),
};

/// Upright laps of loose sheets, IRC section R703.2 (read).
const LOOSE: Length = Length::new(6.0 * INCH);
/// The same in the United Kingdom, NHBC Standards 6.2.13 (read).
const LOOSE_BRITISH: Length = Length::new(0.15);
/// A bonded upright lap. Common practice, no source.
const BONDED: Length = Length::new(2.0 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for (link, under) in laps(look).filter(|(link, under)| judges(look, link, *under)) {
        match reach(look, link) {
            Ok(length) if falls_short(length, least(look, link, under)) => {
                sink.found(tell(look, link, under, length));
            }
            Ok(_) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// Whether a lap is judged here. Round openings the strips have widths of their own.
pub(super) fn judges(look: &JointLook<'_>, link: &Link, under: Thing) -> bool {
    look.joint.kind == JointKind::Joint && look.lap(link) == Lap::Upright && judged(look, link, under)
}

/// Sheet on sheet or on a board; masonry and the frames of units are judged elsewhere.
fn judged(look: &JointLook<'_>, link: &Link, under: Thing) -> bool {
    let of = |thing| look.material(thing);
    of(link.subject.thing).is_some_and(sheet) && of(under).is_some_and(|m| !class::unit(m) && !porous(m))
}

/// A strip that is stuck down bridges the seam by itself: what hangs over it needs no more than a bonded lap.
fn stuck(look: &JointLook<'_>, link: &Link, under: Thing) -> bool {
    bonded(look, link)
        || link.hold.sealed
        || look.piece(under).is_some() && look.material(under).is_some_and(class::self_adhered)
}

fn least(look: &JointLook<'_>, link: &Link, under: Thing) -> Length {
    match (stuck(look, link, under), seam::british(look)) {
        (true, _) => BONDED,
        (false, true) => LOOSE_BRITISH,
        (false, false) => LOOSE,
    }
}

fn tell(look: &JointLook<'_>, link: &Link, under: Thing, length: Length) -> Finding {
    let stuck = stuck(look, link, under);
    let (has, needs) = (show(look, length), show(look, least(look, link, under)));
    let (over, below) = (look.name(link.subject.thing), look.name(under));
    let (weight, why) = match (stuck, seam::british(look)) {
        (true, _) => {
            (Weight::Fix, "a bonded strip that narrow starts to peel at its edges (common practice, no source)")
        }
        (false, true) => (Weight::Stop, "upright laps of loose sheets reach that far (NHBC Standards 6.2.13, read)"),
        (false, false) => (
            Weight::Stop,
            "upright laps of loose sheets reach that far (IRC 2015 section R703.2, read in a state's text)",
        ),
    };
    Finding::new(
        RULE.id,
        weigh(look, weight),
        link.length_span.unwrap_or(link.verb_span),
        format!("`{}` laps `{}` by {has}, less than {needs}", name(look, link.subject.thing), name(look, under)),
    )
    .label("wind drives water sideways")
    .detail(format!("Nothing but its width keeps water out of an upright lap: {why}."))
    .help(if stuck {
        format!("write `{over} laps over {below} {needs}`")
    } else {
        format!("write `{over} laps over {below} {needs}`, or `, taped` where {} can be had", show(look, BONDED))
    })
    .number("lap", length.si(), "m")
    .number("least_lap", least(look, link, under).si(), "m")
}
