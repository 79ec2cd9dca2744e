//! Old masonry goes on from the rain into the new room, and the seal lies on its face only.

use super::ground::mass;
use super::ties::{edge, material, quoted, said, same, short, show, surfaces};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::graph::plane::Agent;
use crate::model::joint::{Link, Thing};
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Rain, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/mass-bypass",
    summary: "masonry that draws rain round a seal on its face into the new room",
    weight: Weight::Fix,
    page: include_str!("mass_bypass.md"),
    run: Run::Joint(run),
};

/// So far from the seam the face is kept dry: the width of a strip on masonry. Common practice, no source.
const KEPT: Length = Length::new(4.0 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &JointLook<'_>) -> Result<Option<Finding>, Missing> {
    let Some((end, layer)) = bare(look).filter(|_| tight(look)) else { return Ok(None) };
    let stone = Thing::Layer { end, layer, half: None, part: None };
    let on = |l: &Link| l.object.is_some_and(|o| same(o.thing, stone)) || same(l.subject.thing, stone);
    let seals = |l: &&Link| on(l) && matches!(l.verb, Verb::SealsTo | Verb::LapsOver | Verb::Butts);
    let Some(seal) = look.joint.links.iter().find(seals) else { return Ok(None) };
    let mut kept = Length::ZERO;
    for (link, _, under) in said(look, Verb::LapsOver).filter(|(_, _, u)| same(*u, stone) || *u == Thing::Seam) {
        let Some(length) = &link.length else { continue };
        let what = if under == Thing::Seam { "how far the cover goes past the seam" } else { "a lap on the masonry" };
        kept = kept.max(look.least(length, what, link.span)?);
    }
    // A strip that is narrow has a rule of its own.
    let strip = said(look, Verb::LapsOver).any(|(_, _, under)| same(under, stone));
    if strip || !short(kept, KEPT) || course(look, stone)? {
        return Ok(None);
    }
    look.whole()?;
    Ok(Some(tell(look, stone, seal, kept)))
}

/// Whether the seal holds by itself: a leak, or a single line, is told by what is told of those.
fn tight(look: &JointLook<'_>) -> bool {
    look.leaks(Agent::Water).is_empty() && look.defenses().iter().all(|d| d.depth() > 1)
}

/// A thirsty mass with its face bare to the rain, at a joint with a new room: (end, layer).
fn bare(look: &JointLook<'_>) -> Option<(usize, usize)> {
    let room = |(end, s): &(usize, &Surface)| {
        let open = matches!(edge(look, *end), Some(Edge::Left | Edge::Right | Edge::High | Edge::Rake | Edge::Ridge));
        open && matches!(s.last.place, SidePlace::Room(_)) && matches!(s.first.place, SidePlace::Outdoors)
    };
    if !surfaces(look).any(|pair| room(&pair)) {
        return None;
    }
    surfaces(look).find_map(|(end, s)| {
        let rain = s.facts.rain.or(look.job.rain) != Some(Rain::Sheltered);
        let face = edge(look, end) == Some(Edge::Face) && matches!(s.first.place, SidePlace::Outdoors);
        let (layer, _, m) = mass(s).filter(|_| face && rain)?;
        let guard = |m: &crate::catalog::Material| class::cladding(m) || class::membrane(m) || class::plaster(m);
        let guarded = s.layers.iter().take(layer).filter_map(material).any(guard);
        (class::porous(m) && class::absorbent(m) && !guarded).then_some((end, layer))
    })
}

/// A sheet or metal let into it half its depth or more cuts the way.
fn course(look: &JointLook<'_>, stone: Thing) -> Result<bool, Missing> {
    let thick = look.stuff(stone).and_then(|s| s.thickness.as_ref());
    for (link, _, _) in said(look, Verb::TucksInto).filter(|(_, _, into)| same(*into, stone)) {
        let (Some(length), Some(thick)) = (&link.length, thick) else { continue };
        if look.least(length, "how deep the damp-proof course goes in", link.span)? >= thick.low() * 0.5 {
            return Ok(true);
        }
    }
    Ok(false)
}

fn tell(look: &JointLook<'_>, stone: Thing, seal: &Link, kept: Length) -> Finding {
    let show = show(look);
    let name = quoted(look, stone);
    let so_far = if kept > Length::ZERO {
        format!("The face is covered {} from the seam.", show.length(kept))
    } else {
        "Nothing covers the face beside the seam.".to_string()
    };
    Finding::new(RULE.id, Weight::Fix, seal.span, format!("{name} draws rain round this seal into the room"))
        .label("the seal lies on its face only")
        .also(look.layer(stone).map_or(look.joint.span, |l| l.span), "wet outdoors, bare in the room")
        .detail(format!(
            "{so_far} {name} takes rain up on its face and passes it on inside, behind the seal: the same stone is the \
             room's wall a hand farther on. No sealant stops that. Keep the face dry {} from the seam or more, or cut the \
             way with a damp-proof course (common practice, no source).",
            show.length(KEPT)
        ))
        .help(format!(
            "let a strip lap over `{}` {}, primed and rolled, or let a damp-proof sheet tuck into it half its depth",
            look.name(stone),
            show.length(KEPT)
        ))
        .number("kept_dry", kept.si(), "m")
        .number("wanted", KEPT.si(), "m")
}
