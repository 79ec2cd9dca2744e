//! Wood, paper, gypsum or a thirsty board on damp masonry, concrete or soil with nothing between.

use super::ground::{bare_edge, damp, is_paving, skin};
use super::ties::{breaks_wicking, of, quoted, same, stands};
use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::model::joint::{Link, Thing};
use crate::model::surface::SidePlace;
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Control, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/wick",
    summary: "wood, paper or gypsum that draws water out of masonry, concrete or soil",
    weight: Weight::Stop,
    page: include_str!("wick.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for link in look.joint.links.iter().filter(|l| !l.not_shown && !l.unread) {
        let Some(object) = link.object.map(|o| o.thing) else { continue };
        let pair = [(link.subject.thing, object), (object, link.subject.thing)];
        let Some((dry, wet)) = pair.into_iter().find(|(dry, wet)| draws(look, *dry) && gives(look, *wet)) else {
            continue;
        };
        // Siding on soil or paving is told by how far it has to stay clear.
        let told = skin(look, dry).is_some_and(|m| class::cladding(m) || m.kind() == "trim");
        if !(told && (wet == Thing::Grade || is_paving(look, wet) || bare_edge(look, wet)))
            && contact(look, link, dry, wet)
        {
            sink.found(tell(look, link, dry, wet));
        }
    }
}

/// What takes water up and is harmed, or carries it on.
fn draws(look: &JointLook<'_>, thing: Thing) -> bool {
    let thirsty = |m: &Material| {
        let board = matches!(m.kind(), "gypsum-board" | "board-insulation" | "loose-fill" | "batt");
        class::sensitive(m) || (m.kind() == "gypsum-board") || (board && class::porous(m))
    };
    // A bought unit comes with its own feet.
    matches!(thing, Thing::Piece(_) | Thing::Other { .. } | Thing::Layer { .. })
        && look.material(thing).is_some_and(|m| thirsty(m) && !class::unit(m) && !class::membrane(m))
}

/// What gives water off: damp masonry, concrete, plaster on it, soil.
fn gives(look: &JointLook<'_>, thing: Thing) -> bool {
    thing == Thing::Grade
        || thing == Thing::Paving
        || damp(look, thing)
            && look.material(thing).is_some_and(|m| {
                (class::masonry(m) && class::porous(m)) || m.kind() == "ground" && m.key() != "crushed-stone"
            })
}

/// Whether the two touch: said in so many words, or fastened on concrete in the ground with nothing between.
fn contact(look: &JointLook<'_>, link: &Link, dry: Thing, wet: Thing) -> bool {
    match link.verb {
        Verb::Touches => link.with.is_none(),
        Verb::FastensTo | Verb::Butts => {
            let soil = look
                .surface(wet)
                .is_some_and(|s| [&s.first, &s.last].iter().any(|side| matches!(side.place, SidePlace::Ground { .. })));
            soil && link.with.is_none() && !parted(look, dry, wet)
        }
        _ => false,
    }
}

/// Another sentence or piece puts something between them that draws nothing.
fn parted(look: &JointLook<'_>, dry: Thing, wet: Thing) -> bool {
    let gasket = |l: &Link| l.with.as_ref().and_then(|s| s.material).is_some_and(breaks_wicking);
    let ties = |l: &Link| l.object.is_some_and(|o| same(o.thing, wet) || same(l.subject.thing, wet));
    let clears = |l: &Link| l.verb == Verb::Clears;
    let between = |l: &Link| {
        let other = l.other(l.subject.thing).map_or(Thing::Hole, |p| p.thing);
        let other = if same(other, dry) { l.subject.thing } else { other };
        look.material(other).is_some_and(breaks_wicking) && of(look, other).any(ties)
    };
    of(look, dry).any(|l| (ties(l) && (gasket(l) || clears(l))) || between(l))
}

fn tell(look: &JointLook<'_>, link: &Link, dry: Thing, wet: Thing) -> Finding {
    let (who, what) = (quoted(look, dry), quoted(look, wet));
    let treated = look.piece(dry).is_some_and(|p| p.shape.treated || p.shape.copper_treated)
        || look.layer(dry).is_some_and(|l| l.words.treated || l.words.copper_treated)
        || look.material(dry).is_some_and(|m| m.family() == "copper-treated-wood");
    let durable = look.material(dry).is_some_and(|m| matches!(m.key(), "cedar" | "redwood"));
    let relied = look.layer(dry).is_some_and(|l| l.relied_on.iter().any(|c| c.value == Control::Water));
    let weight = match () {
        () if treated || durable || stands(look, dry) => Weight::Watch,
        () if relied => Weight::Fix,
        () => Weight::Stop,
    };
    let note = if treated || durable {
        " Treated or naturally durable wood is let there by most codes, but it stays wet and passes the water on."
    } else {
        ""
    };
    Finding::new(RULE.id, weight, link.span, format!("{who} draws water out of {what}"))
        .label("nothing between them")
        .detail(format!(
            "Masonry, concrete and soil pass water on by suction, uphill and for years. Wood and boards on them want a \
             break that draws nothing: a gasket, a sheet, a plastic shim, or air (IRC 2021 section R317.1, from memory; NHBC \
             Standards 6.2.12, read; panels at slabs 1/4 in clear, common practice, no source).{note}"
        ))
        .help(format!("part them: write `{} seals to {} with sill-gasket`, or clear it 1/4 in", look.name(dry), look.name(wet)))
}
