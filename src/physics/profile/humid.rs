//! Permeance that follows humidity: the widths of a month in line with the humidity they give.
//!
//! Each slice takes the permeance at the mean of the humidities of its two faces at the month's beginning. That is a
//! fixed point: humidity follows from the permeances, and they from it. Not here: what a curve says (`vapor`).
//!
//! Invariant: the search ends after [`QUICK`] and [`SAFE`] steps whatever the curves are, and says whether it found its
//! point.

use super::string::{Conditions, Stretched};
use crate::base::math;
use crate::base::quantity::RelativeHumidity;
use crate::physics::vapor::ByHumidity;

/// Steps of the quick search. Few need more than three; our own choice.
const QUICK: usize = 12;
/// Steps of the search that goes on where the quick one has not ended. Our own choice.
const SAFE: usize = 60;
/// A permeance is found when it moves by less than this share: far less than anybody knows it by. Our own choice.
const TOLERANCE: f64 = 0.005;
/// How much of a step is taken, at least and at most: between them each step is the secant's.
const DAMPING: (f64, f64) = (0.05, 1.5);
/// Where a search starts that has nothing to start from: halfway between the cups.
const START: RelativeHumidity = RelativeHumidity::new(0.5);

/// A width that follows humidity.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slice {
    /// Which width: between the point of this number and the next.
    pub width: usize,
    /// The node on its outer side; the next one is on its inner side.
    pub outer: usize,
    /// The natural logarithm of its width in the dry cup.
    pub ln_dry: f64,
    /// How it follows.
    pub law: ByHumidity,
}

impl Slice {
    fn ln_width(&self, humidity: RelativeHumidity) -> f64 {
        self.ln_dry - self.law.ln_gain(humidity)
    }

    /// Mean humidity of its two faces.
    fn humidity(&self, at: &Faces<'_>, pressure: &[f64]) -> RelativeHumidity {
        let face = |node: usize| {
            let p = at.point.get(node).and_then(|point| pressure.get(*point));
            p.zip(at.saturation.get(node)).map_or(START.si(), |(p, saturation)| p / saturation)
        };
        RelativeHumidity::new((face(self.outer) + face(self.outer + 1)) / 2.0)
    }
}

/// What stays the same during a search.
#[derive(Clone, Copy, Debug)]
pub(super) struct Faces<'a> {
    /// The point of each node.
    pub point: &'a [usize],
    /// Saturation pressure at each node, Pa.
    pub saturation: &'a [f64],
    /// The lowest saturation pressure of each point, Pa.
    pub lowest: &'a [f64],
    /// Vapor pressure at the first and the last point, Pa.
    pub ends: (f64, f64),
}

/// The widths that follow humidity, with working memory.
#[derive(Debug, Default)]
pub(super) struct Search {
    /// The step that the last round asked for, by slice: natural logarithms.
    asked: Vec<f64>,
    /// How much of it each slice takes.
    part: Vec<f64>,
}

/// What a round of questions gave.
#[derive(Debug, Default)]
struct Round {
    /// The largest step that is asked for.
    most: f64,
    /// The last step times how it has changed, over all slices.
    along: f64,
    /// The square of how it has changed.
    square: f64,
}

/// The widths before anything is known.
pub(super) fn start(slices: &[Slice], widths: &mut [f64]) {
    for slice in slices {
        if let Some(width) = widths.get_mut(slice.width) {
            *width = math::exp(slice.ln_width(START));
        }
    }
}

impl Search {
    /// Brings `widths` into line; `pressure` is working memory. Whether they are.
    ///
    /// # Equation
    /// With x the logarithms of the widths and f(x) those that the humidity under x gives, r = f(x) - x and
    /// `x <- x + w r`. Quick: w is 1 at first, then `-w r0.(r - r0)/|r - r0|^2` (Aitken's for vectors), held within
    /// bounds. Where that does not end: each slice has its own w, 1 at first, halved whenever its r changes sign.
    ///
    /// # Source
    /// Quick: Irons and Tuck 1969 (from memory); the other is our own. Pressures follow the widths without a jump, so
    /// there is a fixed point, and at times more than one: dry and tight, or damp and open.
    pub fn settle(
        &mut self,
        slices: &[Slice],
        at: &Faces<'_>,
        mass: &[f64],
        (string, pressure): (&mut Stretched, &mut Vec<f64>),
        widths: &mut [f64],
    ) -> bool {
        if slices.is_empty() {
            return true;
        }
        for step in 0..QUICK + SAFE {
            if step == 0 || step == QUICK {
                self.part.clear();
                self.part.resize(slices.len(), 1.0);
                self.asked.clear();
                self.asked.resize(slices.len(), 0.0);
            }
            // Pressures alone are asked for here: no flow and no time.
            let still =
                Conditions { width: widths, saturation: at.lowest, ends: at.ends, seconds: 0.0, still_air: 0.0 };
            string.stretch(&still, mass);
            string.pressures(widths, pressure);
            let round = self.ask(slices, at, pressure, widths, step >= QUICK);
            if round.most <= TOLERANCE {
                return true;
            }
            if step > 0 && step < QUICK && round.square > 0.0 {
                let scale = -round.along / round.square;
                self.part.iter_mut().for_each(|part| *part = (*part * scale).clamp(DAMPING.0, DAMPING.1));
            }
            for ((slice, asked), part) in slices.iter().zip(&self.asked).zip(&self.part) {
                if let Some(width) = widths.get_mut(slice.width) {
                    *width *= math::exp(part * asked);
                }
            }
        }
        false
    }

    /// Asks each slice; `halve` halves the part of those that turn round.
    fn ask(&mut self, slices: &[Slice], at: &Faces<'_>, pressure: &[f64], widths: &[f64], halve: bool) -> Round {
        let mut round = Round::default();
        for ((slice, asked), part) in slices.iter().zip(&mut self.asked).zip(&mut self.part) {
            let now = widths.get(slice.width).copied().unwrap_or(1.0);
            let new = slice.ln_width(slice.humidity(at, pressure)) - math::ln(now);
            round.most = round.most.max(new.abs());
            round.along += *asked * (new - *asked);
            round.square += (new - *asked) * (new - *asked);
            if halve && new * *asked < 0.0 {
                *part /= 2.0;
            }
            *asked = new;
        }
        round
    }
}
