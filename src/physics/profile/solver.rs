//! From an assembly and its climate to a year: validation, temperatures, starting month, memory.
//!
//! Invariant: inputs are checked once, before the first month; after that nothing can fail but a bound on steps.

use super::grid::Grid;
use super::humid::{self, Faces, Search};
use super::string::{Conditions, Stretched, Tally};
use super::{Air, Build, MonthInput, MonthResult, NO_WATER, Verdict, Water, Year};
use crate::base::quantity::{MoistureMass, Permeability, Pressure, STILL_AIR, Temperature, ThermalResistance};
use crate::physics::air;
use crate::physics::error::{Error, within};

/// Where a computation of several years starts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Start {
    /// Index of the first month; `None` looks for it as ISO 13788 does.
    pub month: Option<usize>,
    /// Water that is there then: built in, or left by a leak.
    pub water: Vec<Water>,
}

/// Computes profiles; keeps its working memory from one to the next.
///
/// # Example
/// ```
/// # use dewlap::base::quantity::*;
/// # use dewlap::physics::profile::*;
/// let layer = |r, sd| Layer::plain(ThermalResistance::new(r), VaporThickness::new(sd));
/// let build = Build {
///     outer_film: ThermalResistance::new(0.04),
///     inner_film: ThermalResistance::new(0.13),
///     layers: vec![layer(0.1, 2.0), layer(3.0, 0.1), layer(0.1, 0.2)],
/// };
/// let air = |t, p| Air { temperature: Temperature::new(t), vapor: Pressure::new(p) };
/// let month = |t, p, days| MonthInput {
///     outdoor: air(t, p),
///     indoor: air(20.0, 1200.0),
///     duration: Duration::new(days * 86_400.0),
/// };
/// let months = MONTH_DAYS.map(|days| month(if days < 30.5 { 2.0 } else { 14.0 }, 600.0, days));
/// let year = Solver::default().year(&build, &months)?;
/// assert_eq!(year.verdict, Verdict::Dries);
/// # Ok::<(), dewlap::physics::Error>(())
/// ```
#[derive(Debug)]
pub struct Solver {
    slice: f64,
    still_air: f64,
    grid: Grid,
    months: Vec<Month>,
    /// Month after month, one figure a node.
    temperature: Vec<f64>,
    saturation: Vec<f64>,
    /// Month after month, one figure a point: the lowest saturation pressure of its nodes.
    lowest: Vec<f64>,
    /// Month after month, one figure between two points: vapor thickness, m.
    width: Vec<f64>,
    search: Search,
    string: Stretched,
    mass: Vec<f64>,
    first: Vec<f64>,
    last: Vec<f64>,
}

/// One month's boundary pressures, capped, and its length.
#[derive(Clone, Copy, Debug)]
struct Month {
    ends: (f64, f64),
    capped: (bool, bool),
    seconds: f64,
}

impl Default for Solver {
    /// Slices of at most 0.25 m2 K/W, the rule of ISO 13788 (from memory).
    fn default() -> Self {
        Self::with_slices(ThermalResistance::new(0.25))
    }
}

impl Solver {
    /// A solver that cuts layers into slices of at most `slice`; the finer, the nearer to a continuous layer.
    pub fn with_slices(slice: ThermalResistance) -> Self {
        Self {
            slice: slice.si(),
            still_air: STILL_AIR.si(),
            grid: Grid::default(),
            months: Vec::new(),
            temperature: Vec::new(),
            saturation: Vec::new(),
            lowest: Vec::new(),
            width: Vec::new(),
            search: Search::default(),
            string: Stretched::default(),
            mass: Vec::new(),
            first: Vec::new(),
            last: Vec::new(),
        }
    }

    /// From now on vapor moves in still air of this permeability; a solver begins with that of the sea's height.
    ///
    /// Vapor thicknesses stay: they compare a layer with still air under the same pressure. A permeance that was measured
    /// near the sea becomes a thickness by [`STILL_AIR`] and so grows with it.
    pub fn in_air(&mut self, still_air: Permeability) {
        self.still_air = still_air.si();
    }

