//! Published worked examples, `tests/data/worked-examples.yaml`: their sources and tolerances stand there.

use serde::Deserialize;

use super::{build_between, data, near};
use dewlap::base::quantity::*;
use dewlap::physics::heat::{HeatFlow, Section, air_space, isothermal_planes, parallel_path};
use dewlap::physics::profile::*;
use dewlap::physics::{air, surface, vapor};

#[derive(Deserialize)]
struct Examples {
    layered: Vec<Layered>,
    sections: Vec<Sections>,
    air_layers: Table,
    reflective_layers: Table,
    pressures: Vec<Table>,
    contents: Vec<Table>,
    cooled: Table,
    single: Vec<Single>,
}

#[derive(Deserialize)]
struct Layered {
    id: String,
    outer_film: f64,
    inner_film: f64,
    #[serde(default)]
    rounded: bool,
    layers: Vec<LayerRow>,
    winter: Winter,
    summer: Option<Summer>,
    expect: Vec<Expect>,
}

#[derive(Deserialize)]
struct LayerRow {
    mm: f64,
    r: Option<f64>,
    conductivity: Option<f64>,
    sd: Option<f64>,
    #[serde(rename = "resistance_m2hPa_g")]
    resistance: Option<f64>,
}

#[derive(Deserialize)]
struct Winter {
    outdoors: f64,
    outdoor_vapor: f64,
    indoors: f64,
    indoor_vapor: f64,
    hours: f64,
}

#[derive(Deserialize)]
struct Summer {
    vapor: f64,
    saturation: f64,
    hours: f64,
    wet: usize,
}

#[derive(Deserialize)]
struct Expect {
    of: String,
    #[serde(alias = "index", default)]
    interface: usize,
    #[serde(default)]
    value: f64,
    #[serde(default)]
    within: f64,
}

#[derive(Deserialize)]
struct Sections {
    id: String,
    unit: f64,
    shares: Vec<f64>,
    rows: Vec<Vec<f64>>,
    expect: Vec<Expect>,
}

#[derive(Deserialize)]
struct Table {
    #[serde(default)]
    within: f64,
    #[serde(default)]
    relative: f64,
    rows: Vec<Vec<f64>>,
}

#[derive(Deserialize)]
struct Single {
    id: String,
    value: f64,
    within: f64,
}

fn examples() -> Examples {
    serde_yaml::from_str(&data("worked-examples.yaml")).unwrap()
}

impl LayerRow {
    fn layer(&self) -> (f64, f64) {
        let by_conductivity = self.conductivity.map(|l| (Length::new(self.mm / 1000.0) / Conductivity::new(l)).si());
        // 1 m2 h Pa/g is 3.6e6 m2 s Pa/kg.
        let by_resistance = self.resistance.map(|z| (STILL_AIR * VaporResistance::new(z * 3.6e6)).si());
        (self.r.or(by_conductivity).unwrap(), self.sd.or(by_resistance).unwrap())
    }
}

/// A layered example computed: without slices, as the sources do, and with their rounding where they round.
struct Computed {
    build: Build,
    month: MonthInput,
    year: Year,
    /// At the interfaces.
    temperature: Vec<f64>,
    saturation: Vec<f64>,
    mass: Vec<f64>,
}

impl Layered {
    fn compute(&self) -> Computed {
        let layers: Vec<_> = self.layers.iter().map(LayerRow::layer).collect();
        let build = build_between(self.outer_film, self.inner_film, &layers);
        let state = |t, p| Air { temperature: Temperature::new(t), vapor: Pressure::new(p) };
        let month = MonthInput {
            outdoor: state(self.winter.outdoors, self.winter.outdoor_vapor),
            indoor: state(self.winter.indoors, self.winter.indoor_vapor),
            duration: Duration::new(self.winter.hours * 3600.0),
        };
        let mut solver = Solver::with_slices(ThermalResistance::new(100.0));
        let year = solver.sequence(&build, &[month], &[]).unwrap();
        let result = &year.months[0];
        let temperature: Vec<f64> = result.temperature.iter().map(|t| t.si()).collect();
        let mut saturation: Vec<f64> = result.saturation.iter().map(|p| p.si()).collect();
        let mut mass: Vec<f64> = result.mass.iter().map(|m| m.si()).collect();
        if self.rounded {
            let round = |t: &f64| (t * 10.0).round() / 10.0;
            let exact = |t: &f64| air::saturation_pressure(Temperature::new(round(t))).unwrap().si().round();
            saturation = temperature.iter().map(exact).collect();
            mass = self.period(&build, &saturation, month, &vec![0.0; saturation.len()]);
        }
        Computed { build, month, year, temperature, saturation, mass }
    }

