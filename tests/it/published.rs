//! Published single values, plane air layers, and the series of permeance over humidity.
//!
//! Each row of `tests/data/check-values.csv` asks for one figure in a few words; a word nobody knows fails the test.

use crate::physics::data;
use dewlap::base::quantity::*;
use dewlap::base::unit::{INCH, PERM, R_VALUE, find};
use dewlap::catalog::codes::{self, CLASS_LIMITS};
use dewlap::catalog::{self, AIR_BARRIER_LIMIT, Cup, Lookup, Material, Zone, ZoneBasis};
use dewlap::physics::air;
use dewlap::physics::heat::{HeatFlow, Section, air_space, parallel_path};
use dewlap::physics::wood;
use dewlap::review::{Input, review};

fn material(name: &str) -> &'static Material {
    match catalog::material(name) {
        Lookup::Found(found) => found,
        other => panic!("{name}: {other:?}"),
    }
}

fn mm(text: &str) -> Length {
    Length::new(text.parse::<f64>().unwrap() / 1000.0)
}

/// Permeance at a humidity: off the curve where there is one, else of the nearer cup.
fn permeance(name: &str, thickness: Length, humidity: f64) -> Permeance {
    let material = material(name);
    let dry = material.permeance(thickness, Cup::Dry).unwrap();
    match material.by_humidity() {
        Some(curve) => dry * (curve.at(humidity) / curve.at(0.25)),
        None if humidity > 0.5 => material.permeance(thickness, Cup::Wet).unwrap(),
        None => dry,
    }
}

/// The figure of a finding or a note of a small job.
fn told(layer: &str, rule: &str, number: &str) -> f64 {
    let text = format!(
        "job mill\n  place duluth-mn-us\n  heated 68 F 35 %\n\nwall north\n  outdoors\n  skin: osb 7/16 in\n  {layer}\n  \
         lining: drywall 1/2 in\n  indoors\n"
    );
    let root = Input { name: "check.dew".to_string(), text };
    let done = review(vec![root], &mut |_, _| Err("no such file".to_string()));
    let found = done.reports[0].findings.iter().find(|f| f.rule == rule).expect(rule);
    found.numbers.iter().find(|n| n.name == number).expect(number).value / R_VALUE
}

/// U of stucco, two 5/8 in boards and a framed layer of R per inch 1.25, in Btu/(h ft2 F).
fn frame(cavity: f64, outside: f64, depth: f64) -> f64 {
    let section = |share: f64, middle: f64| Section {
        share: Fraction::new(share),
        resistances: [0.17 + 0.08 + 0.56 + outside, middle, 0.56 + 0.68]
            .map(|r| ThermalResistance::new(r * R_VALUE))
            .to_vec(),
        metal: false,
    };
    // 75 % bays, 21 % studs and plates, 4 % headers of two 2x (ASHRAE 90.1 A3.4, from memory).
    let all = [section(0.75, cavity), section(0.21, 1.25 * depth), section(0.04, 1.25 * 3.5)];
    R_VALUE / parallel_path(&all).unwrap().si()
}