    /// Twelve months, from a dry start.
    ///
    /// # Equation
    /// At each inner node `g = delta_0 [(p_in - p)/dx_in - (p - p_out)/dx_out]`, `p <= p_sat`, `dM/dt = g`, with
    /// `p = p_sat` where `M > 0` and `g (p_sat - p) = 0` where `M = 0`; `delta_0` = 2e-10 kg/(m s Pa), or
    /// [`Solver::in_air`]. Solved exactly:
    /// one lower hull between wet nodes, anew each time a node dries within the month.
    ///
    /// The year starts with the first month in which water forms after one in which none does. Among several such the
    /// one that comes first is taken when January is wet by stepping back from it, else by going forward.
    ///
    /// # Source
    /// ISO 13788:2012 clause 6 (from memory). Deviation: the standard's rate at the month's beginning is often used for
    /// the whole month and negative totals cut; here a node that dries ends at zero at that moment, because the cut
    /// would create water that settles elsewhere.
    ///
    /// # Errors
    /// No layers, a layer or month out of range (see [`super::Layer`], [`super::Air`], [`MonthInput`]), not twelve
    /// months, no resistance at all.
    pub fn year(&mut self, build: &Build, months: &[MonthInput]) -> Result<Year, Error> {
        self.load(build, months, true)?;
        let found = self.first_month();
        self.run_year(found.month(), found)
    }

    /// Consecutive years with their memory, for the level that is reached in the end; from a given start.
    ///
    /// # Errors
    /// As [`Solver::year`]; water where none can stay, or a starting month above 11.
    pub fn years(
        &mut self,
        build: &Build,
        months: &[MonthInput],
        start: &Start,
        count: usize,
    ) -> Result<Vec<Year>, Error> {
        self.load(build, months, true)?;
        let found = self.first_month();
        let month = match start.month {
            Some(month) => within("starting month", "", month as f64, (0.0, 11.0)).map(|_| month)?,
            None => found.month(),
        };
        self.place(&start.water)?;
        (0..count).map(|_| self.run_year(month, found)).collect()
    }

    /// Any number of months in the given order, from dry or with `water` at the start; nothing is looked for.
    ///
    /// # Errors
    /// As [`Solver::years`], except that any number of months will do.
    pub fn sequence(&mut self, build: &Build, months: &[MonthInput], water: &[Water]) -> Result<Year, Error> {
        self.load(build, months, false)?;
        if months.is_empty() {
            return Err(Error::Lengths { expected: 1, found: 0 });
        }
        self.place(water)?;
        let results = (0..months.len()).map(|month| self.month(month)).collect::<Result<Vec<_>, _>>()?;
        let verdict = verdict(&results, !water.is_empty());
        Ok(Year { nodes: self.grid.nodes.clone(), months: results, first_month: None, verdict })
    }

    /// Checks the inputs and computes temperatures and saturation pressures of all months.
    fn load(&mut self, build: &Build, months: &[MonthInput], whole_year: bool) -> Result<(), Error> {
        within("slice resistance", "m2.K/W", self.slice, (0.001, 100.0))?;
        within("permeability of still air", "kg/(s.m.Pa)", self.still_air, (1e-11, 1e-9))?;
        self.grid.fill(build, self.slice)?;
        if whole_year && months.len() != 12 {
            return Err(Error::MonthCount { count: months.len() });
        }
        self.months.clear();
        self.temperature.clear();
        self.saturation.clear();
        self.lowest.clear();
        self.width.clear();
        for (index, month) in months.iter().enumerate() {
            check(month).map_err(|range| Error::Month { month: index, range })?;
            if self.grid.by_temperature {
                let (outdoors, indoors) = (month.outdoor.temperature.si(), month.indoor.temperature.si());
                self.grid.shares_at(build, self.slice, outdoors, indoors);
            }
            self.load_month(month);
        }
        self.mass.clear();
        self.mass.resize(self.grid.points(), 0.0);
        Ok(())
    }

