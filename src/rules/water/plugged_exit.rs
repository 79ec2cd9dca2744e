//! A way out for water that something shuts.

use super::cavity::{self, mat};
use super::part::{counts_at, crosses, drains_out, either, ends, flashing, host, name, pan, pieces, same, weigh, wet};
use crate::base::finding::{Finding, Weight};
use crate::model::joint::{Link, Party, Thing};
use crate::model::surface::Surface;
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Half, Hollow, Spot, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/plugged-exit",
    summary: "a way out for water that is sealed, taped, filled or buried",
    weight: Weight::Stop,
    page: include_str!("plugged_exit.md"),
    run: Run::Joint(run),
};

/// How an exit is shut.
enum Plug {
    /// The lower flange of a unit.
    Flange,
    /// The gap between an outer leaf and the flashing that drains under it.
    Foot(Thing),
    /// The foot of a cavity.
    Fill,
    /// The weeps of a frame.
    Weeps,
    /// A written exit, said to be sealed.
    Exit,
}

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !wet(look) {
        return;
    }
    for link in look.joint.links.iter().filter(|l| !l.not_shown && !l.unread) {
        let plug = exit(link)
            .or_else(|| flange(look, link))
            .or_else(|| weeps(look, link))
            .or_else(|| foot(look, link))
            .or_else(|| fill(look, link));
        if let Some(plug) = plug {
            sink.found(tell(look, link, &plug));
        }
    }
}

/// An exit that is said to be sealed in the same breath.
fn exit(link: &Link) -> Option<Plug> {
    (link.verb == Verb::DrainsTo && (link.hold.sealed || link.hold.taped)).then_some(Plug::Exit)
}

/// Whether a sentence shuts what lies between its two sides.
fn shuts(look: &JointLook<'_>, link: &Link) -> bool {
    let strip = |t: Thing| look.material(t).is_some_and(class::self_adhered);
    match link.verb {
        Verb::SealsTo => true,
        Verb::LapsOver => link.hold.taped || link.hold.sealed || strip(link.subject.thing),
        Verb::Butts => link.hold.taped || link.hold.sealed,
        _ => false,
    }
}

/// The unit's flange is shut below: sealed to the outer part of the wall, or taped over at the sill.
fn flange(look: &JointLook<'_>, link: &Link) -> Option<Plug> {
    let (wall, unit) = (host(look)?, Thing::Piece(0));
    if !shuts(look, link) || !counts_at(look, link, Spot::Sill) {
        return None;
    }
    let other = link.other(unit).filter(|_| link.subject.thing == unit || is(link.object, unit))?;
    let usual = || look.material(unit)?.unit().map(|u| u.0 && !in_masonry(look, wall));
    let flanged = look.piece(unit).and_then(|p| p.shape.flanged).or_else(usual)?;
    let drained = pieces(look).any(|(t, p)| pan(look, t, p));
    let shut = match other.thing {
        Thing::Layer { layer, .. } => {
            cavity::plane(wall).is_some_and(|plane| layer <= plane) && ((flanged && !cavity::massive(wall)) || drained)
        }
        Thing::Piece(index) => {
            let piece = look.joint.pieces.get(index)?;
            if pan(look, other.thing, piece) {
                // Foam is blown in from the room, and lies against the dam.
                let foamed = link.with.as_ref().is_some_and(|w| w.material.is_some_and(|m| m.key() == "gun-foam"));
                let dammed = piece.shape.back_dam.is_some();
                flanged && (!dammed || (!foamed && sealed_inside(look, link)))
            } else {
                // A strip across the flange below; at jambs and head it belongs there.
                link.verb == Verb::LapsOver
                    && link.subject.thing == other.thing
                    && flanged
                    && !to_the_room(look, wall, other.thing)
            }
        }
        _ => false,
    };
    shut.then_some(Plug::Flange)
}

/// Whether the unit stands in brick, block or concrete: a usual nailing flange is left off there.
fn in_masonry(look: &JointLook<'_>, wall: &Surface) -> bool {
    let set = look.piece(Thing::Piece(0)).and_then(|p| p.shape.set_in.as_ref()).map(|s| s.value);
    set.and_then(|layer| wall.layers.get(layer)).and_then(cavity::material).is_some_and(class::masonry)
}

/// Whether a strip is tied to layers inboard of the water layer alone: it is the seal against air.
fn to_the_room(look: &JointLook<'_>, wall: &Surface, strip: Thing) -> bool {
    let Some(plane) = cavity::plane(wall) else { return false };
    let tied = look.joint.links_of(strip).filter_map(|l| l.other(strip)).map(|p| p.thing);
    let mut layers =
        tied.filter_map(|t| if let Thing::Layer { layer, .. } = t { Some(layer) } else { None }).peekable();
    layers.peek().is_some() && layers.all(|layer| layer > plane)
}

/// Whether the unit is sealed to something further in at the sill, so that another seal there is the outer one.
fn sealed_inside(look: &JointLook<'_>, but: &Link) -> bool {
    let plane = host(look).and_then(cavity::plane).unwrap_or(0);
    let inner = |t: Thing| matches!(t, Thing::Layer { layer, .. } if layer > plane);
    look.joint.links.iter().filter(|l| l.span != but.span && counts_at(look, l, Spot::Sill)).any(|l| {
        matches!(l.verb, Verb::SealsTo | Verb::Butts)
            && l.other(Thing::Piece(0)).is_some_and(|o| inner(o.thing))
            && (l.subject.thing == Thing::Piece(0) || is(l.object, Thing::Piece(0)))
    })
}

