//! Physical quantities, each a type of its own, held in SI.
//!
//! Types are named by meaning: a thickness and a vapor-equivalent thickness are both metres and cannot be added.
//! Invariant: a bare number becomes a quantity only by `new`, which names the unit, and leaves it only by `si`.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
        #[repr(transparent)]
        pub struct $name(f64);

        impl $name {
            /// The SI unit of the stored figure.
            pub const UNIT: &'static str = $unit;

            #[doc = concat!("From a figure in ", $unit, ".")]
            pub const fn new(si: f64) -> Self {
                Self(si)
            }

            #[doc = concat!("The figure in ", $unit, ".")]
            pub const fn si(self) -> f64 {
                self.0
            }

            /// Whether the figure is a number at all (not infinite, not undefined).
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }

            /// The smaller of two.
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of two.
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// `self` at 0, `other` at 1, straight between.
            pub const fn lerp(self, other: Self, t: f64) -> Self {
                Self(self.0 + (other.0 - self.0) * t)
            }
        }
    };
}

macro_rules! additive {
    ($($name:ident),*) => { $(
        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
        }
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self { Self(self.0 + other.0) }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self { Self(self.0 - other.0) }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self { Self(-self.0) }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) { self.0 += other.0; }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) { self.0 -= other.0; }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self { Self(self.0 * factor) }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self { Self(self.0 / divisor) }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 { self.0 / other.0 }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self { Self(parts.map(|p| p.0).sum()) }
        }
    )* };
}

macro_rules! product {
    ($($a:ident * $b:ident = $c:ident),* $(,)?) => { $(
        impl Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c { $c(self.0 * other.0) }
        }
        impl Mul<$a> for $b {
            type Output = $c;
            fn mul(self, other: $a) -> $c { $c(self.0 * other.0) }
        }
        impl Div<$b> for $c {
            type Output = $a;
            fn div(self, other: $b) -> $a { $a(self.0 / other.0) }
        }
        impl Div<$a> for $c {
            type Output = $b;
            fn div(self, other: $a) -> $b { $b(self.0 / other.0) }
        }
    )* };
}

quantity!(
    /// A temperature on the Celsius scale. Two of them differ by a [`TemperatureDifference`].
    Temperature, "degC"
);
quantity!(
    /// A difference between two temperatures.
    TemperatureDifference, "K"
);
quantity!(
    /// A vapor pressure or any other pressure.
    Pressure, "Pa"
);
quantity!(
    /// Relative humidity as a fraction, 1 at saturation.
    RelativeHumidity, "1"
);
quantity!(
    /// A geometric length: thickness, lap, spacing, depth, height.
    Length, "m"
);
quantity!(
    /// Of a floor, or of sheets side by side.
    Area, "m2"
);
quantity!(
    /// Vapor-equivalent air layer thickness, sd.
    VaporThickness, "m"
);
quantity!(
    /// Water vapor resistance factor mu: how many times tighter than still air.
    VaporFactor, "1"
);
quantity!(
    /// Water vapor permeance of a layer, kg/(s m2 Pa).
    Permeance, "kg/(s.m2.Pa)"
);
quantity!(
    /// Water vapor permeability of a substance, kg/(s m Pa).
    Permeability, "kg/(s.m.Pa)"
);
quantity!(
    /// Water vapor resistance Z of a layer, the inverse of its permeance.
    VaporResistance, "Pa.m2.s/kg"
);
quantity!(
    /// Thermal conductivity lambda.
    Conductivity, "W/(m.K)"
);
quantity!(
    /// Thermal resistance R of a layer.
    ThermalResistance, "m2.K/W"
);
quantity!(
    /// Thermal transmittance U.
    Transmittance, "W/(m2.K)"
);
quantity!(
    /// Heat flow through an area.
    HeatFlux, "W/m2"
);
quantity!(
    /// Water on an area.
    MoistureMass, "kg/m2"
);
quantity!(
    /// Water that comes to or leaves an area in a time.
    MoistureRate, "kg/(s.m2)"
);
quantity!(
    /// A span of time.
    Duration, "s"
);
quantity!(
    /// Mass of a volume.
    Density, "kg/m3"
);
quantity!(
    /// Heat that warms a mass by one kelvin.
    SpecificHeat, "J/(kg.K)"
);
quantity!(
    /// Water absorption coefficient: water a surface takes up by suction, by the square root of time.
    WaterAbsorption, "kg/(m2.s0.5)"
);
quantity!(
    /// Air that passes a sheet at 75 Pa, litres a second and square metre.
    AirPermeance, "L/(s.m2)"
);
quantity!(
    /// Air that passes an area in a time.
    AirFlow, "m3/(s.m2)"
);
quantity!(
    /// A share of a whole, 0 to 1.
    Fraction, "1"
);
quantity!(
    /// Temperature factor of a surface, (surface - outdoors)/(indoors - outdoors). A need may lie above 1.
    TemperatureFactor, "1"
);
quantity!(
    /// Free opening of an air layer to outdoors, a metre of its length (upright) or a square metre (level).
    Opening, "m2/m"
);
quantity!(
    /// Steepness as rise over run (0.25 for 3:12).
    Slope, "1"
);

