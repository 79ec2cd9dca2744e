//! What is read off a year: peaks, zones, margins, the balance.
//!
//! Invariant: slices are bookkeeping. Nothing here speaks of a slice; water in slices is a zone of its layer.

use super::{MonthResult, NO_WATER, Year};
use crate::base::quantity::{MoistureMass, Pressure, RelativeHumidity, TemperatureDifference};
use crate::physics::air;

/// Water at one interface, or spread over one layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Zone {
    /// First and last node.
    pub nodes: (usize, usize),
    /// The layer it spreads in; `None` for water at one interface only.
    pub layer: Option<usize>,
    /// The outermost interface in it, if it holds one.
    pub interface: Option<usize>,
    /// The most water at the end of a month.
    pub peak: MoistureMass,
    /// The month of that, as an index into [`Year::months`].
    pub peak_at: usize,
    /// The first month after the peak at whose end none is left, as an index into [`Year::months`].
    pub dry_at: Option<usize>,
    /// Water at the end of the year.
    pub end: MoistureMass,
}

/// How near an interface comes to saturation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closest {
    /// The interface, 0 at the outer surface.
    pub interface: usize,
    /// Smallest difference between its temperature and the dew point of its air; 0 where water settles.
    pub margin: TemperatureDifference,
    /// The month of that, as an index into [`Year::months`].
    pub margin_at: usize,
    /// Highest relative humidity.
    pub humidity: RelativeHumidity,
    /// The month of that, as an index into [`Year::months`].
    pub humidity_at: usize,
}

impl Year {
    /// The most water in the whole assembly at the end of a month, and that month as an index into [`Year::months`].
    /// `None` when there is none all year.
    pub fn peak(&self) -> Option<(MoistureMass, usize)> {
        largest(self.months.iter().map(|m| m.total().si()))
            .filter(|(mass, _)| *mass > NO_WATER.si())
            .map(|(mass, at)| (MoistureMass::new(mass), at))
    }

    /// Water in the whole assembly at the end of the year.
    pub fn end(&self) -> MoistureMass {
        self.months.last().map_or(MoistureMass::ZERO, MonthResult::total)
    }

    /// What the nodes gained in the year less what came in through the surfaces: zero but for roundings. `before` is
    /// the water at the start.
    pub fn imbalance(&self, before: MoistureMass) -> MoistureMass {
        let came: MoistureMass = self.months.iter().map(|m| m.from_outdoors + m.from_indoors).sum();
        self.end() - before - came
    }

    /// The zones that hold water at the end of some month, outside to inside.
    ///
    /// Wet nodes that follow each other within one sliced layer, its faces included, are one zone. Two wet interfaces
    /// with an unsliced layer between are two; a wet interface between two wet layers counts to the outer one.
    pub fn zones(&self) -> Vec<Zone> {
        let mut zones: Vec<(usize, usize)> = Vec::new();
        for node in 0..self.nodes.len() {
            if !self.months.iter().any(|m| m.mass.get(node).is_some_and(|m| *m > NO_WATER)) {
                continue;
            }
            match zones.last_mut() {
                Some((first, last)) if *last + 1 == node && self.one_layer(*first, node) => *last = node,
                _ => zones.push((node, node)),
            }
        }
        zones.into_iter().map(|(first, last)| self.zone(first, last)).collect()
    }

    /// Whether the nodes from `first` to `last` lie in one layer that is cut into slices, its faces included.
    fn one_layer(&self, first: usize, last: usize) -> bool {
        let slices = |from, to| self.nodes.iter().take(to).skip(from).filter(|n| n.interface.is_none()).count();
        slices(first, last + 1) > 0 && slices(first + 1, last) + first + 1 == last
    }

    fn zone(&self, first: usize, last: usize) -> Zone {
        let held = |m: &MonthResult| m.mass.iter().take(last + 1).skip(first).map(|m| m.si()).sum::<f64>();
        let (peak, peak_at) = largest(self.months.iter().map(held)).unwrap_or_default();
        let mut after = self.months.iter().enumerate().skip(peak_at + 1);
        let range = || self.nodes.iter().take(last + 1).skip(first);
        let spread = first < last || range().all(|n| n.interface.is_none());
        Zone {
            nodes: (first, last),
            layer: self.nodes.get(first).filter(|_| spread).map(|n| n.layer),
            interface: range().find_map(|n| n.interface),
            peak: MoistureMass::new(peak),
            peak_at,
            dry_at: after.find(|(_, m)| held(m) <= NO_WATER.si()).map(|(at, _)| at),
            end: MoistureMass::new(self.months.last().map_or(0.0, held)),
        }
    }

    /// How near each interface comes to saturation, both surfaces included, outside to inside.
    ///
    /// Taken from the pressures at the months' beginnings, which are the highest. The dew point is that of
    /// [`air::dew_point`]; air with less than 1 Pa of vapor counts as having 1 Pa.
    pub fn closest(&self) -> Vec<Closest> {
        let interfaces = self.nodes.iter().enumerate().filter_map(|(node, n)| Some((node, n.interface?)));
        interfaces.map(|(node, interface)| self.closest_at(node, interface)).collect()
    }

    fn closest_at(&self, node: usize, interface: usize) -> Closest {
        let states = || {
            self.months.iter().filter_map(move |m| {
                Some((m.temperature.get(node)?.si(), m.saturation.get(node)?.si(), m.pressure.get(node)?.si()))
            })
        };
        let dew = |p: f64| air::dew(p.max(Pressure::new(1.0).si()));
        let humidity = largest(states().map(|(_, saturation, p)| p / saturation)).unwrap_or_default();
        let margin = largest(states().map(|(temperature, _, p)| dew(p) - temperature)).unwrap_or_default();
        Closest {
            interface,
            margin: TemperatureDifference::new(-margin.0),
            margin_at: margin.1,
            humidity: RelativeHumidity::new(humidity.0),
            humidity_at: humidity.1,
        }
    }
}

/// The largest figure and its place; the first of equals.
fn largest(figures: impl Iterator<Item = f64>) -> Option<(f64, usize)> {
    figures.enumerate().fold(None, |best: Option<(f64, usize)>, (at, figure)| match best {
        Some((top, _)) if figure <= top => best,
        _ => Some((figure, at)),
    })
}
