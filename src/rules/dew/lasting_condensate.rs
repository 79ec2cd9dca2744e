//! Water that has not dried after twelve months.

use super::wet::{self, Wet};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::MoistureMass;
use crate::base::show::{Show, month_name};
use crate::physics::profile::{MonthInput, NO_WATER, Verdict};
use crate::rules::facts::{Look, PathYear, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "dew/lasting-condensate",
    summary: "water that gathers in a year and does not dry out",
    weight: Weight::Stop,
    page: include_str!("lasting_condensate.md"),
    run: Run::Surface(run),
};

/// Less than this a year is told as a watch: thirty years of it stay below what an absorbing face may hold. Our own
/// choice.
const LITTLE: MoistureMass = MoistureMass::new(0.010);
/// The same right under the skin of a roof, which the sun dries as this sum does not know. Our own choice.
const LITTLE_IN_THE_SUN: MoistureMass = MoistureMass::new(0.050);

/// Water that stays.
#[derive(Debug)]
pub(super) struct Stays {
    /// Where most of it is.
    pub wet: Wet,
    left: MoistureMass,
    peak: MoistureMass,
    peak_month: u8,
    path: &'static str,
    /// So little that the method can't tell it from none.
    pub little: bool,
}

impl Stays {
    /// Water left after a year, on the whole path.
    pub(super) fn left(&self) -> MoistureMass {
        self.left
    }
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    let (months, years) = match (look.months(), look.years()) {
        (Ok(months), Ok(years)) => (months, years),
        (Err(missing), _) | (_, Err(missing)) => return sink.cannot(missing),
    };
    if let Err(missing) = wet::decidable(look) {
        return sink.cannot(&missing);
    }
    // Bay and member are wetted by one cause: the wetter tells it.
    let all = years.iter().filter_map(|of| find(look, months, of));
    let worst = all.max_by(|a, b| a.left.si().total_cmp(&b.left.si()));
    if let Some(finding) = worst.and_then(|stays| tell(look, &stays)) {
        sink.found(finding);
    }
}

/// Water that stays on one path.
pub(super) fn find(look: &Look<'_>, months: &[MonthInput; 12], of: &PathYear<'_>) -> Option<Stays> {
    if !matches!(of.year.verdict, Verdict::Stays | Verdict::WetAllYear) || of.year.end() <= NO_WATER {
        return None;
    }
    let (peak, at) = of.year.peak()?;
    let places = wet::places(look, months, of).into_iter().filter(|p| p.zone.end > NO_WATER);
    let wet = places.max_by(|a, b| a.zone.end.si().total_cmp(&b.zone.end.si()))?;
    let sunned = wet::under_skin(look, of, wet.part);
    Some(Stays {
        little: of.year.end() < if sunned { LITTLE_IN_THE_SUN } else { LITTLE },
        wet,
        left: of.year.end(),
        peak,
        peak_month: of.year.months.get(at)?.month as u8 + 1,
        path: of.path.kind.name(),
    })
}

fn tell(look: &Look<'_>, stays: &Stays) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(stays.wet.layer)?;
    let (left, peak) = (show.water(stays.left), show.water(stays.peak));
    let message = format!("{left} of condensate is left at `{}` after a year", label(layer));
    let (weight, caution) = if stays.little {
        (Weight::Watch, " So little is within what a sum of monthly means can tell, and it knows no sun on a roof.")
    } else {
        (Weight::Stop, "")
    };
    let trust = wet::from_memory(look);
    Some(
        Finding::new(RULE.id, weight, layer.stuff_span, message)
            .label("water stays here")
            .detail(format!(
                "{}, {} settles here ({}); it peaks at {peak} in {}, and {left} has not dried after twelve months, so \
                 each year adds to the last (ISO 13788:2012 clause 6, from memory; monthly means, diffusion only).{caution}{trust}",
                wet::capital(stays.path),
                wet::vapor_of(look, stays.wet.source),
                wet::spell(&stays.wet.months),
                month_name(stays.peak_month),
            ))
            .number("condensate_left", stays.left.si(), "kg/m2")
            .number("condensate_peak", stays.peak.si(), "kg/m2"),
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::with_wall;
    use super::*;

    #[test]
    fn a_cold_tight_skin_keeps_water_and_a_vapor_open_one_does_not() {
        let wall =
            |skin: &str| format!("  siding: {skin}\n  studs: 2x6 at 16 in, bays glass-batt\n  lining: drywall 1/2 in");
        let left = |skin: &str| {
            with_wall("duluth-mn-us", "70 F 50 %", &wall(skin), |look| {
                let months = look.months().unwrap();
                look.years().unwrap().iter().filter_map(|of| find(look, months, of)).map(|s| s.left.si()).sum::<f64>()
            })
        };
        assert!(left("polyiso-foil 1/2 in") > 0.1);
        assert!(left("board-sheathing 3/4 in, 20 perm").abs() < 1e-9);
    }
}
