//! The stretched string: vapor pressure between two surfaces under the saturation pressures of the points between.
//!
//! Over vapor thickness the pressure is the largest convex line below saturation: the lower hull of the points. A point
//! that holds water is at saturation whatever the others do and cuts the string in two. Where the slope grows, water
//! settles at the rate `delta_0` times the growth; where it falls (only at wet points), water leaves.
//!
//! Invariant: a month ends after at most one step for each point that dries, and each drying point ends at exactly zero.

use crate::physics::error::Error;

/// A point bends the string only when it lies this far under it, in Pa: the size of a rounding, far below any effect.
const BEND: f64 = 1e-11;

/// A point that the string touches.
#[derive(Clone, Copy, Debug)]
struct Touch {
    point: usize,
    pressure: f64,
    /// Vapor thickness from the touch before.
    width: f64,
    /// An end, or a wet point: never let go.
    fixed: bool,
    /// Flow from here to the touch before, toward outdoors, kg/(s m2).
    outward: f64,
}

/// What holds during one month.
#[derive(Clone, Copy, Debug)]
pub(super) struct Conditions<'a> {
    /// Between the points, m, all above zero.
    pub width: &'a [f64],
    /// At the points, Pa.
    pub saturation: &'a [f64],
    /// Vapor pressure at the first and the last point, Pa.
    pub ends: (f64, f64),
    /// Length of the month, s.
    pub seconds: f64,
    /// Vapor permeability of still air, kg/(s m Pa).
    pub still_air: f64,
}

/// What passed in one month, kg/m2.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Tally {
    pub condensed: f64,
    pub evaporated: f64,
    pub from_outdoors: f64,
    pub from_indoors: f64,
}

/// The string with its memory, reused from month to month.
#[derive(Debug, Default)]
pub(super) struct Stretched {
    touches: Vec<Touch>,
}

impl Stretched {
    /// Stretches the string: a monotone chain of cross products, with widths added up and never subtracted, so that
    /// millimeters beside a million kilometers keep all their digits.
    pub fn stretch(&mut self, at: &Conditions<'_>, mass: &[f64]) {
        let touches = &mut self.touches;
        touches.clear();
        let outer = Touch { point: 0, pressure: at.ends.0, width: 0.0, fixed: true, outward: 0.0 };
        touches.push(outer);
        let inner = at.width.len();
        let points = at.width.iter().zip(at.saturation.iter().skip(1)).zip(mass.iter().skip(1));
        for (point, ((&width, &saturation), &mass)) in (1..).zip(points) {
            let end = point == inner;
            let pressure = if end { at.ends.1 } else { saturation };
            let mut next = Touch { point, pressure, width, fixed: end || mass > 0.0, outward: 0.0 };
            while let [.., before, last] = touches.as_slice() {
                let rise = (next.pressure - last.pressure) * last.width;
                let bend = rise - (last.pressure - before.pressure) * next.width;
                if last.fixed || bend > BEND * (last.width + next.width) {
                    break;
                }
                next.width += last.width;
                touches.pop();
            }
            touches.push(next);
        }
        let mut before = at.ends.0;
        for touch in touches.iter_mut().skip(1) {
            touch.outward = at.still_air * (touch.pressure - before) / touch.width;
            before = touch.pressure;
        }
    }

    /// Water that would settle in the month if all were dry at its beginning.
    pub fn settles(&mut self, at: &Conditions<'_>, dry: &[f64]) -> f64 {
        self.stretch(at, dry);
        self.rates().map(|(_, rate)| rate * at.seconds).sum()
    }

    /// The inner touches with the rate at which each gains water.
    fn rates(&self) -> impl Iterator<Item = (usize, f64)> {
        self.touches
            .iter()
            .zip(self.touches.iter().skip(1))
            .skip(1)
            .map(|(t, inner)| (t.point, inner.outward - t.outward))
    }

    /// Writes the pressure at every point.
    pub fn pressures(&self, width: &[f64], pressure: &mut Vec<f64>) {
        pressure.clear();
        let mut widths = width.iter();
        for (from, to) in self.touches.iter().zip(self.touches.iter().skip(1)) {
            pressure.push(from.pressure);
            let mut passed = 0.0;
            for width in widths.by_ref().take(to.point - from.point - 1) {
                passed += width;
                pressure.push(from.pressure + (to.pressure - from.pressure) * (passed / to.width));
            }
            // The width up to `to` itself: its pressure is known.
            widths.next();
        }
        pressure.extend(self.touches.last().map(|t| t.pressure));
    }

    /// Takes the water through one month. `first` and `last` receive the pressures at its beginning and end.
    pub fn month(
        &mut self,
        at: &Conditions<'_>,
        mass: &mut [f64],
        first: &mut Vec<f64>,
        last: &mut Vec<f64>,
    ) -> Result<Tally, Error> {
        let mut tally = Tally::default();
        let mut left = at.seconds;
        // One step for each point that may dry, twice over: a bound against rounding, not met in any test.
        for step in 0..2 * mass.len() + 2 {
            self.stretch(at, mass);
            if step == 0 {
                self.pressures(at.width, first);
            }
            let span = self.until_dry(mass, left);
            self.pass(span, mass, &mut tally);
            left -= span;
            if left <= 0.0 {
                self.pressures(at.width, last);
                return Ok(tally);
            }
        }
        Err(Error::NotSettled)
    }

    /// How long the rates hold: until the next wet point is dry, at most `left` seconds.
    fn until_dry(&self, mass: &[f64], left: f64) -> f64 {
        self.rates().fold(left, |span, (point, rate)| match mass.get(point) {
            Some(&held) if held > 0.0 && rate < 0.0 => span.min(held / -rate),
            _ => span,
        })
    }

    /// Lets the rates act for `span` seconds.
    fn pass(&self, span: f64, mass: &mut [f64], tally: &mut Tally) {
        for (point, rate) in self.rates() {
            let Some(held) = mass.get_mut(point) else { continue };
            if rate < 0.0 {
                let gone = if *held / -rate <= span { *held } else { -rate * span };
                tally.evaporated += gone;
                *held -= gone;
            } else {
                tally.condensed += rate * span;
                *held += rate * span;
            }
        }
        let outward = |touch: Option<&Touch>| touch.map_or(0.0, |t| t.outward * span);
        tally.from_outdoors -= outward(self.touches.get(1));
        tally.from_indoors += outward(self.touches.last());
    }
}
