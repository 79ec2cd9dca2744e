//! Whole years: the cases of our own in `tests/data/own-monthly.yaml` (not published), and what is read off a year.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::{build, data, humid, near, spell, winter, year_of};
use dewlap::base::quantity::*;
use dewlap::physics::Error;
use dewlap::physics::profile::*;

#[derive(Deserialize)]
struct Cases {
    climates: BTreeMap<String, Climate>,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Climate {
    outdoors: Vec<f64>,
    outdoor_humidity: Vec<f64>,
    indoors: f64,
    indoor_humidity: Vec<f64>,
}

#[derive(Deserialize)]
struct Case {
    id: String,
    climate: String,
    layers: Vec<LayerRow>,
    u: f64,
    start: Option<usize>,
    peak: f64,
    end: f64,
    third_peak: f64,
    mass: BTreeMap<usize, Vec<f64>>,
}

#[derive(Deserialize)]
struct LayerRow {
    r: f64,
    sd: f64,
    slices: Option<usize>,
}

impl Climate {
    fn months(&self) -> Vec<MonthInput> {
        year_of(|m| (humid(self.outdoors[m], self.outdoor_humidity[m]), humid(self.indoors, self.indoor_humidity[m])))
    }
}

impl Case {
    /// The slices as layers, for a solver that cuts nothing.
    fn build(&self) -> Build {
        let cut = |row: &LayerRow| {
            let count = row.slices.unwrap_or(1);
            vec![(row.r / count as f64, row.sd / count as f64); count]
        };
        build(&self.layers.iter().flat_map(cut).collect::<Vec<_>>())
    }
}

#[test]
fn own_cases_month_by_month() {
    let Cases { climates, cases } = serde_yaml::from_str(&data("own-monthly.yaml")).unwrap();
    assert_eq!(cases.len(), 3);
    for case in cases {
        let (build, months) = (case.build(), climates[&case.climate].months());
        let total: f64 = 0.17 + build.layers.iter().map(|l| l.resistance.si()).sum::<f64>();
        near(&case.id, 1.0 / total, case.u, 5e-5);
        let mut solver = Solver::with_slices(ThermalResistance::new(100.0));
        let years = solver.years(&build, &months, &Start::default(), 3).unwrap();
        assert_eq!(years[0].first_month, case.start, "{}", case.id);
        let peak = |year: &Year| year.peak().map_or(0.0, |(mass, _)| mass.si() * 1000.0);
        near(&case.id, peak(&years[0]), case.peak, 0.05);
        near(&case.id, years[0].end().si() * 1000.0, case.end, 0.05);
        near(&case.id, peak(&years[2]), case.third_peak, 0.05);
        for (month, result) in years[0].months.iter().enumerate() {
            for (node, mass) in result.mass.iter().enumerate() {
                let expected = case.mass.get(&node).map_or(0.0, |m| m[month]);
                near(&format!("{} month {month} node {node}", case.id), mass.si() * 1000.0, expected, 0.05);
            }
        }
    }
}

/// A wall whose insulation wets as a zone on both sides of its cold face.
fn zone_year() -> Year {
    let months = year_of(|m| (humid(if !(2..11).contains(&m) { -5.0 } else { 12.0 }, 0.8), humid(20.0, 0.75)));
    Solver::default().year(&build(&[(0.02, 0.2), (4.0, 6.0), (0.05, 0.1)]), &months).unwrap()
}

#[test]
fn a_zone_is_reported_by_its_layer() {
    let year = zone_year();
    let zones = year.zones();
    assert_eq!(zones.len(), 1, "{zones:?}");
    let zone = zones[0];
    assert_eq!(zone.layer, Some(1));
    assert!(zone.nodes.1 > zone.nodes.0, "more than one slice");
    assert_eq!(year.peak(), Some((zone.peak, zone.peak_at)));
    assert_eq!(zone.end, MoistureMass::ZERO);
    let dry = zone.dry_at.unwrap();
    assert!(year.months[dry].total() <= NO_WATER && year.months[dry - 1].total() > NO_WATER);
    assert_eq!(year.first_month, Some(11));
    assert_eq!(year.months[0].month, 11);
}

#[test]
fn two_wet_interfaces_are_two_zones() {
    let Cases { climates, cases } = serde_yaml::from_str(&data("own-monthly.yaml")).unwrap();
    let case = &cases[0];
    let mut solver = Solver::with_slices(ThermalResistance::new(100.0));
    let year = solver.year(&case.build(), &climates[&case.climate].months()).unwrap();
    let zones = year.zones();
    let places: Vec<_> = zones.iter().map(|z| (z.layer, z.interface)).collect();
    assert_eq!(places, [(None, Some(1)), (None, Some(3))]);
    near("outer peak", zones[0].peak.si() * 1000.0, 156.1, 0.05);
    assert_eq!((zones[0].dry_at, zones[1].dry_at), (Some(7), Some(9)));
}

#[test]
fn margins_are_those_of_the_nearest_month() {
    // Isothermal at 20 degC with 50 % on both sides in all months but one with 60 %: by hand 0.6 and 20 - 12.0 K.
    let months =
        year_of(|m| (humid(20.0, if m == 3 { 0.6 } else { 0.5 }), humid(20.0, if m == 3 { 0.6 } else { 0.5 })));
    let year = Solver::default().year(&build(&[(1.0, 1.0), (1.0, 1.0)]), &months).unwrap();
    let closest = year.closest();
    assert_eq!(closest.iter().map(|c| c.interface).collect::<Vec<_>>(), [0, 1, 2]);
    for c in closest {
        assert_eq!((c.humidity_at, c.margin_at), (3, 3));
        near("humidity", c.humidity.si(), 0.6, 1e-9);
        near("margin", c.margin.si(), 20.0 - 12.0, 0.05);
    }
    let wet = Solver::default().sequence(&build(&[(0.1, 2.0), (3.0, 0.1), (0.1, 0.2)]), &[winter(0.5)], &[]).unwrap();
    let interface = wet.closest().into_iter().find(|c| c.interface == 1).unwrap();
    near("wet interface", interface.margin.si(), 0.0, 1e-9);
    near("wet interface", interface.humidity.si(), 1.0, 1e-12);
}

#[test]
fn years_keep_their_memory() {
    // Foil outside, open inside, humid room: 12 months give the same rest each year, so it grows in steps.
    let months = year_of(|m| (humid(if m < 6 { 0.0 } else { 8.0 }, 0.8), humid(20.0, 0.6)));
    let wall = build(&[(0.01, 1e5), (2.0, 0.2), (0.05, 3.0)]);
    let mut solver = Solver::default();
    let years = solver.years(&wall, &months, &Start { month: Some(0), water: vec![] }, 3).unwrap();
    let ends: Vec<f64> = years.iter().map(|y| y.end().si()).collect();
    near("second year", ends[1], 2.0 * ends[0], 1e-9);
    near("third year", ends[2], 3.0 * ends[0], 1e-9);
    assert!(matches!(solver.years(&wall, &months, &Start { month: Some(12), water: vec![] }, 1), Err(Error::Range(_))));
}

#[test]
fn water_put_in_is_found_again() {
    // Tight on both sides: nothing to speak of leaves within the year (compare pitfall A4 of tight sandwiches).
    let months = year_of(|_| (humid(5.0, 0.8), humid(20.0, 0.3)));
    let wall = build(&[(0.1, 1000.0), (2.0, 0.2), (0.05, 1000.0)]);
    let water = Water { interface: 1, mass: MoistureMass::new(0.25) };
    let start = Start { month: Some(0), water: vec![water] };
    let year = Solver::default().years(&wall, &months, &start, 1).unwrap().remove(0);
    assert_eq!(year.verdict, Verdict::Stays);
    assert!((0.24..0.26).contains(&year.end().si()), "{:?}", year.end());
    // Open outside: dry within the first months.
    let open = build(&[(0.1, 1.0), (2.0, 0.2), (0.05, 2.0)]);
    let year = Solver::default().years(&open, &months, &start, 1).unwrap().remove(0);
    assert_eq!(year.verdict, Verdict::Dries);
    assert!(year.zones()[0].dry_at.unwrap() <= 3);
}

#[test]
fn water_needs_a_place() {
    let month = [spell(humid(5.0, 0.8), humid(20.0, 0.5), 30.0)];
    let at = |interface, kg| vec![Water { interface, mass: MoistureMass::new(kg) }];
    let wall = build(&[(0.1, 0.0), (2.0, 0.2), (0.05, 2.0)]);
    let mut solver = Solver::default();
    for interface in [0, 1, 3, 9] {
        // Interface 1 lies behind a layer without vapor resistance: water there is water on the outer surface.
        let refused = solver.sequence(&wall, &month, &at(interface, 0.1)).unwrap_err();
        assert_eq!(refused, Error::WaterPlace { interface });
    }
    assert!(matches!(solver.sequence(&wall, &month, &at(2, -0.1)), Err(Error::Range(_))));
    assert!(solver.sequence(&wall, &month, &at(2, 0.1)).is_ok());
}
