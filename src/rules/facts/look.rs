//! One surface under one draw, as a rule sees it.
//!
//! Invariant: computed at most once; every answer is a value or a [`Missing`].

use std::cell::{OnceCell, RefCell};

use super::Missing;
use super::air;
use super::path::{self, Path};
use super::transmittance::{self, Told};
use crate::base::math;
use crate::base::quantity::{Pressure, RelativeHumidity, Temperature, ThermalResistance, VaporThickness};
use crate::model::Job;
use crate::model::surface::Surface;
use crate::model::value::Draw;
use crate::physics;
use crate::physics::profile::{Air, Build, Layer, MonthInput, Solver, Year};

/// Saturation less a rounding.
const NEARLY: RelativeHumidity = RelativeHumidity::new(1.0 - 1e-9);

/// A path with its year.
#[derive(Clone, Debug)]
pub struct PathYear<'a> {
    /// The path.
    pub path: Path<'a>,
    /// What went into the computation.
    pub build: Build,
    /// What came out; months in the order of the computation.
    pub year: Year,
}

/// A surface under a draw.
pub struct Look<'a> {
    /// The job.
    pub job: &'a Job,
    /// The surface.
    pub surface: &'a Surface,
    /// The point on every axis.
    pub draw: Draw,
    /// Only whether something is found counts: no mend need be looked for.
    pub probing: bool,
    months: OnceCell<Result<[MonthInput; 12], Missing>>,
    paths: OnceCell<Result<Vec<Path<'a>>, Missing>>,
    years: OnceCell<Result<Vec<PathYear<'a>>, Missing>>,
    told: OnceCell<Result<Told, Missing>>,
}

thread_local! {
    /// Working memory of the profile, kept from one surface to the next.
    static SOLVER: RefCell<Solver> = RefCell::new(Solver::default());
}

impl<'a> Look<'a> {
    /// Looks at a surface.
    pub fn new(job: &'a Job, surface: &'a Surface, draw: Draw) -> Self {
        Self {
            job,
            surface,
            draw,
            probing: false,
            months: OnceCell::new(),
            paths: OnceCell::new(),
            years: OnceCell::new(),
            told: OnceCell::new(),
        }
    }

    /// The same, looking only whether something is found.
    pub fn probe(job: &'a Job, surface: &'a Surface, draw: Draw) -> Self {
        Self { probing: true, ..Self::new(job, surface, draw) }
    }

    /// Air on the first and last side, January first.
    ///
    /// # Errors
    /// When the air of a side can't be told.
    pub fn months(&self) -> Result<&[MonthInput; 12], &Missing> {
        let compute = || {
            let (first, last) = air::sides(self.job, self.surface, &self.draw)?;
            let lengths = air::month_lengths();
            let mut months = lengths.map(|duration| MonthInput { outdoor: blank(), indoor: blank(), duration });
            for (month, (a, b)) in months.iter_mut().zip(first.into_iter().zip(last)) {
                month.outdoor = a;
                month.indoor = b;
            }
            Ok(months)
        };
        self.months.get_or_init(compute).as_ref()
    }

    /// The paths through it.
    ///
    /// # Errors
    /// When a layer can't be told.
    pub fn paths(&self) -> Result<&[Path<'a>], &Missing> {
        self.paths.get_or_init(|| path::paths(self.surface, &self.draw)).as_deref()
    }

    /// The profile of every path.
    ///
    /// # Errors
    /// When its air or a layer can't be told, or a figure is out of the range of the method.
    pub fn years(&self) -> Result<&[PathYear<'a>], &Missing> {
        let compute = || {
            let months = *self.months().map_err(Clone::clone)?;
            let paths = self.paths().map_err(Clone::clone)?;
            paths.iter().map(|p| self.year_of(p.clone(), &months)).collect()
        };
        self.years.get_or_init(compute).as_deref()
    }

