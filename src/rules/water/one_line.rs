//! A seam between walls that one thing alone keeps dry.

use super::cover_stops_at_seam::outboard;
use super::edge::{bonded, closed, covered};
use super::sealant_alone::bead_alone;
use super::{seam, weigh};
use crate::base::finding::{Finding, Weight};
use crate::graph::defense::Defense;
use crate::graph::plane::Agent;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "water/one-line",
    summary: "a seam between walls with a single line of defense",
    weight: Weight::Stop,
    page: include_str!("one_line.md"),
    run: Run::Joint(run),
};

/// Lines that a seam between unlike walls or in hard rain has at least. Common practice, no source.
const LEAST: u32 = 2;
/// A seal, a held edge, a cover. Of unlike walls one alone is a single line, however well it holds. Common practice, no
/// source.
const ROLES: usize = 3;

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !seam::wet(look) || !seam::upright(look) {
        return;
    }
    let unlike = seam::unlike(look);
    // Alike and in ordinary rain one good line is the habit of the trade.
    if unlike.is_none() && !seam::severe(look) {
        return;
    }
    // Where nothing closes the seam at all, that is told by the rule on leaks; a bead alone has its own rule.
    let leaks = |d: &Defense| look.leaks(Agent::Water).iter().any(|l| l.station == d.station);
    let single = unlike.is_some() && missing_roles(look).len() == ROLES - 1;
    let thin = |d: &&Defense| (d.depth() < LEAST || single) && !leaks(d) && !bead_alone(look, d);
    let thin = look.defenses().iter().find(thin);
    let Some(defense) = thin else { return };
    match look.whole() {
        Ok(()) => sink.found(tell(look, defense, unlike)),
        Err(missing) => sink.cannot(&missing),
    }
}

/// The three roles of a seam: what bonds, what holds the edge, what sheds past it.
fn missing_roles(look: &JointLook<'_>) -> Vec<&'static str> {
    let any = |role: fn(&JointLook<'_>, &Link) -> bool| look.joint.links.iter().any(|l| !l.not_shown && role(look, l));
    let roles: [(&'static str, bool); ROLES] = [
        ("a primary seal that is bonded to both sides", any(|look, l| bonded(look, l) || l.verb == Verb::SealsTo)),
        ("a held edge", any(|look, l| closed(l) || l.verb == Verb::TucksInto || pressed(look, l))),
        ("a cover that passes the seam", any(over_seam)),
    ];
    roles.into_iter().filter(|(_, there)| !there).map(|(words, _)| words).collect()
}

/// How each missing role is written.
fn orders(roles: &[&str]) -> String {
    let order = |role: &&str| match *role {
        "a held edge" => "a held edge: `, edge under bar` and the bar as a piece, or `tucks into`",
        "a cover that passes the seam" => "a cover: a trim that `laps over seam 2 in`",
        _ => "a seal to both sides: `, bonded` at its laps, or a bead, `seals to`",
    };
    let orders: Vec<&str> = roles.iter().map(order).collect();
    if orders.is_empty() { "a second hold: bond it, or hold its edge".to_string() } else { orders.join("; ") }
}

fn over_seam(look: &JointLook<'_>, link: &Link) -> bool {
    let weather = look.material(link.subject.thing).is_some_and(outboard);
    link.verb == Verb::LapsOver && (link.object.is_some_and(|o| o.thing == Thing::Seam) || weather)
}

/// A glued strip that something laps over.
fn pressed(look: &JointLook<'_>, link: &Link) -> bool {
    bonded(look, link) && covered(look, link.subject.thing) && link.verb == Verb::FastensThrough
}

fn tell(look: &JointLook<'_>, defense: &Defense, unlike: Option<(Thing, Thing)>) -> Finding {
    let depth = defense.depth();
    let weight = if depth == 0 || unlike.is_some() { Weight::Stop } else { Weight::Fix };
    let there: Vec<&str> = defense.lines.iter().map(|l| l.words.as_str()).collect();
    let there = if there.is_empty() { "none".to_string() } else { there.join("; ") };
    let harmed = defense.harmed.map_or_else(|| "the room".to_string(), |thing| format!("`{}`", look.name(thing)));
    let who = match unlike {
        Some((a, b)) => format!("`{}` and `{}` wet and move unlike each other", look.name(a), look.name(b)),
        None => "the rain here is hard".to_string(),
    };
    let roles = missing_roles(look);
    let missing = if roles.is_empty() { "a second hold".to_string() } else { roles.join(", ") };
    let message = match depth {
        0 => "no line of defense stands between rain and what it harms".to_string(),
        _ => "one thing alone keeps this seam dry".to_string(),
    };
    let finding = Finding::new(RULE.id, weigh(look, weight), look.joint.span, message)
        .label(if depth < LEAST { format!("{depth} of {LEAST}") } else { "one of three roles".to_string() })
        .detail(format!(
            "Lines before {harmed}: {there}. Since {who}, a seam wants at least {LEAST}, of the three roles seal, held \
             edge and cover (common practice, no source). Missing: {missing}."
        ))
        .help(format!("add {}", orders(&roles)))
        .number("depth", f64::from(depth), "1")
        .number("least_depth", f64::from(LEAST), "1");
    defense.lines.iter().fold(finding, |f, line| f.also(line.span, "the line there is"))
}
