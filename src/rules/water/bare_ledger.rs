//! Something is fastened on or through the layers that keep a wall dry, and nothing leads water over it.

use super::seam;
use super::ties::{held, of, quoted, said, same, stands, upper_water, water_layers};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::model::joint::{Link, Thing};
use crate::model::layer::Body;
use crate::model::surface::Surface;
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/bare-ledger",
    summary: "a ledger, canopy or band on a wall with no flashing over it, or with open holes",
    weight: Weight::Stop,
    page: include_str!("bare_ledger.md"),
    run: Run::Joint(run),
};

/// Thinner lumber is a batten or a board, on which no water lies.
const STOUT: Length = Length::new(0.030);

/// What is missing at a ledger.
enum Fault {
    Bare,
    /// Over it, but the wall's water runs behind.
    Unlapped(Thing),
    Holes,
}

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let any = |wanted: fn(Edge) -> bool| look.joint.ends.iter().filter_map(|e| e.edge).any(wanted);
    let upright = any(|e| matches!(e, Edge::Left | Edge::Right));
    if look.joint.kind != JointKind::Joint || upright || !any(|e| e == Edge::Face) || !seam::wet(look) {
        return;
    }
    let mut told: Vec<Thing> = Vec::new();
    for (link, ledger) in ledgers(look) {
        if !told.contains(&ledger) {
            told.push(ledger);
            match cover(look, ledger) {
                Some(cap) if fed(look, cap) => {}
                found => match look.whole() {
                    Ok(()) => sink.found(tell(look, link, &found.map_or(Fault::Bare, Fault::Unlapped))),
                    Err(missing) => sink.cannot(&missing),
                },
            }
        }
        if link.verb == Verb::FastensThrough && !held(&link.hold) && link.with.is_none() {
            sink.found(tell(look, link, &Fault::Holes));
        }
    }
}

/// What hangs on a wall, and the sentences that say so: stout pieces fastened through its skin, and along a level line,
/// where nothing else ends, whatever of wood stands on its outermost layer.
fn ledgers<'a>(look: &JointLook<'a>) -> impl Iterator<Item = (&'a Link, Thing)> {
    let alone = look.joint.ends.len() == 1;
    let level = move |on: Thing| alone && matches!(on, Thing::Layer { layer: 0, .. });
    // Blocking between the studs takes no rain.
    let outside = move |on: Thing| {
        let Thing::Layer { layer, .. } = on else { return false };
        let frame =
            |s: &Surface| s.layers.iter().position(|l| matches!(l.body, Body::Members(_))).unwrap_or(s.layers.len());
        alone && look.surface(on).is_some_and(|s| layer < frame(s))
    };
    look.joint.links.iter().filter(|l| !l.not_shown && !l.unread).filter_map(move |l| {
        let (who, on) = (l.subject.thing, l.object?.thing);
        let hangs = match l.verb {
            Verb::FastensThrough => stout(look, who) && skin(look, on),
            Verb::FastensTo => (outside(on) && stout(look, who)) || (level(on) && wooden(look, who)),
            Verb::Touches => level(on) && wooden(look, who),
            _ => false,
        };
        hangs.then_some((l, who))
    })
}

/// A piece of wood or trim of any thickness: on its top edge water lies too.
fn wooden(look: &JointLook<'_>, thing: Thing) -> bool {
    let wood = look.material(thing).is_some_and(|m| matches!(m.kind(), "lumber" | "trim"));
    wood && look.piece(thing).is_some_and(|p| p.places.is_empty())
}

/// Lumber or structural steel: it has a top on which water lies. Trim, battens and bars lie flat.
fn stout(look: &JointLook<'_>, thing: Thing) -> bool {
    match thing {
        Thing::Surface { .. } => true,
        Thing::Piece(_) => {
            let thick = look.stuff(thing).and_then(|s| s.thickness.as_ref()).is_none_or(|t| t.high() >= STOUT);
            look.material(thing).is_some_and(|m| (m.kind() == "lumber" && thick) || m.family() == "steel")
        }
        _ => false,
    }
}

