//! A pan or flashing whose ends let water run off sideways into the wall.

use super::cavity::{self, material};
use super::part::{
    bears, crosses, either, ends, flashing, host, lies_at, name, pan, pieces, show, soft, under_coping, weigh, wet,
};
use super::seam;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::catalog::Bond;
use crate::model::joint::{Dam, Piece, Thing};
use crate::model::surface::Surface;
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, Spot, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/missing-end-dams",
    summary: "a pan or flashing without end dams",
    weight: Weight::Stop,
    page: include_str!("missing_end_dams.md"),
    run: Run::Joint(run),
};

/// Lowest end dam (NBC of Canada 9.27.3.8: 25 mm, from memory).
const LEAST: Length = Length::new(0.025);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !wet(look) {
        return;
    }
    for (thing, piece) in pieces(look).filter(|(t, p)| needs(look, *t, p)) {
        sink.take(judge(look, thing, piece));
    }
}

/// Pans, trays through an outer leaf, and head flashings where water runs in the cladding or behind it.
fn needs(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> bool {
    if pan(look, thing, piece) {
        return !turned_by_nature(look, thing, piece);
    }
    // An upright damp course drains along itself; a sheet under a coping goes round with it.
    if seam::upright(look) || under_coping(look, thing) {
        return false;
    }
    // A mat that keeps a way open leads no water off.
    if look.material(thing).is_some_and(cavity::mat) {
        return false;
    }
    if !flashing(look, thing) || glued(look, thing) && look.joint.kind != JointKind::Joint {
        return false;
    }
    (crosses(look, thing).is_some() || at_wet_head(look, thing, piece)) && !edge_of_another(look, thing)
}

/// Whether the walls of a joint carry on at both sides, so that its ends are drawn elsewhere.
fn drawn_on(look: &JointLook<'_>) -> bool {
    let on = |s: &Surface| [Edge::Left, Edge::Right].iter().all(|e| s.facts.continues.iter().any(|c| c.value == *e));
    ends(look).filter(|(_, _, s)| s.kind == SurfaceKind::Wall).all(|(_, _, s)| on(s))
}

/// A sheet or coating that lies at the sill and at the jambs goes up there of itself.
fn turned_by_nature(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> bool {
    soft(look, thing) && lies_at(piece, Spot::Jambs) && look.joint.kind == JointKind::Opening
}

/// Whether a piece crosses the cavity behind laid brick or stone.
fn across_brick(look: &JointLook<'_>, thing: Thing) -> bool {
    let Some((end, _)) = crosses(look, thing) else { return false };
    let leaf = look.joint.surface(look.job, end).and_then(|s| s.layers.first());
    leaf.and_then(material).is_some_and(cavity::laid)
}

/// A sheet or tape that sticks, or a coating: no water runs along it, so none leaves at its ends.
fn glued(look: &JointLook<'_>, thing: Thing) -> bool {
    soft(look, thing) && look.material(thing).is_some_and(|m| m.bond() != Bond::Loose)
}

/// The metal edge or the lintel under a sheet across the cavity: the ends of the sheet are what counts.
fn edge_of_another(look: &JointLook<'_>, thing: Thing) -> bool {
    look.joint.links.iter().any(|l| {
        l.verb == Verb::LapsOver
            && l.object.is_some_and(|o| o.thing == thing)
            && matches!(l.subject.thing, Thing::Piece(_))
            && (crosses(look, l.subject.thing).is_some()
                || look.piece(l.subject.thing).is_some_and(|p| p.shape.end_dams.is_some())
                || look.joint.links.iter().any(|over| {
                    let layer = matches!(over.subject.thing, Thing::Layer { .. });
                    over.verb == Verb::LapsOver && layer && over.object.is_some_and(|o| o.thing == l.subject.thing)
                }))
    })
}

fn at_wet_head(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> bool {
    let Some(wall) = host(look).filter(|_| piece.places.contains(&Spot::Head)) else { return false };
    let drinks = wall.layers.first().and_then(material).is_some_and(class::absorbent);
    let held = look.joint.links_of(thing).next().is_some() && !bears(look, thing);
    held && (cavity::cavity(wall).is_some() || drinks)
}

fn judge(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> Result<Option<Finding>, Missing> {
    match &piece.shape.end_dams {
        Some(dam) => low(look, thing, piece, dam),
        None if ends_lapped(look, thing) || (band(look, thing, piece) && drawn_on(look)) => Ok(None),
        None => {
            if piece.shape.ends_not_shown {
                return Err(Missing::new(piece.line, "its ends are not shown"));
            }
            if piece.shape.unread {
                return Err(Missing::new(piece.line, "a word of its shape could not be read"));
            }
            look.whole()?;
            Ok(Some(absent(look, thing, piece)))
        }
    }
}

/// Whether something at the jambs lies over the ends of a pan.
fn ends_lapped(look: &JointLook<'_>, thing: Thing) -> bool {
    let at_jambs = |t: Thing| look.piece(t).is_some_and(|p| p.places.contains(&Spot::Jambs));
    let sill = look.piece(thing).is_some_and(|p| p.places.contains(&Spot::Sill));
    sill && soft(look, thing)
        && look.joint.links.iter().any(|l| {
            l.verb == Verb::LapsOver && l.object.is_some_and(|o| o.thing == thing) && at_jambs(l.subject.thing)
        })
}

/// A band flashing in a boarded wall runs from corner to corner; a tray in brick, a pan and a head have ends.
fn band(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> bool {
    look.joint.kind == JointKind::Joint && !across_brick(look, thing) && !pan(look, thing, piece)
}

fn absent(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> Finding {
    let called = name(look, thing);
    let weight = if band(look, thing, piece) { Weight::Watch } else { Weight::Stop };
    let dam = either(look, "end dams 25 mm", "end dams 1 in");
    Finding::new(
        RULE.id,
        weigh(piece.shape.existing, weight),
        piece.span,
        format!("the ends of `{called}` are not turned up"),
    )
    .label("open at both ends")
    .detail(format!(
        "Water that it catches runs along it and off its ends into the wall beside. Each end is turned up (an information \
         sheet on pan flashing and an article on ASTM E2112, both read), at least {} (NBC of Canada 9.27.3.8, from memory).",
        show(look).length(LEAST)
    ))
    .help(format!("add `{dam}` to `{called}`: fold, solder or form them before it is set"))
}

fn low(look: &JointLook<'_>, thing: Thing, piece: &Piece, dam: &Dam) -> Result<Option<Finding>, Missing> {
    let Some(high) = &dam.high else { return Ok(None) };
    let high = look.least(high, "how high its ends are turned up", dam.span)?;
    // A hair of room, so that 1 in and 25 mm both pass.
    if high.si() >= LEAST.si() - 1e-6 {
        return Ok(None);
    }
    let (show, called) = (show(look), name(look, thing));
    Ok(Some(
        Finding::new(
            RULE.id,
            Weight::Watch,
            dam.span,
            format!("the end dams of `{called}` are only {} high", show.length(high)),
        )
        .label("low")
        .also(piece.span, "its ends")
        .detail(format!(
            "Wind drives water over a low edge. End dams are at least {} high (NBC of Canada 9.27.3.8, from memory).",
            show.length(LEAST)
        ))
        .help(format!("turn the ends of `{called}` up {}", show.length(LEAST)))
        .number("end_dam", high.si(), "m")
        .number("least", LEAST.si(), "m"),
    ))
}
