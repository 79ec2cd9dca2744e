//! The ways at a station as a weighted graph, and the cheapest of them.
//!
//! Places, interfaces and the cells of the seam are its nodes; a way through something closed costs one, any other
//! nothing. Among ways of one cost the one of the fewest steps is taken.
//! Invariant: the same joint gives the same way.

use petgraph::algo::astar;
use petgraph::graph::{DiGraph, NodeIndex};

use super::contact::{Chain, Contact};
use super::ring::{Part, Ring, Stack};
use super::{Net, Side};
use crate::catalog::Sensitivity;
use crate::graph::gravity::Height;
use crate::graph::place::{Air, Place, air, place};
use crate::graph::plane::{self, Agent};
use crate::model::layer::{Body, Layer};
use crate::model::value::Draw;
use crate::syntax::ast::{SurfaceKind, Verb};

/// What a node is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Node {
    /// All that the search starts from.
    Source,
    Place(Place),
    /// Stack, interface.
    Item(usize, usize),
    /// A part of the seam.
    Cell(usize),
}

/// What an edge goes through.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Through {
    /// Nothing.
    Free,
    /// A layer: stack, layer counted from interface 0.
    Layer(usize, usize),
    /// Along a face past what meets it: end, interface.
    Along(usize, usize),
    /// Along a layer that runs past: end, layer of the surface.
    Past(usize, usize),
}

/// An edge.
#[derive(Clone, Copy, Debug)]
pub(super) struct Edge {
    pub through: Through,
    /// Closed things on it.
    pub closed: u32,
    steps: u32,
}

/// More steps than any way has.
const CLOSED: u32 = 1 << 16;

/// The graph of a station for an agent.
pub(super) struct Ways<'a> {
    net: &'a Net<'a>,
    pub ring: &'a Ring,
    agent: Agent,
    pub graph: DiGraph<Node, Edge>,
    items: Vec<NodeIndex>,
    source: NodeIndex,
    targets: Vec<NodeIndex>,
}

/// A way: what it goes through, node by node from the first place on.
pub(super) struct Way {
    pub closed: u32,
    pub nodes: Vec<NodeIndex>,
}

impl<'a> Ways<'a> {
    pub fn new(net: &'a Net<'a>, side: &'a Side, agent: Agent, contact: &Contact, chains: &[Chain]) -> Self {
        let ring = &side.ring;
        let mut graph = DiGraph::with_capacity(ring.len + 8, ring.len * 6);
        let source = graph.add_node(Node::Source);
        let mut items = Vec::with_capacity(ring.len);
        for (index, stack) in ring.stacks.iter().enumerate() {
            items.extend((0..=stack.layers).map(|i| graph.add_node(Node::Item(index, i))));
        }
        let mut ways = Self { net, ring, agent, graph, items, source, targets: Vec::new() };
        let labels: Vec<Vec<u8>> = chains.iter().map(|c| ring.arcs(&c.crossed)).collect();
        ways.layers();
        ways.places();
        ways.cells(contact, &labels);
        ways.along(contact, &labels);
        ways.past(contact);
        ways
    }

    /// The cheapest way from free air, or from rain, to where it must not get.
    pub fn cheapest(&self) -> Option<Way> {
        let cost = |e: petgraph::graph::EdgeReference<'_, Edge>| e.weight().closed * CLOSED + e.weight().steps;
        let goal = |n: NodeIndex| self.targets.contains(&n);
        let (cost, nodes) = astar(&self.graph, self.source, goal, cost, |_| 0)?;
        Some(Way { closed: cost / CLOSED, nodes: nodes.into_iter().skip(1).collect() })
    }

    /// What lies between two neighbors of a way.
    pub fn between(&self, a: NodeIndex, b: NodeIndex) -> Option<Through> {
        let edges = self.graph.edges_connecting(a, b);
        edges.map(|e| e.weight()).min_by_key(|e| (e.closed, e.steps)).map(|e| e.through)
    }

    /// Closes every edge that a test names; whether there was one.
    pub fn mend(&mut self, test: impl Fn(&Node, &Node, Through) -> bool) -> bool {
        let mut any = false;
        for index in self.graph.edge_indices() {
            let Some((a, b)) = self.graph.edge_endpoints(index) else { continue };
            let (Some(a), Some(b)) = (self.graph.node_weight(a).copied(), self.graph.node_weight(b).copied()) else {
                continue;
            };
            if let Some(edge) = self.graph.edge_weight_mut(index)
                && edge.closed == 0
                && test(&a, &b, edge.through)
            {
                edge.closed = 1;
                any = true;
            }
        }
        any
    }

    fn item(&self, stack: &Stack, item: usize) -> NodeIndex {
        self.items.get(stack.base + item).copied().unwrap_or(self.source)
    }

    fn one_way(&mut self, a: NodeIndex, b: NodeIndex, through: Through, closed: u32, steps: u32) {
        self.graph.add_edge(a, b, Edge { through, closed, steps });
    }

    fn both(&mut self, a: NodeIndex, b: NodeIndex, through: Through, closed: u32, steps: u32) {
        self.one_way(a, b, through, closed, steps);
        self.one_way(b, a, through, closed, steps);
    }