    fn period(&self, build: &Build, saturation: &[f64], month: MonthInput, water: &[f64]) -> Vec<f64> {
        let vapor: Vec<_> = build.layers.iter().map(|l| l.vapor).collect();
        let saturation: Vec<_> = saturation.iter().copied().map(Pressure::new).collect();
        let water: Vec<_> = water.iter().copied().map(MoistureMass::new).collect();
        let period = Period {
            vapor: &vapor,
            saturation: &saturation,
            outdoor: month.outdoor.vapor,
            indoor: month.indoor.vapor,
            duration: month.duration,
        };
        let result = Solver::default().period(&period, &water).unwrap();
        result.mass.iter().map(|m| m.si()).collect()
    }

    /// What a wet interface loses in the summer of the period balance, kg/m2, with enough water to last.
    fn summer(&self, computed: &Computed) -> (f64, f64) {
        let summer = self.summer.as_ref().unwrap();
        let state = Air { temperature: Temperature::new(12.0), vapor: Pressure::new(summer.vapor) };
        let duration = Duration::new(summer.hours * 3600.0);
        let month = MonthInput { outdoor: state, indoor: state, duration };
        let count = self.layers.len() + 1;
        let mut water = vec![0.0; count];
        water[summer.wet] = 10.0;
        let after = self.period(&computed.build, &vec![summer.saturation; count], month, &water);
        (after[summer.wet] - 10.0, duration.si())
    }
}

#[test]
fn layered_examples() {
    for example in examples().layered {
        let computed = example.compute();
        for expect in &example.expect {
            check_layered(&example, &computed, expect);
        }
    }
}

fn check_layered(example: &Layered, computed: &Computed, expect: &Expect) {
    let Computed { build, month, year, temperature, saturation, mass } = computed;
    let total: ThermalResistance =
        build.layers.iter().map(|l| l.resistance).sum::<ThermalResistance>() + build.outer_film + build.inner_film;
    let at = expect.interface;
    let found = match expect.of.as_str() {
        "total_resistance" => total.si(),
        "u" => total.transmittance().si(),
        "heat_flux" => ((month.indoor.temperature - month.outdoor.temperature) / total).si(),
        "total_sd" => vapor::series(&build.layers.iter().map(|l| l.vapor).collect::<Vec<_>>()).si(),
        "temperature" => temperature[at],
        "saturation" => saturation[at],
        "mass" => mass[at],
        "rate" => mass[at] / month.duration.si(),
        "summer_mass" => example.summer(computed).0,
        "summer_rate" => example.summer(computed).0 / example.summer(computed).1,
        "surface_margin" => saturation[saturation.len() - 1] - month.indoor.vapor.si(),
        "least_margin" => {
            let inner = year.months[0].pressure.iter().zip(saturation).skip(1).take(saturation.len() - 2);
            inner.map(|(p, saturation)| saturation - p.si()).fold(f64::INFINITY, f64::min)
        }
        "no_water" => return assert_eq!(year.verdict, Verdict::Dry, "{}", example.id),
        "wet" => {
            let wet: Vec<usize> = (0..mass.len()).filter(|i| mass[*i] > 0.0).collect();
            return assert_eq!(wet, [at], "{}", example.id);
        }
        other => panic!("{}: nothing is computed for `{other}`", example.id),
    };
    near(&format!("{} {} {at}", example.id, expect.of), found, expect.value, expect.within);
}

#[test]
fn sections_side_by_side() {
    for example in examples().sections {
        let section = |(index, share): (usize, &f64)| Section {
            share: Fraction::new(*share),
            resistances: example
                .rows
                .iter()
                .map(|row| ThermalResistance::new(row.get(index).unwrap_or(&row[0]) * example.unit))
                .collect(),
            metal: false,
        };
        let sections: Vec<Section> = example.shares.iter().enumerate().map(section).collect();
        let parallel = parallel_path(&sections).unwrap().si() / example.unit;
        let planes = isothermal_planes(&sections).unwrap().si() / example.unit;
        for expect in &example.expect {
            let found = match expect.of.as_str() {
                "section" => sections[expect.interface].resistances.iter().map(|r| r.si()).sum::<f64>() / example.unit,
                "u_parallel" => 1.0 / parallel,
                "r_parallel" => parallel,
                "r_planes" => planes,
                "u_planes" => 1.0 / planes,
                other => panic!("{}: nothing is computed for `{other}`", example.id),
            };
            near(&format!("{} {}", example.id, expect.of), found, expect.value, expect.within);
        }
    }
}

