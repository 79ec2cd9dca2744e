//! Air that no room and no place has: degrees of the one scale with the letter of the other, as a rule.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Temperature;
use crate::base::show::Show;
use crate::base::span::Span;
use crate::model::Job;
use crate::model::room::{Room, RoomAir, Setting};
use crate::model::value::Value;
use crate::rules::facts::short;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/unlikely-air",
    summary: "a temperature that no room or place has",
    weight: Weight::Watch,
    page: include_str!("unlikely_air.md"),
    run: Run::Job(run),
};

/// What a room is heated to, degC: a frost guard at least, a drying room at most. Common practice, no source.
const HEATED: (f64, f64) = (2.0, 45.0);
/// What a room is cooled to, degC: a freezer at least, a plant room at most. Common practice, no source.
const COOLED: (f64, f64) = (-35.0, 35.0);
/// Means of a month anywhere on land, degC; a little wider than the coldest and hottest stations known (from memory).
const MONTH: (f64, f64) = (-60.0, 43.0);

fn run(job: &Job, sink: &mut Sink) {
    for room in &job.rooms {
        if let RoomAir::Kept { heated, cooled } = &room.air {
            let said = [(heated, HEATED, "heated"), (cooled, COOLED, "cooled")];
            for (setting, range, word) in said {
                if let Some(setting) = setting.as_ref().filter(|s| outside(&s.temperature, range)) {
                    sink.found(of_room(job, room, setting, range, word));
                }
            }
        }
    }
    let Some(climate) = &job.climate else { return };
    let odd = climate.months.iter().map(|m| m.temperature).find(|t| !within(*t, MONTH));
    if let Some(odd) = odd {
        sink.found(tell(
            job,
            job.place_span.or(job.head).unwrap_or_default(),
            format!("a month of {} is of no place on earth", Show { metric: job.metric }.temperature(odd)),
            MONTH,
            odd,
        ));
    }
}

fn within(t: Temperature, range: (f64, f64)) -> bool {
    (range.0..=range.1).contains(&t.si())
}

/// Whether all that is written lies outside: a range that reaches in may be meant.
fn outside(value: &Value<Temperature>, range: (f64, f64)) -> bool {
    value.high().si() < range.0 || value.low().si() > range.1
}

fn of_room(job: &Job, room: &Room, setting: &Setting, range: (f64, f64), word: &str) -> Finding {
    let odd = setting.temperature.low();
    let show = Show { metric: job.metric };
    tell(job, setting.span, format!("`{}` is {word} to {}", short(&room.name), show.temperature(odd)), range, odd)
}

fn tell(job: &Job, span: Span, message: String, range: (f64, f64), odd: Temperature) -> Finding {
    let show = Show { metric: job.metric };
    let (low, high) = (Temperature::new(range.0), Temperature::new(range.1));
    // The same digits read on the other scale.
    let fahrenheit = odd.si() * 1.8 + 32.0;
    let meant = if odd.si() > range.1 { (odd.si() - 32.0) / 1.8 } else { fahrenheit };
    let hint = if odd.si() > range.1 && within(Temperature::new(meant), range) {
        format!("write F for C, if {:.0} F was meant; or say what heats it so with `always`", odd.si())
    } else if odd.si() < range.0 && within(Temperature::new(fahrenheit), range) {
        format!("write C for F, if {fahrenheit:.0} C was meant; or say what keeps it so with `always`")
    } else {
        "correct the figure, or say what keeps it so with `always`".to_string()
    };
    Finding::new(RULE.id, Weight::Watch, span, message)
        .detail(format!(
            "Usual is {} to {} (common practice, no source). A letter may have slipped: everything about vapor and \
             dew goes by these degrees.",
            show.temperature(low),
            show.temperature(high)
        ))
        .help(hint)
        .number("temperature", odd.si(), "degC")
}
