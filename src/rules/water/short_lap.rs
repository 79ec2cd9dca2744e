//! A lap that is too short to shed.

use super::least::{Least, least};
use super::{falls_short, laps, name, reach, show, weigh};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "water/short-lap",
    summary: "a lap too short to shed",
    weight: Weight::Stop,
    page: include_str!("short_lap.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for (link, under) in laps(look) {
        let Some(least) = least(look, link, under) else { continue };
        match reach(look, link) {
            Ok(length) if falls_short(length, least.length) => sink.found(tell(look, link, length, &least)),
            Ok(_) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

fn tell(look: &JointLook<'_>, link: &Link, length: Length, least: &Least) -> Finding {
    let (over, below) = (link.subject.thing, link.object.map_or(Thing::Hole, |o| o.thing));
    let (has, needs) = (show(look, length), show(look, least.length));
    Finding::new(
        RULE.id,
        weigh(look, least.weight),
        link.length_span.unwrap_or(link.verb_span),
        format!("`{}` laps `{}` by {has}, less than {needs}", name(look, over), name(look, below)),
    )
    .label("wind drives water past it")
    .detail(format!("Rain that wind pushes up climbs a short lap: {}.", least.why))
    .help(format!(
        "write `{} laps over {} {needs}`, or add a strip under the upper one",
        look.name(over),
        look.name(below)
    ))
    .number("lap", length.si(), "m")
    .number("least_lap", least.length.si(), "m")
}