/// A finish that touches a frame with weeps at the sill.
fn weeps(look: &JointLook<'_>, link: &Link) -> Option<Plug> {
    let (wall, unit) = (host(look)?, Thing::Piece(0));
    let has = look.material(unit)?.unit().is_some_and(|u| u.1);
    let names = link.subject.thing == unit || is(link.object, unit);
    if !has || !names || link.verb != Verb::Touches || !counts_at(look, link, Spot::Sill) {
        return None;
    }
    let finish = match link.other(unit)?.thing {
        Thing::Layer { layer, .. } => cavity::plane(wall).map_or(layer == 0, |plane| layer < plane),
        other => look.material(other).is_some_and(cavity::outer_leaf),
    };
    finish.then_some(Plug::Weeps)
}

/// An outer leaf sealed down on the flashing that drains under it.
fn foot(look: &JointLook<'_>, link: &Link) -> Option<Plug> {
    let object = link.object?.thing;
    if !shuts(look, link) || link.verb == Verb::LapsOver {
        return None;
    }
    // What stands below the flashing may be sealed up to it: its water leaves above that.
    let below = |end: usize, half| {
        half == Some(Half::Lower) || look.joint.ends.get(end).is_some_and(|e| e.edge == Some(Edge::Top))
    };
    let leaf = |t: Thing| match t {
        Thing::Layer { end, layer, half, .. } if !below(end, half) => {
            ends(look).any(|(e, _, s)| e == end && cavity::cavity(s).is_some_and(|c| layer < c.gap))
        }
        _ => false,
    };
    let tray = |t: Thing| matches!(t, Thing::Piece(_)) && flashing(look, t) && crosses(look, t).is_some();
    let (subject, drains) = (link.subject.thing, |t: Thing| {
        look.joint.links.iter().any(|l| l.subject.thing == t && (drains_out(l) || l.verb == Verb::RunsPast))
    });
    [(subject, object), (object, subject)]
        .into_iter()
        .find(|(a, b)| leaf(*a) && tray(*b) && drains(*b))
        .map(|(_, tray)| Plug::Foot(tray))
}

/// Something fills a cavity at the foot of its wall or over a head.
fn fill(look: &JointLook<'_>, link: &Link) -> Option<Plug> {
    let object = link.object?.thing;
    let Thing::Layer { end, layer, .. } = object else { return None };
    let (_, edge, surface) = ends(look).find(|(e, ..)| *e == end)?;
    let cavity = cavity::cavity(surface).filter(|c| c.gap == layer)?;
    let hollow = link.hollow.is_none_or(|h| matches!(h, Hollow::Gap | Hollow::Bays));
    let low = edge == Some(Edge::Bottom) || (edge.is_none() && counts_at(look, link, Spot::Head));
    let keeps_clear = look.material(link.subject.thing).is_some_and(mat);
    let fills = link.verb == Verb::Fills && hollow && low && !keeps_clear && same(object, object_of(end, &cavity));
    fills.then_some(Plug::Fill)
}

fn object_of(end: usize, cavity: &cavity::Cavity<'_>) -> Thing {
    Thing::Layer { end, layer: cavity.gap, half: None, part: None }
}

fn is(party: Option<Party>, thing: Thing) -> bool {
    party.is_some_and(|p| p.thing == thing)
}

fn tell(look: &JointLook<'_>, link: &Link, plug: &Plug) -> Finding {
    let unit = || name(look, Thing::Piece(0));
    let subject = name(look, link.subject.thing);
    let object = link.object.map(|o| name(look, o.thing)).unwrap_or_default();
    let existing = look.piece(Thing::Piece(0)).is_some_and(|p| p.shape.existing);
    let (message, help) = match plug {
        Plug::Flange => (
            format!("the lower flange of `{}` is shut, so what leaks in stays in", unit()),
            "say `at head and jambs` there: the lower flange stays open, the seal against air lies inside".to_string(),
        ),
        Plug::Weeps => (
            format!("a finish touches `{}` at the sill and buries its weeps", unit()),
            format!("write `{subject} clears {object} {}, at sill`", either(look, "6 mm", "1/4 in")),
        ),
        Plug::Foot(tray) => (
            format!("`{}` is sealed shut where it drains", name(look, *tray)),
            format!(
                "leave the foot open: write `{subject} clears {object} {}` in its place",
                either(look, "10 mm", "3/8 in")
            ),
        ),
        Plug::Exit => (
            format!("the way out of `{subject}` is sealed"),
            "cut the sealant out, leave the weeps open and write them without `sealed`".to_string(),
        ),
        Plug::Fill => (
            format!("`{subject}` fills the foot of the cavity `{object}`"),
            "leave the foot open or keep it clear with a drainage mat".to_string(),
        ),
    };
    Finding::new(RULE.id, weigh(existing, Weight::Stop), link.verb_span, message)
        .label("shuts the way out")
        .detail(
            "Water that gets behind a flange, a leaf or a frame leaves at its lower edge; a bead, tape, fill or finish \
             there keeps it in (the lower flange stays open: an information sheet on pan flashing, read; openings at the \
             foot of a cavity: NHBC Standards 6.2.10, read).",
        )
        .help(help)
}
