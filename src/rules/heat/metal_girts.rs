//! Insulation between metal girts outside of the wall that carries them.

use super::{between_metal, girts, parted};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::ThermalResistance;
use crate::base::show::Show;
use crate::model::layer::Layer;
use crate::rules::facts::vent::left_out;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "heat/metal-girts",
    summary: "insulation outside the wall that metal girts cross",
    weight: Weight::Fix,
    page: include_str!("metal_girts.md"),
    run: Run::Surface(run),
};

/// What is left of insulation between girts: upright ones keep 20 to 40 %, level ones 30 to 50 % (a trade article on
/// attaching insulation, read). Which way they run a section does not say.
const KEPT: (f64, f64) = (0.2, 0.5);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let layers = &look.surface.layers;
    let Some(at) = (left_out(look.surface, &look.draw)..layers.len()).find(|at| girts(look, *at)) else { return };
    match parted(look) {
        Ok(true) => {}
        Ok(false) => return,
        Err(missing) => return sink.cannot(&missing),
    }
    if let (Some(layer), Some(written)) = (layers.get(at), between_metal(look, at)) {
        sink.found(tell(look, layer, written));
    }
}

fn tell(look: &Look<'_>, layer: &Layer, written: ThermalResistance) -> Finding {
    let show = Show { metric: look.job.metric };
    let (least, most) = (written * KEPT.0, written * KEPT.1);
    let whole = show.resistance(written);
    let message = format!("{whole} between the girts `{}` is worth {} at most", label(layer), show.resistance(most));
    let weight = if layer.words.existing || look.surface.facts.existing { Weight::Watch } else { Weight::Fix };
    Finding::new(RULE.id, weight, layer.stuff_span, message)
        .label("metal through the insulation")
        .detail(format!(
            "Metal that touches the wall and the cladding carries heat straight through: between upright girts insulation \
             keeps 20 to 40 % of its worth, between level ones 30 to 50 % (a trade article on attaching insulation, read): \
             here {} to {}. The U-value is not told: metal across insulation needs a computation in two dimensions (ISO \
             6946, from memory).",
            show.resistance(least),
            show.resistance(most)
        ))
        .help(format!(
            "run {whole} unbroken over the wall and hang the cladding on wood strips with long screws, or on clips whose \
             tested worth you write"
        ))
        .number("resistance_written", written.si(), "m2.K/W")
        .number("resistance_worth_least", least.si(), "m2.K/W")
        .number("resistance_worth_most", most.si(), "m2.K/W")
}
