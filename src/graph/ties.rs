//! What puts one thing before another in the work: the sentences, and the usual order of a surface's own layers.
//!
//! Invariant: a firm tie comes from a sentence; all else gives way to it.

use super::exposure::{WeatherSide, depth, material_of, weather_side};
use super::gravity::{Height, end_height};
use super::stages::{Stage, stage, structure};
use super::station::{self, Station, Where};
use crate::catalog::{Bond, Seams};
use crate::model::Job;
use crate::model::joint::{Joint, Link, Thing};
use crate::model::surface::Surface;
use crate::syntax::ast::{Half, JointKind, Spot, SurfaceKind, Verb};

/// One thing before another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Tie {
    /// Has to be there.
    pub before: Thing,
    /// Goes on then.
    pub after: Thing,
    /// The sentence; none: the usual order of a surface.
    pub link: Option<usize>,
    /// Cannot give way.
    pub firm: bool,
    /// Gives way before all others: usual at joints, where no sentence says so.
    pub weak: bool,
}

/// Every thing of a joint in the order written, layers first, and what puts one before another.
pub(super) fn ties(job: &Job, joint: &Joint) -> (Vec<Thing>, Vec<Tie>) {
    let mut things = Vec::new();
    let mut ties = Vec::new();
    let named: Vec<Thing> = joint
        .links
        .iter()
        .flat_map(|l| {
            let (a, b) = nodes(job, joint, l);
            [Some(a), b, l.hold.edge_under.map(|p| p.thing)].into_iter().flatten()
        })
        .collect();
    for end in 0..joint.ends.len() {
        if let Some(surface) = joint.surface(job, end) {
            layers(surface, end, &named, &mut things, &mut ties);
        }
    }
    things.extend((0..joint.pieces.len()).map(Thing::Piece));
    for thing in named {
        if matches!(thing, Thing::Other { .. }) && !things.contains(&thing) {
            things.push(thing);
        }
    }
    ties.extend(bearing(job, joint));
    ties.extend(pans(job, joint));
    ties.extend(covering(job, joint));
    ties.extend(written(job, joint));
    (things, ties)
}

/// What the sentences put one before another.
pub(super) fn written(job: &Job, joint: &Joint) -> impl Iterator<Item = Tie> {
    joint.links.iter().enumerate().flat_map(|(index, link)| of_link(job, joint, index, link))
}

/// What lies below carries what stands on it: the slab before the wall, the wall before the roof.
fn bearing(job: &Job, joint: &Joint) -> Vec<Tie> {
    let carriers = |wanted: Height| {
        let at = move |end: &usize| end_height(job, joint, *end, Station::Run) == wanted;
        let ends = (0..joint.ends.len()).filter(at);
        ends.filter_map(|end| {
            let layer = structure(joint.surface(job, end)?)?;
            Some(Thing::Layer { end, layer, half: None, part: None })
        })
    };
    let below: Vec<Thing> = carriers(Height::Lower).collect();
    let above: Vec<Thing> = carriers(Height::Upper).collect();
    // A plate lies on what is below, and the studs stand on it.
    let plates = (0..joint.pieces.len()).map(Thing::Piece).filter(|p| plate(job, joint, *p));
    let plates: Vec<Thing> = plates.filter(|p| joint.links.iter().any(|l| rests(job, joint, l, *p))).collect();
    let mut ties = Vec::new();
    for after in &above {
        ties.extend(below.iter().chain(&plates).map(|before| weak(*before, *after)));
    }
    ties
}

fn weak(before: Thing, after: Thing) -> Tie {
    Tie { before, after, link: None, firm: false, weak: true }
}

/// Whether a piece is lumber or the like, that members stand on.
fn plate(job: &Job, joint: &Joint, thing: Thing) -> bool {
    matches!(thing, Thing::Piece(_))
        && stage(job, joint, thing) == Stage::Structure
        && material_of(job, joint, thing).is_some_and(|m| m.kind() == "lumber")
}

/// Whether a sentence ties a piece to what lies below.
fn rests(job: &Job, joint: &Joint, link: &Link, piece: Thing) -> bool {
    let other = (link.subject.thing == piece).then_some(link.object).flatten().map(|o| o.thing);
    let below = |end: usize| end_height(job, joint, end, Station::Run) == Height::Lower;
    matches!(other, Some(Thing::Layer { end, .. }) if below(end)) && link.verb != Verb::Clears
}

/// Formed pans and sheets at the sill lie there before the unit is set over them.
fn pans(job: &Job, joint: &Joint) -> Vec<Tie> {
    let unit = Thing::Piece(0);
    let over = |pan: Thing| {
        let ties = |l: &Link| l.subject.thing == pan && l.object.is_some_and(|o| o.thing == unit);
        joint.links.iter().any(|l| l.verb == Verb::LapsOver && ties(l))
    };
    let lies = |pan: &Thing| {
        let at_sill = matches!(pan, Thing::Piece(i) if joint.pieces.get(*i).is_some_and(|p| p.places == [Spot::Sill]));
        at_sill && matches!(stage(job, joint, *pan), Stage::Membrane | Stage::Flashing) && !over(*pan)
    };
    let opening = joint.kind == JointKind::Opening && stage(job, joint, unit) != Stage::Existing;
    let pieces = (1..joint.pieces.len()).map(Thing::Piece).filter(|p| opening && lies(p));
    pieces.map(|pan| weak(pan, unit)).collect()
}

