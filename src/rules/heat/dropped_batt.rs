//! Insulation that hangs below a floor with air between, and nothing under it.

use super::{fluffy, parted};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::model::layer::{BayPart, Body, Fill, Layer};
use crate::model::surface::SidePlace;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "heat/dropped-batt",
    summary: "batts that hang below a floor with air above them and nothing under",
    weight: Weight::Fix,
    page: include_str!("dropped_batt.md"),
    run: Run::Surface(run),
};

/// Air of less than this over a batt is how a batt lies. Common practice, no source.
const TOUCHES: Length = Length::new(0.0127);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let below = matches!(surface.last.place, SidePlace::Outdoors | SidePlace::Room(_));
    if surface.kind != SurfaceKind::Floor || !below || surface.broken.is_some() {
        return;
    }
    // Whatever lies under the joists, even a sheet, keeps the air of the bays apart from that below.
    let Some(layer) = surface.layers.last() else { return };
    let Some(air) = dropped(look, layer) else { return };
    match parted(look) {
        Ok(true) => sink.found(tell(look, layer, air)),
        Ok(false) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// How much air lies between the floor and the batts.
fn dropped(look: &Look<'_>, layer: &Layer) -> Option<Length> {
    let Body::Members(members) = &layer.body else { return None };
    let Fill::Parts(parts) = &members.fill else { return None };
    let [BayPart::Air(air), BayPart::Stuff(batt), ..] = parts.as_slice() else { return None };
    let air = air.at(&look.draw);
    (air > TOUCHES && batt.material.is_some_and(fluffy)).then_some(air)
}

fn tell(look: &Look<'_>, layer: &Layer, air: Length) -> Finding {
    let show = Show { metric: look.job.metric };
    let stands = layer.words.existing || look.surface.facts.existing;
    let weight = if stands { Weight::Watch } else { Weight::Fix };
    let message = format!("`{}` has {} of air between the floor and its batts", label(layer), show.length(air));
    Finding::new(RULE.id, weight, layer.stuff_span, message)
        .label("batts hang free")
        .detail(
            "Cold air from below gets through and round a batt into the air above it, and the floor lies in that. A batt under \
             a floor touches the floor, or the bays are closed below it (IRC N1102.2.8, from memory; ISO 6946 Annex F counts \
             air on the warm side as the worst fit, from memory).",
        )
        .help(format!(
            "push the batts up against the floor: `{}: ..., bays` with the batt first and `air` after it, or close the bays \
             from below with a taped board",
            layer.label
        ))
        .number("air_above", air.si(), "m")
}
