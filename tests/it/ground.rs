//! Soil: its temperature against tables and a second route, and what a surface in the ground borders on.

use dewlap::base::quantity::*;
use dewlap::catalog::{self, Lookup};
use dewlap::physics::air::{relative_humidity, saturation_pressure};
use dewlap::physics::ground::{Soil, Swing, crawlspace_swing, mid_months};
use dewlap::review::report::{AirLine, Report, SurfaceReport};
use dewlap::review::{Input, review};
use proptest::prelude::*;

const TABLE: &str = include_str!("../data/ground.csv");

/// A soil of some diffusivity in m2 a day.
fn soil(diffusivity: f64) -> Soil {
    Soil { conductivity: Conductivity::new(diffusivity * 2.0e6 / 86_400.0), capacity: 2.0e6 }
}

fn swing(mean: f64, amplitude: f64, coldest: f64) -> Swing {
    Swing { mean: Temperature::new(mean), amplitude: TemperatureDifference::new(amplitude), coldest }
}

fn near(what: &str, found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{what}: {found}, expected {expected}");
}

#[test]
fn soil_meets_the_table_at_every_depth() {
    let mut rows = 0;
    for line in TABLE.lines().filter(|l| !l.starts_with('#')) {
        let figures: Vec<f64> = line.split(';').map(|f| f.parse().unwrap()).collect();
        let soil = soil(figures[0]);
        near("penetration", soil.penetration().si(), figures[1], 5e-5);
        for (day, expected) in [15.0, 105.0, 196.0, 288.0].into_iter().zip(&figures[3..]) {
            let found = swing(10.0, 12.0, 35.0).at(soil, Length::new(figures[2]), day).unwrap();
            near(line, found.si(), *expected, 5.01e-4);
        }
        rows += 1;
    }
    assert_eq!(rows, 24);
}

/// Depths that ISO 13370 prints for its three soils: 2.2, 3.2 and 4.2 m (from memory).
#[test]
fn the_three_soils_have_their_penetration_depths() {
    for (soil, printed) in [(Soil::CLAY, 2.2), (Soil::SAND, 3.2), (Soil::ROCK, 4.2)] {
        near("depth", soil.penetration().si(), printed, 0.05);
    }
    near("2 m of clay", Soil::CLAY.two_meters().si(), 1.333, 5e-4);
}