additive!(
    TemperatureDifference,
    Pressure,
    Length,
    VaporThickness,
    ThermalResistance,
    VaporResistance,
    Transmittance,
    MoistureMass,
    MoistureRate,
    Duration,
    HeatFlux,
    Permeance,
    Fraction
);

product!(
    Conductivity * ThermalResistance = Length,
    HeatFlux * ThermalResistance = TemperatureDifference,
    Transmittance * TemperatureDifference = HeatFlux,
    VaporFactor * Length = VaporThickness,
    Permeance * Pressure = MoistureRate,
    MoistureRate * Duration = MoistureMass,
    MoistureRate * VaporResistance = Pressure,
    Permeability * VaporResistance = VaporThickness,
    Density * Length = MoistureMass,
    Density * AirFlow = MoistureRate,
);

impl Sub for Temperature {
    type Output = TemperatureDifference;
    fn sub(self, other: Self) -> TemperatureDifference {
        TemperatureDifference(self.0 - other.0)
    }
}

impl Add<TemperatureDifference> for Temperature {
    type Output = Self;
    fn add(self, other: TemperatureDifference) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub<TemperatureDifference> for Temperature {
    type Output = Self;
    fn sub(self, other: TemperatureDifference) -> Self {
        Self(self.0 - other.0)
    }
}

impl Mul<RelativeHumidity> for Pressure {
    type Output = Self;
    /// Vapor pressure from saturation pressure and relative humidity.
    fn mul(self, humidity: RelativeHumidity) -> Self {
        Self(self.0 * humidity.0)
    }
}

impl ThermalResistance {
    /// 1/R. Infinite for no resistance.
    pub fn transmittance(self) -> Transmittance {
        Transmittance(1.0 / self.0)
    }
}

impl Transmittance {
    /// 1/U. Infinite for no transmittance.
    pub fn resistance(self) -> ThermalResistance {
        ThermalResistance(1.0 / self.0)
    }
}

impl Permeance {
    /// Z = 1/W. Infinite for a layer that passes nothing.
    pub fn resistance(self) -> VaporResistance {
        VaporResistance(1.0 / self.0)
    }
}

impl VaporResistance {
    /// W = 1/Z. Infinite for no resistance.
    pub fn permeance(self) -> Permeance {
        Permeance(1.0 / self.0)
    }
}

/// Water vapor permeability of still air as ISO 13788 takes it, 2e-10 kg/(s m Pa), constant.
pub const STILL_AIR: Permeability = Permeability(2.0e-10);

impl VaporThickness {
    /// Permeance of the same resistance, W = delta_0/sd with [`STILL_AIR`]. Infinite for sd = 0.
    pub fn permeance(self) -> Permeance {
        Permeance(STILL_AIR.0 / self.0)
    }
}

impl Permeance {
    /// Vapor-equivalent thickness of the same resistance, sd = delta_0/W with [`STILL_AIR`]. Infinite for W = 0.
    pub fn vapor_thickness(self) -> VaporThickness {
        VaporThickness(STILL_AIR.0 / self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_carry_their_units() {
        let r: ThermalResistance = Length::new(0.1) / Conductivity::new(0.04);
        assert!((r.si() - 2.5).abs() < 1e-12);
        let sd: VaporThickness = VaporFactor::new(50.0) * Length::new(0.02);
        assert!((sd.si() - 1.0).abs() < 1e-12);
        assert!((sd.permeance().vapor_thickness() / sd - 1.0).abs() < 1e-12);
        let rise = Temperature::new(20.0) - Temperature::new(-5.0);
        assert!((((rise / r) as HeatFlux).si() - 10.0).abs() < 1e-12);
    }
}
