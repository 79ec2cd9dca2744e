//! How far a lap of two materials has to reach, and where that figure comes from.
//!
//! A pair for which no figure is known takes what setting out may lose. Invariant: laps that a rule of their own judges have no figure here: on masonry, over the seam, upright laps of sheets,
//! counterflashings.

use super::edge::{bonded, flashing, porous, same, sheet};
use super::seam;
use crate::base::finding::Weight;
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::catalog::Material;
use crate::graph::gravity::Lap;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, class};
use crate::syntax::ast::{JointKind, SurfaceKind, Verb};

/// Level laps of sheets on a wall, IRC section R703.2 (read).
const LEVEL: Length = Length::new(2.0 * INCH);
/// The same in the United Kingdom, NHBC Standards 6.2.13 (read); taken everywhere where rain is driven hard.
const LEVEL_BRITISH: Length = Length::new(0.1);
/// Loose laps of sheets on a roof of little slope. Common practice, no source.
const LOW_SLOPE: Length = Length::new(6.0 * INCH);
/// Under this slope, rise over run, a roof's laps stay wet for long. Common practice, no source.
const LITTLE: f64 = 3.0 / 12.0;
/// Strips that stick, pans, metal over metal, roofing over flashings. Common practice, no source.
const USUAL: Length = Length::new(2.0 * INCH);
/// Metal over the face of what lies below it, and anything over the frame of a unit. Common practice, no source; NBC of
/// Canada 9.27.3.8 asks for 10 mm (from memory).
const OVER_FACE: Length = Length::new(0.75 * INCH);

/// What the setting out of any lap may lose. Common practice, no source.
const ANY: Length = Length::new(0.5 * INCH);

/// The least depth of a slot, as `water/shallow-slot` has it.
const SLOT: Length = Length::new(0.025);

/// What a lap has to reach, and why.
pub(super) struct Least {
    pub length: Length,
    pub why: &'static str,
    pub weight: Weight,
}

/// What this lap has to reach; none where no figure is known for the pair or another rule has it.
pub(super) fn least(look: &JointLook<'_>, link: &Link, under: Thing) -> Option<Least> {
    let lap = look.lap(link);
    let (over, below) = (look.material(link.subject.thing)?, look.material(under)?);
    let glued = bonded(look, link) || link.hold.sealed;
    let upright = lap == Lap::Upright && look.joint.kind == JointKind::Joint && sheet(over);
    if lap == Lap::Reversed || upright || counterflashing(look, link) || in_slot(look, link, under) {
        return None;
    }
    let any = || link.length.is_some().then(|| usual(ANY, ""));
    of_pair(look, link, under, (over, below), glued).or_else(any)
}

/// The figure for the pair, where there is one.
fn of_pair(
    look: &JointLook<'_>,
    link: &Link,
    under: Thing,
    (over, below): (&'static Material, &'static Material),
    glued: bool,
) -> Option<Least> {
    if class::unit(below) {
        return (flashing(over) || sheet(over)).then(|| usual(OVER_FACE, "over the frame of a unit"));
    }
    if porous(below) {
        return class::metal(over).then(|| usual(OVER_FACE, "over the face below"));
    }
    if sheet(over) && !glued {
        return (look.lap(link) == Lap::Sheds).then(|| of_sheets(look, link, under));
    }
    let skin = |m: &Material| flashing(m) || sheet(m) || class::roofing(m);
    match over.kind() {
        "coating" => None,
        _ if class::roofing(over) => skin(below).then(|| usual(USUAL, "roofing over a flashing")),
        "metal" if !skin(below) => Some(usual(OVER_FACE, "metal over the face below")),
        "metal" => Some(usual(USUAL, "metal over metal, sheets or roofing")),
        // A clamp holds a collar whatever it laps.
        _ if flashing(over) && !link.hold.clamped => Some(usual(USUAL, "strips, pans and collars")),
        _ => None,
    }
}

