//! Strips at the jambs that end above the pan without lapping it.

use super::part::{counts_at, flashing, host, name, pan, pieces, weigh};
use crate::base::finding::{Finding, Weight};
use crate::graph::station::{Where, of_link};
use crate::model::joint::{Link, Piece, Thing};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Spot, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/open-corner",
    summary: "jamb strips that do not lap on to the sill pan",
    weight: Weight::Stop,
    page: include_str!("open_corner.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if host(look).is_none() {
        return;
    }
    let jambs: Vec<(Thing, &Piece)> = pieces(look).filter(|(t, p)| at_jambs(look, *t, p)).collect();
    let Some((strip, _)) = jambs.first().copied() else { return };
    for (thing, piece) in pieces(look).filter(|(t, p)| p.places.contains(&Spot::Sill) && pan(look, *t, p)) {
        let tied = |l: &Link| {
            let other = l.other(thing).map(|o| o.thing);
            matches!(l.verb, Verb::LapsOver | Verb::SealsTo) && jambs.iter().any(|(t, _)| other == Some(*t))
        };
        if look.joint.links_of(thing).any(|l| tied(l) || l.not_shown || l.unread) {
            continue;
        }
        match look.whole() {
            Ok(()) => sink.found(tell(look, strip, thing, piece)),
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// A flashing that stands at the jambs and laps the unit or the wall there.
fn at_jambs(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> bool {
    let laps = |l: &&Link| {
        l.verb == Verb::LapsOver
            && (counts_at(look, l, Spot::Jambs) || matches!(of_link(look.job, look.joint, l), Where::Corner(..)))
    };
    piece.places.contains(&Spot::Jambs)
        && !piece.places.contains(&Spot::Sill)
        && flashing(look, thing)
        && look.joint.links.iter().filter(|l| l.subject.thing == thing).any(|l| laps(&l))
}

fn tell(look: &JointLook<'_>, strip: Thing, pan: Thing, piece: &Piece) -> Finding {
    let (upper, lower) = (name(look, strip), name(look, pan));
    let finding = Finding::new(
        RULE.id,
        weigh(piece.shape.existing, Weight::Stop),
        look.piece(strip).map_or(look.joint.span, |p| p.span),
        format!("`{upper}` ends above `{lower}` and does not lap it"),
    )
    .label("the lower corners are open");
    finding
        .also(piece.span, "the pan")
        .detail(
            "Water that runs down the jambs reaches the lower corners, where most windows leak. The strip at each jamb \
             comes down over the turned-up end of the pan (an article on ASTM E2112, read; the length by common practice, \
             no source).",
        )
        .help(format!("write `{upper} laps over {lower} 2 in`"))
}