fn answer(ask: &str) -> f64 {
    let words: Vec<&str> = ask.split(' ').collect();
    let n = |at: usize| words[at].parse::<f64>().unwrap();
    let sum = || (1..words.len()).map(n).sum::<f64>();
    let zone = |at: usize| Zone::read(words[at], ZoneBasis::Written).unwrap();
    let state = || air::vapor_pressure(Temperature::new(n(1)), RelativeHumidity::new(n(2))).unwrap();
    let code = |name| codes::edition(name).found().unwrap();
    match words[0] {
        "unit" => find(words[1]).map_or_else(|| R_VALUE, |u| u.to_si(1.0)) * n(2),
        "inverse" => 1.0 / R_VALUE,
        "sd-of-resistance" => (STILL_AIR * VaporResistance::new(n(1))).si(),
        "saturation" => air::saturation_pressure(Temperature::new(n(1))).unwrap().si(),
        "vapor" => state().si(),
        "dew-point" => air::dew_point(state()).unwrap().si(),
        "class" => {
            let perms = permeance(words[1], material(words[1]).usual_thickness().unwrap(), 0.25).si() / PERM;
            CLASS_LIMITS.iter().position(|limit| perms <= *limit).map_or(0.0, |at| at as f64 + 1.0)
        }
        "perm" | "at-most" => permeance(words[1], mm(words[2]), n(3)).si() / PERM,
        "ng" => permeance(words[1], mm(words[2]), n(3)).si() * 1e12,
        "sd" => permeance(words[1], mm(words[2]), n(3)).vapor_thickness().si(),
        "ratio" => permeance(words[1], mm("10"), n(2)) / permeance(words[1], mm("10"), n(3)),
        "series" => {
            let usual = |at: usize| permeance(words[at], material(words[at]).usual_thickness().unwrap(), 0.25);
            (usual(1).resistance().si() + usual(2).resistance().si()).recip() / PERM
        }
        // Two permeances in perms, one behind the other.
        "behind" => {
            let resistance = |at: usize| Permeance::new(n(at) * PERM).resistance().si();
            (resistance(1) + resistance(2)).recip() / PERM
        }
        // A permeability in mg/(m h Pa): a meter of it has that permeance.
        "mu" => Permeance::new(n(1) * 1e-6 / 3600.0).vapor_thickness().si(),
        "wood" => wood::content(Temperature::new(n(1)), RelativeHumidity::new(n(2))).unwrap().si() * 100.0,
        "air-limit" => AIR_BARRIER_LIMIT.si() / 5.08,
        "tight" => f64::from(u8::from(material(words[1]).air_tight().unwrap())),
        "tight-from" => material(words[1]).air_tight_from().unwrap().si() * 1000.0,
        "r" => material(words[1]).resistance(mm(words[2])).unwrap().si() / R_VALUE,
        "r-at" => {
            let m = material(words[1]);
            m.resistance(mm(words[2])).unwrap().si() / R_VALUE / m.by_temperature().unwrap().at(n(3))
        }
        "cold" => {
            let curve = material(words[1]).by_temperature().unwrap();
            curve.at(n(3)) / curve.at(n(2))
        }
        "batt" => told("studs: 2x4 at 16 in, bays glass-batt R-19", "heat/squeezed-batt", "resistance_worth"),
        "steel" => told(
            "studs: steel-stud 3-5/8 in 20 ga at 16 in, bays glass-batt R-13",
            "heat/steel-framing",
            "resistance_worth",
        ),
        "gap" => {
            let [a, b] = [n(2), n(3)].map(Fraction::new);
            air_space(mm(words[1]), HeatFlow::Horizontal, a, b, Temperature::new(10.0)).unwrap().si()
        }
        "conductivity" => material(words[1]).conductivity().unwrap().si(),
        "u" => 1.0 / sum(),
        "inverse-u" => sum(),
        "u-and" => 1.0 / (1.0 / n(1) + n(2)),
        "si-u" => {
            let of = |word: &str| match word.split_once('/') {
                Some((d, k)) => mm(d).si() / k.parse::<f64>().unwrap(),
                None => word.parse().unwrap(),
            };
            ThermalResistance::new(words[1..].iter().map(|w| of(w)).sum()).transmittance().si()
        }
        "frame" => frame(n(1), n(2), n(3)),
        "class-three" => {
            let row = code("irc-2021").class_three_minimum(zone(1), Length::new(n(2) * INCH)).unwrap();
            row.outboard.si() / R_VALUE
        }
        "unvented" => code("irc-2021").unvented_roof_minimum(zone(1)).unwrap().resistance.si() / R_VALUE,
        "wood-moisture" => {
            material(words[1]).water_at_80().unwrap().si() / material(words[1]).density().unwrap().si() * 100.0
        }
        "w80" => material(words[1]).water_at_80().unwrap().si(),
        "absorption" => material(words[1]).absorption().unwrap().si(),
        "coldest" => material(words[1]).service_temperatures().0.unwrap().si(),
        "emittance" => material(words[1]).emittance().unwrap().si(),
        other => panic!("nothing is known of `{other}`"),
    }
}

