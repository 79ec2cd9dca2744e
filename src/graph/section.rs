//! One section as a graph for air: interfaces are places, layers are passages.
//!
//! An interface lies between two layers; the first and the last are the places on either side. A layer is one passage
//! if it is the same all over, two side by side if it has members and bays. A passage is closed to air or open.
//! Invariant: the cheapest way across costs the number of closed passages on it; 0 is a leak.

use petgraph::algo::dijkstra;
use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::visit::EdgeRef;

use crate::model::layer::{Body, Fill, Layer};
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

/// The passages of a layer: whether each lies between members, and whether it is closed.
fn passages(layer: &Layer, draw: &Draw) -> Vec<(bool, bool)> {
    match &layer.body {
        // A hole may be anything: it is taken as open, and the caller says that the section is not whole.
        Body::Hole | Body::Gap(_) => vec![(false, false)],
        Body::Members(members) => {
            let bays = match &members.fill {
                Fill::Unknown(_) => false,
                Fill::Parts(parts) => parts.iter().any(|p| match p {
                    crate::model::layer::BayPart::Air(_) => false,
                    crate::model::layer::BayPart::Stuff(stuff) => {
                        stuff.material.is_some_and(|m| m.air_tight() == Some(true) && seamless(m))
                    }
                }),
            };
            vec![(true, bays), (false, true)]
        }
        Body::Sheet(choice) => {
            let material = choice.at(draw).and_then(|s| s.material);
            vec![(false, closed_to_air(layer, material))]
        }
        Body::Panel(parts) => {
            let tight = parts.iter().filter_map(|p| p.material).any(|m| m.air_tight() == Some(true));
            vec![(false, tight && closed_all_round(layer))]
        }
    }
}

fn seamless(material: &crate::catalog::Material) -> bool {
    matches!(material.seams(), crate::catalog::Seams::Seamless)
}

fn closed_to_air(layer: &Layer, material: Option<&crate::catalog::Material>) -> bool {
    material.is_some_and(|m| m.air_tight() == Some(true)) && closed_all_round(layer)
}

/// Seams, edges and holes: one that is said to be open leaves no air layer.
fn closed_all_round(layer: &Layer) -> bool {
    let open = |said: Option<crate::base::span::Spanned<bool>>| said.is_some_and(|s| !s.value);
    layer.seams.treatment.closed() && !open(layer.words.edges) && !open(layer.words.holes)
}
