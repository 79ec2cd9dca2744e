//! Concrete, masonry or metal that leads from outdoors into the room past the insulation.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, ThermalResistance};
use crate::base::show::Show;
use crate::base::span::Span;
use crate::catalog::Material;
use crate::graph::place::{Air, air, place};
use crate::graph::plane::Agent;
use crate::model::joint::{Link, Thing};
use crate::model::layer::{Body, Layer, Stuff};
use crate::model::surface::Surface;
use crate::model::value::Draw;
use crate::rules::facts::{JointLook, class, path, way};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "heat/bridge-at-joint",
    summary: "stone, concrete or metal past the insulation at a joint",
    weight: Weight::Fix,
    page: include_str!("bridge_at_joint.md"),
    run: Run::Joint(run),
};

/// Below this zone a bridge costs little. Our own choice.
const COLD: u8 = 3;
/// A bridge worth this share of the wall and more is none to speak of. Our own choice.
const SHARE: f64 = 0.5;
/// Thinner metal is a flashing, not a bridge that can be left out. Our own choice.
const THICK: Length = Length::new(0.004);
/// Insulation that laps along the bridge this far: 24 in, 600 mm. Common practice, no source.
const LAP: Length = Length::new(0.6);
/// Films at both ends of the bridge, ISO 6946 level heat flow: 0.04 and 0.13 m2 K/W.
const FILMS: ThermalResistance = ThermalResistance::new(0.17);

/// A bridge and the wall it passes.
struct Bridge<'a> {
    /// What it is called, and where that is written.
    name: String,
    span: Span,
    /// From outdoors to the room along it.
    worth: ThermalResistance,
    length: Length,
    /// What it passes.
    wall: &'a Surface,
    clear: ThermalResistance,
}

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    // A surface factor worked out elsewhere knows more than this sum.
    if way::zone(look).is_none_or(|z| z < COLD) || look.joint.factor.is_some() {
        return;
    }
    let Some(bridge) = find(look) else { return };
    match look.whole() {
        Ok(()) => sink.found(tell(look, &bridge)),
        Err(missing) => sink.cannot(&missing),
    }
}

fn find<'a>(look: &JointLook<'a>) -> Option<Bridge<'a>> {
    let past = look.joint.links.iter().filter(|l| l.verb == Verb::RunsPast && !l.not_shown);
    past.filter_map(|l| runs_past(look, l))
        .next()
        .or_else(|| carries_on(look))
        .or_else(|| round_the_break(look))
        .or_else(|| goes_through(look))
        .or_else(|| look.joint.links.iter().find_map(|l| meets_inside(look, l)))
}

/// A slab that stands outdoors on both sides and meets a wall inboard of its insulation.
fn meets_inside<'a>(look: &JointLook<'a>, link: &Link) -> Option<Bridge<'a>> {
    let contact = matches!(link.verb, Verb::Touches | Verb::Butts | Verb::FastensTo | Verb::TucksInto);
    let (one, other) = (link.subject.thing, link.object?.thing);
    if !contact || link.not_shown || link.with.is_some() {
        return None;
    }
    [(one, other), (other, one)].into_iter().find_map(|(slab, met)| {
        let (Thing::Layer { end: from, .. }, Thing::Layer { end, layer, .. }) = (slab, met) else { return None };
        let airs = look.joint.surface(look.job, from).map(|s| [&s.first, &s.last].map(|p| air(look.job, place(p))))?;
        let inboard = look.net().controls(end, Agent::Heat).is_some_and(|main| layer > main);
        let stuff = look.stuff(slab).filter(|s| conducts(s))?;
        (from != end && airs == [Air::Free, Air::Free] && inboard && !lined(look, slab)).then_some(())?;
        bridge(look, end, stuff, look.name(slab), link.verb_span)
    })
}

/// A beam or slab through an insulated wall. Pipes and ducts carry what they carry; stacks in a roof need their clearance.
fn goes_through<'a>(look: &JointLook<'a>) -> Option<Bridge<'a>> {
    let thing = look.joint.pieces.first().filter(|_| look.joint.kind == JointKind::Penetration)?;
    let wall = look.joint.surface(look.job, 0)?.kind == SurfaceKind::Wall;
    let stuff = thing.stuff.as_ref().filter(|s| conducts(s) && s.material.is_some_and(|m| !carries_water(m)))?;
    if !wall || thing.shape.thermal_break || lined(look, Thing::Piece(0)) {
        return None;
    }
    bridge(look, 0, stuff, thing.name.clone(), thing.span)
}