/// Means of three places, worked out apart from the program: least squares with the days in the middle of the months
/// counted so that February's is 46.5, then 0.5, 1.2 and 2.4 m at 0.0557 m2 a day.
#[test]
fn the_sine_through_twelve_means_of_places() {
    const DAYS: [f64; 12] = [15.5, 46.5, 74.5, 105.5, 135.5, 166.5, 196.5, 227.5, 258.5, 288.5, 319.5, 349.5];
    type Row = (&'static str, [f64; 3], [[f64; 4]; 3]);
    let rows: [Row; 3] = [
        (
            "helsinki-fi",
            [5.914, 11.719, 23.2],
            [[-3.20, 2.61, 14.94, 9.14], [-0.10, 1.63, 11.82, 10.14], [3.75, 1.85, 7.98, 9.96]],
        ),
        (
            "sydney-au",
            [18.883, 5.108, 199.5],
            [[22.98, 19.89, 14.81, 17.91], [21.68, 20.46, 16.12, 17.33], [20.01, 20.55, 17.80, 17.23]],
        ),
        (
            "fairbanks-ak-us",
            [-1.459, 19.123, 6.3],
            [[-17.16, -2.39, 14.22, -0.66], [-12.81, -5.38, 9.79, 2.36], [-6.73, -6.83, 3.67, 3.87]],
        ),
    ];
    for (key, [mean, amplitude, coldest], depths) in rows {
        let Lookup::Found(place) = catalog::place(key) else { panic!("{key}") };
        let days: Vec<(f64, Temperature)> = DAYS.into_iter().zip(place.months.map(|m| m.temperature)).collect();
        let swing = Swing::fit(&days).unwrap();
        near(key, swing.mean.si(), mean, 5.1e-4);
        near(key, swing.amplitude.si(), amplitude, 5.1e-4);
        near(key, swing.coldest, coldest, 0.051);
        for (depth, figures) in [0.5, 1.2, 2.4].into_iter().zip(depths) {
            for (day, expected) in [15.5, 105.5, 196.5, 288.5].into_iter().zip(figures) {
                near(key, swing.at(soil(0.0557), Length::new(depth), day).unwrap().si(), expected, 0.0051);
            }
        }
        // The middle of February as the calendar has it moves no depth by more than an eighth of a kelvin.
        let calendar: Vec<(f64, Temperature)> =
            mid_months().into_iter().zip(place.months.map(|m| m.temperature)).collect();
        let other = Swing::fit(&calendar).unwrap();
        for day in mid_months() {
            let at = |s: &Swing| s.at(Soil::CLAY, Length::new(0.5), day).unwrap().si();
            near(key, at(&other), at(&swing), 0.125);
        }
    }
}

/// Worked out apart from the program: mean 10, amplitude 12 K, coldest day 35, 0.0557 m2 a day.
#[test]
fn a_wall_borders_on_the_mean_down_to_its_foot() {
    let swing = swing(10.0, 12.0, 35.0);
    for (depth, winter, summer) in [(1.0, 1.4834, 18.3856), (2.0, 3.7288, 16.1366), (2.4, 4.4743, 15.3931)] {
        let at = |day| swing.mean_to(soil(0.0557), Length::new(depth), day).unwrap().si();
        near("day 15", at(15.0), winter, 5.1e-5);
        near("day 196", at(196.0), summer, 5.1e-5);
    }
}

/// A second route: heat conduction stepped through the soil (explicit differences, 0.1 m and a twentieth of a day, 12 m deep),
/// until the yearly swing at its top has settled.
#[test]
fn stepping_the_heat_equation_comes_to_the_same_sine() {
    let (swing, a) = (swing(8.0, 12.0, 25.0), 0.0864);
    let (step, time) = (0.1_f64, 0.05);
    let factor = a * time / (step * step);
    let mut t = vec![8.0; 121];
    let years = 4;
    let mut checked = 0;
    for tick in 1..=years * 365 * 20 {
        let day = f64::from(tick) * time;
        let before = t.clone();
        t[0] = swing.at(soil(a), Length::ZERO, day).unwrap().si();
        for i in 1..t.len() - 1 {
            t[i] = before[i] + factor * (before[i - 1] - 2.0 * before[i] + before[i + 1]);
        }
        if tick > (years - 1) * 365 * 20 && tick % (20 * 30) == 0 {
            for z in [0.5, 1.0, 2.0, 3.0] {
                let stepped = t[(z / step).round() as usize];
                near(
                    &format!("{z} m on day {day}"),
                    swing.at(soil(a), Length::new(z), day).unwrap().si(),
                    stepped,
                    0.02,
                );
                checked += 1;
            }
        }
    }
    assert!(checked > 40);
}

fn report(text: &str) -> Report {
    let text = format!("job maltings\n  place helsinki-fi\n  heated 20 C 45 %\n{text}");
    let done = review(vec![Input { name: "maltings.dew".into(), text }], &mut |_, path| Err(path.to_string()));
    done.reports.into_iter().next().unwrap()
}

fn surface(text: &str) -> SurfaceReport {
    report(text).surfaces.into_iter().next().unwrap()
}

/// The temperature of the place's soil, by the sine that the tests above hold.
fn helsinki() -> Swing {
    let Lookup::Found(place) = catalog::place("helsinki-fi") else { panic!() };
    let days: Vec<_> = mid_months().into_iter().zip(place.months.map(|m| m.temperature)).collect();
    Swing::fit(&days).unwrap()
}

#[test]
fn a_cellar_wall_sees_soil_that_swings_less_the_deeper_it_stands() {
    let air = |depth: &str| {
        let wall = surface(&format!("wall cellar\n  {depth}\n  pour: concrete 8 in\n  indoors\n"));
        let months = &wall.paths[0].months;
        let all = months.iter().map(|m| (m.outdoor.temperature.si(), m.outdoor.vapor.si()));
        all.collect::<Vec<_>>()
    };
    for (depth, meters) in [("ground 0.6 m", 0.6), ("ground 2.4 m, drained", 2.4)] {
        for ((t, p), day) in air(depth).into_iter().zip(mid_months()) {
            near(depth, t, helsinki().mean_to(Soil::SAND, Length::new(meters), day).unwrap().si(), 1e-9);
            near("saturated", p, saturation_pressure(Temperature::new(t)).unwrap().si(), 1e-6);
        }
    }
    let reach = |depth: &str| {
        let air = air(depth);
        air.iter().map(|a| a.0).fold(f64::MIN, f64::max) - air.iter().map(|a| a.0).fold(f64::MAX, f64::min)
    };
    assert!(reach("ground 0.5 m") > reach("ground 1 m") + 1.0 && reach("ground 1 m") > reach("ground 2 m") + 1.0);
    // Midway of what is not known, 0.3 to 2.4 m; the same where nothing is said of the depth, but as assumed.
    assert_eq!(air("ground unknown"), air("ground 1.35 m"));
    assert_eq!(air("ground, drained"), air("ground 1.35 m"));
    let wall = |place: &str| report(&format!("wall cellar\n  {place}\n  pour: concrete 8 in\n  indoors\n"));
    let (unknown, unsaid) = (wall("ground unknown, drained"), wall("ground, drained"));
    assert_eq!((unknown.unknown, unsaid.unknown), (1, 0));
    assert!(unsaid.assumed.iter().any(|a| a.what.contains("depth")) && unknown.assumed.is_empty());
}

/// Films and soil in a row by hand: 0.17 (ISO 6946:2017 Table 7, from memory), slab, insulation, 2 m of sand.
#[test]
fn a_slab_lies_on_two_meters_of_wet_soil() {
    let slab = surface(
        "slab floor\n  indoors\n  pour: concrete 100 mm 2 W/(m.K)\n  foam: xps 50 mm 0.035 W/(m.K), taped\n  ground\n",
    );
    let (layers, soil) = (0.1 / 2.0 + 0.05 / 0.035, 2.0 / 2.0);
    let Lookup::Found(place) = catalog::place("helsinki-fi") else { panic!() };
    let mean = place.months.iter().map(|m| m.temperature.si()).sum::<f64>() / 12.0;
    for month in &slab.paths[0].months {
        near("far below", month.indoor.temperature.si(), mean, 1e-9);
        let room = month.outdoor.temperature.si();
        let face = room + (mean - room) * (0.17 + layers) / (0.17 + layers + soil);
        let point = month.points.last().unwrap();
        near("under the slab", point.temperature.si(), face, 1e-9);
        near("saturated there", point.humidity.si(), 1.0, 1e-6);
        assert!(!month.indoor.capped);
    }
    // The U-value stays that of the floor itself.
    near("U", slab.u_value.unwrap().si(), 1.0 / (0.17 + layers), 1e-9);
}

#[test]
fn soil_on_a_roof_is_taken_at_its_depth() {
    let roof = surface(
        "roof vault\n  slope 2 %\n  ground 0.5 m\n  sheet: epdm 60 mil, adhered\n  pour: concrete 8 in\n  indoors\n",
    );
    for (month, day) in roof.paths[0].months.iter().zip(mid_months()) {
        let at = helsinki().at(Soil::SAND, Length::new(0.5), day).unwrap();
        near("soil", month.outdoor.temperature.si(), at.si(), 1e-9);
    }
}

/// By hand: vents 1450/300 * 4 * 0.05 = 0.9667, edge 0.74 * 2/8 ln(3.1683/0.72 + 1) = 0.3120, soil 2/3.1683 = 0.6313, all
/// W/(m2.K): (0.9667 + 0.3120)/(0.6313 + 0.9667) = 0.8002 (ISO 13370, suspended floors, from memory).
#[test]
fn a_crawlspace_over_soil_is_cooler_in_summer_and_damper() {
    let share = |of: f64| crawlspace_swing(Soil::SAND, Fraction::new(of)).unwrap();
    near("1/150", share(1.0 / 150.0), 0.8002, 5e-5);
    for pair in [0.0, 1.0 / 1500.0, 1.0 / 300.0, 1.0 / 150.0, 1.0 / 50.0, 1.0].windows(2) {
        assert!(share(pair[0]) < share(pair[1]) && share(pair[1]) < 1.0);
    }
    assert!(crawlspace_swing(Soil::SAND, Fraction::new(1.1)).is_err());

    let floor = |rest: &str| {
        let text = format!(
            "floor main\n  indoors\n  boards: plywood 3/4 in\n  joists: 2x10 at 16 in, bays glass-batt\n  crawl\n\
             room crawl\n  open both sides{rest}"
        );
        surface(&text)
    };
    let cover = "\nslab cover\n  crawl\n  sheet: poly 6 mil, lapped 12 in\n  ground\n";
    let air = |of: &SurfaceReport| of.paths[0].months.iter().map(|m| m.indoor).collect::<Vec<_>>();
    let (plain, soil) = (floor(" 1/150\n"), floor(&format!(" 1/150{cover}")));
    let mean = air(&plain).iter().map(|a| a.temperature.si()).sum::<f64>() / 12.0;
    for (out, crawl) in air(&plain).iter().zip(air(&soil)) {
        near("swing", crawl.temperature.si() - mean, 0.8002 * (out.temperature.si() - mean), 2e-3);
        assert!(crawl.vapor <= out.vapor);
    }
    // July: as much vapor in cooler air.
    let humidity = |a: &AirLine| relative_humidity(a.vapor, a.temperature).unwrap().si();
    let (out, crawl) = (air(&plain)[6], air(&soil)[6]);
    assert!(crawl.temperature < out.temperature && humidity(&crawl) > humidity(&out) + 0.05);
    assert!(soil.notes.iter().any(|n| n.contains("`crawl` swings 80 %")), "{:?}", soil.notes);
    assert!(plain.notes.iter().any(|n| n.contains("`crawl` is taken as outdoor air")), "{:?}", plain.notes);
    // How much is open is not said: nothing is computed of it.
    for (unsaid, out) in air(&floor(cover)).iter().zip(air(&plain)) {
        assert_eq!((unsaid.temperature, unsaid.vapor), (out.temperature, out.vapor));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// The closed form against the sine added up over the depth (midpoint rule, 4000 steps).
    #[test]
    fn the_mean_is_the_sum_over_the_depth(
        depth in 0.001..12.0_f64, day in 0.0..365.0_f64, a in 0.02..0.2_f64, coldest in 0.0..365.0_f64,
    ) {
        let (swing, soil) = (swing(9.0, 14.0, coldest), soil(a));
        let steps = 4000;
        let at = |i: i32| swing.at(soil, Length::new(depth * (f64::from(i) + 0.5) / f64::from(steps)), day).unwrap().si();
        let sum: f64 = (0..steps).map(at).sum::<f64>() / f64::from(steps);
        let mean = swing.mean_to(soil, Length::new(depth), day).unwrap().si();
        prop_assert!((mean - sum).abs() < 2e-4, "{mean} {sum}");
    }

    /// Deeper is calmer, and over a year the mean is the surface's.
    #[test]
    fn the_swing_dies_away(depth in 0.0..8.0_f64, a in 0.02..0.2_f64) {
        let (swing, soil) = (swing(9.0, 14.0, 20.0), soil(a));
        let year = |z: f64| (0..365).map(move |d| swing.at(soil, Length::new(z), f64::from(d)).unwrap().si());
        let reach = |z: f64| year(z).fold(0.0_f64, |most, t| most.max((t - 9.0).abs()));
        prop_assert!(reach(depth + 0.2) < reach(depth));
        prop_assert!((year(depth).sum::<f64>() / 365.0 - 9.0).abs() < 1e-9);
    }
}
