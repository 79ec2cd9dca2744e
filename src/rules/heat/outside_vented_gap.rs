//! Insulation on the weather side of a gap that outdoor air passes through.

use super::{parted, unbroken};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::ThermalResistance;
use crate::base::show::Show;
use crate::model::layer::{BayPart, Body, Fill, Layer, Stuff};
use crate::rules::facts::vent::left_out;
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "heat/outside-vented-gap",
    summary: "insulation outside of a gap that outdoor air passes through",
    weight: Weight::Fix,
    page: include_str!("outside_vented_gap.md"),
    run: Run::Surface(run),
};

/// Less than this may be there for another reason: a board under slates, a baffle. Our own choice.
const LITTLE: ThermalResistance = ThermalResistance::new(0.35);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let layers = &look.surface.layers;
    let (outside, _) = layers.split_at_checked(left_out(look.surface, &look.draw)).unwrap_or_default();
    let Some(gap) = outside.last() else { return };
    let most = outside.iter().map(|l| (l, worth(look, l))).max_by(|a, b| a.1.si().total_cmp(&b.1.si()));
    let Some((layer, lost)) = most.filter(|(_, r)| *r >= LITTLE) else { return };
    match parted(look) {
        Ok(true) => sink.found(tell(look, layer, gap, lost)),
        Ok(false) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// What insulation a layer holds.
fn worth(look: &Look<'_>, layer: &Layer) -> ThermalResistance {
    let of = |s: &Stuff| s.resistance_at(&look.draw).unwrap_or(ThermalResistance::ZERO);
    let filled = |p: &BayPart| match p {
        BayPart::Stuff(s) if s.material.is_some_and(class::insulation) => of(s),
        _ => ThermalResistance::ZERO,
    };
    match &layer.body {
        Body::Members(m) => match &m.fill {
            Fill::Parts(parts) => parts.iter().map(filled).sum(),
            Fill::Unknown(_) => ThermalResistance::ZERO,
        },
        _ => unbroken(layer, &look.draw).map_or(ThermalResistance::ZERO, of),
    }
}

fn tell(look: &Look<'_>, layer: &Layer, gap: &Layer, lost: ThermalResistance) -> Finding {
    let show = Show { metric: look.job.metric };
    let weight = if layer.words.existing || look.surface.facts.existing { Weight::Watch } else { Weight::Fix };
    let message = format!("outdoor air passes behind `{}`: its {} is lost", label(layer), show.resistance(lost));
    Finding::new(RULE.id, weight, layer.stuff_span, message)
        .label("outside of the gap")
        .also(gap.span, "open low and high")
        .detail(
            "A gap that is open low and high is outdoor air (ISO 6946 6.9.4, from memory). What lies outside of it keeps no \
             heat in, and the U-value here is computed without it.",
        )
        .help(format!("lay `{}` on the room side of `{}`, tight against the wall", layer.label, gap.label))
        .number("resistance_lost", lost.si(), "m2.K/W")
}
