//! A figure that follows another: points, equal factors between them, held at both ends.
//!
//! Permeance over humidity and conductivity over temperature are both such curves. Invariant: the points rise, every
//! figure is above zero, and nothing is drawn on beyond the first or the last of them.

use super::math;

/// A curve through at least two points.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// Where, and the natural logarithm of the figure there.
    points: Vec<(f64, f64)>,
}

impl Curve {
    /// A curve through points that rise strictly, with figures above zero; none for anything else.
    pub fn through(points: impl IntoIterator<Item = (f64, f64)>) -> Option<Self> {
        let points: Vec<(f64, f64)> = points
            .into_iter()
            .map(|(at, figure)| (at.is_finite() && figure.is_finite() && figure > 0.0).then(|| (at, math::ln(figure))))
            .collect::<Option<_>>()?;
        let rises = points.windows(2).all(|pair| matches!(pair, [a, b] if a.0 < b.0));
        (points.len() >= 2 && rises).then_some(Self { points })
    }

    /// The natural logarithm of the figure at a place; beyond the ends that of the end.
    pub fn ln_at(&self, at: f64) -> f64 {
        let mut before = None;
        for &(place, figure) in &self.points {
            if at <= place {
                return match before {
                    None => figure,
                    Some((from, low)) => low + (figure - low) * ((at - from) / (place - from)),
                };
            }
            before = Some((place, figure));
        }
        before.map_or(0.0, |(_, last)| last)
    }

    /// The figure at a place; beyond the ends that of the end.
    pub fn at(&self, at: f64) -> f64 {
        math::exp(self.ln_at(at))
    }

    /// The points, from the lowest place up.
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> {
        self.points.iter().map(|(at, ln)| (*at, math::exp(*ln)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_factors_between_and_held_beyond() {
        let curve = Curve::through([(0.25, 10.0), (0.75, 40.0), (0.9, 50.0)]).unwrap();
        for (at, wanted) in [(0.0, 10.0), (0.25, 10.0), (0.5, 20.0), (0.75, 40.0), (0.9, 50.0), (1.2, 50.0)] {
            assert!((curve.at(at) / wanted - 1.0).abs() < 1e-12, "{at}: {}", curve.at(at));
        }
        assert_eq!(curve.points().count(), 3);
    }

    #[test]
    fn what_is_no_curve_is_refused() {
        for points in [vec![], vec![(0.5, 1.0)], vec![(0.5, 1.0), (0.5, 2.0)], vec![(0.5, 1.0), (0.6, 0.0)]] {
            assert_eq!(Curve::through(points), None);
        }
        assert_eq!(Curve::through([(0.1, f64::NAN), (0.2, 1.0)]), None);
    }
}
