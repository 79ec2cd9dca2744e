//! Spray foam put into a building that people are in.

use crate::base::finding::{Finding, Weight};
use crate::graph::place::{Air, air, place};
use crate::model::Job;
use crate::model::layer::{Layer, Stuff};
use crate::model::surface::Surface;
use crate::model::value::Draw;
use crate::rules::facts::section::{fill, stands};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "safety/foam-while-lived-in",
    summary: "spray foam in a building that stands already",
    weight: Weight::Watch,
    page: include_str!("foam_while_lived_in.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    let old = |s: &Surface, l: &Layer| stands(s, l);
    let lived_in = |s: &Surface| [&s.first, &s.last].into_iter().any(|side| air(job, place(side)) == Air::Kept);
    let stands_already = job.surfaces.iter().any(|s| lived_in(s) && s.layers.iter().any(|l| old(s, l)));
    let foam = |l: &Layer| -> Option<Stuff> {
        let sprayed = |s: &&Stuff| s.material.is_some_and(|m| m.kind() == "spray-foam");
        fill(l, &Draw::middle()).into_iter().find(sprayed).cloned()
    };
    let mut sprayed = job.surfaces.iter().flat_map(|s| s.layers.iter().filter(|l| !old(s, l)).map(move |l| (s, l)));
    let Some((surface, stuff)) = sprayed.find_map(|(s, l)| Some((s, foam(l)?))).filter(|_| stands_already) else {
        return;
    };
    sink.found(
        Finding::new(RULE.id, Weight::Watch, stuff.span, "spray foam goes into a building that people may be in")
            .surface(surface.name.clone())
            .detail(
                "Until it has cured spray foam gives off isocyanate, which can leave people with asthma for life; a \
                 bad mix goes on smelling for months. Nobody without a supplied-air mask is in the building, and \
                 none comes back before the maker's time, 24 h as a rule. Common practice, no source; 29 CFR 1926 on \
                 work in closed spaces (from memory). Local rules decide.",
            )
            .help(
                "empty the building, blow its air out of doors for 24 h, and let the maker's sheet say when people \
                 may come back",
            ),
    );
}
