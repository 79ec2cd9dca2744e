//! One sentence for a path: where and when water lies, or how near it comes.
//!
//! Invariant: says only what the months of the report hold; judges nothing.

use super::figure::{self, month, percent, water_full};
use crate::review::report::{InterfaceLine, PathReport};

/// What the months say of a path.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// Water lies in it at the end of some month.
    Wet {
        /// Months with water, in the order they come, from the first that condenses.
        months: Vec<u8>,
        /// The interface that holds the most.
        place: usize,
        /// Month of the most water.
        peak_month: u8,
        /// The first month without water after the peak; none when it never dries.
        dry: Option<u8>,
    },
    /// No water in any month.
    Dry {
        /// The interface with the highest humidity, the two surfaces left out where there are others.
        place: usize,
        /// Month of it.
        month: u8,
    },
    /// There are no months.
    Nothing,
}

/// Reads the months of a path.
pub fn verdict(path: &PathReport) -> Verdict {
    let wet = |m: u8| path.months.iter().any(|line| line.month == m && line.points.iter().any(|p| p.water.si() > 0.0));
    let from = path.first_month.or_else(|| (1..=12).find(|m| wet(*m)));
    if let Some(from) = from.filter(|_| path.peak.si() > 0.0) {
        let order: Vec<u8> = (0..12).map(|i| (from + 11 + i) % 12 + 1).collect();
        let months: Vec<u8> = order.iter().copied().filter(|m| wet(*m)).collect();
        let points = path.months.iter().flat_map(|line| line.points.iter().enumerate().map(move |p| (line.month, p)));
        let most = points.max_by(|(_, (_, a)), (_, (_, b))| a.water.si().total_cmp(&b.water.si()));
        let (most_month, place) = most.map_or((from, 0), |(m, (i, _))| (m, i));
        let peak_month = path.peak_month.unwrap_or(most_month);
        let after = order.iter().copied().skip_while(|m| *m != peak_month).find(|m| !wet(*m));
        let dry = after.filter(|_| path.left.si() <= 0.0);
        return Verdict::Wet { months, place, peak_month, dry };
    }
    let last = path.interfaces.len().saturating_sub(1);
    let inner = |i: usize| last < 2 || (i > 0 && i < last);
    let points = path.months.iter().flat_map(|line| line.points.iter().enumerate().map(move |p| (line.month, p)));
    points
        .filter(|(_, (i, _))| inner(*i))
        .max_by(|(_, (_, a)), (_, (_, b))| a.humidity.si().total_cmp(&b.humidity.si()))
        .map_or(Verdict::Nothing, |(month, (place, _))| Verdict::Dry { place, month })
}

/// The sentence.
pub fn sentence(path: &PathReport) -> String {
    let place = |i: usize| path.interfaces.get(i).map_or_else(String::new, place_words);
    match verdict(path) {
        Verdict::Wet { months, place: at, peak_month, dry } => {
            let end = match dry {
                Some(m) => format!("dry again in {}", month(m)),
                None if path.left.si() > 0.0 => format!("{} left after a year", water_full(path.left)),
                None => "never dry".to_owned(),
            };
            let most = format!("at most {} in {}", water_full(path.peak), month(peak_month));
            format!("wet {} {}: {most}, {end}", spell(&months), place(at))
        }
        Verdict::Dry { place: at, month: m } => {
            let humidity = path
                .months
                .iter()
                .find(|line| line.month == m)
                .and_then(|line| line.points.get(at))
                .map_or_else(String::new, |p| percent(p.humidity));
            format!("no water; most humid {} with {humidity} % in {}", place(at), month(m))
        }
        Verdict::Nothing => "no figures".to_owned(),
    }
}

/// "from Jan to Mar", "in Feb", "all year".
fn spell(months: &[u8]) -> String {
    match months {
        [] => String::new(),
        [one] => format!("in {}", month(*one)),
        all if all.len() >= 12 => "all year".to_owned(),
        [first, .., last] => format!("from {} to {}", month(*first), month(*last)),
    }
}

/// Where an interface is, in words: "between `a` and `b`".
pub fn place_words(interface: &InterfaceLine) -> String {
    match (&interface.outside, &interface.inside) {
        (Some(a), _) if interface.within => format!("inside `{a}`"),
        (Some(a), Some(b)) if a == b => format!("inside `{a}`"),
        (Some(a), Some(b)) => format!("between `{a}` and `{b}`"),
        (None, Some(b)) => format!("on the outer face of `{b}`"),
        (Some(a), None) => format!("on the inner face of `{a}`"),
        (None, None) => "at the surface".to_owned(),
    }
}

/// Where an interface is, short: `a | b`, from outside to inside.
pub fn place_short(interface: &InterfaceLine) -> String {
    match (&interface.outside, &interface.inside) {
        (Some(a), Some(b)) if interface.within || a == b => format!("within {a}"),
        (Some(a), None) if interface.within => format!("within {a}"),
        (a, b) => format!("{} | {}", a.as_deref().unwrap_or("out"), b.as_deref().unwrap_or("in")),
    }
}

/// The path's name with its share, where there is more than one.
pub fn path_name(path: &PathReport) -> String {
    if path.share.si() < 0.9995 {
        format!("{} ({})", path.name, figure::share(path.share))
    } else {
        path.name.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::quantity::{
        Fraction, MoistureMass, Pressure, RelativeHumidity, Temperature, TemperatureDifference,
    };
    use crate::review::report::{AirLine, MonthLine, PointLine};

    /// One interface with the given water, kg/m2, January first.
    fn path(water: [f64; 12], first: Option<u8>, left: f64) -> PathReport {
        let air = AirLine { temperature: Temperature::new(0.0), vapor: Pressure::new(500.0), capped: false };
        let months = water.iter().zip(1..).map(|(w, month)| MonthLine {
            month,
            outdoor: air,
            indoor: air,
            points: vec![PointLine {
                temperature: Temperature::new(5.0),
                saturation: Pressure::new(800.0),
                vapor: Pressure::new(400.0),
                humidity: RelativeHumidity::new(0.5 + f64::from(month) / 100.0),
                margin: TemperatureDifference::new(3.0),
                water: MoistureMass::new(*w),
            }],
        });
        let peak = water.iter().copied().fold(0.0, f64::max);
        PathReport {
            name: "between members",
            share: Fraction::new(1.0),
            interfaces: vec![InterfaceLine { outside: Some("a".into()), inside: Some("b".into()), within: false }],
            months: months.collect(),
            first_month: first,
            peak: MoistureMass::new(peak),
            peak_month: water.iter().zip(1..).find(|(w, _)| **w > 0.0 && **w >= peak).map(|(_, m)| m),
            left: MoistureMass::new(left),
        }
    }

    #[test]
    fn a_winter_over_new_year() {
        let water = [0.2, 0.1, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.1];
        let text = sentence(&path(water, Some(12), 0.0));
        assert_eq!(text, "wet from Dec to Feb between `a` and `b`: at most 200 g/m2 in Jan, dry again in Mar");
    }

    #[test]
    fn never_dry_and_never_wet() {
        let all = sentence(&path([0.3; 12], Some(10), 0.3));
        assert_eq!(all, "wet all year between `a` and `b`: at most 300 g/m2 in Jan, 300 g/m2 left after a year");
        let none = sentence(&path([0.0; 12], None, 0.0));
        assert_eq!(none, "no water; most humid between `a` and `b` with 62 % in Dec");
    }
}