/// What is laid on a layer of the room side is on it before the next layer covers it.
fn covering(job: &Job, joint: &Joint) -> Vec<Tie> {
    let mut ties = Vec::new();
    for link in joint.links.iter().filter(|l| l.verb == Verb::LapsOver && !l.not_shown) {
        let (piece, Some(Thing::Layer { end, layer, half, .. })) = (link.subject.thing, link.object.map(|o| o.thing))
        else {
            continue;
        };
        let Some(surface) = joint.surface(job, end).filter(|_| matches!(piece, Thing::Piece(_))) else { continue };
        let on_room_side = structure(surface).is_some_and(|s| depth(surface, layer) > depth(surface, s));
        let further = |t: Thing| matches!(t, Thing::Layer { end: e, layer: l, .. } if e == end && l > layer);
        let tied = joint.links_of(piece).filter_map(|l| l.other(piece)).any(|o| further(o.thing));
        let inward = weather_side(surface) != Some(WeatherSide::Last);
        if on_room_side && inward && !tied && layer + 1 < surface.layers.len() {
            ties.push(weak(piece, Thing::Layer { end, layer: layer + 1, half, part: None }));
            ties.push(weak(piece, Thing::Layer { end, layer: layer + 1, half: None, part: None }));
        }
    }
    ties
}

/// The two things of a sentence as they go on: at the head of an opening a layer of the host is a flap that comes down
/// last, the rest of it is there before.
pub(super) fn nodes(job: &Job, joint: &Joint, link: &Link) -> (Thing, Option<Thing>) {
    let has = |a: Spot, b: Spot| match station::of_link(job, joint, link) {
        Where::At(spots) => spots.contains(&a) || spots.contains(&b),
        Where::All | Where::Corner(..) => false,
    };
    let (head, foot) = (has(Spot::Head, Spot::Top), has(Spot::Sill, Spot::Bottom));
    let hole = joint.kind != JointKind::Joint;
    let beside = has(Spot::Jambs, Spot::Sides);
    let node = |thing: Thing| match thing {
        Thing::Layer { end, layer, half, .. } => {
            let courses = coursed(job, joint, thing);
            let half = half.or((hole && head && !foot).then_some(Half::Upper));
            // What goes up in courses is done below a hole before it is begun beside it.
            let half = half.or((hole && courses && foot && !head && !beside).then_some(Half::Lower));
            // Around a hole nothing else but the flap over its head is apart from the rest.
            let half = half.filter(|h| !hole || *h == Half::Upper || courses);
            Thing::Layer { end, layer, half, part: None }
        }
        other => other,
    };
    (node(link.subject.thing), link.object.map(|o| node(o.thing)))
}

/// Whether a layer goes up course by course: shingles, siding, brick.
fn coursed(job: &Job, joint: &Joint, thing: Thing) -> bool {
    material_of(job, joint, thing).is_some_and(|m| matches!(m.seams(), Seams::LappedCladding | Seams::Units))
}

/// Whether plaster meets the underside of something stiff: it is drawn up under that as well as that laid over it.
fn drawn_up(job: &Job, joint: &Joint, over: Thing, under: Thing) -> bool {
    let kind = |t: Thing| material_of(job, joint, t).map_or("", |m| m.kind());
    let stiff = matches!(kind(over), "metal" | "masonry" | "concrete" | "lumber" | "trim" | "flashing" | "frame");
    matches!(under, Thing::Layer { .. }) && kind(under) == "plaster" && stiff
}

fn of_link(job: &Job, joint: &Joint, index: usize, link: &Link) -> Vec<Tie> {
    let (subject, object) = nodes(job, joint, link);
    let tie = |before, after, firm| Tie { before, after, link: Some(index), firm, weak: false };
    let stands =
        |t: Thing| stage(job, joint, t) == Stage::Existing && matches!(t, Thing::Layer { .. } | Thing::Piece(_));
    let mut ties = Vec::new();
    if let Some(object) = object.filter(|o| *o != subject) {
        let slot = material_of(job, joint, object).is_some_and(|m| matches!(m.kind(), "masonry" | "concrete"));
        match link.verb {
            // What stands already was there first, whatever it covers.
            _ if stands(subject) && !stands(object) => ties.push(tie(subject, object, true)),
            // What goes into a slot is slipped up under a tray that was built in before.
            Verb::LapsOver if built_in(job, joint, subject, object) => ties.push(tie(subject, object, false)),
            Verb::LapsOver if drawn_up(job, joint, subject, object) => ties.push(tie(object, subject, false)),
            Verb::SealsTo if laid_under(job, joint, subject, object) => ties.push(tie(subject, object, false)),
            Verb::LapsOver | Verb::TurnsUp | Verb::FastensThrough | Verb::FastensTo => {
                ties.push(tie(object, subject, true));
            }
            Verb::SealsTo | Verb::Butts | Verb::Touches if stands_on(job, joint, subject, object) => {}
            Verb::TucksInto => ties.push(tie(object, subject, slot)),
            // A bead or a filler goes in once both are there; what touches something is set against it.
            Verb::SealsTo | Verb::Butts | Verb::Fills | Verb::Touches => ties.push(tie(object, subject, false)),
            _ => {}
        }
    }
    if let Some(bar) = link.hold.edge_under.map(|p| p.thing).filter(|bar| *bar != subject) {
        ties.push(tie(subject, bar, true));
    }
    ties
}

