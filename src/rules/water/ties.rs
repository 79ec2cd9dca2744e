//! Look-ups that the rules on roofs, ground and attachments share: who is tied to whom, what rain and soil reach.
//!
//! Not here: what a lap does to water (the graph). Invariant: a layer is the same layer whichever half is named.

use std::collections::BTreeSet;

use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::catalog::Material;
use crate::model::Job;
use crate::model::joint::{Hold, Joint, Link, Thing};
use crate::model::layer::Layer;
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::{JointLook, class};
use crate::syntax::ast::{Control, Edge, Half, JointKind, Spot, Verb};

/// Longest name that fits into a message.
const NAME: usize = 18;
/// Written lengths are compared with this allowance: 100 mm for 4 in, 200 mm for 8 in.
const ROUND: f64 = 0.97;

/// Whether a length falls short of a limit, metric roundings of inch figures allowed.
pub(super) fn short(length: Length, limit: Length) -> bool {
    length < limit * ROUND
}

/// Lengths as the job writes them.
pub(super) fn show(look: &JointLook<'_>) -> Show {
    Show { metric: look.job.metric }
}

/// A name, cut where it would burst a message.
pub(super) fn cut(name: &str) -> String {
    if name.chars().count() <= NAME {
        return name.to_string();
    }
    name.chars().take(NAME - 1).chain(['…']).collect()
}

/// A thing's name in backticks, cut where it would burst a message.
pub(super) fn quoted(look: &JointLook<'_>, thing: Thing) -> String {
    format!("`{}`", cut(&look.name(thing)))
}

/// A thing without the half that was named.
pub(super) fn whole(thing: Thing) -> Thing {
    match thing {
        Thing::Layer { end, layer, part, .. } => Thing::Layer { end, layer, half: None, part },
        Thing::Surface { end, .. } => Thing::Surface { end, half: None },
        other => other,
    }
}

/// Whether two things are the same but for the half.
pub(super) fn same(a: Thing, b: Thing) -> bool {
    whole(a) == whole(b)
}

/// The sentences with this verb and what they speak of.
pub(super) fn said<'a>(look: &JointLook<'a>, verb: Verb) -> impl Iterator<Item = (&'a Link, Thing, Thing)> + use<'a> {
    look.joint.links.iter().filter(move |l| l.verb == verb).filter_map(|l| Some((l, l.subject.thing, l.object?.thing)))
}

/// The sentences that name a thing, whatever half.
pub(super) fn of<'a>(look: &JointLook<'a>, thing: Thing) -> impl Iterator<Item = &'a Link> + use<'a> {
    let names = move |l: &&Link| same(l.subject.thing, thing) || l.object.is_some_and(|o| same(o.thing, thing));
    look.joint.links.iter().filter(names)
}

/// Whether a side of a surface gets rain, soil water or splash.
pub(super) fn wet_side(place: &SidePlace) -> bool {
    matches!(place, SidePlace::Outdoors | SidePlace::Ground { .. } | SidePlace::Water { .. })
}

/// Whether rain, soil or splash reaches a surface.
pub(super) fn wet(surface: &Surface) -> bool {
    [&surface.first, &surface.last].iter().any(|side| side.splashed || wet_side(&side.place))
}

/// The surfaces of a joint with their ends; an opening's is the one it stands in.
pub(super) fn surfaces<'a>(look: &JointLook<'a>) -> impl Iterator<Item = (usize, &'a Surface)> + use<'a> {
    let (job, joint): (&'a Job, &'a Joint) = (look.job, look.joint);
    (0..joint.ends.len()).filter_map(move |end| Some((end, joint.surface(job, end)?)))
}

/// Whether a thing stands already.
pub(super) fn stands(look: &JointLook<'_>, thing: Thing) -> bool {
    look.piece(thing).is_some_and(|p| p.shape.existing)
        || look.layer(thing).is_some_and(|l| l.words.existing)
        || look.surface(thing).is_some_and(|s| s.facts.existing)
}

/// The edge a joint has of an end.
pub(super) fn edge(look: &JointLook<'_>, end: usize) -> Option<Edge> {
    look.joint.ends.get(end)?.edge
}

/// Whether a piece or sentence of these places counts at a place.
pub(super) fn at(places: &[Spot], spot: Spot) -> bool {
    let both = matches!(spot, Spot::LowEnd | Spot::HighEnd | Spot::TopEnd | Spot::BottomEnd);
    places.contains(&spot) || (both && places.contains(&Spot::BothEnds))
}

/// Whether a link keeps water from passing between its two sides by what it is held with.
pub(super) fn held(hold: &Hold) -> bool {
    hold.bonded || hold.sealed || hold.taped || hold.welded || hold.torched || hold.pointed || hold.edge_under.is_some()
}

/// Whether a material parts two others so that no water is drawn across: a membrane, a gasket, metal, plastic, foam.
pub(super) fn breaks_wicking(m: &Material) -> bool {
    !class::porous(m) && !class::sensitive(m) && !m.air_open() && m.kind() != "ground"
}

/// The layers of a surface that are relied on against water; where none is, the outermost sheet or coating.
pub(super) fn water_layers(surface: &Surface) -> Vec<usize> {
    let claims = |l: &Layer| l.relied_on.iter().any(|c| c.value == Control::Water);
    let claimed: Vec<usize> = surface.layers.iter().enumerate().filter(|(_, l)| claims(l)).map(|(i, _)| i).collect();
    if !claimed.is_empty() {
        return claimed;
    }
    let sheet = |l: &Layer| material(l).is_some_and(class::membrane);
    surface.layers.iter().position(sheet).into_iter().collect()
}

/// The material of a layer of one material.
pub(super) fn material(layer: &Layer) -> Option<&'static Material> {
    match &layer.body {
        crate::model::layer::Body::Sheet(choice) => choice.builds.first()?.material,
        crate::model::layer::Body::Members(members) => members.member.material,
        _ => None,
    }
}

/// Whether a thing is a water layer of its surface, in its upper half or uncut.
pub(super) fn upper_water(look: &JointLook<'_>, thing: Thing) -> bool {
    let Thing::Layer { layer, half, .. } = thing else { return false };
    half != Some(Half::Lower) && look.surface(thing).is_some_and(|s| water_layers(s).contains(&layer))
}

/// All things that laps, seals and bonds join to one, whatever the way they lap.
pub(super) fn joined(look: &JointLook<'_>, from: Thing) -> BTreeSet<Thing> {
    let joins = |l: &&Link| match l.verb {
        Verb::LapsOver | Verb::SealsTo | Verb::TurnsUp | Verb::TucksInto => true,
        Verb::Butts => held(&l.hold) || l.with.is_some(),
        _ => false,
    };
    let mut found = BTreeSet::from([whole(from)]);
    let mut queue = vec![whole(from)];
    while let Some(thing) = queue.pop() {
        for link in of(look, thing).filter(joins) {
            for next in [Some(link.subject.thing), link.object.map(|o| o.thing)].into_iter().flatten().map(whole) {
                if found.insert(next) {
                    queue.push(next);
                }
            }
        }
    }
    found
}

/// The unit or thing that goes through, of an opening or a penetration.
pub(super) fn through(look: &JointLook<'_>) -> Option<Thing> {
    (look.joint.kind != JointKind::Joint && !look.joint.pieces.is_empty()).then_some(Thing::Piece(0))
}
