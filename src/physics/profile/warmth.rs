//! Resistance at a layer's own mean temperature.
//!
//! Invariant: the search ends after [`STEPS`] steps, and each resistance is above zero where it was.

use super::Build;
use crate::base::quantity::{Temperature, ThermalResistance};

/// Most steps. Conductivity moves by a few parts in a hundred in ten kelvin, so each step leaves a small part of the
/// error of the one before; three do. Our own choice.
const STEPS: usize = 12;
/// A resistance is found when it moves by less than this share. Our own choice.
const TOLERANCE: f64 = 1e-4;

impl Build {
    /// The resistance of each layer at its own mean temperature between two airs.
    ///
    /// # Equation
    /// `R_j = R_j0/k_j(theta_j)`, theta_j the mean of the temperatures of its two faces, which follow from all R; repeated
    /// from the R_j0 until none moves by more than a ten thousandth.
    ///
    /// # Source
    /// Our own arithmetic; that a declared figure holds for one mean temperature (10 or 24 degC) is ISO 10456 and ASTM
    /// C518 (from memory).
    pub fn resistances(&self, outdoors: Temperature, indoors: Temperature) -> Vec<ThermalResistance> {
        let mut found: Vec<f64> = self.layers.iter().map(|l| l.resistance.si()).collect();
        at_mean_temperatures(self, (outdoors.si(), indoors.si()), &mut found);
        found.into_iter().map(ThermalResistance::new).collect()
    }
}

/// Writes the resistances of the layers of a build between two airs (degC), each at its own mean temperature, m2 K/W.
/// The search starts from what `resistance` holds, one figure a layer.
pub(super) fn at_mean_temperatures(build: &Build, (outdoors, indoors): (f64, f64), resistance: &mut [f64]) {
    for _ in 0..STEPS {
        let total = build.outer_film.si() + resistance.iter().sum::<f64>() + build.inner_film.si();
        let fall = (indoors - outdoors) / total;
        let (mut outside, mut most) = (build.outer_film.si(), 0.0_f64);
        for (layer, now) in build.layers.iter().zip(resistance.iter_mut()) {
            let before = *now;
            if let Some(curve) = layer.by_temperature {
                let mean = outdoors + fall * (outside + before / 2.0);
                *now = layer.resistance.si() / curve.at(mean);
                most = most.max((*now - before).abs() / before.max(1e-9));
            }
            outside += before;
        }
        if most <= TOLERANCE {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::curve::Curve;
    use crate::base::math;
    use crate::base::quantity::VaporThickness;
    use crate::physics::profile::Layer;

    #[test]
    fn a_layer_takes_the_resistance_of_its_own_mean() {
        // Twice as much at 100 degC as at 0; alone between equal films its mean is that of the two airs, 10.
        let curve = Box::leak(Box::new(Curve::through([(0.0, 1.0), (100.0, 2.0)]).unwrap()));
        let (r, sd) = (ThermalResistance::new(2.0), VaporThickness::new(1.0));
        let layer = Layer { by_temperature: Some(curve), ..Layer::plain(r, sd) };
        let film = ThermalResistance::new(0.1);
        let build = Build { outer_film: film, inner_film: film, layers: vec![layer, Layer::plain(r, sd)] };
        let mut found = [2.0, 2.0];
        at_mean_temperatures(&Build { layers: vec![layer], ..build.clone() }, (0.0, 20.0), &mut found[..1]);
        assert!((found[0] - 2.0 / math::pow(2.0, 0.1)).abs() < 1e-3, "{found:?}");
        // Beside another: the mean put back in gives the figure.
        at_mean_temperatures(&build, (0.0, 20.0), &mut found);
        let mean = 20.0 * (0.1 + found[0] / 2.0) / (0.2 + found[0] + found[1]);
        assert!((found[0] * curve.at(mean) / 2.0 - 1.0).abs() < 1e-3, "{found:?}");
        assert!((found[1] - 2.0).abs() < 1e-12);
    }
}
