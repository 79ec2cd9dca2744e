//! Work on old material that may hold asbestos.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::model::Job;
use crate::model::joint::{EndOf, Thing};
use crate::model::layer::Layer;
use crate::model::surface::Surface;
use crate::model::value::Draw;
use crate::rules::facts::section::{fill, stands};
use crate::rules::facts::{JointLook, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "safety/old-fibers",
    summary: "work on old material that may hold asbestos",
    weight: Weight::Watch,
    page: include_str!("old_fibers.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    for (index, surface) in job.surfaces.iter().enumerate() {
        let suspects = surface.layers.iter().enumerate().filter(|(_, l)| stands(surface, l));
        let hit = suspects.filter_map(|(at, layer)| {
            let sort = fill(layer, &Draw::middle()).into_iter().filter_map(|s| s.material).find_map(suspect)?;
            (worked_on(surface, at, sort) || cut(job, index, at)).then_some((layer, sort))
        });
        if let Some((layer, sort)) = hit.min_by_key(|(_, sort)| *sort) {
            sink.found(tell(surface, layer, sort));
        }
    }
}

/// How it sets fibers free; loose fill first, as a draft is enough.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Sort {
    Loose,
    Board,
    Mastic,
}

fn suspect(m: &Material) -> Option<Sort> {
    match (m.key(), m.family(), m.kind()) {
        ("vermiculite-fill", ..) => Some(Sort::Loose),
        ("fiber-cement-siding" | "fiber-cement-panel" | "acoustic-tile" | "vinyl-floor", ..) => Some(Sort::Board),
        (_, "bitumen", "coating" | "sealant" | "paper") => Some(Sort::Mastic),
        _ => None,
    }
}

/// Whether something new goes on right beside it, or, of loose fill, anywhere in the section.
fn worked_on(surface: &Surface, at: usize, sort: Sort) -> bool {
    let new = |index: usize| surface.layers.get(index).is_some_and(|l| !stands(surface, l));
    match sort {
        Sort::Loose => (0..surface.layers.len()).any(new),
        Sort::Board | Sort::Mastic => at.checked_sub(1).is_some_and(new) || new(at + 1),
    }
}

/// Whether a sentence of a joint cuts into it or fastens through it.
fn cut(job: &Job, surface: usize, at: usize) -> bool {
    let cuts = |verb: Verb| matches!(verb, Verb::TucksInto | Verb::FastensThrough | Verb::FastensTo);
    job.joints.iter().any(|joint| {
        let look = JointLook::new(job, joint);
        let mut links = joint.links.iter().filter(|l| cuts(l.verb)).filter_map(|l| l.object);
        links.any(|object| match object.thing {
            Thing::Layer { end, layer, .. } => {
                layer == at
                    && look.joint.ends.get(end).is_some_and(|e| matches!(e.of, EndOf::Surface(s) if s == surface))
            }
            _ => false,
        })
    })
}

fn tell(surface: &Surface, layer: &Layer, sort: Sort) -> Finding {
    let (what, how) = match sort {
        Sort::Loose => (
            "Old vermiculite is to be taken for asbestos, whatever a sample says",
            "leave it and the wall round it closed",
        ),
        Sort::Board => (
            "Siding, tiles and floor sheets of cement, fiber and vinyl held asbestos into the 1980s",
            "never saw, sand or drill it dry",
        ),
        Sort::Mastic => {
            ("Old mastics, felts and damp-proof coats held asbestos into the 1980s", "never grind or scrape it dry")
        }
    };
    Finding::new(
        RULE.id,
        Weight::Watch,
        layer.stuff_span,
        format!("old `{}` may hold asbestos, and work goes on at it", label(layer)),
    )
    .surface(surface.name.clone())
    .detail(format!(
        "{what}; its dust kills after decades. Source: 40 CFR 61 subpart M and advice of the US EPA (from memory). A \
         laboratory tells, and what holds it is taken out by licensed people. Local rules decide."
    ))
    .help(format!("have `{}` sampled before the work; {how}", label(layer)))
}
