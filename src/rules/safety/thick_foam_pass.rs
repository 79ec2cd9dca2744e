//! Closed-cell spray foam thicker than can be shot in one go.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::base::unit::INCH;
use crate::catalog::Material;
use crate::rules::facts::section::{fill, stands};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "safety/thick-foam-pass",
    summary: "closed-cell foam thicker than one pass",
    weight: Weight::Watch,
    page: include_str!("thick_foam_pass.md"),
    run: Run::Surface(run),
};

/// Thickest pass of closed-cell foam; a hair more for 50 mm against 2 in. Common practice, no source.
const PASS: Length = Length::new(2.02 * INCH);

fn run(look: &Look<'_>, sink: &mut Sink) {
    for layer in look.surface.layers.iter().filter(|l| !stands(look.surface, l)) {
        let passes = f64::from(layer.words.staggered.max(1));
        for stuff in fill(layer, &look.draw) {
            let Some(thickness) = stuff.thickness.as_ref().map(|t| t.at(&look.draw)) else { continue };
            if !stuff.material.is_some_and(dense) || thickness * (1.0 / passes) <= PASS {
                continue;
            }
            let show = Show { metric: look.job.metric };
            let least = (thickness.si() / PASS.si()).ceil();
            sink.found(
                Finding::new(
                    RULE.id,
                    Weight::Watch,
                    stuff.span,
                    format!("{} of foam in `{}` is more than one pass", show.length(thickness), label(layer)),
                )
                .detail(format!(
                    "Closed-cell foam heats up as it rises. In more than {} at a time the heat stays in: it \
                     scorches, cracks off, and has set buildings on fire hours later. Common practice, no source; \
                     the maker's sheet gives the pass and the wait between two.",
                    show.length(Length::new(2.0 * INCH))
                ))
                .help(format!(
                    "shoot it in {least:.0} passes and let each cool: write its parts with `+` in the bays, or `in \
                     {least:.0} layers`"
                ))
                .number("thickness", thickness.si(), "m")
                .number("thickest_pass", 2.0 * INCH, "m"),
            );
        }
    }
}

/// Closed cells: heavier than open-cell foam by three times.
fn dense(m: &Material) -> bool {
    m.kind() == "spray-foam" && m.density().is_some_and(|d| d.si() > 20.0)
}
