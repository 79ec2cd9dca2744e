//! One surface under one draw, as a rule sees it.
//!
//! Invariant: computed at most once; every answer is a value or a [`Missing`].

use std::cell::{OnceCell, RefCell};

use super::Missing;
use super::air;
use super::path::{self, Path};
use super::transmittance::{self, Told};
use crate::base::quantity::{Permeability, Pressure, RelativeHumidity, Temperature, ThermalResistance};
use crate::model::Job;
use crate::model::surface::Surface;
use crate::model::value::Draw;
use crate::physics;
use crate::physics::profile::{Air, MonthInput, MonthResult, Solver, Year};

/// Saturation less a rounding.
const NEARLY: RelativeHumidity = RelativeHumidity::new(1.0 - 1e-9);

/// A path with its year.
#[derive(Clone, Debug)]
pub struct PathYear<'a> {
    /// The path.
    pub path: Path<'a>,
    /// What came out; months in the order of the computation.
    pub year: Year,
}

impl PathYear<'_> {
    /// Mean relative humidity of the year in a part of the path, from its two faces.
    pub fn mean_humidity(&self, part: usize) -> RelativeHumidity {
        let face = |at: usize| {
            let node = self.year.nodes.iter().position(|n| n.interface == Some(at));
            let ratio = |m: &MonthResult| Some(*m.pressure.get(node?)? / *m.saturation.get(node?)?);
            self.year.months.iter().filter_map(ratio).sum::<f64>() / 12.0
        };
        RelativeHumidity::new((face(part) + face(part + 1)) / 2.0)
    }
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
    /// When its air or a layer can't be told, a figure is out of the range of the method, or no permeance agrees with the
    /// humidity it gives.
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
        let compute = || {
            let paths = self.paths().map_err(Clone::clone)?;
            transmittance::told(self.surface, paths, &self.draw, self.months().ok(), self.job.metric)
        };
        self.told.get_or_init(compute).as_ref()
    }

    /// A solver of its own, in the air of the place.
    ///
    /// # Errors
    /// When the height of the place is out of range.
    pub fn solver(&self) -> Result<Solver, Missing> {
        let mut solver = Solver::default();
        solver.in_air(self.still_air()?);
        Ok(solver)
    }

    fn still_air(&self) -> Result<Permeability, Missing> {
        air::still_air(self.job).map_err(|why| Missing::new(self.surface.span, why))
    }

    /// The year of a path, with the surface's own air.
    ///
    /// # Errors
    /// As [`Look::years`].
    pub fn year_of(&self, path: Path<'a>, months: &[MonthInput; 12]) -> Result<PathYear<'a>, Missing> {
        let refuse = |e: physics::Error| Missing::new(self.surface.span, e.to_string());
        let months = saturated_below(&path, months);
        let still_air = self.still_air()?;
        let solve = |solver: &mut Solver| {
            solver.in_air(still_air);
            solver.year(&path.build(), &months)
        };
        let year = SOLVER.with_borrow_mut(solve).map_err(refuse)?;
        // Figures that were only tried are no answer.
        if year.months.iter().any(|m| !m.settled) {
            let why = "the permeance of a layer and the humidity in it do not settle on one another";
            return Err(Missing::new(self.surface.span, why));
        }
        Ok(PathYear { path, year })
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

fn blank() -> Air {
    Air { temperature: Temperature::new(0.0), vapor: Pressure::ZERO }
}