/// What pipes alone are made of.
fn carries_water(m: &Material) -> bool {
    m.key() == "cast-iron" || m.family() == "copper"
}

/// Thick metal outdoors that touches a metal frame leads round the frame's thermal break.
fn round_the_break<'a>(look: &JointLook<'a>) -> Option<Bridge<'a>> {
    let unit = look.joint.pieces.first().filter(|_| look.joint.kind == JointKind::Opening)?;
    let metal = unit.stuff.as_ref().and_then(|s| s.material).is_some_and(class::metal);
    if !metal || !unit.shape.thermal_break {
        return None;
    }
    let contact = |l: &&Link| matches!(l.verb, Verb::Touches | Verb::Butts) && !l.not_shown;
    look.joint.links_of(Thing::Piece(0)).filter(contact).find_map(|link| {
        let other = link.other(Thing::Piece(0))?.thing;
        let stuff = look.stuff(other).filter(|s| s.material.is_some_and(class::metal) && conducts(s))?;
        bridge(look, 0, stuff, look.name(other), link.verb_span)
    })
}

/// `slab runs past wool`: concrete, masonry or thick metal past a layer of an insulated side.
fn runs_past<'a>(look: &JointLook<'a>, link: &Link) -> Option<Bridge<'a>> {
    let (Thing::Layer { end, .. } | Thing::Surface { end, .. }) = link.object?.thing else { return None };
    let subject = link.subject.thing;
    if at_corner(look, link) || in_front(look, subject, end) {
        return None;
    }
    let stuff = match subject {
        Thing::Surface { end, .. } => look.joint.surface(look.job, end)?.layers.iter().find_map(heavy)?,
        _ => look.stuff(subject).filter(|s| conducts(s))?,
    };
    bridge(look, end, stuff, look.name(subject), link.verb_span)
}

/// `wall runs past porch eave`: an insulated wall that carries on beside another surface says where a seam ends.
fn at_corner(look: &JointLook<'_>, link: &Link) -> bool {
    let (Thing::Surface { end, .. }, Some(Thing::Surface { .. })) = (link.subject.thing, link.object.map(|o| o.thing))
    else {
        return false;
    };
    look.net().controls(end, Agent::Heat).is_some()
}

/// Whether a piece is tied to layers of this side, and all of them lie outboard of the insulation: a coping, a sill.
fn in_front(look: &JointLook<'_>, thing: Thing, end: usize) -> bool {
    let (Thing::Piece(_), Some(control)) = (thing, look.net().controls(end, Agent::Heat)) else { return false };
    let own = |l: &&Link| l.subject.thing == thing && l.object.is_some();
    let covers = look.joint.links.iter().any(|l| l.verb == Verb::LapsOver && own(&l));
    let outer = |t: Thing| match t {
        Thing::Layer { end: e, layer, .. } => e == end && layer < control,
        Thing::Surface { .. } => false,
        _ => true,
    };
    (covers || look.joint.kind == JointKind::Opening)
        && look.joint.links_of(thing).filter_map(|l| l.other(thing)).all(|p| outer(p.thing))
}

/// An uninsulated face carries on from outdoors into the room.
fn carries_on<'a>(look: &JointLook<'a>) -> Option<Bridge<'a>> {
    let face = look.joint.ends.iter().position(|e| e.edge == Some(Edge::Face))?;
    if look.net().controls(face, Agent::Heat).is_some() {
        return None;
    }
    let layer = look.joint.surface(look.job, face)?.layers.first()?;
    let stuff = heavy(layer)?;
    let other = (0..look.joint.ends.len()).find(|e| *e != face)?;
    let thing = Thing::Layer { end: face, layer: 0, half: None, part: None };
    bridge(look, other, stuff, look.name(thing), layer.span).filter(|_| !lined(look, thing))
}

/// Insulation that laps along a face far enough.
fn lined(look: &JointLook<'_>, face: Thing) -> bool {
    look.joint.links.iter().any(|l| {
        let along = matches!(l.verb, Verb::LapsOver | Verb::Butts | Verb::Touches | Verb::RunsPast);
        let wide = look.piece(l.subject.thing).and_then(|p| p.shape.wide.as_ref());
        let far = l.length.as_ref().or(wide).is_some_and(|x| x.low() >= LAP);
        along && far && l.object.is_some_and(|o| o.thing == face) && way::insulating(look, l.subject.thing)
    })
}

