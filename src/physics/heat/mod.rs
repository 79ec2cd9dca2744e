//! Heat in one dimension: surface films, air layers, sections side by side.
//!
//! Invariant: resistances only; no temperatures of a particular building are kept here.

mod correction;
mod section;
mod space;
pub mod zone;

pub use correction::{Fasteners, Fit, fastener_correction, joint_correction};
pub use section::{Combined, Section, combined, isothermal_planes, parallel_path};
pub use space::{Ventilation, air_space, slightly_ventilated, ventilation};

use crate::base::quantity::ThermalResistance;

/// The way heat goes through the component in the season that is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum HeatFlow {
    /// Through a roof or ceiling in winter.
    Up,
    /// Through a wall, up to 30 degrees from level flow.
    Horizontal,
    /// Through a floor in winter.
    Down,
}

/// What a surface film is wanted for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Purpose {
    /// A thermal transmittance, ISO 6946.
    UValue,
    /// Condensation inside the component, ISO 13788 clause 6.
    Vapor,
    /// Humidity at the inner surface, ISO 13788 clause 5: the poorly warmed corner behind furniture.
    SurfaceMold,
}

/// What the outer face of the computed part borders on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Outside {
    /// Open air.
    Air,
    /// A well ventilated layer; it and all outside of it are left out.
    VentilatedLayer,
    /// Soil.
    Ground,
}

/// Resistance between the inner surface of an opaque component and the room, R_si.
///
/// # Table
/// 0.10 up, 0.13 level, 0.17 down in m2 K/W; 0.25 for [`Purpose::SurfaceMold`] whatever the direction.
///
/// # Source
/// ISO 6946:2017 Table 7 (values from memory, agree with a digest of a textbook); ISO 13788:2012 4.4.1 (from memory).
///
/// # Example
/// ```
/// # use dewlap::physics::heat::{HeatFlow, Purpose, inner_film};
/// assert_eq!(inner_film(HeatFlow::Horizontal, Purpose::Vapor).si(), 0.13);
/// ```
pub const fn inner_film(flow: HeatFlow, purpose: Purpose) -> ThermalResistance {
    let resistance = match (purpose, flow) {
        (Purpose::SurfaceMold, _) => 0.25,
        (Purpose::UValue | Purpose::Vapor, HeatFlow::Up) => 0.10,
        (Purpose::UValue | Purpose::Vapor, HeatFlow::Horizontal) => 0.13,
        (Purpose::UValue | Purpose::Vapor, HeatFlow::Down) => 0.17,
    };
    ThermalResistance::new(resistance)
}

/// Resistance at the outer face, R_se: 0.04 m2 K/W to open air, none to soil, and behind a well ventilated layer the
/// still-air figure of the same direction.
///
/// # Source
/// ISO 6946:2017 Table 7 and 6.9.4 (from memory; the rule for ventilated layers also in a digest).
pub const fn outer_film(outside: Outside, flow: HeatFlow) -> ThermalResistance {
    match outside {
        Outside::Air => ThermalResistance::new(0.04),
        Outside::VentilatedLayer => inner_film(flow, Purpose::UValue),
        Outside::Ground => ThermalResistance::ZERO,
    }
}
