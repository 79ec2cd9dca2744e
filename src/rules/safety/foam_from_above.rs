//! Foam plastic on the first side of a section that faces a room: the top of a ceiling, the far side of a partition.

use crate::base::finding::{Finding, Weight};
use crate::graph::place::{Air, air, place};
use crate::model::surface::SidePlace;
use crate::rules::facts::section::{seen, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "safety/foam-from-above",
    summary: "foam on top of a ceiling or on the far side of a wall",
    weight: Weight::Stop,
    page: include_str!("foam_from_above.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let Some(first) = surface.layers.first().filter(|_| surface.broken.is_none()) else { return };
    let foam = seen(first, false, &look.draw).and_then(|s| s.material).is_some_and(class::foam_plastic);
    if !matches!(surface.first.place, SidePlace::Room(_)) || !foam {
        return;
    }
    let lived_in = air(look.job, place(&surface.first)) == Air::Kept;
    let (weight, wants, help) = if lived_in {
        (
            Weight::Stop,
            "A room needs 1/2 in (13 mm) of gypsum board or 23/32 in of wood panel over it",
            "`drywall 1/2 in`",
        )
    } else {
        (
            Weight::Fix,
            "An attic that is entered for service only needs an ignition barrier: 1-1/2 in (38 mm) of mineral wool, \
             1/4 in (6 mm) of wood panel, 3/8 in (10 mm) of gypsum board, or a coat approved for this foam",
            "`mineral-wool-board 1-1/2 in` or `plywood 1/4 in`",
        )
    };
    sink.found(
        Finding::new(
            RULE.id,
            weigh(surface, &[first], weight),
            first.stuff_span,
            format!("`{}` is foam and lies open to the room on that side", label(first)),
        )
        .also(surface.first.span, "faces it")
        .detail(format!(
            "Foam lights fast and burns with black smoke. {wants}. Source: International Residential Code R316.4 \
             (from memory) and R316.5.3 (its list quoted). Local code decides."
        ))
        .help(format!("cover it on that side with {help}")),
    );
}
