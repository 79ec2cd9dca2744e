//! What screws, ties and joints between boards add to a transmittance.
//!
//! Invariant: a correction is never negative, and nothing pierced gives none.

use super::super::error::{OutOfRange, within};
use crate::base::quantity::{Conductivity, Length, ThermalResistance, Transmittance};

/// Screws or ties through a layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fasteners {
    /// What they are made of: 50 W/(m K) for steel, 17 for stainless steel.
    pub conductivity: Conductivity,
    /// Section of one, m2.
    pub section: f64,
    /// How many there are, 1/m2.
    pub number: f64,
}

/// What fasteners through the whole depth of insulation add to the transmittance.
///
/// # Equation
/// `dU = 0.8 (lambda A n/d) (R1/R)^2`, d the depth of the insulation they go through, R1 its resistance, R that of the
/// whole component from air to air without them.
///
/// # Source
/// ISO 6946:2017 Annex F (from memory): not for ties across an empty cavity, nor where both ends touch metal sheets.
///
/// # Range
/// Depth 1 mm to 1 m, resistances 0.01 to 100 m2 K/W, 0 to 100 fasteners a square meter; else an error.
pub fn fastener_correction(
    each: Fasteners,
    depth: Length,
    pierced: ThermalResistance,
    whole: ThermalResistance,
) -> Result<Transmittance, OutOfRange> {
    let d = within("insulation depth", "m", depth.si(), (0.001, 1.0))?;
    let n = within("fasteners a square meter", "1/m2", each.number, (0.0, 100.0))?;
    let share = share(pierced, whole)?;
    Ok(Transmittance::new(0.8 * each.conductivity.si() * each.section * n / d * share * share))
}

/// How well boards of insulation fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Joints go straight through from the warm side to the cold.
    Joints,
    /// The same, and air can move on the warm side of the boards.
    JointsAndGap,
}

/// What open joints between boards add to the transmittance.
///
/// # Equation
/// `dU = dU" (R1/R)^2`, dU" 0.01 W/(m2 K) for joints, 0.04 with air on the warm side; R1 the resistance of the boards, R
/// that of the whole component from air to air.
///
/// # Source
/// ISO 6946:2017 Annex F, levels 1 and 2 (from memory).
///
/// # Range
/// Resistances 0.01 to 100 m2 K/W; else an error.
pub fn joint_correction(
    fit: Fit,
    boards: ThermalResistance,
    whole: ThermalResistance,
) -> Result<Transmittance, OutOfRange> {
    let share = share(boards, whole)?;
    let each = match fit {
        Fit::Joints => 0.01,
        Fit::JointsAndGap => 0.04,
    };
    Ok(Transmittance::new(each * share * share))
}

fn share(part: ThermalResistance, whole: ThermalResistance) -> Result<f64, OutOfRange> {
    let part = within("resistance of the insulation", "m2.K/W", part.si(), (0.01, 100.0))?;
    let whole = within("resistance of the whole", "m2.K/W", whole.si(), (0.01, 100.0))?;
    Ok((part / whole).min(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::quantity::Fraction;
    use crate::physics::heat::{Section, isothermal_planes};

    /// Without the factor 0.8 the formula is the first order of metal and insulation side by side in one plane.
    #[test]
    fn agrees_with_equal_planes_but_for_its_factor() {
        let (d, r1, rest, number, section) = (0.1, 2.5, 0.5, 4.0, 18.0e-6);
        let area = number * section;
        let of = |share, middle| Section {
            share: Fraction::new(share),
            resistances: [rest, middle].map(ThermalResistance::new).to_vec(),
            metal: false,
        };
        let planes = isothermal_planes(&[of(1.0 - area, r1), of(area, d / 50.0)]).unwrap();
        let by_planes = planes.transmittance().si() - 1.0 / (r1 + rest);
        let each = Fasteners { conductivity: Conductivity::new(50.0), section, number };
        let whole = ThermalResistance::new(r1 + rest);
        let by_formula = fastener_correction(each, Length::new(d), ThermalResistance::new(r1), whole).unwrap().si();
        // Second order: the plane method loses a share of its own effect, here 7 %.
        assert!((by_formula / 0.8 / by_planes - 1.0).abs() < 0.1, "{by_formula} {by_planes}");
    }

    #[test]
    fn joints_with_air_behind_cost_four_times_as_much() {
        let of = |fit| joint_correction(fit, ThermalResistance::new(2.0), ThermalResistance::new(2.5)).unwrap().si();
        assert!((of(Fit::Joints) - 0.0064).abs() < 1e-12);
        assert!((of(Fit::JointsAndGap) / of(Fit::Joints) - 4.0).abs() < 1e-12);
    }

    #[test]
    fn nothing_and_too_much_are_refused() {
        let r = ThermalResistance::new;
        assert!(joint_correction(Fit::Joints, r(0.0), r(2.0)).is_err());
        let each = Fasteners { conductivity: Conductivity::new(50.0), section: 18.0e-6, number: 1e4 };
        assert!(fastener_correction(each, Length::new(0.1), r(2.0), r(2.5)).is_err());
    }
}
