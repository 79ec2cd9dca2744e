//! Foam in the ground where termites are heaviest.

use super::{board, foam, heavy};
use crate::base::finding::{Finding, Weight};
use crate::model::Job;
use crate::model::layer::Layer;
use crate::model::surface::SidePlace;
use crate::rules::facts::path::members_of;
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "heat/foam-in-termite-ground",
    summary: "foam in the ground where termites are heaviest",
    weight: Weight::Watch,
    page: include_str!("foam_in_termite_ground.md"),
    run: Run::Surface(run),
};

/// States that lie wholly in the belt of very heavy infestation (IRC figure R301.2(7), from memory). Others lie partly in it.
const STATES: [&str; 6] = ["al", "fl", "ga", "la", "ms", "sc"];

fn run(look: &Look<'_>, sink: &mut Sink) {
    let state = look.job.climate.as_ref().and_then(|c| c.state).filter(|s| STATES.contains(s));
    if state.is_none() || look.job.code.is_none() || !eaten(look.job) {
        return;
    }
    let surface = look.surface;
    let soil = |place: &SidePlace| matches!(place, SidePlace::Ground { .. });
    let layers = || surface.layers.iter();
    // From the soil up to the concrete or masonry; foam on the room side of it is excepted.
    let found = match (soil(&surface.first.place), soil(&surface.last.place)) {
        (true, _) => exposed(look, layers()),
        (_, true) => exposed(look, layers().rev()),
        _ => None,
    };
    if let Some(layer) = found {
        sink.found(tell(look, layer));
    }
}

/// Foam that soil lies against, with nothing but sheets and stone between.
fn exposed<'l>(look: &Look<'_>, layers: impl Iterator<Item = &'l Layer>) -> Option<&'l Layer> {
    let foams = |l: &&Layer| board(l, &look.draw).is_some_and(|s| s.material.is_some_and(foam));
    layers.take_while(|l| !heavy(l, &look.draw)).find(foams)
}

/// Whether the job has wood that termites eat: untreated members.
fn eaten(job: &Job) -> bool {
    let layers = job.surfaces.iter().flat_map(|s| &s.layers);
    let raw = |l: &Layer| {
        let wood =
            members_of(l).and_then(|m| m.member.material).is_some_and(|m| class::wood(m) && m.family() == "wood");
        wood && !l.words.treated && !l.words.copper_treated
    };
    layers.into_iter().any(raw)
}

fn tell(look: &Look<'_>, layer: &Layer) -> Finding {
    let title = look.job.climate.as_ref().map_or("this place", |c| c.title.as_str());
    Finding::new(RULE.id, Weight::Watch, layer.stuff_span, format!("termites tunnel up through `{}` unseen", label(layer)))
        .label("foam in the ground")
        .detail(format!(
            "{title} lies where the code's map shows very heavy infestation (states from memory). There foam is kept off \
             foundations below grade, and 6 in (150 mm) clear of soil, so that the tunnels can be seen (IRC 2018 R318.4, \
             quoted in a public note; excepted are buildings without wood that termites eat, and foam on the room side of \
             basement walls, from memory). Local code decides."
        ))
        .help(format!(
            "leave `{0}` out of the ground or move it to the room side of the concrete, or build with treated wood: `..., treated`",
            layer.label
        ))
}
