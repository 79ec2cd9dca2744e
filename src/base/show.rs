//! Figures as a builder of the job's country writes them.
//!
//! Invariant: one place decides units and digits for every message and every table.

use super::quantity::{
    Length, MoistureMass, Permeance, RelativeHumidity, Temperature, TemperatureDifference, ThermalResistance,
    Transmittance,
};
use super::unit::{Dimension, INCH, PERM, R_VALUE};

/// Digits behind the point that are tried to tell two masses apart.
const DIGITS: usize = 4;

/// Inch or metric.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Show {
    /// Metric units.
    pub metric: bool,
}

impl Show {
    /// "68 F", "20.1 C".
    pub fn temperature(self, t: Temperature) -> String {
        if self.metric { format!("{} C", fixed(t.si(), 1)) } else { format!("{} F", fixed(t.si() * 1.8 + 32.0, 0)) }
    }

    /// "3.6 F", "2.0 K".
    pub fn difference(self, d: TemperatureDifference) -> String {
        if self.metric { format!("{} K", fixed(d.si(), 1)) } else { format!("{} F", fixed(d.si() * 1.8, 1)) }
    }

    /// "R-13", "RSI 2.29".
    pub fn resistance(self, r: ThermalResistance) -> String {
        if self.metric { format!("RSI {}", fixed(r.si(), 2)) } else { format!("R-{}", fixed(r.si() / R_VALUE, 1)) }
    }

    /// "U 0.063 Btu/(h.ft2.F)", "U 0.36 W/(m2.K)".
    pub fn transmittance(self, u: Transmittance) -> String {
        if self.metric {
            format!("U {} W/(m2.K)", fixed(u.si(), 2))
        } else {
            format!("U {} Btu/(h.ft2.F)", fixed(u.si() * R_VALUE, 3))
        }
    }

    /// "0.7 perm", "40 ng/(s.m2.Pa)".
    pub fn permeance(self, w: Permeance) -> String {
        if self.metric {
            format!("{} ng/(s.m2.Pa)", significant(w.si() * 1e12))
        } else {
            format!("{} perm", significant(w.si() / PERM))
        }
    }

    /// "55 %".
    pub fn humidity(self, h: RelativeHumidity) -> String {
        format!("{} %", fixed(h.si() * 100.0, 0))
    }

    /// "120 g/m2": a mass on an area is told in grams in both systems, as the sources of the limits do.
    pub fn water(self, m: MoistureMass) -> String {
        let grams = m.si() * 1000.0;
        format!("{} g/m2", if grams.abs() < 10.0 { significant(grams) } else { fixed(grams, 0) })
    }

    /// Two unlike masses, in as many more digits as it takes for them to read unlike: "248.3 g/m2", "247.9 g/m2".
    pub fn waters_apart(self, a: MoistureMass, b: MoistureMass) -> (String, String) {
        let plain = (self.water(a), self.water(b));
        if plain.0 != plain.1 {
            return plain;
        }
        let with = |m: MoistureMass, digits| format!("{} g/m2", fixed(m.si() * 1000.0, digits));
        let pairs = (1..=DIGITS).map(|digits| (with(a, digits), with(b, digits)));
        pairs.into_iter().find(|(a, b)| a != b).unwrap_or(plain)
    }

    /// "1-1/2 in" to the sixteenth, "40 mil" for films, "6 ft 3 in" from four feet up; "38 mm", "1.20 m".
    pub fn length(self, l: Length) -> String {
        if self.metric {
            let mm = l.si() * 1000.0;
            return match mm {
                _ if mm.abs() >= 1000.0 => format!("{} m", fixed(l.si(), 2)),
                _ if mm.abs() >= 10.0 => format!("{} mm", fixed(mm, 0)),
                _ => format!("{} mm", significant(mm)),
            };
        }
        let inches = l.si() / INCH;
        match inches {
            _ if inches.abs() < 0.09 => format!("{} mil", fixed(inches * 1000.0, 0)),
            _ if inches >= 48.0 => feet(inches),
            _ => format!("{} in", sixteenths(inches)),
        }
    }

