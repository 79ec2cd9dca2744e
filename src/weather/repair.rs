//! What may be repaired in a year of hours: short gaps, a missing humidity, a dew point above the air temperature.
//!
//! Invariant: each repair is counted; a gap of more than six hours, or of more than a twentieth of a month, is refused.

use super::{Hour, Raw, Refusal, saturation};

/// Longest gap that is filled, hours.
const LONGEST_GAP: usize = 6;
/// Dew point above the air temperature that is put up with as rounding, K.
const ROUNDING: f64 = 0.5;
/// Points of relative humidity by which the two humidities of a month may differ.
const AGREE: f64 = 5.0;

/// Air of one record.
#[derive(Clone, Copy, Debug)]
pub(super) struct State {
    pub month: u8,
    pub year: i32,
    /// degC.
    pub temperature: f64,
    /// Pa.
    pub vapor: f64,
    /// %.
    pub humidity: f64,
}

/// A year without gaps, and how it came about.
pub(super) struct Filled {
    pub states: Vec<State>,
    pub repairs: Vec<String>,
}

/// How often each repair was made.
#[derive(Default)]
struct Counts {
    clamped: usize,
    from_humidity: usize,
}

/// Fills what may be filled.
pub(super) fn fill(raw: &Raw) -> Result<Filled, Refusal> {
    let hours = &raw.hours;
    let mut repairs = Vec::new();
    let dry: Vec<Option<f64>> = hours.iter().map(|h| h.dry).collect();
    let (temperatures, filled) = between(&dry, raw, "dry bulb")?;
    told(&mut repairs, filled, "without a dry bulb, interpolated");

    let mut counts = Counts::default();
    let vapor: Vec<Option<f64>> = hours.iter().zip(&temperatures).map(|(h, t)| vapor(h, *t, &mut counts)).collect();
    told(&mut repairs, counts.from_humidity, "without a dew point, taken from the relative humidity");
    told(&mut repairs, counts.clamped, "with humidity above saturation, taken as saturated");
    let (vapors, filled) = between(&vapor, raw, "humidity")?;
    told(&mut repairs, filled, "without humidity, interpolated");

    let mut states = Vec::with_capacity(hours.len());
    for ((hour, temperature), vapor) in hours.iter().zip(temperatures).zip(vapors) {
        let humidity = hour.humidity.unwrap_or_else(|| 100.0 * vapor / saturation(temperature)).min(100.0);
        states.push(State { month: hour.month, year: hour.year, temperature, vapor, humidity });
    }
    repairs.extend(disagreement(&states));
    Ok(Filled { states, repairs })
}

fn told(repairs: &mut Vec<String>, count: usize, what: &str) {
    if count > 0 {
        repairs.push(format!("{count} record{} {what}", if count == 1 { "" } else { "s" }));
    }
}

/// Vapor pressure of a record: of its dew point, else of its relative humidity.
fn vapor(hour: &Hour, temperature: f64, counts: &mut Counts) -> Option<f64> {
    match (hour.dew, hour.humidity) {
        (Some(dew), _) if dew > temperature + ROUNDING => {
            counts.clamped += 1;
            Some(saturation(temperature))
        }
        (Some(dew), _) => Some(saturation(dew)),
        (None, Some(humidity)) => {
            counts.from_humidity += 1;
            counts.clamped += usize::from(humidity > 100.0);
            Some(humidity.min(100.0) / 100.0 * saturation(temperature))
        }
        (None, None) => None,
    }
}

/// Fills gaps on a straight line between their neighbors; at the ends of the year with the one there is.
fn between(values: &[Option<f64>], raw: &Raw, what: &str) -> Result<(Vec<f64>, usize), Refusal> {
    few_in_each_month(values, &raw.hours, what)?;
    let longest = LONGEST_GAP * raw.per_hour;
    let mut out = Vec::with_capacity(values.len());
    let (mut before, mut gap, mut filled) = (None, 0_usize, 0);
    for (value, hour) in values.iter().zip(&raw.hours) {
        let Some(value) = *value else {
            gap += 1;
            filled += 1;
            if gap > longest {
                let message = format!("no {what} for more than {LONGEST_GAP} hours");
                return Err(Refusal::at(hour.line, message, GAP_HELP));
            }
            continue;
        };
        let from = before.unwrap_or(value);
        let share = |step: usize| step as f64 / (gap + 1) as f64;
        out.extend((1..=gap).map(|step| from + (value - from) * share(step)));
        out.push(value);
        (before, gap) = (Some(value), 0);
    }
    out.extend(std::iter::repeat_n(before.unwrap_or(0.0), gap));
    Ok((out, filled))
}

const GAP_HELP: &str = "gaps up to 6 hours and a twentieth of a month are filled in; take a fuller file, or write \
                        `temperature` and `humidity` with twelve figures each";

fn few_in_each_month(values: &[Option<f64>], hours: &[Hour], what: &str) -> Result<(), Refusal> {
    // Records, those without a figure, and the line of the first of these.
    let mut months = [(0_usize, 0_usize, None); 12];
    for (value, hour) in values.iter().zip(hours) {
        let Some(month) = months.get_mut(usize::from(hour.month).wrapping_sub(1)) else { continue };
        month.0 += 1;
        if value.is_none() {
            month.1 += 1;
            month.2 = month.2.or(Some(hour.line));
        }
    }
    match (1..).zip(months).find(|(_, (all, missing, _))| missing * 20 > *all) {
        None => Ok(()),
        Some((month, (all, missing, line))) => {
            let message = format!("no {what} in {missing} of {all} records of month {month}");
            Err(Refusal { line, what: message, help: GAP_HELP.to_owned() })
        }
    }
}

/// Months in which the humidity that is written and that of the dew point disagree.
fn disagreement(states: &[State]) -> Option<String> {
    let far = |month: &u8| {
        let of_month = states.iter().filter(|s| s.month == *month);
        let (count, sum) = of_month.fold((0_usize, 0.0), |(n, sum), s| {
            (n + 1, sum + s.humidity - (100.0 * s.vapor / saturation(s.temperature)).min(100.0))
        });
        sum.abs() > AGREE * count as f64
    };
    let months: Vec<String> = (1..=12).filter(far).map(|m| m.to_string()).collect();
    (!months.is_empty()).then(|| {
        format!(
            "relative humidity and dew point differ by more than {AGREE} points in the mean of month {}; the dew point \
             was taken",
            months.join(", ")
        )
    })
}
