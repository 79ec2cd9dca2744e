//! The unit words of the notation: one table, from which reading, printing and the documents are made.
//!
//! Sources: inch, foot, pound and the International Table Btu are exact (NIST SP 811, Appendix B); a US perm is one grain
//! an hour, square foot and inch of mercury at 0 degC (57.2135 ng/(s m2 Pa), same table); sheet-steel gauges are the
//! minimum base-steel thicknesses of the cold-formed framing trade (practice; common catalog figures).
//! Invariant: every unit converts by factor and offset to the SI unit of its dimension, and names exactly one dimension.

use super::near;

/// What a written figure measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Metres.
    Length,
    /// m2 K/W.
    ThermalResistance,
    /// W/(m K).
    Conductivity,
    /// kg/(s m2 Pa).
    Permeance,
    /// Vapor-equivalent thickness, metres.
    VaporThickness,
    /// Vapor resistance factor.
    VaporFactor,
    /// Degrees Celsius.
    Temperature,
    /// A share, 0 to 1; written in per cent, or as `1/150`.
    Ratio,
    /// Rise over run.
    Slope,
    /// Degrees of angle; lowered to a slope.
    Angle,
    /// Sheet-metal gauge number.
    Gauge,
    /// kg/m3.
    Density,
    /// Air changes an hour at 50 Pa.
    AirChange,
    /// Air flow, m3/s.
    AirFlow,
    /// Floor area, m2.
    Area,
    /// Vapor pressure, Pa.
    Pressure,
    /// Days.
    Days,
    /// Litres a second and square metre at 75 Pa.
    AirPermeance,
    /// J/(kg K).
    SpecificHeat,
    /// kg/(m2 s^0.5).
    WaterAbsorption,
}

impl Dimension {
    /// All of them.
    pub const ALL: &[Self] = &[
        Self::Length,
        Self::ThermalResistance,
        Self::Conductivity,
        Self::Permeance,
        Self::VaporThickness,
        Self::VaporFactor,
        Self::Temperature,
        Self::Ratio,
        Self::Slope,
        Self::Angle,
        Self::Gauge,
        Self::Density,
        Self::AirChange,
        Self::AirFlow,
        Self::Area,
        Self::Pressure,
        Self::Days,
        Self::AirPermeance,
        Self::SpecificHeat,
        Self::WaterAbsorption,
    ];

    /// Name in a message: "a thickness or length".
    pub fn name(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::ThermalResistance => "a thermal resistance",
            Self::Conductivity => "a conductivity",
            Self::Permeance => "a permeance",
            Self::VaporThickness => "a vapor-equivalent thickness",
            Self::VaporFactor => "a vapor resistance factor",
            Self::Temperature => "a temperature",
            Self::Ratio => "a share",
            Self::Slope => "a slope",
            Self::Angle => "an angle",
            Self::Gauge => "a gauge",
            Self::Density => "a density",
            Self::AirChange => "an air leakage",
            Self::AirFlow => "an air flow",
            Self::Area => "an area",
            Self::Pressure => "a pressure",
            Self::Days => "a number of days",
            Self::AirPermeance => "an air permeance",
            Self::SpecificHeat => "a specific heat",
            Self::WaterAbsorption => "a water absorption coefficient",
        }
    }

    /// How to write one, for "expected …": the words of the units that fit.
    pub fn examples(self) -> &'static str {
        match self {
            Self::Length => "`1/2 in`, `2\"`, `3 ft`, `38 mm`, `40 mil`",
            Self::ThermalResistance => "`R-13`, `RSI 2.3`",
            Self::Conductivity => "`0.04 W/(m.K)`",
            Self::Permeance => "`0.1 perm`, `57 ng/(s.m2.Pa)`",
            Self::VaporThickness => "`sd 100 m`",
            Self::VaporFactor => "`mu 50`",
            Self::Temperature => "`68 F`, `20 C`",
            Self::Ratio => "`55 %`, `1/150`",
            Self::Slope | Self::Angle => "`5:12`, `2 %`, `22 deg`",
            Self::Gauge => "`20 ga`",
            Self::Density => "`40 kg/m3`, `2.5 lb/ft3`",
            Self::AirChange => "`1.5 ach50`",
            Self::AirFlow => "`50 cfm`, `24 L/s`",
            Self::Area => "`1000 ft2`, `93 m2`",
            Self::Pressure => "`1200 Pa`",
            Self::Days => "`28 days`",
            Self::AirPermeance => "`0.02 L/(s.m2)`",
            Self::SpecificHeat => "`1000 J/(kg.K)`",
            Self::WaterAbsorption => "`0.1 kg/(m2.s0.5)`",
        }
    }
}

