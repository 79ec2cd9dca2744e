//! What holds for every assembly and every climate.

use proptest::prelude::*;

use super::{build_between, humid, spell};
use dewlap::base::math;
use dewlap::base::quantity::*;
use dewlap::physics::air;
use dewlap::physics::heat::{Section, combined};
use dewlap::physics::profile::*;

fn resistance() -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 4 => 0.001..0.3, 4 => 0.3..6.0f64]
}

/// From none over films and foams to foil, evenly over the powers of ten.
fn thickness() -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 9 => (-3.0..3.0f64).prop_map(|e| math::pow(10.0, e)), 1 => Just(1e6)]
}

fn assembly() -> impl Strategy<Value = Build> {
    let layers = prop::collection::vec((resistance(), thickness()), 1..9);
    (0.01..0.2f64, 0.05..0.3f64, layers)
        .prop_map(|(outer, inner, layers)| build_between(outer, inner, &layers))
        .prop_filter("some vapor resistance", |b| b.layers.iter().any(|l| l.vapor.si() > 0.0))
}

/// Heated, mild or cooled.
fn month() -> impl Strategy<Value = MonthInput> {
    (-25.0..38.0f64, 0.2..1.0f64, 10.0..28.0f64, 0.2..0.95f64, 28.0..31.0f64)
        .prop_map(|(te, he, ti, hi, days)| spell(humid(te, he), humid(ti, hi), days))
}

fn climate() -> impl Strategy<Value = Vec<MonthInput>> {
    prop::collection::vec(month(), 12)
}

/// An assembly with water at some of the interfaces that can hold it.
fn wet_assembly() -> impl Strategy<Value = (Build, Vec<Water>)> {
    (assembly(), prop::collection::vec(0.0..1.0f64, 9)).prop_map(|(build, masses)| {
        let inner = (1..build.layers.len()).filter(|i| {
            let passes = |layers: &[Layer]| layers.iter().all(|l| l.vapor.si() == 0.0);
            !passes(&build.layers[..*i]) && !passes(&build.layers[*i..])
        });
        let water = inner.map(|i| Water { interface: i, mass: MoistureMass::new(masses[i]) }).collect();
        (build, water)
    })
}

fn masses(year: &Year) -> Vec<f64> {
    year.months.iter().map(|m| m.total().si()).collect()
}

