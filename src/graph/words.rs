//! What the things and sentences of a joint are called, as the author wrote them.
//!
//! Invariant: a name comes from the text; where there is none, a plain word stands for the thing.

use super::station::Station;
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::model::Job;
use crate::model::joint::{EndOf, Joint, Link, Thing};
use crate::model::value::Value;
use crate::syntax::ast::Half;

/// A thing as the author calls it, without quotes.
pub fn name(job: &Job, joint: &Joint, thing: Thing) -> String {
    match thing {
        Thing::Layer { half, .. } => {
            format!("{}{}", half_word(half), joint.layer(job, thing).map_or("layer", |l| l.label.as_str()))
        }
        Thing::Surface { end, half } => format!("{}{}", half_word(half), end_name(job, joint, end)),
        Thing::Piece(_) | Thing::Other { .. } => {
            let own = joint.piece(job, thing).map_or("piece", |p| p.name.as_str());
            let twice = |o: &&Joint| o.span != joint.span && joint.pieces.iter().any(|p| p.name == own);
            match thing {
                Thing::Other { joint: other, .. } => match job.joints.get(other).filter(twice) {
                    Some(other) => format!("{}.{own}", other.name),
                    None => own.to_string(),
                },
                _ => own.to_string(),
            }
        }
        Thing::Seam => "seam".to_string(),
        Thing::Outdoors => "outdoors".to_string(),
        Thing::Outlet(word) => word.to_string(),
        Thing::Grade => "grade".to_string(),
        Thing::Paving => "paving".to_string(),
        Thing::Room(id) => job.room(id).map_or_else(|| "room".to_string(), |r| r.name.clone()),
        Thing::Hole => "what could not be read".to_string(),
    }
}

fn half_word(half: Option<Half>) -> &'static str {
    match half {
        Some(Half::Upper) => "upper ",
        Some(Half::Lower) => "lower ",
        None => "",
    }
}

/// The surface or opening of an end.
pub fn end_name(job: &Job, joint: &Joint, end: usize) -> String {
    let of = joint.ends.get(end).map(|e| e.of);
    let name = match of {
        Some(EndOf::Surface(index)) => job.surfaces.get(index).map(|s| s.name.as_str()),
        Some(EndOf::Opening(index)) => job.joints.get(index).map(|j| j.name.as_str()),
        Some(EndOf::Hole) | None => None,
    };
    name.unwrap_or("surface").to_string()
}

/// " at the head"; nothing for the run of a seam.
pub fn at(station: Station) -> String {
    let words = station.words();
    if words.is_empty() { String::new() } else { format!(" {words}") }
}

/// A sentence as the author would write it, its lengths in the job's units: "`strip` laps over `stone` 5 in, primed, rolled".
pub fn sentence(job: &Job, joint: &Joint, link: &Link) -> String {
    let show = Show { metric: job.metric };
    let quoted = |thing: Thing| match thing {
        Thing::Layer { .. } | Thing::Surface { .. } | Thing::Piece(_) | Thing::Other { .. } => {
            format!("`{}`", name(job, joint, thing))
        }
        _ => name(job, joint, thing),
    };
    let mut words = format!("{} {}", quoted(link.subject.thing), link.verb.words());
    if let Some(object) = link.object {
        words.push_str(&format!(" {}", quoted(object.thing)));
    }
    if let Some(length) = &link.length {
        let known = length.axis().is_none() || length.low().si() > 0.0;
        words.push_str(&if known { format!(" {}", show.length(length.low())) } else { " unknown".to_string() });
    }
    if let Some(above) = link.above {
        words.push_str(&format!(" above `{}`", name(job, joint, above.thing)));
    }
    if let Some(with) = &link.with {
        words.push_str(&format!(" with {}", with.name));
    }
    for attribute in attributes(job, joint, link, show) {
        words.push_str(", ");
        words.push_str(&attribute);
    }
    words
}

/// What stands behind the commas: how it is held, on what face, at what spacing.
fn attributes(job: &Job, joint: &Joint, link: &Link, show: Show) -> Vec<String> {
    let (hold, face, bead) = (&link.hold, &link.face, &link.bead);
    let plain = [
        (hold.bonded, "bonded"),
        (hold.sealed, "sealed"),
        (hold.taped, "taped"),
        (hold.welded, "welded"),
        (hold.torched, "torched"),
        (hold.clamped, "clamped"),
        (hold.nailed, "nailed"),
        (hold.wedged, "wedged"),
        (hold.pointed, "pointed"),
        (hold.woven, "woven"),
        (face.primed, "primed"),
        (face.rolled, "rolled"),
        (face.clean, "clean"),
        (face.dry, "dry"),
        (bead.backed, "backed"),
        (link.overflow, "overflow"),
        (link.not_shown, "not shown"),
    ];
    let mut all: Vec<String> = plain.iter().filter(|(said, _)| *said).map(|(_, word)| (*word).to_string()).collect();
    all.extend(hold.edge_under.map(|bar| format!("edge under `{}`", name(job, joint, bar.thing))));
    let spaced = |value: &Value<Length>| show.length(value.low());
    all.extend(bead.wide.as_ref().map(|w| format!("{} wide", spaced(w))));
    all.extend(bead.deep.as_ref().map(|d| format!("{} deep", spaced(d))));
    all.extend(link.spacing.as_ref().map(|s| format!("at {} oc", spaced(s))));
    all.extend(link.weeps.as_ref().map(|w| match &w.spacing {
        Some(spacing) => format!("weeps at {} oc", spaced(spacing)),
        None => "weeps".to_string(),
    }));
    all
}
