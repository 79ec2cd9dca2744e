//! Which way each lap sheds, and why.
//!
//! A lap is reversed when its subject belongs to a lower end, half or place, when its object belongs to an upper one, or
//! when the only way down runs through it backward. Judged at or outboard of the water plane only.
//! Invariant: a lap that is told as reversed comes with the words of the text that make it so.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use super::exposure::{exposed, in_soil, material_of, outboard, solid_face, sticks};
use super::flow::Flow;
use super::gravity::{Height, end_height, height, host_kind, low_slope, reach, upright};
use super::station::{self, Station, Where};
use super::words::{at, end_name, name};
use crate::catalog::{Bond, Material, Seams};
use crate::model::Job;
use crate::model::joint::{Joint, Link, Thing};
use crate::syntax::ast::{Edge, Half, JointKind, SurfaceKind, Verb};

/// What a lap does to water that runs down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lap {
    /// Sheds it.
    Sheds,
    /// Catches it.
    Reversed,
    /// No up and down across it.
    Upright,
    /// Cannot be told, or no water gets there.
    NotJudged,
}

/// What a lap does, where, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Fall {
    /// What it does.
    pub lap: Lap,
    /// Where along the joint; none for a tie across a corner, and where it is the same all along.
    pub station: Option<Station>,
    /// Why: "`strip` lies over `upper membrane`, which belongs to the upper half". Empty where there is nothing to say.
    pub words: String,
}

impl Fall {
    fn plain(lap: Lap) -> Self {
        Self { lap, station: None, words: String::new() }
    }
}

/// What a `laps over` does.
pub fn lap(job: &Job, joint: &Joint, link: &Link) -> Lap {
    fall(job, joint, link).lap
}

/// What a `laps over` does and why: the first station at which it is reversed, else at which it sheds.
pub fn fall(job: &Job, joint: &Joint, link: &Link) -> Fall {
    Falls::new(job, joint).of(link)
}

/// The laps of one joint: what all of them need is found once.
#[derive(Debug)]
pub struct Falls<'a> {
    pub(super) job: &'a Job,
    pub(super) joint: &'a Joint,
    flows: Vec<(Station, OnceCell<Flow>)>,
    feeds: OnceCell<BTreeSet<Thing>>,
    laps: OnceCell<Vec<Lap>>,
}

impl<'a> Falls<'a> {
    /// Of a joint; nothing is looked for yet.
    pub fn new(job: &'a Job, joint: &'a Joint) -> Self {
        let flows = station::stations(job, joint).into_iter().map(|s| (s, OnceCell::new())).collect();
        Self { job, joint, flows, feeds: OnceCell::new(), laps: OnceCell::new() }
    }

    /// The stations of the joint.
    pub fn stations(&self) -> impl Iterator<Item = Station> {
        self.flows.iter().map(|(s, _)| *s)
    }

    /// What a lap does.
    pub fn lap(&self, link: &Link) -> Lap {
        let laps = self.laps.get_or_init(|| self.joint.links.iter().map(|l| self.of(l).lap).collect());
        let index = self.joint.links.iter().position(|l| std::ptr::eq(l, link));
        // Where a unit of another stanza stands its sentences are looked at too.
        index.and_then(|i| laps.get(i)).copied().unwrap_or_else(|| self.of(link).lap)
    }

    /// What a lap does and why: the first station at which it is reversed, else at which it sheds.
    pub fn of(&self, link: &Link) -> Fall {
        let (job, joint) = (self.job, self.joint);
        let place = station::of_link(job, joint, link);
        if let Where::Corner(..) = place {
            let judged = link.verb == Verb::LapsOver && !link.not_shown && judged(job, joint, link);
            return judged.then(|| by_place(job, joint, link)).flatten().unwrap_or(Fall::plain(Lap::NotJudged));
        }
        let stations = self.flows.iter().map(|(s, _)| *s).filter(|s| place.counts(*s));
        let falls: Vec<Fall> = stations.map(|s| self.at(link, s)).collect();
        let first = |wanted: Lap| falls.iter().find(|f| f.lap == wanted).cloned();
        [Lap::Reversed, Lap::Sheds, Lap::Upright].into_iter().find_map(first).unwrap_or(Fall::plain(Lap::NotJudged))
    }

