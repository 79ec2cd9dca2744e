//! Siding, plaster or wood too close to a hard surface in the rain.

use super::ground::{Clearance, bare_edge, is_paving, over_paving, skin};
use super::ties::{quoted, short, show, stands};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "water/cladding-near-paving",
    summary: "cladding too close to paving, a step or a balcony floor",
    weight: Weight::Stop,
    page: include_str!("cladding_near_paving.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for link in look.joint.links.iter().filter(|l| !l.not_shown) {
        match find(look, link) {
            Ok(Some((has, needs))) => sink.found(tell(look, link, has, needs)),
            Ok(None) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

fn find(look: &JointLook<'_>, link: &Link) -> Result<Option<(Length, Clearance)>, Missing> {
    let (who, Some(on)) = (link.subject.thing, link.object.map(|o| o.thing)) else { return Ok(None) };
    let treated = look.piece(who).is_some_and(|p| p.shape.treated || p.shape.copper_treated);
    let hard = is_paving(look, on) || (link.verb != Verb::Clears && bare_edge(look, on));
    let Some(m) = skin(look, who).filter(|_| hard && !is_paving(look, who) && !treated) else {
        return Ok(None);
    };
    let Some(needs) = over_paving(m) else { return Ok(None) };
    let has = match (&link.length, link.verb) {
        (Some(length), Verb::Clears) => {
            look.least(length, &format!("how far {} stays clear", quoted(look, who)), link.span)?
        }
        (None, Verb::Clears) => {
            return Err(Missing::new(link.span, format!("how far {} stays clear is not said", quoted(look, who))));
        }
        (_, Verb::Touches | Verb::RunsTo | Verb::Butts) if class::cladding(m) || m.kind() == "trim" => Length::ZERO,
        _ => return Ok(None),
    };
    Ok(short(has, needs.least).then_some((has, needs)))
}

fn tell(look: &JointLook<'_>, link: &Link, has: Length, needs: Clearance) -> Finding {
    let show = show(look);
    let who = quoted(look, link.subject.thing);
    let on = quoted(look, link.object.map_or(Thing::Paving, |o| o.thing));
    let wanted = show.length(needs.least);
    let touches = has <= Length::ZERO;
    let weight = match () {
        () if stands(look, link.subject.thing) => Weight::Watch,
        () if touches => Weight::Stop,
        () => Weight::Fix,
    };
    let message = if touches {
        format!("{who} stands on {on}, {wanted} clear is asked for")
    } else {
        format!("{who} is {} above {on}, {wanted} is asked for", show.length(has))
    };
    Finding::new(RULE.id, weight, link.length_span.unwrap_or(link.span), message)
        .detail(format!(
            "Rain splashes off a hard surface, puddles and snow lie on it, and the lower edge draws the water up. {wanted} at \
             least ({}).",
            needs.source
        ))
        .help(format!("cut it off higher and write `{} clears {} {wanted}`, with a metal base flashing behind",
            look.name(link.subject.thing),
            look.name(link.object.map_or(Thing::Paving, |o| o.thing))))
        .number("clear", has.si(), "m")
        .number("wanted", needs.least.si(), "m")
}
