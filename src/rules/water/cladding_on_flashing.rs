//! Siding that stands on the flashing below it.

use super::seam;
use super::ties::{quoted, same, short, show, stands};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::catalog::Seams;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "water/cladding-on-flashing",
    summary: "siding on or close above a flashing",
    weight: Weight::Fix,
    page: include_str!("cladding_on_flashing.md"),
    run: Run::Joint(run),
};

/// Gap between the lower edge of siding and the metal below it. Common practice, no source.
const LEAST: Length = Length::new(0.25 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !seam::wet(look) {
        return;
    }
    for (link, metal) in look.joint.links.iter().filter_map(|l| Some((l, stands_on(look, l)?))) {
        match gap(look, link) {
            Ok(has) if short(has, LEAST) => sink.found(tell(look, link, metal, has)),
            Ok(_) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// A sentence on how siding or trim stands to a flashing on to which the wall's water layer leads.
fn stands_on(look: &JointLook<'_>, link: &Link) -> Option<Thing> {
    let (who, on) = (link.subject.thing, link.object?.thing);
    let sided =
        look.material(who).is_some_and(|m| (class::cladding(m) && m.seams() != Seams::Units) || m.kind() == "trim");
    let flashing =
        look.piece(on).is_some() && look.material(on).is_some_and(|m| class::metal(m) || m.kind() == "flashing");
    let led = |l: &Link| l.verb == Verb::LapsOver && l.object.is_some_and(|o| same(o.thing, on));
    let verb = matches!(link.verb, Verb::Clears | Verb::Touches | Verb::RunsTo | Verb::Butts) && !link.not_shown;
    (verb && sided && flashing && look.joint.links.iter().any(led)).then_some(on)
}

fn gap(look: &JointLook<'_>, link: &Link) -> Result<Length, Missing> {
    match (&link.length, link.verb) {
        (Some(length), Verb::Clears) => {
            look.least(length, &format!("how far {} stays clear", quoted(look, link.subject.thing)), link.span)
        }
        (None, Verb::Clears) => Err(Missing::new(
            link.span,
            format!("how far {} stays clear is not said", quoted(look, link.subject.thing)),
        )),
        _ => Ok(Length::ZERO),
    }
}

fn tell(look: &JointLook<'_>, link: &Link, on: Thing, has: Length) -> Finding {
    let show = show(look);
    let (who, metal) = (quoted(look, link.subject.thing), quoted(look, on));
    let least = show.length(LEAST);
    let message = if has <= Length::ZERO {
        format!("{who} stands on {metal}")
    } else {
        format!("{who} is {} above {metal}, {least} is asked for", show.length(has))
    };
    let weight = if stands(look, link.subject.thing) { Weight::Watch } else { Weight::Fix };
    Finding::new(RULE.id, weight, link.length_span.unwrap_or(link.span), message)
        .label("draws water up")
        .detail(format!(
            "Water lies on the flashing and in so narrow a gap: cut ends draw it up, paint peels, and what runs down behind \
             the siding cannot get out. {least} at least over metal (common practice, no source; many makers ask for it)."
        ))
        .help(format!("cut it back and write `{} clears {} {least}`", look.name(link.subject.thing), look.name(on)))
        .number("clear", has.si(), "m")
        .number("wanted", LEAST.si(), "m")
}