/// Where the unit stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// After the figure: `38 mm`.
    After,
    /// Before it: `R-13`, `sd 100 m`.
    Before,
}

/// The measuring tradition a unit belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// Inch, pound, degree Fahrenheit.
    Inch,
    /// Metre, kilogram, degree Celsius.
    Metric,
    /// Either.
    Both,
}

/// One unit word with its synonyms.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// Words, the one that `tidy` writes first.
    pub words: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// SI figure = (figure + offset) x factor.
    pub factor: f64,
    /// See `factor`; only temperatures have one.
    pub offset: f64,
    /// Where the word stands.
    pub side: Side,
    /// Whose unit it is.
    pub system: System,
}

impl Unit {
    /// From a figure in this unit to SI.
    pub fn to_si(&self, figure: f64) -> f64 {
        (figure + self.offset) * self.factor
    }

    /// From SI to a figure in this unit.
    pub fn from_si(&self, si: f64) -> f64 {
        si / self.factor - self.offset
    }

    /// The word that is printed.
    pub fn word(&self) -> &'static str {
        self.words.first().copied().unwrap_or("")
    }
}

const fn unit(words: &'static [&'static str], dimension: Dimension, factor: f64, system: System) -> Unit {
    Unit { words, dimension, factor, offset: 0.0, side: Side::After, system }
}

const fn before(words: &'static [&'static str], dimension: Dimension, factor: f64, system: System) -> Unit {
    Unit { words, dimension, factor, offset: 0.0, side: Side::Before, system }
}

/// One inch in metres.
pub const INCH: f64 = 0.0254;
/// h ft2 F/Btu in m2 K/W (International Table Btu).
pub const R_VALUE: f64 = 0.176_110_183_6;
/// One square foot in m2.
pub const FT2: f64 = 144.0 * INCH * INCH;
/// One US perm (0 degC) in kg/(s m2 Pa).
pub const PERM: f64 = 5.721_35e-11;

use Dimension as D;
use System::{Both, Inch, Metric};

/// All units. A figure followed or preceded by none of these words is an error that lists the units that fit.
pub static UNITS: &[Unit] = &[
    unit(&["in", "inch", "inches", "\"", "″", "”", "''", "′′"], D::Length, INCH, Inch),
    unit(&["ft", "foot", "feet", "'", "′", "’"], D::Length, 12.0 * INCH, Inch),
    unit(&["mil", "mils"], D::Length, INCH / 1000.0, Inch),
    unit(&["mm"], D::Length, 0.001, Metric),
    unit(&["cm"], D::Length, 0.01, Metric),
    unit(&["m"], D::Length, 1.0, Metric),
    before(&["R-", "R"], D::ThermalResistance, R_VALUE, Inch),
    before(&["RSI", "RSI-"], D::ThermalResistance, 1.0, Metric),
    unit(&["m2.K/W", "m2K/W"], D::ThermalResistance, 1.0, Metric),
    unit(&["W/(m.K)", "W/mK", "W/(mK)"], D::Conductivity, 1.0, Metric),
    unit(&["perm", "perms"], D::Permeance, PERM, Inch),
    unit(&["metric-perm", "metric-perms"], D::Permeance, 8.6813e-11, Metric),
    unit(&["ng/(s.m2.Pa)", "ng/(s·m2·Pa)", "ng/(Pa.s.m2)", "ng"], D::Permeance, 1e-12, Metric),
    before(&["sd"], D::VaporThickness, 1.0, Metric),
    before(&["mu", "μ", "µ"], D::VaporFactor, 1.0, Metric),
    Unit {
        words: &["F", "°F"],
        dimension: D::Temperature,
        factor: 5.0 / 9.0,
        offset: -32.0,
        side: Side::After,
        system: Inch,
    },
    unit(&["C", "°C"], D::Temperature, 1.0, Metric),
    unit(&["%"], D::Ratio, 0.01, Both),
    unit(&["deg", "°"], D::Angle, 1.0, Both),
    unit(&["ga", "gauge"], D::Gauge, 1.0, Inch),
    unit(&["kg/m3"], D::Density, 1.0, Metric),
    unit(&["lb/ft3", "pcf"], D::Density, 16.018_463_37, Inch),
    unit(&["ach50"], D::AirChange, 1.0, Both),
    unit(&["cfm"], D::AirFlow, 4.719_474_432e-4, Inch),
    unit(&["L/s", "l/s"], D::AirFlow, 0.001, Metric),
    unit(&["ft2", "sf"], D::Area, FT2, Inch),
    unit(&["m2"], D::Area, 1.0, Metric),
    unit(&["Pa"], D::Pressure, 1.0, Metric),
    unit(&["hPa"], D::Pressure, 100.0, Metric),
    unit(&["days", "day"], D::Days, 1.0, Both),
    unit(&["L/(s.m2)", "l/(s.m2)"], D::AirPermeance, 1.0, Metric),
    unit(&["J/(kg.K)"], D::SpecificHeat, 1.0, Metric),
    unit(&["kg/(m2.s0.5)"], D::WaterAbsorption, 1.0, Metric),
];

