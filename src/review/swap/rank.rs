//! Which of those that serve serves best.
//!
//! `docs/swap.md` says why in this order. Margins, water and thicknesses are compared in bands, so that noise does not
//! outrank what fits. Invariant: a total order, so that no two runs differ.

use super::{Figures, Nearness, Slot, Tried};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, MoistureMass, TemperatureDifference};
use crate::base::unit::INCH;
use std::cmp::Ordering;

/// Margins that differ by less count as the same. Our own choice: monthly means and generic figures tell no finer.
const MARGIN_BAND: TemperatureDifference = TemperatureDifference::new(1.0);
/// Peaks of water that differ by less count as the same. Our own choice: a fraction of what wood may take up.
const WATER_BAND: MoistureMass = MoistureMass::new(0.050);
/// Thicker or thinner than the slot by more is far: what lies beside it has to be changed too. Our own choice.
const FAR: Length = Length::new(0.5 * INCH);
/// Thicknesses that differ by less count as the same. Our own choice: a shim takes it up.
const FIT_BAND: Length = Length::new(0.125 * INCH);
/// The share of the surface's heat resistance that has to be kept. Our own choice.
const KEPT: f64 = 0.9;
/// So much give at the border of a band, so that rounding puts nothing on its other side.
const GIVE: f64 = 1e-6;

/// Keeping less than this share of the heat resistance is losing much. Our own choice.
const MUCH: f64 = 0.75;
/// More water than this where there was none is losing much. Our own choice.
const FILM: MoistureMass = MoistureMass::new(0.020);
/// So many bands of margin less and a row of the yard goes before the catalog no more. Our own choice.
const SLIP: i64 = 2;

/// The better first.
pub(super) fn order(slot: &Slot, a: &Tried, b: &Tried) -> Ordering {
    key(slot, a).cmp(&key(slot, b)).then_with(|| covers(b).total_cmp(&covers(a))).then_with(|| a.name.cmp(&b.name))
}

/// Whether a candidate takes much of the heat resistance, or brings water where there was none.
pub(super) fn loses_much(drawn: &Figures, own: &Figures) -> bool {
    let dry = drawn.peak.is_none_or(|p| p <= MoistureMass::ZERO);
    kept(drawn, own).is_some_and(|share| share < MUCH - GIVE) || dry && own.peak.is_some_and(|p| p > FILM)
}

/// The share of the heat resistance that is left.
fn kept(drawn: &Figures, own: &Figures) -> Option<f64> {
    own.u.zip(drawn.u).map(|(own, drawn)| drawn / own)
}

/// All that is compared in whole numbers; less is better.
fn key(slot: &Slot, t: &Tried) -> [i64; 13] {
    let away = slot.thickness.zip(t.thickness).map(|(a, b)| (a - b).si().abs());
    let margin = t.figures.margin.zip(slot.figures.margin);
    // Counted from the layer as drawn; a surface without figures has none with any candidate.
    let more = margin.map_or(0, |(m, drawn)| ((m - drawn) / MARGIN_BAND).round() as i64);
    let far = away.is_some_and(|d| d > FAR.si() + GIVE);
    let colder = kept(&slot.figures, &t.figures).is_some_and(|share| share < KEPT - GIVE);
    [
        count(t.new.len()),
        heavy(&t.instead) - heavy(&t.gone),
        i64::from(t.nearness > Nearness::Same),
        i64::from(t.form != slot.form),
        i64::from(far),
        i64::from(colder),
        i64::from(more <= -SLIP),
        i64::from(t.from.row().is_none()),
        i64::from(t.nearness > Nearness::Alike),
        -more,
        t.figures.peak.map_or(0, |p| (p / WATER_BAND + GIVE) as i64),
        away.map_or(0, |d| (d / FIT_BAND.si() + GIVE) as i64),
        t.from.state() as i64,
    ]
}

/// How many there are to fix or stop.
fn heavy(findings: &[Finding]) -> i64 {
    count(findings.iter().filter(|f| f.weight > Weight::Watch).count())
}

fn count(of: usize) -> i64 {
    i64::try_from(of).unwrap_or(i64::MAX)
}

fn covers(t: &Tried) -> f64 {
    t.from.row().and_then(|row| row.covers).map_or(0.0, |area| area.si())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::quantity::Transmittance;

    #[test]
    fn much_is_a_quarter_of_the_resistance_or_water_where_none_was() {
        let figures = |u, peak| Figures {
            u: Some(Transmittance::new(u)),
            peak: Some(MoistureMass::new(peak)),
            ..Figures::default()
        };
        let dry = figures(0.3, 0.0);
        assert!(!loses_much(&dry, &figures(0.4, 0.0)) && loses_much(&dry, &figures(0.401, 0.0)));
        assert!(!loses_much(&dry, &figures(0.3, 0.020)) && loses_much(&dry, &figures(0.3, 0.0201)));
        // What is wet as drawn is judged by its limits.
        assert!(!loses_much(&figures(0.3, 0.001), &figures(0.3, 0.1)));
        assert!(!loses_much(&Figures::default(), &Figures::default()));
    }
}
