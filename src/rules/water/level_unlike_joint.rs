//! A level joint between two claddings that no flashing crosses.

use super::edge::{flashing, same};
use super::{name, seam, weigh};
use crate::base::finding::{Finding, Weight};
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/level-unlike-joint",
    summary: "a level joint between claddings that no flashing crosses",
    weight: Weight::Stop,
    page: include_str!("level_unlike_joint.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let Some((above, below)) = claddings(look) else { return };
    if crossed(look, above, below) {
        return;
    }
    match look.whole() {
        Ok(()) => sink.found(tell(look, above, below)),
        Err(missing) => sink.cannot(&missing),
    }
}

/// The outer layers of a wall that ends at its bottom and one that ends at its top, where they are unlike.
fn claddings(look: &JointLook<'_>) -> Option<(Thing, Thing)> {
    if look.joint.kind != JointKind::Joint || !seam::wet(look) || look.joint.ends.len() != 2 {
        return None;
    }
    let wall = |edge: Edge| {
        let end = look.joint.ends.iter().position(|e| e.edge == Some(edge))?;
        look.joint.surface(look.job, end).is_some_and(|s| s.kind == SurfaceKind::Wall).then_some(end)
    };
    let (above, below) = (seam::outer(look, wall(Edge::Bottom)?)?, seam::outer(look, wall(Edge::Top)?)?);
    // A bare concrete or block wall below is a footing, and siding that hangs past it needs no more.
    let clad =
        class::cladding(above.1) && (class::cladding(below.1) || class::masonry(below.1) || class::plaster(below.1));
    (clad && seam::unlike(look).is_some()).then_some((above.0, below.0))
}

/// Whether a chain of flashings ties the wall above to the face below, whichever way its laps are turned; or the wall above
/// itself laps over that face.
fn crossed(look: &JointLook<'_>, above: Thing, below: Thing) -> bool {
    let tie = |l: &&Link| matches!(l.verb, Verb::LapsOver | Verb::RunsPast | Verb::FastensTo | Verb::TurnsUp);
    let ties: Vec<&Link> = look.joint.links.iter().filter(tie).collect();
    if ties.iter().any(|l| l.not_shown || l.unread) {
        return true;
    }
    let pairs: Vec<(Thing, Thing)> = ties.iter().filter_map(|l| Some((l.subject.thing, l.object?.thing))).collect();
    let piece = |t: Thing| matches!(t, Thing::Piece(_) | Thing::Other { .. }) && look.material(t).is_none_or(flashing);
    let from_above = |t: Thing| end_of(t).is_some() && end_of(t) == end_of(above);
    // A stone or board that caps the lower face is part of it.
    let caps =
        |t: Thing| matches!(t, Thing::Piece(_)) && !piece(t) && pairs.iter().any(|(a, b)| *a == t && same(*b, below));
    let to_face = |t: Thing| same(t, below) || t == Thing::Seam || caps(t);
    let mut reached: Vec<Thing> = pairs.iter().flat_map(|(a, b)| [*a, *b]).filter(|t| from_above(*t)).collect();
    let mut next = 0;
    while let Some(thing) = reached.get(next).copied() {
        next += 1;
        for (a, b) in pairs.iter().flat_map(|(a, b)| [(*a, *b), (*b, *a)]).filter(|(a, _)| same(*a, thing)) {
            if to_face(b) && (piece(a) || from_above(a)) {
                return true;
            }
            if piece(b) && !reached.iter().any(|r| same(*r, b)) {
                reached.push(b);
            }
        }
    }
    false
}

fn end_of(thing: Thing) -> Option<usize> {
    match thing {
        Thing::Layer { end, .. } | Thing::Surface { end, .. } => Some(end),
        _ => None,
    }
}

fn tell(look: &JointLook<'_>, above: Thing, below: Thing) -> Finding {
    Finding::new(
        RULE.id,
        weigh(look, Weight::Stop),
        look.joint.span,
        format!("no flashing crosses the joint of `{}` and `{}`", name(look, above), name(look, below)),
    )
    .label("water runs in on top of the lower one")
    .detail(format!(
        "Water that runs down behind and over `{}` lands on the top of `{}`. A level joint of unlike claddings has a \
         flashing through it: its upper leg behind the water layer above, its drip over the face below (a state's \
         amendment to IRC chapter 7, read; leg and drip common practice, no source).",
        look.name(above),
        look.name(below)
    ))
    .help(format!(
        "add `flashing: galvanized-steel, slope 1:12 outward, drip`, lap the water layer above over it 2 in (50 mm), and \
         write `flashing laps over {} 1 in`",
        look.name(below)
    ))
}
