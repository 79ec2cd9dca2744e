//! A barrier on the room side of what dries or molds, against a wall in the ground.

use super::wall::shuts;
use crate::base::finding::{Finding, Weight};
use crate::base::show::Show;
use crate::rules::facts::below_grade::{self, Below};
use crate::rules::facts::path::{Part, members_of};
use crate::rules::facts::{Look, Missing, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/film-below-grade",
    summary: "a vapor barrier inside of a wall in the ground",
    weight: Weight::Stop,
    page: include_str!("film_below_grade.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let Some(below) = below_grade::below(look)? else { return Ok(None) };
    let Some((at, barrier)) = below.inside().find(|(_, p)| shuts(p)) else { return Ok(None) };
    let Some((_, held)) = below.inside().take_while(|(i, _)| *i < at).find(|(_, p)| harmed(look, p)) else {
        return Ok(None);
    };
    Ok(tell(look, &below, at, barrier, held))
}

/// Insulation that air moves through, wood, paper; or members of wood beside it.
fn harmed(look: &Look<'_>, part: &Part<'_>) -> bool {
    let own = part.material().is_some_and(|m| class::airy(m) || class::sensitive(m));
    let members = look.surface.layers.get(part.layer).and_then(members_of).and_then(|m| m.member.material);
    own || members.is_some_and(class::sensitive)
}

fn tell(look: &Look<'_>, below: &Below<'_, '_>, at: usize, barrier: &Part<'_>, held: &Part<'_>) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(barrier.layer)?;
    let between = look.surface.layers.get(held.layer)?;
    let dry = barrier.vapor.0.permeance();
    let stands = layer.words.existing || look.surface.facts.existing;
    let (foam, _) = below.foam_before(look, at);
    let weight = match (stands, foam) {
        (true, _) => Weight::Watch,
        (false, true) => Weight::Fix,
        (false, false) => Weight::Stop,
    };
    let message = format!("`{}` shuts the damp of the wall in with `{}`", label(layer), label(between));
    Some(
        Finding::new(RULE.id, weight, layer.stuff_span, message)
            .label(format!("{} dry", show.permeance(dry)))
            .also(between.stuff_span, "this can't dry")
            .detail(format!(
                "A wall against {} is wet on its outer side and gives vapor off inward for good. `{}` passes {}, class \
                 I: what stands between can dry to neither side. Barriers are kept off the room side of insulation \
                 below grade that air moves through (ENERGY STAR foundation checklist, quoted), and walls there are \
                 exempt from the code's retarder (IRC section R702.7, read).",
                below_grade::wet_side(look),
                layer.label,
                show.permeance(dry)
            ))
            .help(if stands {
                format!("cut a hole in `{}` near the floor in summer, and look at what is behind", layer.label)
            } else {
                format!("leave `{}` out; put foam board on the wall itself, taped, before anything else", layer.label)
            })
            .number("permeance_dry", dry.si(), "kg/(s.m2.Pa)"),
    )
}
