//! Figures of tables, without their unit where the column says it. Figures with their unit are `base::show`'s.
//!
//! Invariant: ASCII only, decimal dot, no minus zero; a figure that is not a number prints as `-`.

use super::clean::clean_line;
use crate::base::quantity::{
    Area, Fraction, MoistureMass, RelativeHumidity, Temperature, TemperatureDifference, Transmittance,
};
pub use crate::base::show::month_name as month;
use crate::base::show::{Show, fixed};
use crate::base::source::Sources;
use crate::base::span::Span;
use crate::base::unit::FT2;

/// Which units a job's figures are shown in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Units {
    /// Metric, else inch and pound.
    pub metric: bool,
}

impl Units {
    /// The sign of a temperature.
    pub fn temperature_word(self) -> &'static str {
        if self.metric { "C" } else { "F" }
    }

    /// The sign of a temperature difference.
    pub fn difference_word(self) -> &'static str {
        if self.metric { "K" } else { "F" }
    }

    /// A temperature without its sign.
    pub fn temperature(self, t: Temperature) -> String {
        if self.metric { decimals(t.si(), 1) } else { decimals(t.si() * 1.8 + 32.0, 0) }
    }

    /// A temperature in whole degrees, for a narrow column.
    pub fn temperature_whole(self, t: Temperature) -> String {
        decimals(if self.metric { t.si() } else { t.si() * 1.8 + 32.0 }, 0)
    }

    /// A temperature difference for a narrow column: decimals only below ten.
    pub fn difference_short(self, d: TemperatureDifference) -> String {
        let figure = if self.metric { d.si() } else { d.si() * 1.8 };
        decimals(figure, if figure.abs() < 9.95 { 1 } else { 0 })
    }

    /// A temperature difference without its sign.
    pub fn difference(self, d: TemperatureDifference) -> String {
        decimals(if self.metric { d.si() } else { d.si() * 1.8 }, 1)
    }

    /// A temperature difference with its sign.
    pub fn difference_full(self, d: TemperatureDifference) -> String {
        format!("{} {}", self.difference(d), self.difference_word())
    }

    /// `R-24.1` or `RSI 4.24`.
    pub fn resistance(self, u: Transmittance) -> String {
        self.show().resistance(u.resistance())
    }

    /// `U 0.042 Btu/(h.ft2.F)` or `U 0.24 W/(m2.K)`.
    pub fn transmittance(self, u: Transmittance) -> String {
        self.show().transmittance(u)
    }

    /// `340 ft2` or `32 m2`.
    pub fn area(self, area: Area) -> String {
        if self.metric {
            format!("{} m2", decimals(area.si(), 0))
        } else {
            format!("{} ft2", decimals(area.si() / FT2, 0))
        }
    }

    fn show(self) -> Show {
        Show { metric: self.metric }
    }
}

/// A humidity in per cent, without the sign.
pub fn percent(humidity: RelativeHumidity) -> String {
    decimals(humidity.si() * 100.0, 0)
}

/// A share in per cent, with the sign.
pub fn share(part: Fraction) -> String {
    format!("{} %", decimals(part.si() * 100.0, 0))
}

/// Water in g/m2, without the unit; `<1` where there is some, but less than half a gram.
pub fn water(mass: MoistureMass) -> String {
    let grams = mass.si() * 1000.0;
    if grams > 0.0 && grams < 0.5 { "<1".to_owned() } else { decimals(grams, 0) }
}

/// Water with its unit.
pub fn water_full(mass: MoistureMass) -> String {
    format!("{} g/m2", water(mass))
}

/// Fixed decimals, without minus zero; `-` for what is no number.
pub fn decimals(value: f64, places: usize) -> String {
    if value.is_finite() { fixed(value, places) } else { "-".to_owned() }
}

/// "1 finding", "3 findings".
pub fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// "line 12"; with the file's name where there are several texts.
pub fn line(sources: &Sources, span: Span) -> String {
    let (file, at) = sources.place(span);
    if sources.iter().nth(1).is_some() {
        format!("{} line {}", clean_line(file), at.line)
    } else {
        format!("line {}", at.line)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const INCH: Units = Units { metric: false };
    const METRIC: Units = Units { metric: true };

    #[test]
    fn both_unit_systems() {
        // NIST SP 811, Appendix B: 1 h ft2 F/Btu = 0.1761102 m2 K/W, so U 0.284 is R-20.
        let u = Transmittance::new(1.0 / (20.0 * 0.176_110_2));
        assert_eq!(INCH.resistance(u), "R-20.0");
        assert_eq!(INCH.transmittance(u), "U 0.050 Btu/(h.ft2.F)");
        assert_eq!(METRIC.resistance(u), "RSI 3.52");
        assert_eq!(INCH.temperature(Temperature::new(20.0)), "68");
        assert_eq!(METRIC.temperature(Temperature::new(-0.04)), "0.0");
        assert_eq!(INCH.difference_full(TemperatureDifference::new(5.0)), "9.0 F");
    }

    #[test]
    fn odd_figures() {
        assert_eq!(decimals(f64::NAN, 1), "-");
        assert_eq!(water(MoistureMass::new(0.0001)), "<1");
        assert_eq!(water(MoistureMass::new(0.0)), "0");
        assert_eq!(month(12), "Dec");
        assert_eq!(month(0), "?");
    }
}
