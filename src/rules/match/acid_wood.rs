//! Bare cedar, redwood or oak against zinc, lead or steel where rain gets.

use super::about;
use super::contact::{self, Contact, Side, Site};
use crate::base::finding::Weight;
use crate::catalog::Material;
use crate::graph::exposure;
use crate::model::Job;
use crate::model::surface::SidePlace;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/acid-wood",
    summary: "cedar, redwood or oak on zinc, lead or steel",
    weight: Weight::Fix,
    page: include_str!("acid_wood.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    for contact in contact::all(job) {
        for (wood, metal) in [(&contact.a, &contact.b), (&contact.b, &contact.a)] {
            let Some(weight) = eaten(metal.material).filter(|_| acid(wood.material)) else { continue };
            if coated(&contact, wood) || !rained_on(job, &contact) {
                continue;
            }
            let message = format!("acid from `{}` eats `{}`", contact.name(wood), contact.name(metal));
            let detail = format!(
                "Rain washes acid out of {} for years; it dissolves the skin of {} where the two touch or the wash \
                 runs over it. Source: a metal roofing code of practice on cedar (read); oak, lead and steel: from \
                 memory.",
                wood.material.key(),
                metal.material.key()
            );
            let help = format!(
                "coat `{}` on all sides (`primed`) or part the two with a sheet; stainless steel and its nails last",
                contact.name(wood)
            );
            sink.found(about(&contact, &RULE, weight, message).detail(detail).help(help));
        }
    }
}

fn acid(m: &Material) -> bool {
    ["cedar", "redwood", "oak"].iter().any(|species| m.key().starts_with(species))
}

/// How much it weighs by the metal: soft ones are gone first, a zinc coat and plain steel stain and thin out.
fn eaten(m: &Material) -> Option<Weight> {
    match m.family() {
        "zinc" | "lead" => Some(Weight::Fix),
        "galvanized-steel" | "steel" if m.kind() != "panel" => Some(Weight::Watch),
        _ => None,
    }
}

fn coated(contact: &Contact<'_>, side: &Side<'_>) -> bool {
    match contact.site {
        Site::Surface(_) => side.layer().is_some_and(|l| l.words.primed || l.words.paint.is_some()),
        Site::Joint(joint) => side.thing().is_none_or(|thing| {
            let piece = joint.piece(contact.job(), thing).is_some_and(|p| p.shape.coated);
            let layer = joint.layer(contact.job(), thing).is_some_and(|l| l.words.primed);
            piece || layer
        }),
    }
}

fn rained_on(job: &Job, contact: &Contact<'_>) -> bool {
    match contact.site {
        Site::Joint(joint) => exposure::rained_on(job, joint),
        Site::Surface(surface) => {
            let at = |side: &Side<'_>| {
                let layer = side.layer()?;
                surface.layers.iter().position(|l| std::ptr::eq(l, layer))
            };
            let plane = exposure::water_plane(surface).unwrap_or(0);
            matches!(surface.first.place, SidePlace::Outdoors) && at(&contact.a).is_some_and(|i| i <= plane)
        }
    }
}
