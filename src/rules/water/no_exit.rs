//! Something catches water and lets none of it out.

use super::cavity::{self, Cavity};
use super::part::{crosses, cut, does, drains_out, ends, has_exit, ledge, name, pan, pieces, weigh, wet};
use crate::base::finding::{Finding, Weight};
use crate::model::joint::{Link, Piece, Thing};
use crate::model::layer::{Body, Openings};
use crate::model::surface::Surface;
use crate::rules::facts::{JointLook, Missing};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/no-exit",
    summary: "a tray, pan or cavity that catches water and has no way out",
    weight: Weight::Stop,
    page: include_str!("no_exit.md"),
    run: Run::Joint(run),
};

const WHY: &str = "Every part of a drained wall has to let its water out at its low point, or the wall fills from there \
                   (IRC 2018 R703.1.1, read: water that gets behind a veneer has to drain out; that each low point needs \
                   an exit of its own: by reasoning).";

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !wet(look) {
        return;
    }
    for (thing, piece) in pieces(look).filter(|(t, p)| catches(look, *t, p)) {
        if has_exit(look, thing) || does(look, thing, Verb::StopsShort) {
            continue;
        }
        match look.whole().and_then(|()| read(piece)) {
            Ok(()) => sink.found(piece_finding(look, thing, piece)),
            Err(missing) => sink.cannot(&missing),
        }
    }
    for (end, edge, surface) in ends(look) {
        let Some(cavity) = cavity::cavity(surface).filter(|_| edge == Some(Edge::Bottom)) else { continue };
        if leaves(look, end, &cavity) {
            continue;
        }
        match look.whole().and_then(|()| shut(look, end, &cavity)) {
            Ok(link) => sink.found(cavity_finding(look, surface, &cavity, link)),
            Err(missing) => sink.cannot(&missing),
        }
    }
}

fn read(piece: &Piece) -> Result<(), Missing> {
    if piece.shape.unread { Err(Missing::new(piece.line, "a word of it could not be read")) } else { Ok(()) }
}

/// What holds or receives water: dams, a fall, a place under a unit or across a gap.
fn catches(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> bool {
    let shape = &piece.shape;
    let dammed = shape.end_dams.is_some() || shape.back_dam.is_some();
    // Behind what stands through a roof water is led round it, to both sides.
    let falls = look.joint.kind != JointKind::Penetration
        && (shape.slope.is_some() || shape.level.is_some())
        && super::part::flashing(look, thing);
    (dammed || falls || pan(look, thing, piece) || crosses(look, thing).is_some()) && !ledge(look, thing, piece)
}

/// Whether what runs down in a cavity gets out at the foot of its wall.
fn leaves(look: &JointLook<'_>, end: usize, cavity: &Cavity<'_>) -> bool {
    let outer = |t: Thing| match t {
        Thing::Layer { end: e, layer, .. } => e == end && layer <= cavity.gap,
        Thing::Surface { end: e, .. } => e == end,
        _ => false,
    };
    let lets_out = |l: &Link| {
        outer(l.subject.thing)
            && (drains_out(l) || matches!(l.verb, Verb::Clears | Verb::RunsPast | Verb::LapsOver) || l.not_shown)
    };
    let tray = |(t, _): (Thing, &Piece)| has_exit(look, t) && crosses(look, t).is_some_and(|(e, _)| e == end);
    cavity.open_below() || look.joint.links.iter().any(lets_out) || pieces(look).any(tray)
}

/// The sentence that shuts the foot of a cavity, or none where the layer itself says that it is closed.
fn shut<'a>(look: &JointLook<'a>, end: usize, cavity: &Cavity<'a>) -> Result<Option<&'a Link>, Missing> {
    let at_foot = |t: Thing| matches!(t, Thing::Layer { end: e, layer, .. } if e == end && layer <= cavity.gap);
    let shuts = |l: &&Link| {
        let named = at_foot(l.subject.thing) || l.object.is_some_and(|o| at_foot(o.thing));
        named && matches!(l.verb, Verb::SealsTo | Verb::Butts | Verb::Touches | Verb::Fills)
    };
    match (look.joint.links.iter().find(shuts), cavity.openings()) {
        (Some(link), _) => Ok(Some(link)),
        // Bays between battens count as closed until they are said to be open, which says nothing of their foot.
        (None, Some(Openings::Closed)) if matches!(cavity.layer.body, Body::Gap(_)) => Ok(None),
        (None, Some(Openings::At { .. })) => Ok(None),
        (None, _) => Err(Missing::new(
            cavity.layer.span,
            format!("where `{}` lets its water out is not said", cut(&cavity.layer.label)),
        )),
    }
}

fn piece_finding(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> Finding {
    let piece_name = name(look, thing);
    Finding::new(
        RULE.id,
        weigh(piece.shape.existing, Weight::Stop),
        piece.span,
        format!("`{piece_name}` catches water and has nothing to drain to"),
    )
    .label("no way out")
    .detail(format!("Nothing written carries water off it. {WHY}"))
    .help(format!("write `{piece_name} drains to outdoors`, or let it lap over what carries water out below it"))
}

fn cavity_finding(look: &JointLook<'_>, surface: &Surface, cavity: &Cavity<'_>, link: Option<&Link>) -> Finding {
    let label = cut(&cavity.layer.label);
    let finding = Finding::new(
        RULE.id,
        weigh(surface.facts.existing, Weight::Stop),
        link.map_or(cavity.layer.span, |l| l.verb_span),
        format!("the cavity `{label}` has no way out at its foot"),
    )
    .label("shut at its low point")
    .also(look.joint.span, "its foot")
    .detail(format!("What runs down behind the outer leaf of `{}` stays there. {WHY}", cut(&surface.name)));
    finding.help(format!(
        "open the foot of `{label}` (`open top and bottom`), or put a flashing under it that `drains to outdoors`"
    ))
}