    /// The same at one station.
    pub fn at(&self, link: &Link, station: Station) -> Fall {
        let (job, joint) = (self.job, self.joint);
        let Some(object) = link.object.map(|o| o.thing) else { return Fall::plain(Lap::NotJudged) };
        let subject = link.subject.thing;
        if link.verb != Verb::LapsOver || link.not_shown {
            return Fall::plain(Lap::NotJudged);
        }
        if object == Thing::Seam {
            return Fall::plain(Lap::Upright);
        }
        if !judged(job, joint, link) {
            return Fall::plain(Lap::NotJudged);
        }
        if one_body(job, joint, subject, object) {
            return Fall::plain(Lap::Sheds);
        }
        if let Some(fall) = by_place(job, joint, link) {
            return Fall { station: Some(station), ..fall };
        }
        if caps_upturn(job, joint, subject, object, station) {
            return Fall { station: Some(station), ..Fall::plain(Lap::Sheds) };
        }
        if lies_round(job, joint, link, subject, object) {
            return Fall::plain(Lap::Upright);
        }
        let fall = by_height(job, joint, link, station).or_else(|| self.by_slot(link, object, station));
        Fall { station: Some(station), ..fall.unwrap_or_else(|| self.by_path(link, object, station)) }
    }

    /// What stands in a slot has the wall's water on its face: whatever lies over it, and has neither a slot there nor
    /// water from further up, catches it.
    fn by_slot(&self, link: &Link, object: Thing, station: Station) -> Option<Fall> {
        let (job, joint, subject) = (self.job, self.joint, link.subject.thing);
        let here = |l: &&Link| !l.not_shown && station::of_link(job, joint, l).counts(station);
        let slot = |piece: Thing| {
            let own = joint.links.iter().filter(here).filter(|l| l.verb == Verb::TucksInto && l.subject.thing == piece);
            own.filter_map(|l| l.object).map(|o| o.thing).next()
        };
        let wall = slot(object).filter(|_| slot(subject).is_none() && joint.piece(job, subject).is_some())?;
        let turned_up = |l: &Link| l.verb == Verb::TurnsUp && l.subject.thing == subject;
        // Round a stack nothing stands higher than the slot; on a wall a layer further up may feed what lies over it.
        let fed = wall != Thing::Piece(0)
            && joint
                .links
                .iter()
                .filter(here)
                .any(|l| l.object.is_some_and(|o| o.thing == subject) && l.verb == Verb::LapsOver || turned_up(l));
        let words = || {
            format!(
                "`{}` stands in a slot in `{}`, and what runs down on it gets in behind `{}`",
                name(job, joint, object),
                name(job, joint, wall),
                name(job, joint, subject)
            )
        };
        (!fed).then(|| Fall { lap: Lap::Reversed, station: None, words: words() })
    }

    /// What the ways down say: reversed where water reaches the object and can leave it by this lap alone, turned round.
    fn by_path(&self, link: &Link, object: Thing, station: Station) -> Fall {
        let (job, joint, subject) = (self.job, self.joint, link.subject.thing);
        let index = joint.links.iter().position(|l| std::ptr::eq(l, link)).unwrap_or(usize::MAX);
        let Some((_, flow)) = self.flows.iter().find(|(s, _)| *s == station) else {
            return Fall::plain(Lap::NotJudged);
        };
        let flow = flow.get_or_init(|| Flow::new(job, joint, station));
        let feeds = self.feeds.get_or_init(|| fed_from(joint));
        let source = |t: Thing| height(job, joint, t, station) == Height::Upper || feeds.contains(&t);
        // A written exit is no end that lies below: what is tied there can still be the wrong way round.
        let sink = |t: Thing| {
            matches!(t, Thing::Layer { .. } | Thing::Surface { .. } | Thing::Other { .. })
                && height(job, joint, t, station) == Height::Lower
        };
        let mut to_object = flow.feeders(object, index, source);
        if carries_on(job, joint, object, station) && !stuck(job, joint, link) && !upright(joint, station) {
            to_object.insert(object);
        }
        let to_subject = flow.feeders(subject, index, source);
        // Where the same layer feeds both, either may lie over the other.
        let apart = !to_object.is_empty() && to_object.is_disjoint(&to_subject);
        // What stands in a slot has its water from there, and sheds it on whatever it lies over.
        let slot = |l: &&Link| l.verb == Verb::TucksInto && l.subject.thing == subject && !l.not_shown;
        let apart = apart && !joint.links.iter().filter(slot).any(|l| station::of_link(job, joint, l).counts(station));
        if apart && flow.drained(subject, index, sink) && !flow.drained(object, index, sink) {
            let words = format!(
                "the only way down from `{}` runs to `{}`, which lies over it: water gets in between",
                name(job, joint, object),
                name(job, joint, subject)
            );
            return Fall { lap: Lap::Reversed, station: None, words };
        }
        let sheds = !to_subject.is_empty() && flow.drained(object, index, sink);
        Fall::plain(if sheds { Lap::Sheds } else { Lap::NotJudged })
    }
}

