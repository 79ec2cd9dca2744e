//! Sections side by side in one component: cavity and framing.
//!
//! Invariant: every section runs through the whole component, films included, so the limits need nothing else.

use crate::base::quantity::{Fraction, ThermalResistance, Transmittance};
use crate::physics::error::{Error, within};

/// A part of the area with its resistances in a row, both surface films included, in the same order for all sections.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Its share of the area.
    pub share: Fraction,
    /// Film, layers, film.
    pub resistances: Vec<ThermalResistance>,
    /// Whether it is metal that crosses the insulation.
    pub metal: bool,
}

/// The result of the combined method.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Combined {
    /// R', no flow sideways.
    pub upper: ThermalResistance,
    /// R'', every plane equally warm.
    pub lower: ThermalResistance,
    /// Their mean.
    pub total: ThermalResistance,
    /// Its inverse.
    pub u: Transmittance,
    /// The largest relative error, (R' - R'')/(2 R).
    pub error_bound: Fraction,
}

fn check(sections: &[Section]) -> Result<(), Error> {
    let expected = sections.first().map_or(0, |s| s.resistances.len());
    if expected == 0 {
        return Err(Error::NoLayers);
    }
    for section in sections {
        let found = section.resistances.len();
        if found != expected {
            return Err(Error::Lengths { expected, found });
        }
        within("share", "1", section.share.si(), (1e-6, 1.0))?;
        for (layer, resistance) in section.resistances.iter().enumerate() {
            within("thermal resistance", "m2.K/W", resistance.si(), (0.0, 1000.0))
                .map_err(|range| Error::Layer { layer, range })?;
        }
    }
    let sum: Fraction = sections.iter().map(|s| s.share).sum();
    if (sum.si() - 1.0).abs() > 1e-6 { Err(Error::Shares { sum: sum.si() }) } else { Ok(()) }
}

/// Resistance of the sections when no heat flows sideways: the upper limit R'.
///
/// # Equation
/// `1/R' = sum f_s/R_s`, R_s the resistance of section s from air to air.
///
/// # Source
/// ISO 6946:2017 6.7.2.3 (rule read in a digest, clause from memory). North American handbooks call it the parallel
/// path method and use it for wood framing (from memory).
///
/// # Range
/// Shares that add to 1, resistances 0 to 1000 m2 K/W, the same number in each section; else an error.
pub fn parallel_path(sections: &[Section]) -> Result<ThermalResistance, Error> {
    check(sections)?;
    let u: Transmittance = sections
        .iter()
        .map(|s| s.resistances.iter().copied().sum::<ThermalResistance>().transmittance() * s.share.si())
        .sum();
    Ok(u.resistance())
}

/// Resistance of the sections when each plane between layers is equally warm all over: the lower limit R''.
///
/// # Equation
/// `R'' = sum R_j`, `1/R_j = sum f_s/R_js` over the sections s for each layer j.
///
/// # Source
/// ISO 6946:2017 6.7.2.4 (rule read in a digest, clause from memory). North American handbooks call it the isothermal
/// planes method and use it for masonry (from memory).
///
/// # Range
/// As [`parallel_path`].
pub fn isothermal_planes(sections: &[Section]) -> Result<ThermalResistance, Error> {
    check(sections)?;
    let depth = sections.first().map_or(0, |s| s.resistances.len());
    let layer = |j: usize| -> ThermalResistance {
        let parts = sections.iter().filter_map(|s| Some(s.resistances.get(j)?.transmittance() * s.share.si()));
        parts.sum::<Transmittance>().resistance()
    };
    Ok((0..depth).map(layer).sum())
}

/// Resistance of the sections by the combined method: the mean of [`parallel_path`] and [`isothermal_planes`].
///
/// # Source
/// ISO 6946:2017 6.7.2 (rule read in a digest; the limit 1.5 and the exclusion of metal from memory).
///
/// # Errors
/// [`Error::MetalBridge`] when a section is metal, [`Error::LimitsApart`] when R'/R'' is above 1.5: both need a
/// computation in two dimensions. Else as [`parallel_path`].
///
/// # Example
/// ```
/// # use dewlap::base::quantity::{Fraction, ThermalResistance};
/// # use dewlap::physics::heat::{Section, combined};
/// let section = |share, middle| Section {
///     share: Fraction::new(share),
///     resistances: [0.04, middle, 0.13].map(ThermalResistance::new).to_vec(),
///     metal: false,
/// };
/// let both = combined(&[section(0.85, 3.0), section(0.15, 1.2)])?;
/// assert!(both.lower < both.total && both.total < both.upper);
/// # Ok::<(), dewlap::physics::Error>(())
/// ```
pub fn combined(sections: &[Section]) -> Result<Combined, Error> {
    if sections.iter().any(|s| s.metal) {
        return Err(Error::MetalBridge);
    }
    let upper = parallel_path(sections)?;
    let lower = isothermal_planes(sections)?;
    let ratio = upper / lower;
    if ratio.is_nan() {
        return Err(Error::NoThermalResistance);
    }
    if ratio > 1.5 {
        return Err(Error::LimitsApart { ratio });
    }
    let total = (upper + lower) / 2.0;
    let error_bound = Fraction::new((upper - lower) / (total * 2.0));
    Ok(Combined { upper, lower, total, u: total.transmittance(), error_bound })
}
