//! A wet cladding in the sun: vapor driven inward, as a stated boundary case.
//!
//! Monthly means hide it: the air is never as warm or as moist as the face. One steady state is computed instead.
//! Invariant: the outer face itself is given, so no film lies outside of it.

use super::air;
use super::error::Error;
use super::profile::{Air, Build, MonthInput, Solver, Year};
use crate::base::quantity::{Duration, MoistureRate, Temperature, ThermalResistance};

/// The face of a wet cladding in the sun. Our own choice: walls get warmer, and cooler where they are light or face north.
pub const FACE: Temperature = Temperature::new(40.0);

/// One interface at which water settles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settles {
    /// The interface, 0 at the outer face.
    pub interface: usize,
    /// How fast.
    pub rate: MoistureRate,
    /// How warm it is there.
    pub temperature: Temperature,
}

/// Where water settles, and how fast, while the outer face of `build` is at `face` and saturated.
///
/// # Equation
/// The balance of [`Solver::sequence`] for one hour from a dry start; the build's outer film is left out. Water in
/// slices of a layer counts to the layer's inner interface.
///
/// # Source
/// ISO 13788:2012 clause 6 for the balance (from memory); the boundary is a case, not a climate.
///
/// # Errors
/// As [`Solver::year`].
///
/// # Example
/// ```
/// # use dewlap::base::quantity::*;
/// # use dewlap::physics::{air, profile::*, sun};
/// let layer = |r, sd| Layer::plain(ThermalResistance::new(r), VaporThickness::new(sd));
/// let build = Build {
///     outer_film: ThermalResistance::new(0.04),
///     inner_film: ThermalResistance::new(0.13),
///     layers: vec![layer(0.1, 0.5), layer(2.5, 0.1), layer(0.0, 100.0), layer(0.05, 0.1)],
/// };
/// let temperature = Temperature::new(24.0);
/// let vapor = air::vapor_pressure(temperature, RelativeHumidity::new(0.5))?;
/// let wet = sun::drive(&build, sun::FACE, Air { temperature, vapor })?;
/// assert_eq!(wet.iter().map(|w| w.interface).collect::<Vec<_>>(), [2]);
/// # Ok::<(), dewlap::physics::Error>(())
/// ```
pub fn drive(build: &Build, face: Temperature, room: Air) -> Result<Vec<Settles>, Error> {
    let hour = Duration::new(3600.0);
    let outdoor = Air { temperature: face, vapor: air::saturation_pressure(face)? };
    let build = Build { outer_film: ThermalResistance::ZERO, ..build.clone() };
    let state = Solver::default().sequence(&build, &[MonthInput { outdoor, indoor: room, duration: hour }], &[])?;
    Ok(settled(&state, hour))
}

fn settled(state: &Year, hour: Duration) -> Vec<Settles> {
    let Some(month) = state.months.first() else { return Vec::new() };
    let mut found: Vec<Settles> = Vec::new();
    // Inward: a slice's water goes to the next interface.
    let mut held = 0.0;
    for ((node, mass), temperature) in state.nodes.iter().zip(&month.mass).zip(&month.temperature) {
        held += mass.si();
        let Some(interface) = node.interface else { continue };
        if held > 0.0 {
            let rate = MoistureRate::new(held / hour.si());
            found.push(Settles { interface, rate, temperature: *temperature });
        }
        held = 0.0;
    }
    found
}
