//! Pieces that go round in a circle: each has to be there before the next, the last before the first.

use crate::base::finding::{Finding, Weight};
use crate::graph::gravity::Lap;
use crate::graph::order::circle;
use crate::graph::words::sentence;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/cannot-be-built",
    summary: "pieces of which each has to go on before the other",
    weight: Weight::Stop,
    page: include_str!("cannot_be_built.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    // What stands is built, however that was done.
    let standing =
        (0..look.joint.ends.len()).all(|end| look.joint.surface(look.job, end).is_some_and(|s| s.facts.existing));
    if standing {
        return;
    }
    if let Some(cycle) = circle(look.job, look.joint) {
        sink.found(tell(look, &cycle));
    }
}

fn tell(look: &JointLook<'_>, cycle: &[(Thing, usize)]) -> Finding {
    let links: Vec<&Link> = cycle.iter().filter_map(|(_, link)| look.joint.links.get(*link)).collect();
    // The one to turn round is the one that catches water, if any does; else the one written last.
    let wrong = links.iter().find(|l| look.lap(l) == Lap::Reversed);
    let wrong = wrong.or_else(|| links.iter().max_by_key(|l| l.span)).copied();
    let span = wrong.map_or(look.joint.span, |l| l.verb_span);
    let turns: Vec<String> = cycle
        .iter()
        .zip(cycle.iter().cycle().skip(1))
        .map(|((first, link), (next, _))| {
            let said = look.joint.links.get(*link).map(|l| sentence(look.job, look.joint, l)).unwrap_or_default();
            format!("`{}` before `{}` ({said})", look.name(*first), look.name(*next))
        })
        .collect();
    let message = match cycle.len() {
        2 => "these two can't go on in any order".to_string(),
        many => format!("these {many} can't go on in any order"),
    };
    let finding = Finding::new(RULE.id, Weight::Stop, span, message)
        .label("closes the circle")
        .detail(format!(
            "Each has to be there before the next, and the last before the first: {}. What cannot be lifted again after it \
             is fastened cannot have anything slipped under it (by reasoning).",
            turns.join("; ")
        ))
        .help("turn one of these laps round, or split a piece in two so that the second half goes on later")
        .number("pieces_in_the_circle", cycle.len() as f64, "1");
    let others = links.into_iter().filter(|l| wrong.is_none_or(|w| !std::ptr::eq(*l, w)));
    others.fold(finding, |f, l| f.also(l.span, "and this"))
}
