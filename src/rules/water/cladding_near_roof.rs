//! Siding that ends on a roof, or close above it.

use super::roofs::rained_on;
use super::ties::{edge, material, quoted, short, show, stands, surfaces};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::catalog::Seams;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Half, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/cladding-near-roof",
    summary: "siding on or close above a roof",
    weight: Weight::Fix,
    page: include_str!("cladding_near_roof.md"),
    run: Run::Joint(run),
};

/// 1 in: Oklahoma's amendment to IRC chapter 7 (748:20-6-12), read.
const LEAST: Length = Length::new(1.0 * INCH);
/// What draws no water at all, vinyl and metal, at its trim: common practice, no source.
const DENSE: Length = Length::new(0.5 * INCH);
/// Better where the siding draws water: common practice, no source.
const BETTER: Length = Length::new(2.0 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let face = surfaces(look).find(|(end, _)| edge(look, *end) == Some(Edge::Face));
    let roof = surfaces(look).find(|(_, s)| rained_on(s));
    let (Some((wall, surface)), Some((roof, _))) = (face, roof) else { return };
    if wall == roof {
        return;
    }
    let said: Vec<&Link> = look.joint.links.iter().filter(|l| between(look, l, wall, roof)).collect();
    if said.is_empty() && surface.layers.first().and_then(material).is_some_and(sided) {
        let label = surface.layers.first().map_or("", |l| l.label.as_str());
        let missing = format!("how far `{label}` stays clear of the roof is not said");
        return sink.cannot(&Missing::new(look.joint.span, missing));
    }
    for link in said {
        if let Err(missing) = judge(look, link, sink) {
            sink.cannot(&missing);
        }
    }
}

/// Siding in courses or boards, or plaster; brick and stone stand on a flashing of their own.
fn sided(m: &crate::catalog::Material) -> bool {
    class::cladding(m) && m.seams() != Seams::Units
}

/// A sentence on how the wall's siding stands to the roof.
fn between(look: &JointLook<'_>, link: &Link, wall: usize, roof: usize) -> bool {
    let cladding = match link.subject.thing {
        Thing::Layer { end, half, .. } => {
            end == wall && half != Some(Half::Lower) && look.material(link.subject.thing).is_some_and(sided)
        }
        Thing::Surface { end, half } => end == wall && half != Some(Half::Lower),
        Thing::Piece(_) => look.material(link.subject.thing).is_some_and(|m| m.kind() == "trim"),
        _ => false,
    };
    let of_roof = |t: Thing| matches!(t, Thing::Layer { end, .. } | Thing::Surface { end, .. } if end == roof);
    // A saddle or a flashing that the roofing laps over, or that lies on it, is what the water runs on there.
    let lies_on = |t: Thing| {
        let lap = |l: &&Link| l.verb == Verb::LapsOver && !l.not_shown;
        matches!(t, Thing::Piece(_))
            && look.joint.links_of(t).filter(lap).filter_map(|l| l.other(t)).any(|o| of_roof(o.thing))
    };
    let on = |t: Thing| of_roof(t) || lies_on(t);
    let verb = matches!(link.verb, Verb::Clears | Verb::Touches | Verb::RunsTo | Verb::Butts);
    cladding && verb && link.object.is_some_and(|o| on(o.thing))
}

fn judge(look: &JointLook<'_>, link: &Link, sink: &mut Sink) -> Result<(), Missing> {
    let who = link.subject.thing;
    let has = match (&link.length, link.verb) {
        (Some(length), Verb::Clears) => {
            look.least(length, &format!("how far {} stays clear", quoted(look, who)), link.span)?
        }
        (None, Verb::Clears) => {
            return Err(Missing::new(link.span, format!("how far {} stays clear is not said", quoted(look, who))));
        }
        _ => Length::ZERO,
    };
    let dense = look.material(who).is_some_and(|m| m.family() == "pvc" || class::metal(m));
    let least = if dense { DENSE } else { LEAST };
    if short(has, least) {
        sink.found(tell(look, link, has, least));
    }
    Ok(())
}

fn tell(look: &JointLook<'_>, link: &Link, has: Length, least: Length) -> Finding {
    let show = show(look);
    let (who, roof) = (quoted(look, link.subject.thing), quoted(look, link.object.map_or(Thing::Hole, |o| o.thing)));
    let weight = if stands(look, link.subject.thing) { Weight::Watch } else { Weight::Fix };
    let message = if same_zero(has) {
        format!("{who} stands on {roof}")
    } else {
        format!("{who} is {} above {roof}, {} is asked for", show.length(has), show.length(least))
    };
    Finding::new(RULE.id, weight, link.length_span.unwrap_or(link.span), message)
        .detail(format!(
            "Rain splashes off the roof, snow and leaves lie against the lower edge, and cut ends draw the water up. {} at \
             least (Oklahoma's amendment to IRC chapter 7, read); {} is better for wood and fiber cement, {} will do for \
             vinyl and metal (common practice, no source). The flashing behind stays open to see and to clean.",
            show.length(LEAST),
            show.length(BETTER),
            show.length(DENSE)
        ))
        .help(format!("cut it back and write `{} clears {} {}`; coat the cut ends",
            look.name(link.subject.thing),
            look.name(link.object.map_or(Thing::Hole, |o| o.thing)),
            show.length(least)))
        .number("clear", has.si(), "m")
        .number("wanted", least.si(), "m")
}

fn same_zero(length: Length) -> bool {
    length <= Length::ZERO
}
