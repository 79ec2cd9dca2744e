//! A climate zone as written that the written months do not have.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Temperature;
use crate::catalog::{ZoneBasis, ZoneRain, ZoneWeather, degree_days, zone_from};
use crate::model::Job;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/zone-unlike-climate",
    summary: "a written climate zone that the months do not have",
    weight: Weight::Watch,
    page: include_str!("zone_unlike_climate.md"),
    run: Run::Job(run),
};

/// A county's zone may be the neighbor of what its station's months come to: urban heat and old county lists. None of the
/// US places of the catalog is further off, so more than this is another place. Our own choice.
const NEIGHBOR: u8 = 1;

fn run(job: &Job, sink: &mut Sink) {
    let Some(climate) = &job.climate else { return };
    let Some(written) = climate.zone.filter(|z| z.basis == ZoneBasis::Written) else { return };
    let months: [Temperature; 12] = climate.months.map(|m| m.temperature);
    // Only the number is asked for: it hangs on temperatures alone.
    let middle =
        zone_from(&ZoneWeather { temperatures: months, rain: ZoneRain::Unknown, degree_days: None, southern: false })
            .number;
    if middle.abs_diff(written.number) <= NEIGHBOR {
        return;
    }
    let (heating, cooling) = degree_days(&months);
    let span = job.place_span.or(job.head).unwrap_or_default();
    sink.found(
        Finding::new(
            RULE.id,
            Weight::Watch,
            span,
            format!("the zone is written as {written}, its months are those of {middle}"),
        )
        .detail(format!(
            "The months written come to {heating:.0} K d of heating (base 18.3 C) and {cooling:.0} K d of cooling (base \
             10 C): zone {middle} by the rules of ASHRAE 169. The code's tables go by the zone, the physics by the \
             months, so one of the two is about another place."
        ))
        .help(format!("write `zone {middle}` with its letter, or correct the twelve temperatures"))
        .number("heating_degree_days", heating, "K.d")
        .number("cooling_degree_days", cooling, "K.d"),
    );
}
