//! New layers on the soil side of an old wall: a trench has to be dug beside it.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::base::unit::INCH;
use crate::model::surface::SidePlace;
use crate::rules::facts::section::{face, stands};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "safety/deep-trench",
    summary: "a deep trench beside an old wall",
    weight: Weight::Watch,
    page: include_str!("deep_trench.md"),
    run: Run::Surface(run),
};

/// From this depth on a trench wants shoring or a slope: 29 CFR 1926.652(a), 5 ft (from memory).
const SHORED: Length = Length::new(60.0 * INCH);
/// A written figure that is the limit itself has reached it.
const HAIR: Length = Length::new(1e-6);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let SidePlace::Ground { depth: Some(depth), .. } = &surface.first.place else { return };
    let depth = depth.at(&look.draw);
    let new = |l: &&crate::model::layer::Layer| !stands(surface, l);
    let Some(outermost) = surface.layers.first().filter(new).filter(|_| depth + HAIR >= SHORED) else { return };
    let masonry = |l: &&crate::model::layer::Layer| {
        face(l, false, &look.draw).and_then(|s| s.material).is_some_and(class::masonry)
    };
    let Some(old) = surface.layers.iter().find(|l| stands(surface, l) && masonry(l)) else { return };
    let show = Show { metric: look.job.metric };
    sink.found(
        Finding::new(
            RULE.id,
            Weight::Watch,
            outermost.stuff_span,
            format!("a trench {} deep has to be dug beside old `{}`", show.length(depth), label(old)),
        )
        .also(old.stuff_span, "stands already")
        .detail(format!(
            "The side of a trench comes down without warning and buries who stands in it; from {} on it wants \
             shoring, a box or a slope: 29 CFR 1926.652 (from memory). Dug below the old footing, or inside a line \
             at 45 degrees from its edge, it takes the wall with it (common practice, no source). An engineer and \
             local rules decide.",
            show.length(SHORED)
        ))
        .help("dig in short lengths, shored, no deeper than the old footing, and have buried lines marked first")
        .number("depth", depth.si(), "m")
        .number("shored_from", SHORED.si(), "m"),
    );
}
