//! A written permeance that is far from what the material does: the unit of the other side of the ocean, as a rule.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Permeance;
use crate::base::show::{Show, significant};
use crate::catalog::{Cup, Material};
use crate::model::layer::{Layer, Stuff};
use crate::model::value::Origin;
use crate::rules::facts::section::fill;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/unlikely-permeance",
    summary: "a written permeance that the material can't have",
    weight: Weight::Watch,
    page: include_str!("unlikely_permeance.md"),
    run: Run::Surface(run),
};

/// Further than this many times from both cups of the catalog is told: a US perm is 57.2 ng/(s m2 Pa), so a slip of the
/// unit is further, and the spread of generic products is a tenth of it (`docs/sources.md`). Our own choice.
const FAR: f64 = 40.0;

fn run(look: &Look<'_>, sink: &mut Sink) {
    for layer in &look.surface.layers {
        for stuff in fill(layer, &look.draw) {
            if let Some((written, usual, times)) = far(look, stuff) {
                sink.found(tell(look, layer, stuff, (written, usual, times)));
            }
        }
    }
}

/// The written figure, the nearer of the catalog's two, and how many times it is off.
fn far(look: &Look<'_>, stuff: &Stuff) -> Option<(Permeance, Permeance, f64)> {
    let value = stuff.permeance.as_ref().filter(|w| matches!(w.origin, Origin::Written(_)) && w.axis().is_none())?;
    let written = value.at(&look.draw);
    let material: &Material = stuff.material?;
    let thickness = stuff.thickness.as_ref().map(|t| t.at(&look.draw)).or(material.usual_thickness())?;
    let cups = [Cup::Dry, Cup::Wet].map(|cup| material.permeance(thickness, cup));
    // What passes nothing by the catalog has no figure to be far from.
    let off = |usual: Permeance| {
        let ratio = written.si() / usual.si();
        (usual.si() > 0.0 && written.si() > 0.0).then_some((written, usual, ratio.max(1.0 / ratio)))
    };
    let nearest = cups.into_iter().flatten().filter_map(off).min_by(|a, b| a.2.total_cmp(&b.2))?;
    (nearest.2 > FAR).then_some(nearest)
}

fn tell(
    look: &Look<'_>,
    layer: &Layer,
    stuff: &Stuff,
    (written, usual, times): (Permeance, Permeance, f64),
) -> Finding {
    let show = Show { metric: look.job.metric };
    Finding::new(
        RULE.id,
        Weight::Watch,
        stuff.span,
        format!("`{}` is written as {}, usual is {}", label(layer), show.permeance(written), show.permeance(usual)),
    )
    .detail(format!(
        "That is {} times off. A US perm is 57.2 ng/(s m2 Pa): a figure of the one unit with the name of the other \
         is off by that much, and turns every verdict on vapor round (by reasoning; {FAR:.0} times is our own \
         choice).",
        significant(times)
    ))
    .help(format!("write {} or the figure of the product's sheet in its own unit", show.permeance(usual)))
    .number("permeance_written", written.si(), "kg/(s.m2.Pa)")
    .number("permeance_usual", usual.si(), "kg/(s.m2.Pa)")
}
