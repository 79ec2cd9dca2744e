//! A hard cement coat on earth, soft brick or soft stone.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::graph::exposure;
use crate::rules::facts::section::{touching, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/hard-coat-on-soft-wall",
    summary: "a hard cement coat on earth, soft brick or soft stone",
    weight: Weight::Fix,
    page: include_str!("hard_coat_on_soft_wall.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    if exposure::weather_side(look.surface).is_none() {
        return;
    }
    for touch in touching(look) {
        for (coat, plaster, wall, masonry) in touch.both_ways() {
            if !harms(plaster, masonry) {
                continue;
            }
            let detail = format!(
                "{} is stronger and tighter than {}: it cracks off as the wall moves, water that gets in at the \
                 cracks stays behind it, and frost and salt take the soft face with them. A coat has to be weaker \
                 and more open than what it covers. Source: preservation briefs 2, 5 and 22 of the US National Park \
                 Service (from memory).",
                plaster.key(),
                masonry.key()
            );
            sink.found(
                Finding::new(
                    RULE.id,
                    weigh(look.surface, &[coat, wall], Weight::Fix),
                    coat.stuff_span,
                    format!("`{}` is too hard for `{}`", label(coat), label(wall)),
                )
                .also(wall.stuff_span, "softer than its coat")
                .detail(detail)
                .help(format!("write `lime-render 3/4 in` or `clay-plaster 3/4 in` for `{}`", label(coat))),
            );
        }
    }
}

/// Any cement on earth; cement without lime on soft brick and soft stone.
fn harms(plaster: &Material, masonry: &Material) -> bool {
    if !class::plaster(plaster) || plaster.family() != "cement" || !class::masonry(masonry) {
        return false;
    }
    let soft = matches!(masonry.key(), "soft-brick" | "soft-limestone");
    masonry.family() == "earth" || (soft && plaster.key() != "cement-lime-render")
}