/// The cladding or a water layer of the wall.
fn skin(look: &JointLook<'_>, thing: Thing) -> bool {
    let Thing::Layer { layer, .. } = thing else { return false };
    let Some(surface) = look.surface(thing) else { return false };
    let sheet = look.material(thing).is_some_and(|m| class::cladding(m) || class::membrane(m));
    let inner = water_layers(surface).into_iter().max();
    sheet || inner.is_some_and(|last| layer <= last)
}

/// What lies over it.
fn cover(look: &JointLook<'_>, ledger: Thing) -> Option<Thing> {
    let laps = said(look, Verb::LapsOver).filter(|(_, _, under)| same(*under, ledger));
    laps.map(|(_, over, _)| over).find(|over| {
        look.piece(*over).is_some()
            && look.material(*over).is_some_and(|m| class::metal(m) || class::membrane(m) || m.kind() == "flashing")
    })
}

/// Whether the wall's water layer runs on to it: lapped over its upper leg, or its leg let into masonry.
fn fed(look: &JointLook<'_>, cap: Thing) -> bool {
    let lapped = |l: &&Link| {
        l.verb == Verb::LapsOver && l.object.is_some_and(|o| same(o.thing, cap)) && upper_water(look, l.subject.thing)
    };
    let slotted = |l: &&Link| l.verb == Verb::TucksInto && same(l.subject.thing, cap);
    let own = of(look, cap).any(|l| lapped(&l) || slotted(&l));
    // A strip between: sheet over strip, strip over cap.
    own || said(look, Verb::LapsOver).any(|(_, strip, under)| {
        same(under, cap) && look.piece(strip).is_some() && of(look, strip).any(|l| lapped_on(look, l, strip))
    })
}

fn lapped_on(look: &JointLook<'_>, link: &Link, strip: Thing) -> bool {
    let under = link.object.is_some_and(|o| same(o.thing, strip)) && upper_water(look, link.subject.thing);
    let stuck = same(link.subject.thing, strip)
        && link.object.is_some_and(|o| upper_water(look, o.thing))
        && look.material(strip).is_some_and(class::self_adhered);
    link.verb == Verb::LapsOver && (under || stuck)
}

fn tell(look: &JointLook<'_>, link: &Link, fault: &Fault) -> Finding {
    let ledger = link.subject.thing;
    let skin = quoted(look, link.object.map_or(Thing::Hole, |o| o.thing));
    let name = quoted(look, ledger);
    let stands = stands(look, ledger);
    let bare = if stout(look, ledger) { Weight::Stop } else { Weight::Fix };
    let how = if link.verb == Verb::FastensThrough { "goes through" } else { "stands on" };
    let (weight, message, help) = match fault {
        Fault::Bare => (
            bare,
            format!("{name} {how} {skin} with no flashing over it"),
            format!("add a metal cap with a drip that laps over {name}, and lap the wall's water layer over the cap"),
        ),
        Fault::Unlapped(cap) => (
            Weight::Fix,
            format!("the wall's water layer does not lap over {}", quoted(look, *cap)),
            format!("let the upper half of the water layer lap over {} 2 in or more", quoted(look, *cap)),
        ),
        Fault::Holes => (
            Weight::Fix,
            format!("the fasteners of {name} leave open holes in {skin}"),
            "write `sealed`: through a self-adhered strip, or each bolt bedded in sealant".to_string(),
        ),
    };
    Finding::new(RULE.id, if stands { Weight::Watch } else { weight }, link.span, message)
        .detail(
            "Water lies on the top of what is fastened to a wall and runs in along it and along each bolt; rot there \
             has brought decks down. The water layer goes on behind it, a flashing lies over it, its upper leg behind \
             the water layer (IRC R703.4 and, in 2024, R703.2, both quoted in articles). How it is fastened \
             is for the local code and a licensed engineer.",
        )
        .help(help)
}