/// Whether water gets there and both sides are things that it runs over.
fn judged(job: &Job, joint: &Joint, link: &Link) -> bool {
    let Some(object) = link.object.map(|o| o.thing) else { return false };
    let subject = link.subject.thing;
    exposed(job, joint)
        && runs_over(job, joint, subject, true)
        && runs_over(job, joint, object, false)
        && outboard(job, joint, subject)
        && outboard(job, joint, object)
}

/// Whether water runs over a thing: not a bar, a bead, a batt. What lies over is a skin; what it lies on may be solid.
fn runs_over(job: &Job, joint: &Joint, thing: Thing, over: bool) -> bool {
    let piece = joint.piece(job, thing);
    if matches!(thing, Thing::Hole | Thing::Room(_)) || piece.is_some_and(|p| p.stuff.is_none()) {
        return false;
    }
    let Some(m) = material_of(job, joint, thing) else { return true };
    let hidden = matches!(
        m.kind(),
        "hardware" | "sealant" | "batt" | "loose-fill" | "spray-foam" | "air" | "ground" | "paint" | "finish"
    );
    // A curb or a filler of wood or board carries a lap, it does not hand water on.
    let curb = !over && piece.is_some() && matches!(m.kind(), "lumber" | "wood-panel" | "board-insulation");
    !hidden && !curb
}

/// Liquid on liquid cures into one skin: it has no lap.
fn one_body(job: &Job, joint: &Joint, a: Thing, b: Thing) -> bool {
    let liquid =
        |thing| material_of(job, joint, thing).is_some_and(|m| m.kind() == "coating" && m.bond() == Bond::Liquid);
    liquid(a) && liquid(b)
}

/// What sits on a curb and comes down over the layer that is turned up it: it lies over the upper edge of that.
fn caps_upturn(job: &Job, joint: &Joint, subject: Thing, object: Thing, station: Station) -> bool {
    let here = |l: &&Link| !l.not_shown && station::of_link(job, joint, l).counts(station);
    let up = |thing: Thing| {
        let turns = move |l: &&Link| l.verb == Verb::TurnsUp && l.subject.thing == thing;
        joint.links.iter().filter(here).filter(turns).filter_map(|l| l.object).map(|o| o.thing)
    };
    let sits = |curb: Thing| {
        matches!(curb, Thing::Piece(_))
            && curb != subject
            && joint.links.iter().filter(here).any(|l| l.verb != Verb::Clears && l.ties(subject, curb))
    };
    joint.kind != JointKind::Joint
        && matches!(object, Thing::Layer { .. })
        && up(subject).next().is_none()
        && up(object).any(sits)
}

/// Two pieces at different places: the higher belongs on the weather side.
fn by_place(job: &Job, joint: &Joint, link: &Link) -> Option<Fall> {
    let object = link.object?.thing;
    let (over, under) = (reach(joint, link.subject.thing)?, reach(joint, object)?);
    if over.0 > under.1 {
        return Some(Fall::plain(Lap::Sheds));
    }
    let (subject, object) = (name(job, joint, link.subject.thing), name(job, joint, object));
    let words = format!("`{subject}` has the lower place and lies over `{object}`, which has the higher");
    (over.1 < under.0).then_some(Fall { lap: Lap::Reversed, station: None, words })
}

/// A collar round the thing that goes through: its lap runs along the pipe, or is pressed on to it.
fn lies_round(job: &Job, joint: &Joint, link: &Link, subject: Thing, object: Thing) -> bool {
    let through = Thing::Piece(0);
    if joint.kind != JointKind::Penetration || (subject != through && object != through) {
        return false;
    }
    match host_kind(job, joint) {
        Some(SurfaceKind::Wall) | None => station::of_link(job, joint, link) == Where::All,
        Some(_) => stuck(job, joint, link) || link.hold.clamped || material_of(job, joint, subject).is_some_and(collar),
    }
}

/// A formed piece of rubber grips the pipe that it is pushed over.
fn collar(m: &Material) -> bool {
    m.kind() == "flashing" && m.seams() == Seams::Piece && matches!(m.family(), "epdm" | "rubber" | "silicone")
}

/// Whether a lap is held by more than its own weight.
fn stuck(job: &Job, joint: &Joint, link: &Link) -> bool {
    let hold = &link.hold;
    let by_nature = |m: &Material| sticks(m);
    let with = link.with.as_ref().and_then(|s| s.material);
    let subject = material_of(job, joint, link.subject.thing);
    hold.bonded
        || hold.sealed
        || hold.taped
        || hold.welded
        || hold.torched
        || subject.is_some_and(by_nature)
        || with.is_some_and(by_nature)
}

