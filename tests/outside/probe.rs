//! The bridge to checks in another language: a line of JSON in, a line of JSON out, nothing computed here.
//!
//! Invariant: a case that is refused gives a line with `error`, so that lines in and out keep in step.

use std::error::Error;
use std::io::{BufRead, Write};

use dewlap::base::quantity::{
    Duration, Length, MoistureMass, Pressure, Temperature, ThermalResistance, VaporThickness,
};
use dewlap::physics::air;
use dewlap::physics::ground::{Soil, Swing};
use dewlap::physics::profile::{Air, Build, Layer, MonthInput, Solver, Water};
use serde::{Deserialize, Serialize};

/// One case.
#[derive(Deserialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
enum Case {
    /// Saturation pressures of temperatures, degC.
    Saturation { celsius: Vec<f64> },
    /// Dew points of vapor pressures, Pa.
    Dew { pascal: Vec<f64> },
    /// Mean air pressures, Pa, of heights above the sea, m.
    Height { meters: Vec<f64> },
    /// The sine through temperatures (degC) on days: its mean, amplitude and coldest day; then, for each of `at`, the
    /// temperature in sand at a depth (m) on a day and the mean down to there.
    Soil { days: Vec<(f64, f64)>, at: Vec<(f64, f64)> },
    /// The text of a weather file: 12 temperatures in degC, 12 vapor pressures in Pa, 12 humidities in %, heating and
    /// cooling degree days in K d, kinds of repair.
    Weather { text: String },
    /// Months in a row through one assembly.
    Profile(Profile),
}

#[derive(Deserialize)]
struct Profile {
    outer_film: f64,
    inner_film: f64,
    /// R and sd, outside to inside.
    layers: Vec<(f64, f64)>,
    /// Outdoor degC and Pa, indoor degC and Pa, seconds.
    months: Vec<(f64, f64, f64, f64, f64)>,
    /// Interface and kg/m2.
    #[serde(default)]
    water: Vec<(usize, f64)>,
}

/// One answer.
#[derive(Default, Serialize)]
struct Answer {
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    values: Vec<f64>,
    /// Water at the end of each month, one figure a node.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    mass: Vec<Vec<f64>>,
    /// Vapor pressure at the beginning of each month, one figure a node.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pressure: Vec<Vec<f64>>,
    /// Saturation pressure, one figure a node.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    saturation: Vec<Vec<f64>>,
    /// Water gained less water come in.
    #[serde(skip_serializing_if = "Option::is_none")]
    imbalance: Option<f64>,
}

fn answer(case: Case) -> Result<Answer, Box<dyn Error>> {
    let values = match case {
        Case::Saturation { celsius } => {
            let all = celsius.into_iter().map(|t| air::saturation_pressure(Temperature::new(t)).map(Pressure::si));
            all.collect::<Result<_, _>>()?
        }
        Case::Dew { pascal } => {
            let all = pascal.into_iter().map(|p| air::dew_point(Pressure::new(p)).map(Temperature::si));
            all.collect::<Result<_, _>>()?
        }
        Case::Height { meters } => {
            let all = meters.into_iter().map(|h| air::standard_pressure(Length::new(h)).map(Pressure::si));
            all.collect::<Result<_, _>>()?
        }
        Case::Soil { days, at } => soil(&days, &at)?,
        Case::Weather { text } => weather(&text)?,
        Case::Profile(profile) => return run(&profile),
    };
    Ok(Answer { values, ..Answer::default() })
}

fn soil(days: &[(f64, f64)], at: &[(f64, f64)]) -> Result<Vec<f64>, Box<dyn Error>> {
    let days: Vec<(f64, Temperature)> = days.iter().map(|(day, t)| (*day, Temperature::new(*t))).collect();
    let swing = Swing::fit(&days)?;
    let mut values = vec![swing.mean.si(), swing.amplitude.si(), swing.coldest];
    for (depth, day) in at {
        let depth = Length::new(*depth);
        values.push(swing.at(Soil::SAND, depth, *day)?.si());
        values.push(swing.mean_to(Soil::SAND, depth, *day)?.si());
    }
    Ok(values)
}

fn weather(text: &str) -> Result<Vec<f64>, Box<dyn Error>> {
    let read = dewlap::weather::read(text).map_err(|refusal| format!("{refusal}; {}", refusal.help))?;
    let months = || read.months.iter();
    let figures = months().map(|m| m.temperature.si()).chain(months().map(|m| m.vapor.si()));
    let figures = figures.chain(months().map(|m| m.humidity.si() * 100.0));
    Ok(figures.chain([read.degree_days.0, read.degree_days.1, read.repairs.len() as f64]).collect())
}

fn run(profile: &Profile) -> Result<Answer, Box<dyn Error>> {
    let layer = |&(r, sd): &(f64, f64)| Layer::plain(ThermalResistance::new(r), VaporThickness::new(sd));
    let build = Build {
        outer_film: ThermalResistance::new(profile.outer_film),
        inner_film: ThermalResistance::new(profile.inner_film),
        layers: profile.layers.iter().map(layer).collect(),
    };
    let state = |t, p| Air { temperature: Temperature::new(t), vapor: Pressure::new(p) };
    let month = |&(te, pe, ti, pi, seconds): &(f64, f64, f64, f64, f64)| MonthInput {
        outdoor: state(te, pe),
        indoor: state(ti, pi),
        duration: Duration::new(seconds),
    };
    let months: Vec<MonthInput> = profile.months.iter().map(month).collect();
    let water = |&(interface, kg): &(usize, f64)| Water { interface, mass: MoistureMass::new(kg) };
    let water: Vec<Water> = profile.water.iter().map(water).collect();
    let year = Solver::default().sequence(&build, &months, &water)?;
    let before: MoistureMass = water.iter().map(|w| w.mass).sum();
    let figures = |list: &[Pressure]| list.iter().map(|p| p.si()).collect();
    Ok(Answer {
        imbalance: Some(year.imbalance(before).si()),
        mass: year.months.iter().map(|m| m.mass.iter().map(|m| m.si()).collect()).collect(),
        pressure: year.months.iter().map(|m| figures(&m.pressure)).collect(),
        saturation: year.months.iter().map(|m| figures(&m.saturation)).collect(),
        ..Answer::default()
    })
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    for line in std::io::stdin().lock().lines() {
        let case: Case = serde_json::from_str(&line?)?;
        let answer = answer(case).unwrap_or_else(|e| Answer { error: Some(e.to_string()), ..Answer::default() });
        serde_json::to_writer(&mut out, &answer)?;
        out.write_all(b"\n")?;
    }
    Ok(())
}
