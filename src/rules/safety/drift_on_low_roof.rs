//! A new low roof beside an old wall that stands higher: snow drifts and slides on to it.

use crate::base::finding::{Finding, Weight};
use crate::base::show::Show;
use crate::model::joint::EndOf;
use crate::rules::facts::{JointLook, short};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "safety/drift-on-low-roof",
    summary: "a new low roof against an old wall, in snow",
    weight: Weight::Watch,
    page: include_str!("drift_on_low_roof.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if look.joint.kind != JointKind::Joint {
        return;
    }
    // Where the coldest month is below freezing snow stays and drifts. Our own choice.
    let months = look.job.climate.iter().flat_map(|c| &c.months).map(|m| m.temperature);
    let Some(coldest) = months.min_by(|a, b| a.si().total_cmp(&b.si())).filter(|t| t.si() < 0.0) else { return };
    let ends = || {
        look.joint.ends.iter().filter_map(|e| match e.of {
            EndOf::Surface(index) => Some((e, look.job.surfaces.get(index)?)),
            EndOf::Opening(_) | EndOf::Hole => None,
        })
    };
    let low = ends().find(|(e, s)| {
        s.kind == SurfaceKind::Roof && !s.facts.existing && matches!(e.edge, Some(Edge::High | Edge::Rake))
    });
    let wall = ends().find(|(e, s)| s.kind == SurfaceKind::Wall && s.facts.existing && e.edge == Some(Edge::Face));
    let (Some((end, roof)), Some((_, wall))) = (low, wall) else { return };
    let show = Show { metric: look.job.metric };
    sink.found(
        Finding::new(
            RULE.id,
            Weight::Watch,
            end.span,
            format!("snow drifts on to `{}` from `{}`", short(&roof.name), short(&wall.name)),
        )
        .detail(format!(
            "The coldest month here has a mean of {}. Wind drops its snow in the lee of a wall that stands higher, \
             and a roof above slides its own down: several times the even load on the first few meters. Source: ASCE \
             7 chapter 7, drifts and sliding snow (from memory). The roof and what carries the old wall are an \
             engineer's to check.",
            show.temperature(coldest)
        ))
        .help("have the rafters and what they rest on sized for drift, and keep a snow guard on the roof above")
        .number("coldest_month", coldest.si(), "degC"),
    );
}
