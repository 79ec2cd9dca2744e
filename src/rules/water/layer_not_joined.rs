//! Rain finds an open way through a joint: the water layers of its sides are not joined.

use super::{seam, weigh};
use crate::base::finding::{Finding, Weight};
use crate::graph::aside::aside;
use crate::graph::net::{Cause, Leak};
use crate::graph::plane::Agent;
use crate::graph::station::Station;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Spot, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/layer-not-joined",
    summary: "a joint that rain goes straight through",
    weight: Weight::Stop,
    page: include_str!("layer_not_joined.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !seam::wet(look) || !look.net().matters(Agent::Water) {
        return;
    }
    // One way is told: what mends it often closes the next.
    let Some(leak) = look.leaks(Agent::Water).iter().find(|l| !set_aside(look, l)) else { return };
    match (look.whole(), leak.doubt) {
        (Ok(()), None) => sink.found(tell(look, leak)),
        (Ok(()), Some(span)) => sink.cannot(&Missing::new(span, "whether this keeps water out is not known")),
        (Err(missing), _) => sink.cannot(&missing),
    }
}

/// Whether the way is no fault of the joint as drawn. A member that ends in masonry has a rule of its own.
fn set_aside(look: &JointLook<'_>, leak: &Leak) -> bool {
    let at_unit = matches!(leak.station, Station::At(Spot::Head | Spot::Jambs | Spot::Sill));
    aside(look.job, look.joint, Agent::Water, leak.station) || (!at_unit && embedded(look)) || free_rake(look)
}

/// Whether a roof ends here at a free rake, its edge metal over what lies under the roofing and the roofing over that: the
/// water runs along the edge, and what is blown over it drips.
fn free_rake(look: &JointLook<'_>) -> bool {
    let [end] = look.joint.ends.as_slice() else { return false };
    let over = |l: &Link| l.verb == Verb::LapsOver && !l.not_shown;
    let layer = |t: Thing| matches!(t, Thing::Layer { .. });
    let metal = |t: Thing| matches!(t, Thing::Piece(_)) && look.material(t).is_some_and(class::metal);
    let mut edges = look
        .joint
        .links
        .iter()
        .filter(|l| over(l) && metal(l.subject.thing))
        .filter(|l| l.object.is_some_and(|o| layer(o.thing)));
    end.edge == Some(Edge::Rake)
        && edges.any(|edge| {
            let roofing =
                |l: &Link| over(l) && layer(l.subject.thing) && l.object.is_some_and(|o| o.thing == edge.subject.thing);
            look.joint.links.iter().any(roofing)
        })
}

/// A joist or beam let into masonry does not come out on the other side.
fn embedded(look: &JointLook<'_>) -> bool {
    let wood = look.material(Thing::Piece(0)).is_some_and(class::wood);
    wood && seam::outer(look, 0).is_some_and(|(_, m, _)| class::masonry(m))
}

fn tell(look: &JointLook<'_>, leak: &Leak) -> Finding {
    let at = match leak.station.words() {
        "" => String::new(),
        words => format!(" {words}"),
    };
    let way: Vec<&str> = leak.steps.iter().map(|s| s.words.as_str()).collect();
    let more = match look.leaks(Agent::Water).len() {
        0 | 1 => String::new(),
        many => format!(" With this one closed, {} more would be found.", many - 1),
    };
    let finding = Finding::new(
        RULE.id,
        weigh(look, Weight::Stop),
        look.joint.span,
        format!("rain finds an open way through this joint{at}"),
    )
    .label("the water layers are not joined")
    .detail(format!(
        "The way: {}. {} A chain of laps and seals has to tie the water layer of one side to that of the other (IRC \
         sections R703.1.1 and R703.2, read in a state's text).{more}",
        way.join(", "),
        why(look, &leak.cause),
    ))
    .help(order(&leak.cause))
    .number("open_ways", look.leaks(Agent::Water).len() as f64, "1");
    let places = leak.steps.iter().filter_map(|s| s.span).filter(|s| *s != look.joint.span);
    places.take(2).fold(finding, |f, span| f.also(span, "on its way"))
}

fn label(look: &JointLook<'_>, end: usize, layer: usize) -> String {
    let found = look.joint.surface(look.job, end).and_then(|s| s.layers.get(layer));
    found.map_or_else(|| "a layer".to_string(), |l| format!("`{}`", l.label))
}

fn why(look: &JointLook<'_>, cause: &Cause) -> String {
    match cause {
        Cause::NothingJoined => "Nothing closes the seam.".to_string(),
        Cause::Misaligned(layers) => {
            let names: Vec<String> = layers.iter().map(|(end, layer)| label(look, *end, *layer)).collect();
            format!(
                "Each side is closed, at {}, but not to each other: a hollow between them links round.",
                names.join(" and ")
            )
        }
        Cause::Along(end, layer) => format!("It runs along {} past what closes the seam.", label(look, *end, *layer)),
        Cause::OpenLayer(end, layer) => format!("{} is itself open to water.", label(look, *end, *layer)),
    }
}

fn order(cause: &Cause) -> &'static str {
    match cause {
        Cause::NothingJoined => {
            "join the two water layers with a strip: write what laps over what, by how much, and how it is bonded"
        }
        Cause::Misaligned(_) => "join these two layers to each other with a strip that crosses the hollow between them",
        Cause::Along(..) => "end the hollow at the seam: fill it there, or carry the strip across it",
        Cause::OpenLayer(..) => "close the seams of that layer, or join a layer that is closed",
    }
}
