//! The physics floor against published figures, against itself, and against properties that need no figures.

mod examples;
mod humid;
mod monthly;
mod properties;
mod quantities;

use dewlap::base::quantity::*;
use dewlap::physics::air;
use dewlap::physics::profile::*;

/// Layers as (R, sd), outside to inside, between the films 0.04 and 0.13 m2 K/W.
pub fn build(layers: &[(f64, f64)]) -> Build {
    build_between(0.04, 0.13, layers)
}

/// Layers as (R, sd) between two films.
pub fn build_between(outer: f64, inner: f64, layers: &[(f64, f64)]) -> Build {
    let layer = |&(r, sd): &(f64, f64)| Layer::plain(ThermalResistance::new(r), VaporThickness::new(sd));
    Build {
        outer_film: ThermalResistance::new(outer),
        inner_film: ThermalResistance::new(inner),
        layers: layers.iter().map(layer).collect(),
    }
}

/// Air from temperature in degC and relative humidity.
pub fn humid(celsius: f64, humidity: f64) -> Air {
    let temperature = Temperature::new(celsius);
    let vapor = air::vapor_pressure(temperature, RelativeHumidity::new(humidity)).unwrap();
    Air { temperature, vapor }
}

/// One spell of `days` between outdoor and indoor air.
pub fn spell(outdoor: Air, indoor: Air, days: f64) -> MonthInput {
    MonthInput { outdoor, indoor, duration: Duration::new(days * 86_400.0) }
}

/// -5 degC 80 % outdoors, 20 degC and the given humidity indoors, 90 days.
pub fn winter(humidity: f64) -> MonthInput {
    spell(humid(-5.0, 0.8), humid(20.0, humidity), 90.0)
}

/// A year from month functions of outdoor and indoor air.
pub fn year_of(months: impl Fn(usize) -> (Air, Air)) -> Vec<MonthInput> {
    MONTH_DAYS.iter().enumerate().map(|(m, days)| spell(months(m).0, months(m).1, *days)).collect()
}

/// Total water after one spell, g/m2, from dry.
pub fn grams(solver: &mut Solver, build: &Build, month: MonthInput) -> f64 {
    solver.sequence(build, &[month], &[]).unwrap().end().si() * 1000.0
}

/// A file of `tests/data`.
pub fn data(name: &str) -> String {
    std::fs::read_to_string(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name)).unwrap()
}

/// Fails with the case's name unless `found` lies within `within` of `value`.
#[track_caller]
pub fn near(name: &str, found: f64, value: f64, within: f64) {
    assert!((found - value).abs() <= within, "{name}: found {found}, expected {value} within {within}");
}