/// Equal but for roundings, in kg/m2.
fn same(a: &[f64], b: &[f64]) -> Result<(), TestCaseError> {
    prop_assert_eq!(a.len(), b.len());
    for (a, b) in a.iter().zip(b) {
        prop_assert!((a - b).abs() <= 1e-9 * (1.0 + a.abs()), "{} and {}", a, b);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn dew_point_is_the_way_back(celsius in -60.0..100.0f64) {
        let p = air::saturation_pressure(Temperature::new(celsius)).unwrap();
        prop_assert!((air::dew_point(p).unwrap().si() - celsius).abs() < 1e-9);
    }

    #[test]
    fn water_is_kept_and_pressure_stays_below_saturation((build, water) in wet_assembly(), months in climate()) {
        let year = Solver::default().sequence(&build, &months, &water).unwrap();
        let before: MoistureMass = water.iter().map(|w| w.mass).sum();
        prop_assert!(year.imbalance(before).si().abs() <= 1e-9, "{:?}", year.imbalance(before));
        let mut held = before;
        for m in &year.months {
            for ((first, last), saturation) in m.pressure.iter().zip(&m.pressure_end).zip(&m.saturation) {
                prop_assert!(first.si() <= saturation.si() + 1e-9 && last.si() <= first.si() + 1e-9);
                prop_assert!(last.si() >= 0.0);
            }
            prop_assert!(m.mass.iter().all(|m| m.si() >= 0.0));
            let change = m.total() - held;
            prop_assert!((change - (m.condensed - m.evaporated)).si().abs() <= 1e-9);
            held = m.total();
        }
    }

    #[test]
    fn temperature_goes_one_way(build in assembly(), month in month()) {
        let year = Solver::default().sequence(&build, &[month], &[]).unwrap();
        let rise = (month.indoor.temperature - month.outdoor.temperature).si();
        for pair in year.months[0].temperature.windows(2) {
            prop_assert!((pair[1] - pair[0]).si() * rise.signum() >= -1e-12);
        }
    }

    #[test]
    fn splitting_a_layer_changes_nothing(build in assembly(), months in climate(), which in 0..8usize, parts in 2..4usize) {
        // Split where it is sliced anyway: the layer as `parts` layers of whole slices.
        let mut split = build.clone();
        let which = which % build.layers.len();
        let layer = split.layers.remove(which);
        let whole = Layer { resistance: ThermalResistance::new(0.25 * parts as f64), ..layer };
        let mut one = build.clone();
        one.layers[which] = whole;
        let part = Layer::plain(whole.resistance / parts as f64, whole.vapor / parts as f64);
        for _ in 0..parts {
            split.layers.insert(which, part);
        }
        let mut solver = Solver::default();
        let (a, b) = (solver.sequence(&one, &months, &[]).unwrap(), solver.sequence(&split, &months, &[]).unwrap());
        same(&masses(&a), &masses(&b))?;
        prop_assert_eq!(a.nodes.len(), b.nodes.len());
    }

    #[test]
    fn mirrored_wall_and_climate_give_the_mirrored_profile((build, water) in wet_assembly(), months in climate()) {
        let mut layers = build.layers.clone();
        layers.reverse();
        let count = layers.len();
        let other = Build { outer_film: build.inner_film, inner_film: build.outer_film, layers };
        let swap = |m: &MonthInput| MonthInput { outdoor: m.indoor, indoor: m.outdoor, duration: m.duration };
        let swapped: Vec<_> = months.iter().map(swap).collect();
        let moved: Vec<_> = water.iter().map(|w| Water { interface: count - w.interface, mass: w.mass }).collect();
        let mut solver = Solver::default();
        let a = solver.sequence(&build, &months, &water).unwrap();
        let b = solver.sequence(&other, &swapped, &moved).unwrap();
        for (a, b) in a.months.iter().zip(&b.months) {
            let forward: Vec<f64> = a.pressure_end.iter().map(|p| p.si()).collect();
            let backward: Vec<f64> = b.pressure_end.iter().rev().map(|p| p.si()).collect();
            for (a, b) in forward.iter().zip(&backward) {
                prop_assert!((a - b).abs() < 1e-5, "{} and {}", a, b);
            }
        }
        same(&masses(&a), &masses(&b))?;
    }

    #[test]
    fn twice_the_vapor_thickness_half_the_water(build in assembly(), months in climate()) {
        let mut tight = build.clone();
        for layer in &mut tight.layers {
            layer.vapor = layer.vapor * 2.0;
        }
        let mut solver = Solver::default();
        let (a, b) = (solver.sequence(&build, &months, &[]).unwrap(), solver.sequence(&tight, &months, &[]).unwrap());
        let half: Vec<f64> = masses(&a).iter().map(|m| m / 2.0).collect();
        same(&half, &masses(&b))?;
    }

    #[test]
    fn a_month_in_two_halves_ends_the_same((build, water) in wet_assembly(), month in month()) {
        let half = MonthInput { duration: month.duration / 2.0, ..month };
        let mut solver = Solver::default();
        let whole = solver.sequence(&build, &[month], &water).unwrap();
        let halves = solver.sequence(&build, &[half, half], &water).unwrap();
        let end = |year: &Year| year.months.last().unwrap().mass.iter().map(|m| m.si()).collect::<Vec<_>>();
        same(&end(&whole), &end(&halves))?;
    }

    #[test]
    fn pressure_is_convex_while_all_is_dry(build in assembly(), month in month()) {
        let year = Solver::default().sequence(&build, &[month], &[]).unwrap();
        let result = &year.months[0];
        let slices = |layer: usize| year.nodes.iter().take(year.nodes.len() - 1).filter(|n| n.layer == layer).count();
        let width: Vec<f64> = year.nodes.iter().take(year.nodes.len() - 1)
            .map(|n| build.layers[n.layer].vapor.si() / slices(n.layer) as f64).collect();
        let steps: Vec<(f64, f64)> = result.pressure.windows(2).zip(&width)
            .map(|(p, w)| ((p[1] - p[0]).si(), *w)).filter(|(_, w)| *w > 0.0).collect();
        for pair in steps.windows(2) {
            let ((rise_a, a), (rise_b, b)) = (pair[0], pair[1]);
            prop_assert!(rise_b * a - rise_a * b >= -1e-8 * (a + b));
        }
    }

    #[test]
    fn combined_total_is_between(shares in 0.05..0.95f64, a in 0.1..6.0f64, b in 0.1..6.0f64) {
        let section = |share, middle| Section {
            share: Fraction::new(share),
            resistances: [0.04, middle, 0.13].map(ThermalResistance::new).to_vec(),
            metal: false,
        };
        if let Ok(both) = combined(&[section(shares, a), section(1.0 - shares, b)]) {
            prop_assert!(both.lower.si() <= both.upper.si() + 1e-12);
            prop_assert!(both.upper.si() <= 0.17 + a.max(b) + 1e-12 && both.lower.si() >= 0.17 + a.min(b) - 1e-12);
        }
    }
}