    fn load_month(&mut self, month: &MonthInput) {
        let outdoors = month.outdoor.temperature.si();
        let rise = month.indoor.temperature.si() - outdoors;
        let begin = self.width.len();
        self.width.extend_from_slice(&self.grid.width);
        humid::start(&self.grid.slices, self.width.get_mut(begin..).unwrap_or_default());
        let begin = self.lowest.len();
        self.lowest.resize(begin + self.grid.points(), f64::INFINITY);
        for (share, point) in self.grid.share.iter().zip(&self.grid.point) {
            let temperature = outdoors + rise * share;
            let saturation = air::saturation(temperature);
            self.temperature.push(temperature);
            self.saturation.push(saturation);
            if let Some(lowest) = self.lowest.get_mut(begin + point) {
                *lowest = lowest.min(saturation);
            }
        }
        let limit = |at: Option<&f64>| at.copied().unwrap_or(f64::INFINITY);
        let limits = (limit(self.lowest.get(begin)), limit(self.lowest.last()));
        let given = (month.outdoor.vapor.si(), month.indoor.vapor.si());
        self.months.push(Month {
            ends: (given.0.min(limits.0), given.1.min(limits.1)),
            capped: (given.0 > limits.0, given.1 > limits.1),
            seconds: month.duration.si(),
        });
    }

    /// Puts water at interfaces.
    fn place(&mut self, water: &[Water]) -> Result<(), Error> {
        for Water { interface, mass } in water {
            let mass = within("water", "kg/m2", mass.si(), (0.0, 1000.0))?;
            let point = self.grid.inner_point(*interface);
            let held = point.and_then(|p| self.mass.get_mut(p));
            *held.ok_or(Error::WaterPlace { interface: *interface })? += mass;
        }
        Ok(())
    }

    /// Looks for the month in which water first forms.
    fn first_month(&mut self) -> Found {
        let mut wet = [false; 12];
        for (index, wet) in wet.iter_mut().enumerate() {
            self.follow(index);
            self.settle(index);
            if let Some((at, _)) =
                conditions(self.still_air, &self.grid, &self.months, &self.lowest, &self.width, index)
            {
                *wet = self.string.settles(&at, &self.mass) > NO_WATER.si();
            }
        }
        match (wet.iter().position(|w| *w), wet.iter().rposition(|w| !*w)) {
            (None, _) => Found::Never,
            (_, None) => Found::Always,
            // January is wet: the season began after the last dry month of the year before.
            (Some(0), Some(dry)) => Found::In((dry + 1) % 12),
            (Some(first), _) => Found::In(first),
        }
    }

    /// Starts a month's search where the month before ended: the weather seldom jumps.
    fn follow(&mut self, index: usize) {
        let widths = self.grid.width.len();
        if let Some(before) = index.checked_sub(1).filter(|_| !self.grid.slices.is_empty()) {
            self.width.copy_within(before * widths..(before + 1) * widths, index * widths);
        }
    }

    /// Brings the widths of a month into line with the humidity they give, with the water that is there.
    fn settle(&mut self, index: usize) -> bool {
        let Self { grid, months, saturation, lowest, width, search, string, mass, first, .. } = self;
        let (points, nodes) = (grid.points(), grid.point.len());
        let faces = months
            .get(index)
            .zip(saturation.chunks_exact(nodes).nth(index))
            .zip(lowest.chunks_exact(points).nth(index));
        let Some((((month, saturation), lowest), widths)) = faces.zip(width.chunks_exact_mut(points - 1).nth(index))
        else {
            return true;
        };
        let at = Faces { point: &grid.point, saturation, lowest, ends: month.ends };
        search.settle(&grid.slices, &at, mass, (string, first), widths)
    }

    /// Twelve months from `start`, with the water that is there.
    fn run_year(&mut self, start: usize, found: Found) -> Result<Year, Error> {
        let wet = self.mass.iter().any(|m| *m > NO_WATER.si());
        let months = (start..start + 12).map(|k| self.month(k % 12)).collect::<Result<Vec<_>, _>>()?;
        let (first_month, verdict) = match found {
            Found::Always => (None, Verdict::WetAllYear),
            Found::In(month) => (Some(month), verdict(&months, wet)),
            Found::Never => (None, verdict(&months, wet)),
        };
        Ok(Year { nodes: self.grid.nodes.clone(), months, first_month, verdict })
    }

