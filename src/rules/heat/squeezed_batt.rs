//! A batt that needs more depth than it gets.

use super::pinched_at_steel;
use crate::base::finding::{Finding, Weight};
use crate::base::math;
use crate::base::quantity::{Conductivity, Length, ThermalResistance};
use crate::base::show::Show;
use crate::base::span::Span;
use crate::base::unit::{INCH, R_VALUE};
use crate::catalog::Seams;
use crate::model::layer::{BayPart, Body, Choice, Fill, Layer, Stuff};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "heat/squeezed-batt",
    summary: "a batt squeezed into less depth than its label is for",
    weight: Weight::Watch,
    page: include_str!("squeezed_batt.md"),
    run: Run::Surface(run),
};

/// Depth that a labeled R is made for, R-value and inches, the denser make where there are two.
/// Common practice of the trade, no source.
const LABELS: [(f64, f64); 9] = [
    (11.0, 3.5),
    (13.0, 3.5),
    (15.0, 3.5),
    (19.0, 6.25),
    (21.0, 5.5),
    (23.0, 5.5),
    (25.0, 8.0),
    (30.0, 8.25),
    (38.0, 10.25),
];
/// The best a batt conducts; an R that would need less is not reached at that depth.
/// 0.033 W/(m K): R-15 in 3-1/2 in, a public insulation guide (read).
const BEST: Conductivity = Conductivity::new(0.033);
/// R falls with depth to this power: within half an R-value of the trade's chart (R-19 is R-18 at 5-1/2 in and R-13 at
/// 3-1/2 in; from memory).
const POWER: f64 = 0.65;
/// Less lost than this is not told: R-19 in a 2x6 is common and loses a twentieth.
const SMALL: f64 = 0.1;

/// A batt without its depth.
#[derive(Debug)]
struct Squeezed {
    span: Span,
    label: String,
    written: ThermalResistance,
    needs: Length,
    has: Length,
    worth: ThermalResistance,
    /// Only at the members.
    pinched: bool,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    // On steel without a block between there is more to say; with one there is nothing.
    let told = |at: &usize| pinched_at_steel::steel(look, *at).is_some() || pinched_at_steel::blocked(look, *at);
    let layers = look.surface.layers.iter().enumerate().filter(|(at, _)| !told(at));
    for squeezed in layers.flat_map(|(_, layer)| find(look, layer)) {
        sink.found(tell(look, &squeezed));
    }
}

fn find(look: &Look<'_>, layer: &Layer) -> Vec<Squeezed> {
    match &layer.body {
        Body::Members(members) => match &members.fill {
            Fill::Parts(parts) => parts.iter().filter_map(|part| in_bay(look, layer, part)).collect(),
            Fill::Unknown(_) => Vec::new(),
        },
        Body::Sheet(choice) => pinched(look, layer, choice).into_iter().collect(),
        Body::Panel(_) | Body::Gap(_) | Body::Hole => Vec::new(),
    }
}

fn in_bay(look: &Look<'_>, layer: &Layer, part: &BayPart) -> Option<Squeezed> {
    let BayPart::Stuff(stuff) = part else { return None };
    if !stuff.material.is_some_and(|m| m.seams() == Seams::Batts) {
        return None;
    }
    let written = stuff.resistance.as_ref()?.at(&look.draw);
    let has = stuff.thickness.as_ref()?.at(&look.draw);
    let needs = needed(written);
    let worth = squeezed(written, needs, has);
    (worth < written * (1.0 - SMALL)).then(|| Squeezed {
        span: stuff.span,
        label: label(layer),
        written,
        needs,
        has,
        worth,
        pinched: false,
    })
}

fn pinched(look: &Look<'_>, layer: &Layer, choice: &Choice) -> Option<Squeezed> {
    let has = layer.words.pinched.as_ref()?.at(&look.draw);
    let stuff: &Stuff = choice.at(&look.draw)?;
    let written = stuff.resistance_at(&look.draw)?;
    let needs = stuff.thickness.as_ref().map_or(needed(written), |t| t.at(&look.draw));
    let worth = squeezed(written, needs, has);
    (worth < written * (1.0 - SMALL)).then(|| Squeezed {
        span: layer.stuff_span,
        label: label(layer),
        written,
        needs,
        has,
        worth,
        pinched: true,
    })
}

/// The depth a batt of this R is made for: by its label, else by the best a batt can do.
fn needed(written: ThermalResistance) -> Length {
    let label = LABELS.iter().find(|(r, _)| (written.si() / R_VALUE - r).abs() < 0.1);
    label.map_or(BEST * written, |(_, inches)| Length::new(inches * INCH))
}

/// What it is worth in less depth.
fn squeezed(written: ThermalResistance, needs: Length, has: Length) -> ThermalResistance {
    let share = has / needs;
    if share >= 1.0 || share <= 0.0 {
        return written;
    }
    // However hard it is squeezed, it conducts no less than the best batt.
    (written * math::pow(share, POWER)).min((has / BEST).max(written * share))
}

fn tell(look: &Look<'_>, found: &Squeezed) -> Finding {
    let show = Show { metric: look.job.metric };
    let (written, worth) = (show.resistance(found.written), show.resistance(found.worth));
    let (needs, has) = (show.length(found.needs), show.length(found.has));
    let (message, help) = if found.pinched {
        (
            format!("`{}` is pinched to {has} at the members: {worth} there", found.label),
            format!("put blocks of foam board between `{}` and what pinches it, so that it keeps {needs}", found.label),
        )
    } else {
        (
            format!("{written} needs {needs}, `{}` gives it {has}: worth {worth}", found.label),
            format!("write a batt that is made for {has}, or {worth} for this one"),
        )
    };
    Finding::new(RULE.id, Weight::Watch, found.span, message)
        .label(if found.pinched { "squeezed at the members" } else { "squeezed" })
        .detail(format!(
            "A batt's label holds at its full depth. Squeezed to {has} from {needs} it insulates better by the inch, but \
             there are fewer inches (trade chart, common practice, no source). U-values here are computed with {written}."
        ))
        .help(help)
        .number("resistance_written", found.written.si(), "m2.K/W")
        .number("resistance_worth", found.worth.si(), "m2.K/W")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn worth(label: f64, inches: f64) -> f64 {
        let written = ThermalResistance::new(label * R_VALUE);
        squeezed(written, needed(written), Length::new(inches * INCH)) / ThermalResistance::new(R_VALUE)
    }

    /// The trade's chart for compressed batts (common practice, no source).
    #[test]
    fn agrees_with_the_trade_chart() {
        for (label, inches, chart) in [(19.0, 5.5, 18.0), (19.0, 3.5, 13.0), (21.0, 3.5, 15.0), (13.0, 3.5, 13.0)] {
            assert!((worth(label, inches) - chart).abs() < 1.0, "R-{label} in {inches} in: {}", worth(label, inches));
        }
    }

    #[test]
    fn full_depth_loses_nothing_and_less_depth_always_loses() {
        assert!((worth(15.0, 5.5) - 15.0).abs() < 1e-9);
        assert!(worth(30.0, 3.5) < worth(30.0, 5.5) && worth(30.0, 5.5) < 30.0);
    }
}