    /// From interface to interface through each layer.
    fn layers(&mut self) {
        let ring = self.ring;
        for (index, stack) in ring.stacks.iter().enumerate() {
            for layer in 0..stack.layers {
                let closed = self.net.layer_holds(stack.end, stack.layer(layer), self.agent);
                let (a, b) = (self.item(stack, layer), self.item(stack, layer + 1));
                self.both(a, b, Through::Layer(index, layer), u32::from(closed), 2);
            }
        }
    }

    /// The places on either side of each end, where the search starts and where it is to get.
    fn places(&mut self) {
        let ring = self.ring;
        let mut known: Vec<(Place, NodeIndex)> = Vec::new();
        for stack in &ring.stacks {
            // What goes through a roof has the same air under it as the roof.
            let kind = self.net.kind(if stack.end < self.net.joint.ends.len() { stack.end } else { 0 });
            let flat = kind.is_some_and(|k| k != SurfaceKind::Wall);
            for (item, place) in [(0, stack.places.0), (stack.layers, stack.places.1)] {
                let node = match known.iter().find(|(p, _)| *p == place) {
                    Some((_, node)) if place != Place::Unknown => *node,
                    _ => {
                        let node = self.graph.add_node(Node::Place(place));
                        known.push((place, node));
                        self.start_or_end(place, node);
                        node
                    }
                };
                let at = self.item(stack, item);
                let under = (item > 0 && flat) || (stack.part == Part::Inner && stack.height == Height::Lower);
                if self.agent == Agent::Water && under {
                    // Rain falls: it does not enter from below.
                    self.one_way(at, node, Through::Free, 0, 0);
                } else {
                    self.both(at, node, Through::Free, 0, 0);
                }
            }
            if self.agent == Agent::Water
                && let Some(item) = self.net.behind_water(stack)
            {
                self.targets.push(self.item(stack, item));
            }
        }
    }

    fn start_or_end(&mut self, place: Place, node: NodeIndex) {
        let here = air(self.net.job, place);
        let (from, to) = match self.agent {
            Agent::Water => {
                let soil = place == Place::Ground && self.net.soil_beside();
                // A loft or a porch that outdoor air passes through is meant to stay dry all the same.
                (place == Place::Outdoors || soil, matches!(place, Place::Room(_)))
            }
            Agent::Air => (here == Air::Free, here == Air::Kept),
            Agent::Vapor | Agent::Heat => (matches!(here, Air::Free | Air::Wet), here == Air::Kept),
        };
        if from {
            self.one_way(self.source, node, Through::Free, 0, 1);
        }
        if to {
            self.targets.push(node);
        }
    }

    /// The parts of the seam: interfaces that no chain parts share one.
    fn cells(&mut self, contact: &Contact, labels: &[Vec<u8>]) {
        let ring = self.ring;
        // How deep in the seam, an interface there, the node.
        let mut cells: Vec<(usize, usize, NodeIndex)> = Vec::new();
        for stack in &ring.stacks {
            for item in 0..=stack.layers {
                let Some(depth) = depth(stack, item, contact) else { continue };
                let slot = stack.base + item;
                let same = |(d, other, _): &&(usize, usize, NodeIndex)| *d == depth && apart(labels, *other, slot) == 0;
                let cell = match cells.iter().find(same) {
                    Some((_, _, cell)) => *cell,
                    None => {
                        let cell = self.graph.add_node(Node::Cell(cells.len()));
                        cells.push((depth, slot, cell));
                        cell
                    }
                };
                // What is bonded all over lies on its ground: nothing gets in between the two from the edge.
                if self.net.bonded(stack, item) {
                    continue;
                }
                let at = self.item(stack, item);
                let water = self.agent == Agent::Water && item > 0;
                if !(water && stack.height == Height::Upper) {
                    self.one_way(cell, at, Through::Free, 0, 1);
                }
                if !(water && stack.height == Height::Lower) {
                    self.one_way(at, cell, Through::Free, 0, 1);
                }
            }
        }
        for (index, (depth, slot, cell)) in cells.iter().enumerate() {
            for (_, other, to) in cells.iter().skip(index + 1).filter(|(d, ..)| d == depth) {
                self.both(*cell, *to, Through::Free, apart(labels, *slot, *other), 1);
            }
        }
    }