/// What the heights of the two sides say; none when they say nothing.
fn by_height(job: &Job, joint: &Joint, link: &Link, station: Station) -> Option<Fall> {
    let (subject, object) = (link.subject.thing, link.object?.thing);
    let (over, under) = (height(job, joint, subject, station), height(job, joint, object, station));
    if over == Height::Lower && under != Height::Lower {
        if damp_from_below(job, joint, subject, object) {
            return Some(Fall::plain(Lap::NotJudged));
        }
        let words = format!(
            "`{}` {}, and `{}` above it runs down behind it",
            name(job, joint, subject),
            belongs(job, joint, subject, station),
            name(job, joint, object)
        );
        return Some(Fall { lap: Lap::Reversed, station: None, words });
    }
    if under == Height::Upper && over != Height::Upper {
        if held_on_face(job, joint, link, object) {
            return Some(Fall::plain(Lap::NotJudged));
        }
        let words = format!(
            "water comes down on `{}`, which {}, and runs in behind `{}`",
            name(job, joint, object),
            belongs(job, joint, object, station),
            name(job, joint, subject)
        );
        return Some(Fall { lap: Lap::Reversed, station: None, words });
    }
    match (over, under) {
        (Height::Upper, Height::Upper) | (Height::Lower, Height::Lower) => Some(Fall::plain(Lap::Upright)),
        (Height::Upper, _) | (_, Height::Lower) => Some(Fall::plain(Lap::Sheds)),
        (Height::Beside, _) | (_, Height::Beside) => Some(Fall::plain(Lap::Upright)),
        _ => None,
    }
}

/// Why a thing lies where it lies.
fn belongs(job: &Job, joint: &Joint, thing: Thing, station: Station) -> String {
    match thing {
        Thing::Layer { half: Some(half), .. } | Thing::Surface { half: Some(half), .. } => {
            let half = if half == Half::Upper { "upper" } else { "lower" };
            format!("belongs to the {half} half")
        }
        Thing::Layer { end, .. } | Thing::Surface { end, .. } => {
            let above = end_height(job, joint, end, station) == Height::Upper;
            let edge = joint.ends.get(end).and_then(|e| e.edge);
            let edge = edge.map_or_else(|| at(station), |e| format!(" at its `{}`", e.word()));
            let side = if above { "above" } else { "below" };
            format!("is part of `{}`, which lies {side}{edge}", end_name(job, joint, end))
        }
        _ if height(job, joint, thing, station) == Height::Upper => format!("stands above{}", at(station)),
        _ => format!("lies below{}", at(station)),
    }
}

/// At the foot of a wall moisture comes from below as well: a sheet against soil that laps outside a damp course, or on to
/// another sheet against soil, is the right way round.
fn damp_from_below(job: &Job, joint: &Joint, subject: Thing, object: Thing) -> bool {
    let against_soil = |thing| match thing {
        Thing::Layer { end, .. } => joint.surface(job, end).is_some_and(in_soil),
        _ => false,
    };
    let damp_course = |thing| {
        joint.piece(job, thing).is_some()
            && material_of(job, joint, thing).is_some_and(|m| matches!(m.key(), "plastic-dpc" | "slab-membrane"))
    };
    against_soil(subject) && (against_soil(object) || damp_course(object))
}

/// A strip stuck to a face that cannot be cut and lifted, or welded on a roof too flat to be shingled.
fn held_on_face(job: &Job, joint: &Joint, link: &Link, object: Thing) -> bool {
    if !stuck(job, joint, link) {
        return false;
    }
    let solid = material_of(job, joint, object).is_some_and(solid_face);
    let flat = matches!(object, Thing::Layer { end, .. } if low_slope(job, joint, end));
    // The unit's own foot is where its water comes out: a strip stuck over it shuts that in.
    let unit = object == Thing::Piece(0) && joint.kind != JointKind::Joint;
    (solid || flat) && !unit
}

/// Layers that something tucks into or turns up: they feed it.
fn fed_from(joint: &Joint) -> BTreeSet<Thing> {
    let feeding = |l: &&Link| matches!(l.verb, Verb::TucksInto | Verb::TurnsUp);
    let layers = joint.links.iter().filter(feeding).filter_map(|l| l.object).map(|o| o.thing);
    layers.filter(|t| matches!(t, Thing::Layer { .. } | Thing::Surface { .. } | Thing::Piece(0))).collect()
}

/// A layer of a wall that carries on past a roof or deck below it: what comes down it lands there.
fn carries_on(job: &Job, joint: &Joint, thing: Thing, station: Station) -> bool {
    let Thing::Layer { end, half: None, .. } = thing else { return false };
    let face = joint.ends.get(end).is_some_and(|e| e.edge == Some(Edge::Face));
    let below = |other| other != end && end_height(job, joint, other, station) == Height::Lower;
    face && (0..joint.ends.len()).any(below)
}
