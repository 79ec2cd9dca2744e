//! A barrier under the insulation of an unvented roof, which the codes bar.

use super::wall::shuts;
use super::{roof, wall};
use crate::base::finding::{Finding, Weight};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::codes::CLASS_LIMITS;
use crate::rules::facts::path::Part;
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/shut-roof-ceiling",
    summary: "a vapor barrier at the ceiling of an unvented roof",
    weight: Weight::Stop,
    page: include_str!("shut_roof_ceiling.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let Some(roof) = roof::unvented(look)? else { return Ok(None) };
    let Some(barrier) = roof.insulated(look).into_iter().skip(1).find(|p| shuts(p)) else { return Ok(None) };
    let (code, _) = wall::edition(look.job)?;
    Ok(tell(look, barrier, code.value.title()))
}

fn tell(look: &Look<'_>, barrier: &Part<'_>, title: &str) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(barrier.layer)?;
    let stuff = barrier.stuff()?;
    let dry = barrier.vapor.0.permeance();
    let limit = crate::base::quantity::Permeance::new(CLASS_LIMITS.first().copied()? * PERM);
    let stands = layer.words.existing || look.surface.facts.existing;
    let weight = if stands { Weight::Watch } else { Weight::Stop };
    let message = format!("`{}` is a class I retarder under an unvented roof", label(layer));
    Some(
        Finding::new(RULE.id, weight, stuff.span, message)
            .label(format!("{} dry", show.permeance(dry)))
            .detail(format!(
                "`{}` passes {}; class I is {} or less in the dry cup. {title} bars it on the ceiling side of an unvented \
                 attic or rafter roof (section R806.5, quoted in a training article on the 2015 edition). What leaks in \
                 from above or around it can dry inward only, and here it can't.",
                stuff.name,
                show.permeance(dry),
                show.permeance(limit),
            ))
            .help(if stands {
                format!("open the ceiling at one bay after a wet winter, and look at what lies above `{}`", layer.label)
            } else {
                format!(
                    "leave `{}` out, or use a film that opens when humid; let foam at the deck do its work",
                    layer.label
                )
            })
            .number("permeance_dry", dry.si(), "kg/(s.m2.Pa)"),
    )
}
