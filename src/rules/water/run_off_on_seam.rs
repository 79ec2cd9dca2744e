//! Water that runs down a bare face or a roof into the head of an upright seam.

use super::edge::flashing;
use super::{name, seam, weigh};
use crate::base::finding::{Finding, Weight};
use crate::graph::station::{self, Station};
use crate::model::joint::{Link, Party, Thing};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Spot, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/run-off-on-seam",
    summary: "run-off from above into the head of a seam",
    weight: Weight::Stop,
    page: include_str!("run_off_on_seam.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !seam::wet(look) || !seam::upright(look) {
        return;
    }
    let Some(link) = look.joint.links.iter().find(|l| feeds(look, l)) else { return };
    if look.joint.links.iter().any(|l| turns_out(look, l)) {
        return;
    }
    match look.whole() {
        Ok(()) => sink.found(tell(look, link)),
        Err(missing) => sink.cannot(&missing),
    }
}

/// A surface that carries on above the head of the seam, or drains on to it.
fn feeds(look: &JointLook<'_>, link: &Link) -> bool {
    if link.not_shown {
        return false;
    }
    let surface = |thing: Thing| matches!(thing, Thing::Surface { .. } | Thing::Layer { .. });
    let to_seam = link.object.is_some_and(|o| o.thing == Thing::Seam);
    match link.verb {
        Verb::RunsPast => surface(link.subject.thing) && at_head(look, link),
        Verb::DrainsTo => to_seam,
        _ => false,
    }
}

fn at_head(look: &JointLook<'_>, link: &Link) -> bool {
    let at = |spot| Station::At(spot);
    station::of_link(look.job, look.joint, link) != station::Where::All
        && station::of_link(look.job, look.joint, link).counts(at(Spot::TopEnd))
}

/// Whether something at the head turns that water out: a flashing there, or a way for it to drain.
fn turns_out(look: &JointLook<'_>, link: &Link) -> bool {
    let closes = match link.verb {
        Verb::TucksInto | Verb::DrainsTo => link.object.is_none_or(|o| o.thing != Thing::Seam),
        Verb::LapsOver => true,
        _ => false,
    };
    let of = |party: Party| look.material(party.thing).is_some_and(flashing);
    let made = of(link.subject) || link.object.is_some_and(of);
    at_head(look, link) && (closes && made || link.not_shown || link.unread)
}

fn tell(look: &JointLook<'_>, link: &Link) -> Finding {
    Finding::new(
        RULE.id,
        weigh(look, Weight::Stop),
        link.span,
        format!("water from `{}` runs into the head of this seam", name(look, link.subject.thing)),
    )
    .label("drains on to the seam")
    .also(look.joint.span, "this seam")
    .detail(
        "A bare face or a roof above the head of a seam pours all its water into it, in every rain, and behind the cladding. \
         It has to be turned out before it gets there (IRC 2009 section R703.8, quoted, for flashings where masonry and roofs \
         meet walls; the rest common practice, no source).",
    )
    .help(
        "cut a slot flashing over the head, at the full width of the strip and past it: a piece `at top end` that \
         `tucks into` the face 1 in (25 mm) and laps over the strip",
    )
}