    /// A figure of any dimension, for what is open along an axis.
    pub fn figure(self, dimension: Dimension, si: f64) -> String {
        match dimension {
            Dimension::Length => self.length(Length::new(si)),
            Dimension::ThermalResistance => self.resistance(ThermalResistance::new(si)),
            Dimension::Permeance => self.permeance(Permeance::new(si)),
            Dimension::VaporThickness => format!("sd {} m", significant(si)),
            Dimension::Temperature => self.temperature(Temperature::new(si)),
            Dimension::Ratio => format!("{} %", fixed(si * 100.0, 0)),
            Dimension::Conductivity => format!("{} W/(m.K)", significant(si)),
            Dimension::Density => format!("{} kg/m3", fixed(si, 0)),
            _ => significant(si),
        }
    }
}

/// A month's short name; 1 is January.
pub fn month_name(month: u8) -> &'static str {
    const NAMES: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    NAMES.get(usize::from(month).wrapping_sub(1)).copied().unwrap_or("?")
}

/// A figure with a fixed number of decimals, never "-0".
pub fn fixed(x: f64, decimals: usize) -> String {
    let text = format!("{x:.decimals$}");
    let zero = text.trim_start_matches('-').chars().all(|c| matches!(c, '0' | '.'));
    if zero { text.trim_start_matches('-').to_string() } else { text }
}

/// A figure with two significant digits from 1 down, none behind the point from 10 up.
pub fn significant(x: f64) -> String {
    match x.abs() {
        a if a == 0.0 || a >= 9.95 => fixed(x, 0),
        a if a >= 0.995 => fixed(x, 1),
        a if a >= 0.0995 => fixed(x, 2),
        a if a >= 0.00995 => fixed(x, 3),
        _ => format!("{x:.1e}"),
    }
}

fn feet(inches: f64) -> String {
    let whole = (inches / 12.0).floor();
    let rest = inches - whole * 12.0;
    if rest < 0.5 { format!("{whole:.0} ft") } else { format!("{whole:.0} ft {} in", fixed(rest, 0)) }
}

fn sixteenths(inches: f64) -> String {
    let total = (inches * 16.0).round();
    let (whole, part) = ((total / 16.0).trunc(), (total % 16.0).abs());
    if part == 0.0 {
        return format!("{whole:.0}");
    }
    let (mut top, mut bottom) = (part, 16.0);
    while top % 2.0 == 0.0 {
        top /= 2.0;
        bottom /= 2.0;
    }
    if whole == 0.0 { format!("{top:.0}/{bottom:.0}") } else { format!("{whole:.0}-{top:.0}/{bottom:.0}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_read_as_on_a_drawing() {
        let inch = Show { metric: false };
        let metric = Show { metric: true };
        assert_eq!(inch.length(Length::new(0.0381)), "1-1/2 in");
        assert_eq!(inch.length(Length::new(0.0127)), "1/2 in");
        assert_eq!(inch.length(Length::new(0.001016)), "40 mil");
        assert_eq!(inch.length(Length::new(1.905)), "6 ft 3 in");
        assert_eq!(metric.length(Length::new(0.0005)), "0.50 mm");
        assert_eq!(metric.length(Length::new(1.2)), "1.20 m");
        assert_eq!(inch.temperature(Temperature::new(20.0)), "68 F");
        assert_eq!(inch.resistance(ThermalResistance::new(2.289_432)), "R-13.0");
        assert_eq!(inch.permeance(Permeance::new(PERM * 0.06)), "0.060 perm");
        assert_eq!(metric.transmittance(Transmittance::new(0.358)), "U 0.36 W/(m2.K)");
        assert_eq!(fixed(-0.001, 1), "0.0");
        let apart = |a, b| inch.waters_apart(MoistureMass::new(a), MoistureMass::new(b));
        assert_eq!(apart(0.250, 0.248), ("250 g/m2".to_string(), "248 g/m2".to_string()));
        assert_eq!(apart(0.2483, 0.2479), ("248.3 g/m2".to_string(), "247.9 g/m2".to_string()));
        assert_eq!(apart(0.2, 0.2), ("200 g/m2".to_string(), "200 g/m2".to_string()));
    }
}