/// The common habit of the trade.
fn usual(length: Length, what: &'static str) -> Least {
    let why = match what {
        "over the frame of a unit" => {
            "over the frame of a unit the trade laps 1 in, 3/4 in at the least (common practice, no source)"
        }
        "roofing over a flashing" => "roofing laps flashings by 4 in, 2 in at the least (common practice, no source)",
        "strips, pans and collars" => "strips, pans and collars hold from 2 in on (common practice, no source)",
        "metal over metal, sheets or roofing" => {
            "metal laps metal, sheets and roofing by 2 in at the least, as drip edges do (IRC R905.2.8.5, from memory; else \
             common practice, no source)"
        }
        "" => "setting out alone may lose 1/2 in (13 mm) (common practice, no source)",
        _ => {
            "metal covers the face below by 3/4 in or more (common practice, no source; NBC of Canada 9.27.3.8 asks for 10 mm, \
             from memory)"
        }
    };
    // Metal keeps some rain out over any lap: a habit of the trade is no reason to tear it off. Nor is what no figure is known for.
    let light = ["metal over metal, sheets or roofing", ""].contains(&what);
    Least { length, why, weight: if light { Weight::Watch } else { Weight::Fix } }
}

/// What sits in a slot or is fastened to the wall above is a counterflashing.
fn counterflashing(look: &JointLook<'_>, link: &Link) -> bool {
    let thing = link.subject.thing;
    look.joint.links.iter().any(|l| l.verb == Verb::TucksInto && same(l.subject.thing, thing))
        && look
            .joint
            .links
            .iter()
            .any(|l| l.verb == Verb::TurnsUp && link.object.is_some_and(|o| same(l.subject.thing, o.thing)))
}

/// What comes out over a flashing that sits in the same slot laps it in there, under the course: as far as a slot is deep.
fn in_slot(look: &JointLook<'_>, link: &Link, under: Thing) -> bool {
    let slotted = look.joint.links.iter().any(|l| l.verb == Verb::TucksInto && same(l.subject.thing, under));
    slotted && link.length.as_ref().is_some_and(|l| !super::falls_short(l.low(), SLOT))
}

fn of_sheets(look: &JointLook<'_>, link: &Link, under: Thing) -> Least {
    // What is turned up stands on the wall: its lap is no lap of the roof.
    let up = |t: Thing| look.joint.links.iter().any(|l| l.verb == Verb::TurnsUp && same(l.subject.thing, t));
    let flat = |thing: Thing| {
        let surface = look.surface(thing).filter(|_| !up(thing));
        surface.is_some_and(|s| {
            s.kind == SurfaceKind::Roof && s.facts.slope.as_ref().is_some_and(|v| v.low().si() < LITTLE)
        })
    };
    let laid_on = |m: &Material| sheet(m) || class::metal(m);
    if (flat(link.subject.thing) || flat(under)) && look.material(under).is_some_and(laid_on) {
        return Least {
            length: LOW_SLOPE,
            why: "a loose lap on a roof under 3:12 stays wet for long (common practice, no source)",
            weight: Weight::Fix,
        };
    }
    if seam::british(look) {
        return Least {
            length: LEVEL_BRITISH,
            why: "level laps of sheets reach that far (NHBC Standards 6.2.13, read)",
            weight: Weight::Stop,
        };
    }
    if seam::severe(look) && link.length.as_ref().is_some_and(|l| !super::falls_short(l.low(), LEVEL)) {
        return Least {
            length: if look.job.metric { LEVEL_BRITISH } else { Length::new(4.0 * INCH) },
            why: "in hard rain a loose lap takes the figure of NHBC Standards 6.2.13 (read; its use elsewhere common \
                  practice, no source)",
            weight: Weight::Fix,
        };
    }
    Least {
        length: LEVEL,
        why: "level laps of sheets reach that far (IRC 2015 section R703.2, read in a state's text)",
        weight: Weight::Stop,
    }
}
