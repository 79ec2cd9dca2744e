//! Ways that nothing closes, as the rules of every agent tell them.
//!
//! Invariant: one joint is told once by a rule, with the stations at which it is open; another stanza's edge is not told.

use super::{JointLook, Missing, class};
use crate::base::span::Span;
use crate::graph::aside::aside;
use crate::graph::net::{Cause, Leak};
use crate::graph::place::{Air, air, place};
use crate::graph::plane::{self, Agent};
use crate::model::joint::Thing;
use crate::model::layer::Layer;
use crate::model::surface::Surface;
use crate::model::value::Draw;

/// The ways of an agent for one sort of reason: those that are this stanza's to tell.
///
/// # Errors
/// When what is not shown or not known may close them.
pub fn open<'l>(
    look: &'l JointLook<'_>,
    agent: Agent,
    wanted: impl Fn(&Cause) -> bool,
) -> Result<Vec<&'l Leak>, Missing> {
    let own = |l: &&Leak| wanted(&l.cause) && !aside(look.job, look.joint, agent, l.station);
    let leaks: Vec<&Leak> = look.leaks(agent).iter().filter(own).collect();
    if leaks.is_empty() {
        return Ok(leaks);
    }
    look.whole()?;
    if let Some(span) = look.net().undecided() {
        return Err(Missing::new(span, "what is not known here may close the joint"));
    }
    match leaks.iter().find_map(|l| l.doubt) {
        Some(span) => Err(Missing::new(span, format!("whether this is closed to {} is not known", agent.word()))),
        None => Ok(leaks),
    }
}

/// Whether a surface lies between kept air and other air.
pub fn parts_air(look: &JointLook<'_>, surface: &Surface) -> bool {
    let airs = [&surface.first, &surface.last].map(|side| air(look.job, place(side)));
    airs.contains(&Air::Kept) && airs.iter().any(|a| matches!(a, Air::Free | Air::Wet))
}

/// Whether every side that lies between kept air and other air has a layer that carries the control.
pub fn all_controlled(look: &JointLook<'_>, agent: Agent) -> bool {
    let mut ends = (0..look.joint.ends.len()).filter_map(|e| Some((e, look.joint.surface(look.job, e)?)));
    ends.all(|(e, s)| !parts_air(look, s) || look.net().controls(e, agent).is_some())
}

/// Whether the author relies on a layer of some side against an agent: where nobody does, the sections are told of first.
pub fn claimed(look: &JointLook<'_>, agent: Agent) -> bool {
    let mut surfaces = (0..look.joint.ends.len()).filter_map(|e| look.joint.surface(look.job, e));
    surfaces.any(|s| s.layers.iter().any(|l| plane::relied(l, agent)))
}

/// Whether all that meets here stands already.
pub fn stands(look: &JointLook<'_>) -> bool {
    let mut surfaces = (0..look.joint.ends.len()).filter_map(|e| look.joint.surface(look.job, e)).peekable();
    surfaces.peek().is_some() && surfaces.all(|s| s.facts.existing)
}

/// A way in words: "outdoors, the seam, indoors".
pub fn steps(leak: &Leak) -> String {
    leak.steps.iter().map(|s| s.words.as_str()).collect::<Vec<_>>().join(", ")
}

/// " at the head, jambs": where it is open; nothing where it is open all along.
pub fn stations(look: &JointLook<'_>, leaks: &[&Leak]) -> String {
    let mut words: Vec<&str> = leaks.iter().map(|l| l.station.words()).filter(|w| !w.is_empty()).collect();
    words.dedup();
    if words.is_empty() || words.len() == look.stations().len() {
        return String::new();
    }
    format!(" {}", words.join(" and "))
}

/// The layer that an end's control lies in.
pub fn control<'a>(look: &JointLook<'a>, end: usize, agent: Agent) -> Option<(Thing, &'a Layer)> {
    let layer = look.net().controls(end, agent)?;
    let found = look.joint.surface(look.job, end)?.layers.get(layer)?;
    Some((Thing::Layer { end, layer, half: None, part: None }, found))
}

/// Every layer that carries the control at the joint: its name as a sentence has to write it, and its label's place.
pub fn controls(look: &JointLook<'_>, agent: Agent) -> Vec<(Thing, String, Span)> {
    let all: Vec<(usize, Thing, &Layer)> =
        (0..look.joint.ends.len()).filter_map(|e| control(look, e, agent).map(|(t, l)| (e, t, l))).collect();
    all.iter().map(|(end, thing, layer)| (*thing, written(look, *end, &layer.label), layer.span)).collect()
}

/// A layer's name, with its surface before it where another of the joint has a layer of that name.
pub fn written(look: &JointLook<'_>, end: usize, label: &str) -> String {
    let has = |e: usize| {
        let surface = look.joint.surface(look.job, e);
        e != end && surface.is_some_and(|s| s.layers.iter().any(|l| l.label == label))
    };
    match look.joint.surface(look.job, end) {
        Some(surface) if (0..look.joint.ends.len()).any(has) => format!("{}.{label}", surface.name),
        _ => label.to_string(),
    }
}

/// The sentence that ties a strip to a layer so that air stops: longer and primed on masonry.
pub fn tie(look: &JointLook<'_>, strip: &str, thing: Thing, name: &str) -> String {
    let masonry = look.material(thing).is_some_and(class::masonry);
    let (inch, metric) = if masonry { ("5 in", "125 mm") } else { ("2 in", "50 mm") };
    let care = if masonry { ", primed, rolled, sealed" } else { ", rolled" };
    format!("`{strip} laps over {name} {}{care}`", if look.job.metric { metric } else { inch })
}

/// The piece that ties are made with, to be written first: nothing if the joint has one of that name.
pub fn tie_piece(look: &JointLook<'_>, strip: &str, layers: &[(Thing, String, Span)]) -> String {
    if look.joint.pieces.iter().any(|p| p.name == strip) {
        return String::new();
    }
    let masonry = layers.iter().any(|(thing, ..)| look.material(*thing).is_some_and(class::masonry));
    let material = match (masonry, look.job.metric) {
        (true, true) => "bitumen-sheet 1 mm",
        (true, false) => "bitumen-sheet 40 mil",
        (false, _) => "sheathing-tape",
    };
    format!("add `{strip}: {material}` and ")
}

/// The number of the climate zone, where the job has a climate and its zone is known.
pub fn zone(look: &JointLook<'_>) -> Option<u8> {
    look.job.climate.as_ref()?.zone.map(|z| z.number)
}

/// Whether a thing is insulation: a layer that insulates, or a piece of what does by nature.
pub fn insulating(look: &JointLook<'_>, thing: Thing) -> bool {
    match look.layer(thing) {
        Some(layer) => plane::layer_closed(layer, Agent::Heat, &Draw::middle()),
        None => look.material(thing).is_some_and(|m| class::insulation(m) || m.key() == "gun-foam"),
    }
}
