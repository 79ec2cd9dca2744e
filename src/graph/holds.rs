//! What holds a sentence against water: a lap long enough and the right way round, a bond, a held edge, a slot, a bead.
//!
//! Not here: which sentences together close a seam (defense). Invariant: what is not written holds nothing; paint holds
//! nothing ever.

use super::exposure::{material_of, sticks};
use super::laps::{Falls, Lap};
use super::station::Station;
use super::words::name;
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::catalog::Material;
use crate::model::Job;
use crate::model::joint::{Joint, Link};
use crate::model::value::Value;
use crate::syntax::ast::Verb;

/// Shortest lap that counts as one: 2 in, the least that IRC R703.2 asks of a level lap of sheets (read).
pub const LEAST_LAP: Length = Length::new(0.0508);
/// Shortest lap of formed metal or a unit's flange that counts: 1 in; common practice, no source.
pub const LEAST_METAL_LAP: Length = Length::new(0.0254);
/// Shallowest slot that counts: 1 in; common practice, no source.
pub const LEAST_SLOT: Length = Length::new(0.0254);
/// Figures are compared to a tenth of a millimetre: 25 mm is the inch of the other system less rounding.
const ROUNDING: f64 = 0.0005;

/// What holds a sentence at a station, each in words that follow the subject's name: "laps 4 in over `membrane`".
pub fn holds(falls: &Falls<'_>, link: &Link, station: Station) -> Vec<String> {
    let (job, joint) = (falls.job, falls.joint);
    let object = link.object.map(|o| name(job, joint, o.thing)).unwrap_or_default();
    if link.not_shown {
        return Vec::new();
    }
    match link.verb {
        Verb::LapsOver => lapped(falls, link, station, &object),
        Verb::SealsTo => vec![format!("is sealed to `{object}`")],
        Verb::TucksInto => tucked(job, link, &object),
        Verb::Fills if tight_fill(job, joint, link) => vec![format!("fills `{object}`")],
        Verb::Butts if link.hold.sealed || link.hold.taped || link.hold.welded => {
            vec![format!("is {} where it butts `{object}`", if link.hold.taped { "taped" } else { "sealed" })]
        }
        _ => Vec::new(),
    }
}

fn lapped(falls: &Falls<'_>, link: &Link, station: Station, object: &str) -> Vec<String> {
    let (job, joint) = (falls.job, falls.joint);
    let mut holds = Vec::new();
    if long_enough(job, joint, link) && falls.at(link, station).lap != Lap::Reversed {
        let length = link.length.as_ref().map_or_else(String::new, |l| format!(" {}", shown(job, l)));
        holds.push(format!("laps{length} over `{object}`"));
    }
    let by_nature = bonds_by_nature(job, joint, link);
    let hold = &link.hold;
    let bonded = hold.bonded || hold.taped || hold.welded || hold.torched || by_nature;
    if bonded || hold.sealed {
        let how = if hold.welded || hold.torched {
            "is welded"
        } else if bonded {
            "sticks"
        } else {
            "is sealed"
        };
        let rolled = if link.face.rolled { ", rolled" } else { "" };
        holds.push(format!("{how} to `{object}`{rolled}"));
    }
    if let Some(bar) = hold.edge_under {
        holds.push(format!("has its edge under `{}`", name(job, joint, bar.thing)));
    } else if hold.clamped {
        holds.push(format!("is clamped to `{object}`"));
    } else if bonded && hold.sealed {
        holds.push("has its edge sealed".to_string());
    }
    holds
}

fn tucked(job: &Job, link: &Link, object: &str) -> Vec<String> {
    let mut holds = Vec::new();
    if link.length.as_ref().is_some_and(|l| reaches(l, LEAST_SLOT)) {
        let depth = link.length.as_ref().map_or_else(String::new, |l| format!(" {}", shown(job, l)));
        holds.push(format!("tucks{depth} into `{object}`"));
    }
    if link.hold.sealed || link.hold.pointed {
        let how = if link.hold.pointed { "pointed" } else { "sealed" };
        holds.push(format!("is {how} into `{object}`"));
    }
    holds
}

/// Whether a lap is as long as one has to be. A length that nobody knows or wrote is none.
pub fn long_enough(job: &Job, joint: &Joint, link: &Link) -> bool {
    let formed = |m: &Material| matches!(m.kind(), "metal" | "flashing" | "frame");
    let parties = [Some(link.subject), link.object];
    let metal = parties.into_iter().flatten().any(|p| material_of(job, joint, p.thing).is_some_and(formed));
    link.length.as_ref().is_some_and(|l| reaches(l, if metal { LEAST_METAL_LAP } else { LEAST_LAP }))
}

fn reaches(length: &Value<Length>, least: Length) -> bool {
    length.low().si() >= least.si() - ROUNDING
}

/// Self-adhered, taped or liquid by nature: the subject, or what is written with the sentence.
pub fn bonds_by_nature(job: &Job, joint: &Joint, link: &Link) -> bool {
    let with = link.with.as_ref().and_then(|s| s.material);
    with.is_some_and(sticks) || material_of(job, joint, link.subject.thing).is_some_and(sticks)
}

fn tight_fill(job: &Job, joint: &Joint, link: &Link) -> bool {
    let tight = |m: &Material| matches!(m.kind(), "sealant" | "spray-foam" | "concrete" | "membrane");
    material_of(job, joint, link.subject.thing).is_some_and(tight)
}

fn shown(job: &Job, length: &Value<Length>) -> String {
    Show { metric: job.metric }.length(length.low())
}
