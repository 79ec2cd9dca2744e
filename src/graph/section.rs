//! One section as a graph for air: interfaces are places, layers are passages.
//!
//! An interface lies between two layers; the first and the last are the places on either side. A layer is one passage
//! if it is the same all over, two side by side if it has members and bays. A passage is closed to air or open.
//! Invariant: the cheapest way across costs the number of closed passages on it; 0 is a leak.

use petgraph::algo::dijkstra;
use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::visit::EdgeRef;

use super::plane::{self, Agent};
use crate::model::layer::{Body, Layer};
use crate::model::surface::Surface;
use crate::model::value::Draw;

/// A way across on which nothing is closed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Leak {
    /// The layers it goes through, in the order written; `true` where it goes between members.
    pub through: Vec<(usize, bool)>,
}

/// One passage: a layer, at its members or between them.
#[derive(Clone, Copy, Debug)]
struct Passage {
    layer: usize,
    between: bool,
    closed: bool,
}

/// The way across a surface that air can take with nothing to stop it; none when every way meets a closed passage.
pub fn leak(surface: &Surface, draw: &Draw) -> Option<Leak> {
    let (graph, ends) = connect(surface, draw);
    let cost = |closed: bool| u32::from(closed);
    let costs = dijkstra(&graph, ends.0, Some(ends.1), |e| cost(e.weight().closed));
    if costs.get(&ends.1) != Some(&0) {
        return None;
    }
    let mut through = Vec::with_capacity(surface.layers.len());
    let mut at = ends.1;
    // Walk back along open passages; interfaces are numbered from the first side, so every step goes to a lower one.
    while at != ends.0 {
        let step = graph.edges(at).filter(|e| !e.weight().closed).find_map(|e| {
            let other = if e.source() == at { e.target() } else { e.source() };
            (other < at).then_some((other, *e.weight()))
        });
        let (next, passage) = step?;
        through.push((passage.layer, passage.between));
        at = next;
    }
    through.reverse();
    Some(Leak { through })
}

fn connect(surface: &Surface, draw: &Draw) -> (UnGraph<(), Passage>, (NodeIndex, NodeIndex)) {
    let mut graph = UnGraph::new_undirected();
    let first = graph.add_node(());
    let mut last = first;
    for (index, layer) in surface.layers.iter().enumerate() {
        let next = graph.add_node(());
        for (between, closed) in passages(layer, draw) {
            graph.add_edge(last, next, Passage { layer: index, between, closed });
        }
        last = next;
    }
    (graph, (first, last))
}

/// The passages of a layer: whether each lies between members, and whether it is closed. A hole may be anything: it is
/// taken as open, and the caller says that the section is not whole.
fn passages(layer: &Layer, draw: &Draw) -> Vec<(bool, bool)> {
    let edges = layer.words.edges.is_none_or(|e| e.value);
    match &layer.body {
        Body::Members(members) => vec![(true, plane::bays_closed(members)), (false, true)],
        _ => vec![(false, edges && plane::layer_closed(layer, Agent::Air, draw))],
    }
}