#[test]
fn published_values_come_out() {
    let text = data("check-values.csv");
    let mut off = Vec::new();
    let mut asked = 0;
    for line in text.lines().filter(|l| !l.starts_with('#')).skip(1) {
        let fields: Vec<&str> = line.split(';').collect();
        let (value, within): (f64, f64) = (fields[2].parse().unwrap(), fields[3].parse().unwrap());
        let found = answer(fields[1]);
        let above = fields[1].starts_with("at-most") && found <= value + within;
        if !above && (found - value).abs().total_cmp(&(within + 1e-6)).is_gt() {
            off.push(format!("{line}: {found}"));
        }
        asked += 1;
    }
    assert_eq!(off, Vec::<String>::new());
    assert!(asked > 80, "{asked}");
}

#[test]
fn plane_air_layers_lie_within_what_their_tables_differ() {
    let text = data("air-spaces.csv");
    let mut off = Vec::new();
    // Radiation of each pair of emittances: 1/R less 1/R over the difference of E is 4 sigma T^3, in both.
    let mut before: Option<(Vec<String>, f64, f64)> = None;
    for line in text.lines().filter(|l| !l.starts_with('#')).skip(1) {
        let fields: Vec<&str> = line.split(';').collect();
        let n = |at: usize| fields[at].parse::<f64>().unwrap();
        let flow = match fields[3] {
            "up" => HeatFlow::Up,
            "down" => HeatFlow::Down,
            _ => HeatFlow::Horizontal,
        };
        // Two like faces that exchange as much as the effective emittance E: 1/E = 2/e - 1.
        let face = Fraction::new(2.0 * n(4) / (1.0 + n(4)));
        let mean = Temperature::new(n(5));
        let found = air_space(mm(fields[2]), flow, face, face, mean).unwrap().si();
        if (found / n(6) - 1.0).abs() * 100.0 > n(7) {
            off.push(format!("{line}: {found}"));
        }
        let key: Vec<String> = [1, 2, 3, 5].map(|at| fields[at].to_string()).to_vec();
        if let Some((last, emittance, resistance)) = before.filter(|b| b.0 == key && fields[1] == "ASHRAE") {
            let radiation = 4.0 * 5.670_374e-8 * (n(5) + 273.15).powi(3) * (n(4) - emittance);
            // Two figures of three digits: 0.003 each.
            let slack = 0.012 * radiation + 0.003 * (1.0 / n(6) + 1.0 / resistance);
            let apart = 1.0 / n(6) - 1.0 / resistance - radiation;
            assert!(apart.abs() <= slack, "{last:?} {line}: {apart} of {radiation}");
        }
        before = Some((key, n(4), n(6)));
    }
    assert_eq!(off, Vec::<String>::new());
}

#[test]
fn curves_rise_and_hold_their_cups() {
    let mut curves = 0;
    for m in catalog::materials() {
        let Some(curve) = m.by_humidity() else { continue };
        curves += 1;
        let thickness = m.humidity_thickness().or(m.usual_thickness()).unwrap();
        let points: Vec<(f64, f64)> = curve.points().collect();
        assert!(points.windows(2).all(|p| p[0].1 <= p[1].1 * (1.0 + 1e-9)), "{} gets tighter with humidity", m.key());
        for (cup, humidity) in [(Cup::Dry, 0.25), (Cup::Wet, 0.75)] {
            let of_cup = m.permeance(thickness, cup).unwrap().si();
            assert!((of_cup / curve.at(humidity) - 1.0).abs() < 1e-9, "{}", m.key());
        }
        assert!(m.humidity_basis().is_some_and(|b| b.contains("read") || b.contains("memory")), "{}", m.key());
    }
    assert!(curves >= 23, "{curves}");
    // Of two published series of kraft facing the careful one: another reaches 10 perm at 60 %.
    let kraft = permeance("kraft", mm("0.25"), 0.6).si() / PERM;
    assert!((1.0..3.0).contains(&kraft), "{kraft}");
}

#[test]
fn a_figure_that_follows_temperature_holds_its_own() {
    let mut curves = 0;
    for m in catalog::materials() {
        let Some(curve) = m.by_temperature() else { continue };
        curves += 1;
        assert!(curve.points().any(|(_, times)| (times - 1.0).abs() < 0.01), "{}", m.key());
        assert!(
            curve.points().all(|(t, times)| (-20.0..60.0).contains(&t) && (0.8..1.5).contains(&times)),
            "{}",
            m.key()
        );
    }
    assert!(curves >= 9, "{curves}");
}