/// Whether a plate meets what is put on it later: the bead is made then.
fn stands_on(job: &Job, joint: &Joint, subject: Thing, object: Thing) -> bool {
    let upper = |end: usize| end_height(job, joint, end, Station::Run) == Height::Upper;
    plate(job, joint, subject) && matches!(object, Thing::Layer { end, .. } if upper(end))
}

/// Whether a piece is tied inboard of the masonry that another one is let into afterwards.
fn built_in(job: &Job, joint: &Joint, over: Thing, under: Thing) -> bool {
    let slots = joint.links.iter().filter(|l| l.verb == Verb::TucksInto && l.subject.thing == under);
    let leaves = slots.filter_map(|l| match l.object?.thing {
        Thing::Layer { end, layer, .. } => Some((end, layer)),
        _ => None,
    });
    let inboard = |(end, leaf): (usize, usize)| {
        let surface = joint.surface(job, end);
        joint.links_of(over).filter(|l| matches!(l.verb, Verb::TucksInto | Verb::LapsOver | Verb::TurnsUp)).any(|l| {
            matches!(l.other(over).map(|o| o.thing), Some(Thing::Layer { end: e, layer, .. })
                if e == end && surface.is_some_and(|s| depth(s, layer) > depth(s, leaf)))
        })
    };
    matches!(over, Thing::Piece(_)) && leaves.into_iter().any(inboard)
}

/// Whether a gasket lies on concrete or masonry under the wood that is set on it.
fn laid_under(job: &Job, joint: &Joint, gasket: Thing, on: Thing) -> bool {
    let kind = |t: Thing| material_of(job, joint, t).map_or("", |m| m.kind());
    let preformed = material_of(job, joint, gasket).is_some_and(|m| m.kind() == "sealant" && m.bond() == Bond::Loose);
    let bed = |l: &Link| {
        let other = l.other(gasket).map(|o| kind(o.thing));
        l.verb == Verb::SealsTo && matches!(other, Some("concrete" | "masonry"))
    };
    matches!(gasket, Thing::Piece(_)) && preformed && kind(on) == "lumber" && joint.links_of(gasket).any(bed)
}

/// The layers of a surface and their usual order: from the structure outward, then inward; a slab from the ground up.
fn layers(surface: &Surface, end: usize, named: &[Thing], things: &mut Vec<Thing>, ties: &mut Vec<Tie>) {
    let thing = |layer, half| Thing::Layer { end, layer, half, part: None };
    let has = |layer, half| named.contains(&thing(layer, Some(half)));
    let halves = |layer: usize| -> Vec<Option<Half>> {
        let (lower, upper) = (has(layer, Half::Lower), has(layer, Half::Upper));
        let mut halves = Vec::new();
        if lower {
            halves.push(Some(Half::Lower));
        }
        if !(lower && upper) || named.contains(&thing(layer, None)) {
            halves.push(None);
        }
        if upper {
            halves.push(Some(Half::Upper));
        }
        halves
    };
    for run in runs(surface) {
        for layer in &run {
            for half in halves(*layer) {
                if !things.contains(&thing(*layer, half)) {
                    things.push(thing(*layer, half));
                }
            }
        }
        for pair in run.windows(2) {
            let &[inner, outer] = pair else { continue };
            for half in [Some(Half::Lower), None, Some(Half::Upper)] {
                let of = |layer| halves(layer).into_iter().find(|h| *h == half).or(halves(layer).first().copied());
                let (Some(a), Some(b)) = (of(inner), of(outer)) else { continue };
                let tie = Tie { before: thing(inner, a), after: thing(outer, b), link: None, firm: false, weak: false };
                if !ties.contains(&tie) {
                    ties.push(tie);
                }
            }
        }
    }
}

/// Runs of layers as they go on: outward from the structure, then inward from it.
fn runs(surface: &Surface) -> Vec<Vec<usize>> {
    let count = surface.layers.len();
    let up = matches!(surface.kind, SurfaceKind::Slab) || weather_side(surface) == Some(WeatherSide::Last);
    if up && matches!(surface.kind, SurfaceKind::Slab | SurfaceKind::Floor) && structure(surface).is_none() {
        return vec![(0..count).rev().collect()];
    }
    if surface.kind == SurfaceKind::Slab {
        return vec![(0..count).rev().collect()];
    }
    let start = structure(surface).unwrap_or_else(|| count.saturating_sub(1));
    vec![(0..=start).rev().filter(|i| *i < count).collect(), (start..count).collect()]
}