    /// Thermal transmittance.
    ///
    /// # Errors
    /// When it can't be told.
    pub fn transmittance(&self) -> Result<&Told, &Missing> {
        let compute = || transmittance::told(self.surface, self.paths().map_err(Clone::clone)?, &self.draw);
        self.told.get_or_init(compute).as_ref()
    }

    /// The year of a path, with the surface's own air.
    ///
    /// # Errors
    /// As [`Look::years`].
    pub fn year_of(&self, path: Path<'a>, months: &[MonthInput; 12]) -> Result<PathYear<'a>, Missing> {
        let refuse = |e: physics::Error| Missing::new(self.surface.span, e.to_string());
        let months = &saturated_below(&path, months);
        let still_air = air::still_air(self.job).map_err(|why| Missing::new(self.surface.span, why))?;
        SOLVER.with_borrow_mut(|solver| {
            solver.in_air(still_air);
            let first = build_at(&path, |_| 0.5);
            let year = solver.year(&first, months).map_err(refuse)?;
            if path.parts.iter().all(|p| p.vapor.0 == p.vapor.1) {
                return Ok(PathYear { path, build: first, year });
            }
            let humidity = mean_humidities(&year, path.parts.len());
            let build = build_at(&path, |part| humidity.get(part).copied().unwrap_or(0.5));
            let year = solver.year(&build, months).map_err(refuse)?;
            Ok(PathYear { path, build, year })
        })
    }
}

/// The layers of a path, each with its permeance at a mean humidity: the dry cup up to 25 %, the wet cup from 75 %,
/// by equal factors between (the mean humidities of the two cups of ASTM E96, from memory).
fn build_at(path: &Path<'_>, humidity: impl Fn(usize) -> f64) -> Build {
    let layer = |(index, part): (usize, &path::Part<'_>)| {
        let (dry, wet) = (part.vapor.0.si(), part.vapor.1.si());
        let share = ((humidity(index) - 0.25) / 0.5).clamp(0.0, 1.0);
        let vapor = if dry > 0.0 && wet > 0.0 { dry * math::pow(wet / dry, share) } else { dry.max(wet) };
        Layer { resistance: part.resistance, vapor: VaporThickness::new(vapor) }
    };
    Build {
        outer_film: path.first_film,
        inner_film: path.last_film + path.beneath,
        layers: path.parts.iter().enumerate().map(layer).collect(),
    }
}

/// Soil under a slab is saturated up to the slab, at the temperature that the building gives it there (our own choice:
/// ISO 13788 sets saturation below the soil, which would be drier).
pub fn saturated_below(path: &Path<'_>, months: &[MonthInput; 12]) -> [MonthInput; 12] {
    let soil = path.beneath;
    if soil == ThermalResistance::ZERO {
        return *months;
    }
    let layers: ThermalResistance = path.parts.iter().map(|p| p.resistance).sum();
    let share = soil / (path.first_film + layers + path.last_film + soil);
    months.map(|month| {
        let face = month.indoor.temperature.lerp(month.outdoor.temperature, share);
        // A billionth below saturation, so that no rounding makes it more than its face can hold.
        let vapor = physics::air::saturation_pressure(face).map_or(month.indoor.vapor, |p| p * NEARLY);
        MonthInput { indoor: Air { vapor, ..month.indoor }, ..month }
    })
}

/// Mean relative humidity of the year in each layer, from its two faces.
fn mean_humidities(year: &Year, layers: usize) -> Vec<f64> {
    let mut face = vec![0.0; layers + 1];
    for month in &year.months {
        for ((node, p), s) in year.nodes.iter().zip(&month.pressure).zip(&month.saturation) {
            if let Some(slot) = node.interface.and_then(|i| face.get_mut(i)) {
                *slot += *p / *s / 12.0;
            }
        }
    }
    face.windows(2).map(|pair| pair.iter().sum::<f64>() / 2.0).collect()
}

fn blank() -> Air {
    Air { temperature: Temperature::new(0.0), vapor: Pressure::ZERO }
}