fn heavy(layer: &Layer) -> Option<&Stuff> {
    match &layer.body {
        Body::Sheet(choice) => choice.at(&Draw::middle()).filter(|s| conducts(s)),
        _ => None,
    }
}

/// Masonry and concrete, and metal too thick for a flashing.
fn conducts(stuff: &Stuff) -> bool {
    let thick = stuff.thickness.as_ref().is_some_and(|t| t.low() >= THICK);
    stuff.material.is_some_and(|m| class::masonry(m) || (class::metal(m) && thick))
}

/// A bridge past an insulated surface between kept air and other air.
fn bridge<'a>(look: &JointLook<'a>, end: usize, stuff: &Stuff, name: String, span: Span) -> Option<Bridge<'a>> {
    let wall = look.joint.surface(look.job, end)?;
    let airs = [&wall.first, &wall.last].map(|side| air(look.job, place(side)));
    if airs != [Air::Free, Air::Kept] || look.net().controls(end, Agent::Heat).is_none() {
        return None;
    }
    let draw = Draw::middle();
    let best = |paths: Vec<path::Path<'_>>| paths.iter().map(through).max_by(|a, b| a.si().total_cmp(&b.si()));
    // Where part of the section is not drawn the insulation that is drawn is the least the wall is worth.
    let clear = path::paths(wall, &draw).ok().and_then(best).or_else(|| drawn(wall, &draw))?;
    let length: Length = wall.layers.iter().filter_map(thickness).sum();
    let conductivity = stuff.conductivity.as_ref().map(|c| c.at(&draw));
    let conductivity = conductivity.or_else(|| stuff.material.and_then(|m| m.conductivity()))?;
    let worth = FILMS + length / conductivity;
    (worth.si() < clear.si() * SHARE).then_some(Bridge { name, span, worth, length, wall, clear })
}

fn drawn(wall: &Surface, draw: &Draw) -> Option<ThermalResistance> {
    let of = |layer: &Layer| match &layer.body {
        Body::Sheet(choice) => choice.at(draw)?.resistance_at(draw),
        _ => None,
    };
    let sum: ThermalResistance = wall.layers.iter().filter_map(of).sum();
    (sum > ThermalResistance::ZERO).then_some(sum + FILMS)
}

fn through(path: &path::Path<'_>) -> ThermalResistance {
    path.first_film + path.parts.iter().map(|p| p.resistance).sum::<ThermalResistance>() + path.last_film
}

fn thickness(layer: &Layer) -> Option<Length> {
    let of = |s: &Stuff| s.thickness.as_ref().map(|t| t.low()).or_else(|| s.material.and_then(|m| m.usual_thickness()));
    match &layer.body {
        Body::Hole => None,
        Body::Sheet(choice) => choice.at(&Draw::middle()).and_then(of),
        Body::Panel(parts) => Some(parts.iter().filter_map(of).sum()),
        Body::Gap(gap) => Some(gap.thickness.low()),
        Body::Members(members) => Some(members.depth.low()),
    }
}

fn tell(look: &JointLook<'_>, found: &Bridge<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let lap = if look.job.metric { "600 mm" } else { "24 in" };
    let name: String = found.name.chars().take(24).collect();
    let wall: String = found.wall.name.chars().take(20).collect();
    let weight = if way::stands(look) { Weight::Watch } else { Weight::Fix };
    Finding::new(RULE.id, weight, found.span, format!("`{name}` leads past the insulation of `{wall}`"))
        .label("a bridge for heat")
        .also(look.joint.span, "at this joint")
        .detail(format!(
            "Straight along it from outdoors to the room, {} with the films of ISO 6946, it is worth {}; the wall beside it \
             {}. That is the most it can be worth: heat also comes in from the sides, which a computation in two \
             dimensions shows.",
            show.length(found.length),
            show.resistance(found.worth),
            show.resistance(found.clear)
        ))
        .help(format!(
            "let insulation lap along it for {lap}, inside or outside, and write it: `board laps over {} {lap}`, or cut it \
             with a thermal break",
            found.name
        ))
        .number("resistance_bridge", found.worth.si(), "m2.K/W")
        .number("resistance_clear", found.clear.si(), "m2.K/W")
}
