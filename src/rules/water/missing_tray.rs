//! A brick or stone cavity that comes down on something with nothing across it to lead the water out.

use super::cavity::{cavity, laid, material, over_room};
use super::part::{crosses, cut, does, either, ends, flashing, pieces, tied_inboard, weigh};
use crate::base::finding::{Finding, Weight};
use crate::graph::gaps::{Fate, GapEnd, gaps_above};
use crate::model::joint::Thing;
use crate::model::layer::Layer;
use crate::model::surface::Surface;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, Spot, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/missing-tray",
    summary: "a brick or stone cavity without a tray at its foot, over an opening or over a room",
    weight: Weight::Stop,
    page: include_str!("missing_tray.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for (end, edge, wall) in ends(look) {
        let Some(cavity) = cavity(wall) else { continue };
        let Some(leaf) = wall.layers.first() else { continue };
        let what = if material(leaf).is_some_and(laid) {
            comes_down_on(look, end, edge)
        } else {
            into_room(look, end, cavity.gap)
        };
        let Some(what) = what else { continue };
        let tray = pieces(look).any(|(t, p)| {
            let there = look.joint.kind != JointKind::Opening || p.places.is_empty() || p.places.contains(&Spot::Head);
            let across = crosses(look, t).is_some_and(|(e, _)| e == end)
                || (does(look, t, Verb::StopsShort) && tied_inboard(look, t, end, cavity.gap));
            there && across && flashing(look, t)
        });
        if tray {
            continue;
        }
        match look.whole() {
            Ok(()) => sink.found(tell(look, wall, leaf, cavity.layer, what)),
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// What the cavity comes down on here; none where it carries on or ends above.
fn comes_down_on(look: &JointLook<'_>, end: usize, edge: Option<Edge>) -> Option<&'static str> {
    match (look.joint.kind, edge) {
        (JointKind::Opening, None) => Some("the head of the opening"),
        (JointKind::Joint, Some(Edge::Bottom)) => Some("its base"),
        (JointKind::Joint, Some(Edge::Face)) => below_face(look, end),
        _ => None,
    }
}

/// Other cladding stops above a roof that meets it; where it does not, what runs down behind it goes on into the room.
fn into_room(look: &JointLook<'_>, end: usize, gap: usize) -> Option<&'static str> {
    let ends_in = |g: &GapEnd| g.end == end && g.layer == gap && matches!(g.fate, Fate::IntoRoom(_));
    gaps_above(look.job, look.joint).iter().any(ends_in).then_some("the room under the roof")
}

/// At a face: the roof that meets it over a room, or the shelf that stands out of it.
fn below_face(look: &JointLook<'_>, end: usize) -> Option<&'static str> {
    let roofed = ends(look).any(|(e, edge, s)| {
        e != end
            && matches!(s.kind, SurfaceKind::Roof | SurfaceKind::Deck)
            && matches!(edge, Some(Edge::High | Edge::Rake | Edge::Back | Edge::Left | Edge::Right))
            && over_room(s)
    });
    let steel = |t: Thing| look.material(t).is_some_and(|m| m.key() == "steel");
    let shelf = look.joint.ends.len() == 1 && pieces(look).any(|(t, _)| steel(t));
    match (roofed, shelf) {
        (true, _) => Some("the room under the roof"),
        (_, true) => Some("its shelf angle"),
        _ => None,
    }
}

fn tell(look: &JointLook<'_>, wall: &Surface, leaf: &Layer, gap: &Layer, what: &str) -> Finding {
    let (outer, past) = (cut(&leaf.label), either(look, "10 mm", "3/8 in"));
    Finding::new(
        RULE.id,
        weigh(wall.facts.existing, Weight::Stop),
        look.joint.span,
        format!("no tray leads out what runs down behind `{outer}`"),
    )
    .label("nothing crosses the cavity")
    .also(gap.span, "water runs down here")
    .detail(format!(
        "Rain that gets through `{outer}` runs down in `{}` and comes down on {what}. Behind brick and stone a flashing lies \
         under the first course and at every support, turned up behind the water layer (IRC 2018 R703.8.5, quoted; an \
         institute detail, read); that a cavity must not end in a room: by reasoning.",
        cut(&gap.label)
    ))
    .help(format!(
        "add a `tray` with `end dams`, lap the water layer over it, and write `tray runs past {outer} {past}` and \
         `tray drains to outdoors, weeps at {}`",
        either(look, "600 mm oc", "24 in oc")
    ))
}
