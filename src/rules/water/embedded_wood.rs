//! Wood let into masonry that rain or soil keeps damp.

use super::ground::mass;
use super::ties::{held, material, of, quoted, said, same, stands, surfaces, through, wet};
use crate::base::finding::{Finding, Weight};
use crate::base::span::Span;
use crate::model::joint::Thing;
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{JointKind, Rain, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/embedded-wood",
    summary: "wood let into masonry that can get wet",
    weight: Weight::Stop,
    page: include_str!("embedded_wood.md"),
    run: Run::Joint(run),
};

/// A piece of wood in a wall.
struct Inside {
    wood: Thing,
    span: Span,
    end: usize,
}

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for inside in find(look) {
        let Some(surface) = look.joint.surface(look.job, inside.end) else { continue };
        let Some(weight) = weigh(look, &inside, surface) else { continue };
        match look.whole() {
            Ok(()) => sink.found(tell(look, &inside, surface, weight)),
            Err(missing) => return sink.cannot(&Missing { span: inside.span, ..missing }),
        }
    }
}

fn find(look: &JointLook<'_>) -> Vec<Inside> {
    let wooden = |t: Thing| look.material(t).is_some_and(|m| class::wood(m) && !class::unit(m) && !class::cladding(m));
    let masonry = |t: Thing| match t {
        Thing::Layer { end, layer, .. } => {
            let surface = look.joint.surface(look.job, end)?;
            mass(surface).filter(|(i, ..)| *i == layer && wet(surface)).map(|_| end)
        }
        _ => None,
    };
    let mut found: Vec<Inside> = said(look, Verb::TucksInto)
        .filter(|(l, wood, _)| wooden(*wood) && !l.not_shown)
        .filter_map(|(link, wood, into)| Some(Inside { wood, span: link.span, end: masonry(into)? }))
        .collect();
    if look.joint.kind == JointKind::Penetration
        && let Some(wood) = through(look).filter(|t| wooden(*t))
        && surfaces(look).any(|(end, s)| end == 0 && wet(s) && mass(s).is_some())
        && !found.iter().any(|f| same(f.wood, wood))
    {
        let span = look.piece(wood).map_or(look.joint.span, |p| p.span);
        found.push(Inside { wood, span, end: 0 });
    }
    found
}

/// By what wets the masonry and what lets it dry; none where neither harms.
fn weigh(look: &JointLook<'_>, inside: &Inside, surface: &Surface) -> Option<Weight> {
    let soil = matches!(surface.first.place, SidePlace::Ground { .. });
    let rain = surface.facts.rain.or(look.job.rain);
    let exposed = soil || (!covered(surface) && rain != Some(Rain::Sheltered));
    let lined = lined(look, inside, surface);
    let ring = ring(look, inside.wood);
    let weight = match (exposed, lined, ring) {
        (true, true, false) => Weight::Stop,
        (true, true, true) | (true, false, false) => Weight::Fix,
        (false, true, false) => Weight::Watch,
        _ => return None,
    };
    let guarded = look.piece(inside.wood).is_some_and(|p| p.shape.treated || p.shape.copper_treated)
        || look.material(inside.wood).is_some_and(|m| m.family() == "copper-treated-wood")
        || stands(look, inside.wood);
    Some(if guarded && weight > Weight::Watch && !lined { Weight::Watch } else { weight })
}

/// Something lies over the masonry on its weather side.
fn covered(surface: &Surface) -> bool {
    let Some((index, ..)) = mass(surface) else { return false };
    let cover = |m: &crate::catalog::Material| class::cladding(m) || class::membrane(m) || class::plaster(m);
    surface.layers.iter().take(index).filter_map(material).any(cover)
}

/// Insulation on the room side keeps the masonry cold and wet.
fn lined(look: &JointLook<'_>, inside: &Inside, surface: &Surface) -> bool {
    let index = mass(surface).map_or(0, |(i, ..)| i);
    let inner = surface.layers.iter().skip(index + 1).any(|l| {
        material(l).is_some_and(class::insulation)
            || matches!(&l.body, crate::model::layer::Body::Members(m) if filled(m))
    });
    let piece = look.joint.pieces.iter().filter_map(|p| p.stuff.as_ref()?.material).any(class::insulation);
    inner || (piece && of(look, inside.wood).any(|l| l.verb == Verb::Butts))
}

fn filled(members: &crate::model::layer::Members) -> bool {
    use crate::model::layer::{BayPart, Fill};
    let insulates = |p: &BayPart| matches!(p, BayPart::Stuff(s) if s.material.is_some_and(class::insulation));
    matches!(&members.fill, Fill::Parts(parts) if parts.iter().any(insulates))
}

/// Air round the end, and a sealed ring where it goes in: it dries and gets no room air.
fn ring(look: &JointLook<'_>, wood: Thing) -> bool {
    let masonry = |t: Option<Thing>| t.and_then(|t| look.material(t)).is_some_and(class::masonry);
    let air = of(look, wood).any(|l| l.verb == Verb::Clears && masonry(l.other(wood).map(|o| o.thing)));
    let seal = of(look, wood).any(|l| l.verb == Verb::SealsTo || held(&l.hold));
    air && seal
}

fn tell(look: &JointLook<'_>, inside: &Inside, surface: &Surface, weight: Weight) -> Finding {
    let name = quoted(look, inside.wood);
    let lined = if lined(look, inside, surface) {
        " Insulation on the room side keeps the masonry colder and wetter than it was in all the years before."
    } else {
        ""
    };
    Finding::new(RULE.id, weight, inside.span, format!("the wood of {name} ends inside masonry that gets wet"))
        .label("wet from three sides")
        .detail(format!(
            "Masonry that rain or soil reaches holds water for months, and the end grain takes it up where nobody sees \
             it.{lined} Measurements of joist ends in insulated masonry walls show which stay dry: a wall kept from rain, \
             air round the end, a sealed ring (Building Science Digest 114 and Building America report BA-1508, read).",
        ))
        .help(format!(
            "keep it out of the wall on a hanger or a ledger with a gasket; else write `{wood} clears {wall} 1/2 in` and, for \
             a ring where it goes in, `{wood} seals to {wall} with urethane`",
            wood = look.name(inside.wood),
            wall = mass(surface).map_or("masonry", |(_, l, _)| l.label.as_str())
        ))
}