/// Rise over run as written, `5:12`; a figure in this unit is the rise on a run of twelve.
pub static SLOPE: Unit = unit(&[":12"], D::Slope, 1.0 / 12.0, Both);
/// A share written as a fraction, `1/150`.
pub static SHARE: Unit = unit(&[""], D::Ratio, 1.0, Both);

/// The unit of a word as typed. Superscript two is read as `2`; degree look-alikes (`º`, `˚`) as `°`.
pub fn find(word: &str) -> Option<&'static Unit> {
    UNITS.iter().find(|u| u.words.contains(&word)).or_else(|| {
        if word.bytes().all(|b| b.is_ascii() && !matches!(b, b'^' | b'*')) {
            return None;
        }
        let plain: String = word
            .chars()
            .filter(|c| *c != '^')
            .map(|c| match c {
                '²' => '2',
                '³' => '3',
                'º' | '˚' => '°',
                '·' | '⋅' | '*' => '.',
                other => other,
            })
            .collect();
        UNITS.iter().find(|u| u.words.contains(&plain.as_str()))
    })
}

/// Near unit words to one that is not known.
pub fn near_words(word: &str) -> Vec<&'static str> {
    near::nearest(word, UNITS.iter().map(Unit::word))
}

/// Thickness in metres of a steel gauge (minimum base steel: 33, 43, 54, 68, 97, 118 mil for 20, 18, 16, 14, 12, 10;
/// 27, 30 mil for 22 and 20 non-structural are not told apart: 20 is taken as 33). Practice; common catalog figures.
/// None for a gauge the trade does not use.
pub fn gauge_thickness(gauge: f64) -> Option<f64> {
    const MILS: &[(f64, f64)] = &[
        (25.0, 18.0),
        (22.0, 27.0),
        (20.0, 33.0),
        (18.0, 43.0),
        (16.0, 54.0),
        (14.0, 68.0),
        (12.0, 97.0),
        (10.0, 118.0),
    ];
    MILS.iter().find(|(g, _)| (g - gauge).abs() < 0.01).map(|(_, mil)| mil * INCH / 1000.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_names_two_units() {
        let mut words: Vec<&str> = UNITS.iter().flat_map(|u| u.words.iter().copied()).collect();
        words.sort_unstable();
        let count = words.len();
        words.dedup();
        assert_eq!(words.len(), count);
    }

    #[test]
    fn conversions_meet_the_published_figures() {
        // NIST SP 811: 1 perm (0 degC) = 5.72135e-11; 68 F = 20 degC; R-1 = 0.1761102.
        let si = |word: &str, figure: f64| find(word).unwrap().to_si(figure);
        assert!((si("°F", 68.0) - 20.0).abs() < 1e-12);
        assert!((si("perm", 1.0) - 5.72135e-11).abs() < 1e-16);
        assert!((si("R-", 1.0) - 0.176_110_2).abs() < 1e-7);
        assert!((find("F").unwrap().from_si(20.0) - 68.0).abs() < 1e-12);
        assert_eq!(find("m²").unwrap().word(), "m2");
        assert_eq!(near_words("mms"), ["mm"]);
    }
}
