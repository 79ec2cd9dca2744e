//! An assembly cut into slices: nodes, the share of the temperature drop before each, vapor thickness between them.
//!
//! Nodes with no vapor resistance between them share one pressure and form one point.
//! Invariant: every width between two points is above zero, and there are at least two points.

use super::humid::Slice;
use super::{Build, Layer, Node, warmth};
use crate::base::math;
use crate::base::quantity::Fraction;
use crate::physics::error::{Error, within};
use crate::physics::vapor::ByHumidity;

/// The assembly as lists of numbers; node lists run outside to inside.
#[derive(Debug, Default)]
pub(super) struct Grid {
    pub nodes: Vec<Node>,
    /// Share of the temperature difference that lies outside of the node.
    pub share: Vec<f64>,
    /// The point of the node.
    pub point: Vec<usize>,
    /// Vapor thickness between neighboring points in the dry cup, m.
    pub width: Vec<f64>,
    /// The widths that follow humidity.
    pub slices: Vec<Slice>,
    /// Whether a resistance follows temperature, so that the shares are another month's every month.
    pub by_temperature: bool,
    /// Working memory: the resistances of a month.
    resistance: Vec<f64>,
}

impl Grid {
    /// Number of points.
    pub fn points(&self) -> usize {
        self.width.len() + 1
    }

    /// Fills the grid; a layer with more than `slice` m2 K/W is cut into equal slices of at most that.
    pub fn fill(&mut self, build: &Build, slice: f64) -> Result<(), Error> {
        check(build)?;
        self.clear();
        self.point.push(0);
        for (index, layer) in build.layers.iter().enumerate() {
            let count = slices(layer, slice);
            for step in 0..count {
                let depth = Fraction::new(step as f64 / count as f64);
                self.nodes.push(Node { layer: index, depth, interface: (step == 0).then_some(index) });
                let width = layer.vapor.si() / count as f64;
                if let Some(law) = layer.by_humidity.filter(|_| width > 0.0) {
                    let (outer, ln_dry) = (self.point.len() - 1, math::ln(width));
                    self.slices.push(Slice { width: self.width.len(), outer, ln_dry, law });
                }
                self.cut(width);
            }
        }
        self.by_temperature = build.layers.iter().any(|l| l.by_temperature.is_some());
        self.resistance.extend(build.layers.iter().map(|l| l.resistance.si()));
        self.shares(build, slice);
        let inner = build.layers.len();
        self.nodes.push(Node { layer: inner.saturating_sub(1), depth: Fraction::new(1.0), interface: Some(inner) });
        if self.width.is_empty() { Err(Error::NoVaporResistance) } else { Ok(()) }
    }

    fn clear(&mut self) {
        self.nodes.clear();
        self.share.clear();
        self.point.clear();
        self.width.clear();
        self.slices.clear();
        self.resistance.clear();
    }

    /// The shares of a month in which the outer and the inner air are this warm.
    pub fn shares_at(&mut self, build: &Build, slice: f64, outdoors: f64, indoors: f64) {
        warmth::at_mean_temperatures(build, (outdoors, indoors), &mut self.resistance);
        self.shares(build, slice);
    }

    fn shares(&mut self, build: &Build, slice: f64) {
        let total = build.outer_film.si() + self.resistance.iter().sum::<f64>() + build.inner_film.si();
        let mut outside = build.outer_film.si();
        self.share.clear();
        self.share.push(outside / total);
        for (layer, resistance) in build.layers.iter().zip(&self.resistance) {
            let count = slices(layer, slice);
            self.share.extend((1..=count).map(|step| (outside + resistance * step as f64 / count as f64) / total));
            outside += resistance;
        }
    }

    /// A further node behind `width`: on a new point, or on the last one when there is no width.
    fn cut(&mut self, width: f64) {
        if width > 0.0 {
            self.width.push(width);
        }
        self.point.push(self.width.len());
    }

    /// The point of an interface, if water can stay there.
    pub fn inner_point(&self, interface: usize) -> Option<usize> {
        let node = self.nodes.iter().position(|n| n.interface == Some(interface))?;
        let point = *self.point.get(node)?;
        (point > 0 && point < self.width.len()).then_some(point)
    }
}

/// Number of equal slices for one layer. A billionth is granted, so that 4.0 m2 K/W reached by a division is 16 slices.
fn slices(layer: &Layer, slice: f64) -> usize {
    (layer.resistance.si() / slice - 1e-9).ceil().max(1.0) as usize
}

/// Refuses what cannot be computed.
fn check(build: &Build) -> Result<(), Error> {
    const UNIT: &str = "m2.K/W";
    if build.layers.is_empty() {
        return Err(Error::NoLayers);
    }
    let mut total = within("outer film resistance", UNIT, build.outer_film.si(), (0.0, 100.0))?;
    total += within("inner film resistance", UNIT, build.inner_film.si(), (0.0, 100.0))?;
    for (index, layer) in build.layers.iter().enumerate() {
        let at = |range| Error::Layer { layer: index, range };
        total += within("thermal resistance", UNIT, layer.resistance.si(), (0.0, 100.0)).map_err(at)?;
        within("vapor thickness", "m", layer.vapor.si(), (0.0, 1e12)).map_err(at)?;
        if let Some(ByHumidity::Cups(ln_times)) = layer.by_humidity {
            within("logarithm of the wet cup's permeance over the dry cup's", "", ln_times, (-14.0, 14.0))
                .map_err(at)?;
        }
    }
    if total > 0.0 { Ok(()) } else { Err(Error::NoThermalResistance) }
}
