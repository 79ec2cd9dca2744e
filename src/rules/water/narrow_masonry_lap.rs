//! A membrane that is glued to masonry on too narrow a band.

use super::edge::{bonded, porous};
use super::{falls_short, laps, name, reach, seam, show, weigh};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "water/narrow-masonry-lap",
    summary: "a membrane bonded to masonry on too narrow a band",
    weight: Weight::Stop,
    page: include_str!("narrow_masonry_lap.md"),
    run: Run::Joint(run),
};

/// Each side of a transition, a guide on air barriers (quoted).
const LEAST: Length = Length::new(3.0 * INCH);
/// Where water stands or is driven. Common practice, no source.
const WET: Length = Length::new(6.0 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for (link, under) in laps(look).filter(|(link, under)| judged(look, link, *under)) {
        match reach(look, link) {
            Ok(length) => sink.findings.extend(find(look, link, under, length)),
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// What sticks to brick, block, stone, concrete or render on its weather side.
pub(super) fn judged(look: &JointLook<'_>, link: &Link, under: Thing) -> bool {
    let glued = bonded(look, link) && look.material(link.subject.thing).is_some_and(class::membrane);
    glued && look.material(under).is_some_and(porous)
}

fn find(look: &JointLook<'_>, link: &Link, under: Thing, length: Length) -> Option<Finding> {
    let wet = seam::buried(look) || seam::severe(look);
    let short = |least: Length| falls_short(length, least);
    let (least, weight, why) = if short(LEAST) {
        let needs = if wet { WET } else { LEAST };
        (needs, Weight::Stop, "a bond that narrow does not bridge the face's pits (a transition guide, quoted)")
    } else if wet && short(WET) {
        (WET, Weight::Watch, "in soil and hard rain water creeps under a narrow bond (common practice, no source)")
    } else {
        return None;
    };
    let (has, needs) = (show(look, length), show(look, least));
    let finding = Finding::new(
        RULE.id,
        weigh(look, weight),
        link.length_span.unwrap_or(link.verb_span),
        format!("`{}` holds to `{}` on {has} only", name(look, link.subject.thing), name(look, under)),
    )
    .label(format!("needs {needs}"))
    .detail(format!("It has {has} and needs {needs}: {why}."))
    .help(format!(
        "write `{} laps over {} {needs}`, on a face that is clean and primed",
        look.name(link.subject.thing),
        look.name(under)
    ))
    .number("lap", length.si(), "m")
    .number("least_lap", least.si(), "m");
    Some(finding)
}
