//! A climate zone as written that the written months do not have.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Temperature, TemperatureDifference};
use crate::catalog::{ZoneBasis, ZoneWeather, degree_days, zone_from};
use crate::model::Job;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/zone-unlike-climate",
    summary: "a written climate zone that the months do not have",
    weight: Weight::Watch,
    page: include_str!("zone_unlike_climate.md"),
    run: Run::Job(run),
};

/// Every month this much colder and this much warmer is tried: a county's zone may lie a little off its weather.
/// Our own choice; 1.5 K over a year is some 550 K d, a little more than half a zone.
const MARGIN: TemperatureDifference = TemperatureDifference::new(1.5);

fn run(job: &Job, sink: &mut Sink) {
    let Some(climate) = &job.climate else { return };
    let Some(written) = climate.zone.filter(|z| z.basis == ZoneBasis::Written) else { return };
    let zone = |shift: f64| {
        let temperatures: [Temperature; 12] = climate.months.map(|m| m.temperature + MARGIN * shift);
        // Only the number is asked for: it hangs on temperatures alone.
        (zone_from(&ZoneWeather { temperatures, rain: None, degree_days: None, southern: false }).number, temperatures)
    };
    let ((mildest, _), (middle, months), (coldest, _)) = (zone(1.0), zone(0.0), zone(-1.0));
    if (mildest.min(coldest)..=mildest.max(coldest)).contains(&written.number) {
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
            "The months written come to {heating:.0} K d of heating (base 18.3 C) and {cooling:.0} K d of cooling \
             (base 10 C): zone {middle} by the rules of ASHRAE 169, and {} if each were 1.5 K colder or warmer. The \
             code's tables go by the zone, the physics by the months, so one of the two is about another place.",
            if mildest == coldest { format!("still {middle}") } else { format!("{mildest} to {coldest}") }
        ))
        .help(format!("write `zone {middle}` with its letter, or correct the twelve temperatures"))
        .number("heating_degree_days", heating, "K.d")
        .number("cooling_degree_days", cooling, "K.d"),
    );
}
