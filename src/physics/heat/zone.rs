//! The inner face over a metal member: the zone that its web cools.
//!
//! Invariant: metal lies in the zone alone; what lies beyond is the bay's affair.

use crate::base::quantity::{Conductivity, Length, TemperatureFactor, ThermalResistance};
use crate::physics::error::{Error, within};

/// The least that a zone reaches to either side of the flange: half an inch (ASHRAE, from memory).
pub const LEAST_COVER: Length = Length::new(0.0127);

/// A metal member and what lies round it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// Width of its flange.
    pub flange: Length,
    /// Thickness of its web.
    pub web: Length,
    /// Depth of the web, across the section.
    pub depth: Length,
    /// Conductivity of the metal.
    pub metal: Conductivity,
    /// The bay beside the web.
    pub bay: ThermalResistance,
    /// The thicker of what covers the two flanges.
    pub cover: Length,
    /// All that lies outside of the member, film included.
    pub outside: ThermalResistance,
    /// All that lies inside of it, film not included.
    pub inside: ThermalResistance,
}

/// Resistance of the zone from air to air, and the temperature factor of its inner face.
///
/// # Equation
/// Zone width `W = m + 2 d`, m the flange, d the cover, 13 mm at least; in it the web and the bay side by side:
/// `1/R_w = (t/W) lambda/h + (1 - t/W)/R_bay`; `R = R_out + R_w + R_in + R_si`, `f = 1 - R_si/R`.
///
/// # Source
/// The zone method of the ASHRAE Handbook of Fundamentals for widely spaced metal members (from memory). The face at the
/// middle of the flange is colder than this mean of the zone.
///
/// # Range
/// Lengths above 0 to 1 m, a web thinner than the flange, conductivity 1 to 500 W/(m K), resistances 0 to 100; else an
/// error.
///
/// # Example
/// ```
/// # use dewlap::base::quantity::*;
/// # use dewlap::physics::heat::zone::{Member, face};
/// let member = Member {
///     flange: Length::new(0.041), web: Length::new(0.0011), depth: Length::new(0.092),
///     metal: Conductivity::new(50.0), bay: ThermalResistance::new(2.29), cover: Length::new(0.0127),
///     outside: ThermalResistance::new(0.15), inside: ThermalResistance::new(0.08),
/// };
/// let (_, factor) = face(&member, ThermalResistance::new(0.13))?;
/// assert!(factor.si() > 0.6 && factor.si() < 0.75);
/// # Ok::<(), dewlap::physics::Error>(())
/// ```
pub fn face(member: &Member, film: ThermalResistance) -> Result<(ThermalResistance, TemperatureFactor), Error> {
    let length = |l: Length| within("length", "m", l.si(), (1e-6, 1.0));
    let resistance = |r: ThermalResistance| within("thermal resistance", "m2.K/W", r.si(), (0.0, 100.0));
    let (flange, depth) = (length(member.flange)?, length(member.depth)?);
    let web = within("thickness of the web", "m", member.web.si(), (1e-6, flange))?;
    let metal = within("conductivity", "W/(m.K)", member.metal.si(), (1.0, 500.0))?;
    let width = flange + 2.0 * member.cover.max(LEAST_COVER).si();
    let share = web / width;
    let bay = within("thermal resistance", "m2.K/W", member.bay.si(), (1e-3, 100.0))?;
    let beside = ThermalResistance::new(1.0 / (share * metal / depth + (1.0 - share) / bay));
    let film = ThermalResistance::new(within("film", "m2.K/W", film.si(), (1e-3, 1.0))?);
    let total = ThermalResistance::new(resistance(member.outside)? + resistance(member.inside)?) + beside + film;
    Ok((total, TemperatureFactor::new(1.0 - film / total)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::unit::R_VALUE;

    /// ASHRAE 90.1 Table A9.2B: R-11 between studs at 16 in is worth R-5.5, R-13 R-6.0 (from memory).
    #[test]
    fn zone_and_bay_come_to_what_the_table_gives() {
        for (label, worth) in [(11.0, 5.5), (13.0, 6.0)] {
            let (inside, outside) = (0.079, 0.03 + 0.11);
            let (film, spacing) = (0.12, 0.4064);
            let member = Member {
                flange: Length::new(0.0413),
                web: Length::new(0.00109),
                depth: Length::new(0.0889),
                metal: Conductivity::new(48.0),
                bay: ThermalResistance::new(label * R_VALUE),
                cover: Length::new(0.0127),
                outside: ThermalResistance::new(outside),
                inside: ThermalResistance::new(inside),
            };
            let zone = face(&member, ThermalResistance::new(film)).unwrap().0.si();
            let bay = label * R_VALUE + inside + outside + film;
            let share = (0.0413 + 2.0 * 0.0127) / spacing;
            let mean = 1.0 / (share / zone + (1.0 - share) / bay) - inside - outside - film;
            assert!((mean / R_VALUE - worth).abs() < 0.5, "{label}: {}", mean / R_VALUE);
        }
    }

    #[test]
    fn a_web_as_wide_as_the_world_is_refused() {
        let member = Member {
            flange: Length::new(0.04),
            web: Length::new(0.05),
            depth: Length::new(0.1),
            metal: Conductivity::new(50.0),
            bay: ThermalResistance::new(2.0),
            cover: Length::new(0.0127),
            outside: ThermalResistance::new(0.1),
            inside: ThermalResistance::new(0.1),
        };
        assert!(face(&member, ThermalResistance::new(0.13)).is_err());
    }
}
