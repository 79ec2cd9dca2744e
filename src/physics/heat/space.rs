//! Plane air layers: unventilated, slightly and well ventilated.
//!
//! Invariant: an air layer thicker than 300 mm has no resistance of its own here; it needs a heat balance.

use super::HeatFlow;
use crate::base::math;
use crate::base::quantity::{Fraction, Length, Opening, Temperature, ThermalResistance};
use crate::physics::error::{OutOfRange, within};

/// Stefan-Boltzmann constant, W/(m2 K4).
const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;

/// Resistance of an unventilated air layer with up to 5 K across it.
///
/// # Equation
/// `R = 1/(h_a + E h_r)`, `1/E = 1/e_a + 1/e_b - 1`, `h_r = 4 sigma T_m^3`, and with d in m the larger of 0.025/d and
/// 1.25 (level flow), 1.95 (up), 0.12 d^-0.44 (down) for h_a.
///
/// # Source
/// ISO 6946:2017 6.9.2 and Annex D (from memory; the formulas give all 24 values of the printed table, which was read
/// in a digest). The emittances are long-wave and hold for clean, dry faces.
///
/// # Range
/// 0 to 0.3 m, emittances 0.01 to 1, mean temperature -60 to 100 degC; else an error.
///
/// # Example
/// ```
/// # use dewlap::base::quantity::{Fraction, Length, Temperature};
/// # use dewlap::physics::heat::{HeatFlow, air_space};
/// let e = Fraction::new(0.9);
/// let r = air_space(Length::new(0.025), HeatFlow::Horizontal, e, e, Temperature::new(10.0))?;
/// assert!((r.si() - 0.18).abs() < 0.005);
/// # Ok::<(), dewlap::physics::OutOfRange>(())
/// ```
pub fn air_space(
    thickness: Length,
    flow: HeatFlow,
    emittance_a: Fraction,
    emittance_b: Fraction,
    mean: Temperature,
) -> Result<ThermalResistance, OutOfRange> {
    let d = within("air layer thickness", "m", thickness.si(), (0.0, 0.3))?;
    let emittance = |e: Fraction| within("emittance", "1", e.si(), (0.01, 1.0));
    let exchange = 1.0 / (1.0 / emittance(emittance_a)? + 1.0 / emittance(emittance_b)? - 1.0);
    let kelvin = within("mean temperature", "degC", mean.si(), (-60.0, 100.0))? + 273.15;
    if d == 0.0 {
        return Ok(ThermalResistance::ZERO);
    }
    let still = match flow {
        HeatFlow::Up => 1.95,
        HeatFlow::Horizontal => 1.25,
        HeatFlow::Down => 0.12 * math::pow(d, -0.44),
    };
    let convection = (0.025 / d).max(still);
    let radiation = 4.0 * STEFAN_BOLTZMANN * kelvin.powi(3);
    Ok(ThermalResistance::new(1.0 / (convection + exchange * radiation)))
}

/// How far outdoor air moves through an air layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ventilation {
    /// Openings below 500 mm2/m: drainage holes; counts as still air.
    Unventilated,
    /// 500 to below 1500 mm2/m.
    Slightly,
    /// 1500 mm2/m and more: the layer and all outside of it are left out.
    Well,
}

/// The class of an air layer by its openings to outdoors.
///
/// # Source
/// ISO 6946:2017 6.9 (limits from memory): 500 and 1500 mm2 a metre of length for upright layers, a square metre for
/// level ones.
///
/// # Range
/// 0 to 1 m2/m; else an error.
pub fn ventilation(opening: Opening) -> Result<Ventilation, OutOfRange> {
    // A millionth of a square millimetre is granted, so that 1500 mm2 written in any unit is 1500.
    let area = within("opening", "m2/m", opening.si(), (0.0, 1.0))? * 1e6 + 1e-6;
    Ok(if area < 500.0 {
        Ventilation::Unventilated
    } else if area < 1500.0 {
        Ventilation::Slightly
    } else {
        Ventilation::Well
    })
}

/// Total resistance of a component whose air layer is slightly ventilated, between the totals it would have with the
/// layer still and with the layer well ventilated.
///
/// # Equation
/// `R = (1500 - A)/1000 R_still + (A - 500)/1000 R_open`, A in mm2/m.
///
/// # Source
/// ISO 6946:2017 6.9.3 (from memory; the 2007 edition halved the layer's resistance instead).
///
/// # Range
/// 500 to 1500 mm2/m; else an error.
pub fn slightly_ventilated(
    opening: Opening,
    still: ThermalResistance,
    open: ThermalResistance,
) -> Result<ThermalResistance, OutOfRange> {
    let area = within("opening", "m2/m", opening.si(), (500e-6, 1500e-6))? * 1e6;
    Ok(still.lerp(open, (area - 500.0) / 1000.0))
}