    /// Takes the water through one of the loaded months.
    fn month(&mut self, index: usize) -> Result<MonthResult, Error> {
        let settled = self.settle(index);
        let nodes = self.grid.point.len();
        let temperature = self.temperature.chunks_exact(nodes).nth(index).unwrap_or_default();
        let saturation = self.saturation.chunks_exact(nodes).nth(index).unwrap_or_default();
        let Some((at, capped)) = conditions(self.still_air, &self.grid, &self.months, &self.lowest, &self.width, index)
        else {
            return Err(Error::MonthCount { count: self.months.len() });
        };
        let Tally { condensed, evaporated, from_outdoors, from_indoors } =
            self.string.month(&at, &mut self.mass, &mut self.first, &mut self.last)?;
        let point = &self.grid.point;
        Ok(MonthResult {
            month: index,
            temperature: temperature.iter().copied().map(Temperature::new).collect(),
            saturation: saturation.iter().copied().map(Pressure::new).collect(),
            pressure: spread(point, &self.first),
            pressure_end: spread(point, &self.last),
            mass: coldest(point, saturation, at.saturation, &self.mass),
            condensed: MoistureMass::new(condensed),
            evaporated: MoistureMass::new(evaporated),
            from_outdoors: MoistureMass::new(from_outdoors),
            from_indoors: MoistureMass::new(from_indoors),
            outdoor_capped: capped.0,
            indoor_capped: capped.1,
            settled,
        })
    }
}

/// What holds in a loaded month, and which of its ends were capped.
fn conditions<'a>(
    still_air: f64,
    grid: &Grid,
    months: &[Month],
    lowest: &'a [f64],
    width: &'a [f64],
    index: usize,
) -> Option<(Conditions<'a>, (bool, bool))> {
    let points = grid.points();
    let &Month { ends, capped, seconds } = months.get(index)?;
    let saturation = lowest.chunks_exact(points).nth(index)?;
    let width = width.chunks_exact(points - 1).nth(index)?;
    Some((Conditions { width, saturation, ends, seconds, still_air }, capped))
}

/// What the look for the starting month found.
#[derive(Clone, Copy, Debug)]
enum Found {
    Never,
    Always,
    In(usize),
}

impl Found {
    /// Where to start: in January when there is no better place.
    fn month(self) -> usize {
        match self {
            Self::In(month) => month,
            Self::Never | Self::Always => 0,
        }
    }
}

fn verdict(months: &[MonthResult], wet_at_start: bool) -> Verdict {
    let end = months.last().map_or(MoistureMass::ZERO, MonthResult::total);
    let any = wet_at_start || months.iter().any(|m| m.condensed > NO_WATER);
    match (end > NO_WATER, any) {
        (true, _) => Verdict::Stays,
        (false, true) => Verdict::Dries,
        (false, false) => Verdict::Dry,
    }
}

fn check(month: &MonthInput) -> Result<(), crate::physics::OutOfRange> {
    for Air { temperature, vapor } in [month.outdoor, month.indoor] {
        within("temperature", "degC", temperature.si(), (-60.0, 100.0))?;
        within("vapor pressure", "Pa", vapor.si(), (0.0, 1e5))?;
    }
    within("month length", "s", month.duration.si(), (1e-3, 3.2e9)).map(|_| ())
}

/// The figures of the points at the nodes.
fn spread(point: &[usize], figures: &[f64]) -> Vec<Pressure> {
    point.iter().map(|p| Pressure::new(figures.get(*p).copied().unwrap_or(f64::NAN))).collect()
}

/// The water of each point at the coldest of its nodes, which is where it is once nothing hinders it.
fn coldest(point: &[usize], saturation: &[f64], lowest: &[f64], mass: &[f64]) -> Vec<MoistureMass> {
    let mut given = None;
    let held = point.iter().zip(saturation).map(|(point, saturation)| {
        let coldest = lowest.get(*point).is_some_and(|lowest| saturation <= lowest) && given != Some(*point);
        if !coldest {
            return MoistureMass::ZERO;
        }
        given = Some(*point);
        MoistureMass::new(mass.get(*point).copied().unwrap_or_default())
    });
    held.collect()
}