    /// A face carries on: each of its interfaces runs from the outer part to the inner.
    fn along(&mut self, contact: &Contact, labels: &[Vec<u8>]) {
        let ring = self.ring;
        let part = |part| ring.stacks.iter().find(|s| s.part == part);
        let (Some(outer), Some(inner)) = (part(Part::Outer), part(Part::Inner)) else { return };
        for item in 1..outer.layers {
            // Air runs where something hollow or loose lies on either side; between two firm layers it does not.
            let airy = |l: &usize| self.net.layer(outer.end, outer.layer(*l)).is_some_and(plane::airy);
            if matches!(self.agent, Agent::Air | Agent::Vapor) && ![item - 1, item].iter().any(airy) {
                continue;
            }
            // Nor does water between a wall and the plaster on it.
            if self.agent == Agent::Water && self.net.bonded(outer, item) {
                continue;
            }
            let filled = [item - 1, item].iter().any(|l| contact.filled.contains(&(outer.end, outer.layer(*l))));
            let closed = apart(labels, outer.base + item, inner.base + item) + u32::from(filled);
            let (a, b) = (self.item(outer, item), self.item(inner, item));
            let through = Through::Along(outer.end, item);
            // Water in a cavity falls; beside an upright seam it does not run across.
            let falls = self.agent != Agent::Water || outer.height != Height::Beside;
            if falls && (self.agent != Agent::Water || outer.height != Height::Lower) {
                self.one_way(a, b, through, closed, 1);
            }
            if falls && (self.agent != Agent::Water || outer.height != Height::Upper) {
                self.one_way(b, a, through, closed, 1);
            }
        }
    }

    /// A hollow layer that runs past what it meets is open to what lies on the outer side of that.
    fn past(&mut self, contact: &Contact) {
        let net = self.net;
        let places: Vec<NodeIndex> = self.graph.node_indices().collect();
        let outdoors = places.into_iter().find(|n| self.graph.node_weight(*n) == Some(&Node::Place(Place::Outdoors)));
        let Some(outdoors) = outdoors else { return };
        for link in net.joint.links.iter().filter(|l| l.verb == Verb::RunsPast && !l.not_shown) {
            for (end, layer) in net.hollows(link.subject.thing) {
                let ring = self.ring;
                let Some(stack) = ring.stacks.iter().find(|s| s.end == end && s.part == Part::Whole) else { continue };
                let closed = u32::from(contact.filled.contains(&(end, layer)));
                for item in [layer, layer + 1] {
                    let at = self.item(stack, item);
                    self.one_way(outdoors, at, Through::Past(end, layer), closed, 1);
                }
            }
        }
    }
}

/// Which part of the seam an interface is open to: 0 is the seam itself, the next lies behind the first layer of a face
/// that carries on, where the layers behind it are cut. None where nothing beside it is cut.
fn depth(stack: &Stack, item: usize, contact: &Contact) -> Option<usize> {
    if stack.part == Part::Whole {
        return Some(0);
    }
    let cut = |l: usize| contact.cut.contains(&(stack.end, stack.layer(l)));
    let depth = (0..item).filter(|l| !cut(*l)).count();
    let beside = (item > 0 && cut(item - 1)) || (item < stack.layers && cut(item));
    (depth == 0 || beside).then_some(depth)
}

/// How many chains part two interfaces.
fn apart(labels: &[Vec<u8>], a: usize, b: usize) -> u32 {
    let parts = |l: &&Vec<u8>| l.get(a) != l.get(b);
    u32::try_from(labels.iter().filter(parts).count()).unwrap_or(u32::MAX)
}

/// Whether water harms a layer.
fn sensitive(layer: &Layer, draw: &Draw) -> bool {
    let stuff = match &layer.body {
        Body::Sheet(choice) => choice.at(draw),
        Body::Panel(parts) => parts.first(),
        Body::Members(members) => Some(&members.member),
        Body::Gap(_) | Body::Hole => None,
    };
    stuff.and_then(|s| s.material).is_some_and(|m| m.sensitivity() != Sensitivity::None)
}

impl Net<'_> {
    /// The interface just inside the layer that keeps water off an end, where rain or wet soil can come to it.
    fn behind_water(&self, stack: &Stack) -> Option<usize> {
        let draw = Draw::middle();
        let Some(surface) = self.joint.surface(self.job, stack.end) else {
            // A bought unit.
            return (stack.places.0 == Place::Outdoors && stack.places.1 != Place::Outdoors).then_some(1);
        };
        let own = place(&surface.first);
        let soil = own == Place::Ground && surface.kind == SurfaceKind::Wall;
        if stack.reversed || !(own == Place::Outdoors || soil) {
            return None;
        }
        // A pavement or a landing of concrete keeps nothing dry.
        let open_below = matches!(place(&surface.last), Place::Outdoors | Place::Ground);
        if surface.kind != SurfaceKind::Wall && open_below && !surface.layers.iter().any(|l| sensitive(l, &draw)) {
            return None;
        }
        let free = surface.kind == SurfaceKind::Wall && stack.places.1 == Place::Outdoors;
        let layer = if free {
            let holds = |l: &Layer| plane::holds(l, Agent::Water, &draw);
            let first = surface.layers.iter().position(holds)?;
            let last = surface.layers.iter().rposition(holds)?;
            (first < last).then_some(first)?
        } else {
            self.controls(stack.end, Agent::Water)?
        };
        Some(layer + 1)
    }

    /// Whether soil lies beside a wall, not only under a slab.
    fn soil_beside(&self) -> bool {
        let walls = |end: usize| self.joint.surface(self.job, end).filter(|s| s.kind == SurfaceKind::Wall);
        (0..self.joint.ends.len()).filter_map(walls).any(|s| place(&s.first) == Place::Ground)
    }
}
