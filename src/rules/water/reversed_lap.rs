//! A lap that catches the water that runs down to it.

use super::edge::{bonded, same};
use super::{laps, name, weigh};
use crate::base::finding::{Finding, Weight};
use crate::graph::exposure::gap;
use crate::graph::gravity::Lap;
use crate::graph::station::{Station, of_link};
use crate::model::joint::{Link, Thing, Toward};
use crate::model::surface::Surface;
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{JointKind, Spot, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/reversed-lap",
    summary: "a lap that catches water",
    weight: Weight::Stop,
    page: include_str!("reversed_lap.md"),
    run: Run::Joint(run),
};

/// Below this slope, rise over run, a roof is covered with sheets closed at their seams: 2:12 (IRC chapter 9, from memory).
const LOW: f64 = 2.0 / 12.0;

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for (link, under) in laps(look).filter(|(link, _)| look.lap(link) == Lap::Reversed) {
        if stripped_in(look, link, under) || under_spout(look, link, under) {
            continue;
        }
        sink.found(tell(look, link, under));
    }
}

/// Whether a thing through a wall has its rim sealed to a cladding with a gap behind: what passes the bead drains there.
fn rimmed(look: &JointLook<'_>, link: &Link, under: Thing) -> bool {
    let Thing::Layer { end, layer, .. } = under else { return false };
    let drained =
        look.joint.surface(look.job, end).is_some_and(|s| s.layers.iter().skip(layer + 1).any(|l| gap(l).is_some()));
    let bead = |l: &Link| l.verb == Verb::SealsTo && l.ties(link.subject.thing, under);
    look.joint.kind == JointKind::Penetration && drained && look.joint.links.iter().any(bead)
}

/// Whether an edge against the fall of a low roof is stripped in: a strip stuck to the sheet, or metal whose edge lies under
/// such a strip. Sheets of low roofs are closed by their seams, not by the way they lap.
fn stripped_in(look: &JointLook<'_>, link: &Link, under: Thing) -> bool {
    let over = link.subject.thing;
    let strip = |l: &Link| l.verb == Verb::LapsOver && matches!(l.subject.thing, Thing::Piece(_)) && bonded(look, l);
    let stuck = |piece: Thing, on: Thing| {
        look.joint
            .links
            .iter()
            .any(|l| strip(l) && same(l.subject.thing, piece) && l.object.is_some_and(|o| same(o.thing, on)))
    };
    let flat = |s: &Surface| s.kind == SurfaceKind::Roof && s.facts.slope.as_ref().is_some_and(|v| v.high().si() < LOW);
    let sheet = look.surface(under).is_some_and(flat) && look.material(under).is_some_and(class::membrane);
    let pieces = || (0..look.joint.pieces.len()).map(Thing::Piece).filter(|p| *p != over);
    sheet && (stuck(over, under) || pieces().any(|p| stuck(p, over) && stuck(p, under)))
}

/// Whether a strip is stuck up under what falls outward through a wall: its water leaves over the outer end, not at the seam.
fn under_spout(look: &JointLook<'_>, link: &Link, under: Thing) -> bool {
    let wall = look.joint.surface(look.job, 0).is_some_and(|s| s.kind == SurfaceKind::Wall);
    let through = look.joint.kind == JointKind::Penetration && under == Thing::Piece(0) && wall;
    let fall = look.piece(under).and_then(|p| p.shape.slope.as_ref());
    let outward = fall.is_some_and(|f| matches!(f.toward, Toward::Outward));
    let below = look.net().falls.of(link).station == Some(Station::At(Spot::Bottom));
    through && outward && below && look.material(link.subject.thing).is_some_and(class::self_adhered)
}

/// Where alone a lap is the wrong way round; none where it is so all along.
fn alone(look: &JointLook<'_>, link: &Link, at: Option<Station>) -> Option<&'static str> {
    let at = at?;
    let place = of_link(look.job, look.joint, link);
    let others = look.stations().iter().filter(|s| **s != at && place.counts(**s));
    let sheds = others.map(|s| look.net().falls.at(link, *s)).any(|fall| fall.lap == Lap::Sheds);
    sheds.then(|| at.words()).filter(|w| !w.is_empty())
}

fn tell(look: &JointLook<'_>, link: &Link, under: Thing) -> Finding {
    let (over, below) = (name(look, link.subject.thing), name(look, under));
    let held = if bonded(look, link) || link.hold.sealed {
        " Glue or tape does not cure it: water stands on the edge until the bond lets go."
    } else {
        ""
    };
    let fall = look.net().falls.of(link);
    let there =
        alone(look, link, fall.station).map_or(String::new(), |w| format!(" {w} alone, and `at …` on both lines"));
    let why = if fall.words.is_empty() {
        format!("Water that runs down `{}` goes behind `{}` here", look.name(under), look.name(link.subject.thing))
    } else {
        fall.words
    };
    let finding = Finding::new(
        RULE.id,
        weigh(look, if rimmed(look, link, under) { Weight::Watch } else { Weight::Stop }),
        link.verb_span,
        format!("`{over}` lies outside `{below}`, which drains on to it"),
    )
    .label("water runs in behind")
    .detail(format!(
        "{why}. At every lap the piece that water comes from lies on the weather side (IRC 2015 section R703.2, read in a \
         state's text).{held}"
    ))
    .help(format!(
        "write `{} laps over {}`{there}, and build it so; what can't be slipped under gets a strip whose top edge is covered",
        look.name(under),
        look.name(link.subject.thing),
    ));
    match link.object {
        Some(object) => finding.also(object.span, "water comes from here"),
        None => finding,
    }
}