#[test]
fn air_layers() {
    let examples = examples();
    let e = Fraction::new(0.9);
    for row in &examples.air_layers.rows {
        let thickness = Length::new(row[0] / 1000.0);
        for (flow, value) in [HeatFlow::Up, HeatFlow::Horizontal, HeatFlow::Down].into_iter().zip(&row[1..]) {
            let r = air_space(thickness, flow, e, e, Temperature::new(10.0)).unwrap();
            near(&format!("{} mm {flow:?}", row[0]), r.si(), *value, examples.air_layers.within);
        }
    }
    for row in &examples.reflective_layers.rows {
        let (a, b) = (Fraction::new(row[0]), Fraction::new(row[1]));
        let r = air_space(Length::new(0.013), HeatFlow::Horizontal, a, b, Temperature::new(23.0)).unwrap();
        near(
            &format!("emittances {} {}", row[0], row[1]),
            r.si(),
            row[2],
            row[2] * examples.reflective_layers.relative,
        );
    }
}

fn vapor_at(celsius: f64, humidity: f64) -> Pressure {
    air::vapor_pressure(Temperature::new(celsius), RelativeHumidity::new(humidity)).unwrap()
}

fn grams_at(celsius: f64, humidity: f64) -> f64 {
    air::vapor_content(vapor_at(celsius, humidity), Temperature::new(celsius)).unwrap().si() * 1000.0
}

#[test]
fn moist_air() {
    let examples = examples();
    for row in examples.pressures.iter().flat_map(|t| &t.rows) {
        near(&format!("{} degC {}", row[0], row[1]), vapor_at(row[0], row[1]).si(), row[2], row[3]);
    }
    for row in examples.contents.iter().flat_map(|t| &t.rows) {
        near(&format!("{} degC {}", row[0], row[1]), grams_at(row[0], row[1]), row[2], row[3]);
    }
    for row in &examples.cooled.rows {
        let set_free = grams_at(row[0], row[1]) - grams_at(row[2], 1.0);
        near(&format!("{} to {} degC", row[0], row[2]), set_free, row[3], row[4]);
    }
}

#[test]
fn single_figures() {
    let examples = examples();
    let fahrenheit = |t: f64| Temperature::new((t - 32.0) / 1.8);
    for example in &examples.single {
        let found = match example.id.as_str() {
            "mold-temperature" => surface::least_temperature(vapor_at(20.0, 0.5), surface::MOLD_HUMIDITY).unwrap().si(),
            "mold-factor" => {
                let [surface, outdoors, indoors] = [12.6, -5.0, 20.0].map(Temperature::new);
                surface::factor_of(surface, outdoors, indoors).unwrap().si()
            }
            "uneven-layer" => {
                let half = Fraction::new(0.5);
                let areas = [0.5, 1.5].map(|sd| (half, VaporThickness::new(sd)));
                vapor::parallel(&areas).unwrap().si()
            }
            "sheathing-fahrenheit" => {
                let build = build_between(0.0, 0.0, &[(5.0, 1.0), (19.0, 1.0)]);
                let state = |t| Air { temperature: t, vapor: Pressure::new(100.0) };
                let month = super::spell(state(fahrenheit(30.3)), state(fahrenheit(70.0)), 1.0);
                let mut solver = Solver::with_slices(ThermalResistance::new(100.0));
                let year = solver.sequence(&build, &[month], &[]).unwrap();
                year.months[0].temperature[1].si() * 1.8 + 32.0
            }
            "sheathing-dew-point" => air::dew_point(vapor_at(fahrenheit(70.0).si(), 0.35)).unwrap().si(),
            "gypsum-kilograms" => {
                let rate: MoistureRate = Permeance::new(2.86e-9) * Pressure::new(1403.0);
                (rate * Duration::new(24.0 * 3600.0)).si() * 24.0
            }
            other => panic!("nothing is computed for `{other}`"),
        };
        near(&example.id, found, example.value, example.within);
    }
}
