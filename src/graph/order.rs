//! The order of work at a joint: what has to be there before what.
//!
//! What laps over, is fastened through, tucks behind or turns up comes after what it lies on. What stands already comes
//! first. A surface goes up from its structure outward, its linings last, unless a sentence says otherwise.
//! Invariant: the same joint gives the same order; of things that may come in any order the earlier trade comes first,
//! then what is written first.

use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::hold_points;
use super::stages::{Stage, stage};
use super::ties::{Tie, ties, written};
use crate::model::Job;
use crate::model::joint::{Joint, Thing};

/// One step of the work.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is put on.
    pub thing: Thing,
    /// Which trade's work it is, and whether it stands already.
    pub stage: Stage,
    /// The sentences that are made with it, indices into [`Joint::links`].
    pub links: Vec<usize>,
    /// Stop and look before the next step, and at what.
    pub hold: Option<String>,
}

/// The order, or why there is none.
#[derive(Clone, Debug, PartialEq)]
pub enum Order {
    /// It can be built so.
    Steps(Vec<Step>),
    /// Each of these has to be there before the next, and the last before the first: the things, and the sentence that
    /// puts each before the next.
    Cycle(Vec<(Thing, usize)>),
}

/// The order of work.
pub fn order(job: &Job, joint: &Joint) -> Order {
    let (things, ties) = ties(job, joint);
    let hard: Vec<&Tie> = ties.iter().filter(|t| t.link.is_some() && t.firm).collect();
    let strict = graph(&things, &hard);
    if let Some(cycle) = shortest_cycle(&strict) {
        return Order::Cycle(cycle);
    }
    let places: BTreeMap<Thing, usize> = things.iter().enumerate().map(|(i, t)| (*t, i)).collect();
    let mut all: Vec<&Tie> = ties.iter().collect();
    // What merely is usual gives way where it would go round in a circle with what is written.
    loop {
        let graph = graph(&things, &all);
        let round: Vec<BTreeSet<Thing>> = kosaraju_scc(&graph)
            .into_iter()
            .filter(|part| part.len() > 1)
            .map(|part| part.into_iter().filter_map(|n| graph.node_weight(n).copied()).collect())
            .collect();
        if round.is_empty() {
            let sorted = sorted(job, joint, &graph, &places);
            return Order::Steps(steps(job, joint, sorted));
        }
        let within = |t: &Tie| round.iter().any(|part| part.contains(&t.before) && part.contains(&t.after));
        if all.iter().any(|t| t.weak && within(t)) {
            all.retain(|t| !t.weak || !within(t));
        } else {
            all.retain(|t| t.firm || !within(t));
        }
    }
}

/// The circle of things that keeps a joint from being built; none where it has an order.
pub fn circle(job: &Job, joint: &Joint) -> Option<Vec<(Thing, usize)>> {
    // Nearly every joint has none, and its firm ties alone show that.
    if !goes_round(written(job, joint).filter(|t| t.firm).collect()) {
        return None;
    }
    match order(job, joint) {
        Order::Cycle(circle) => Some(circle),
        Order::Steps(_) => None,
    }
}

/// Whether ties go round: what has nothing before it is taken away until nothing more can be.
fn goes_round(mut ties: Vec<Tie>) -> bool {
    loop {
        let (count, after): (usize, Vec<Thing>) = (ties.len(), ties.iter().map(|t| t.after).collect());
        ties.retain(|t| after.contains(&t.before));
        if ties.len() == count {
            return count > 0;
        }
    }
}

fn graph(things: &[Thing], ties: &[&Tie]) -> DiGraph<Thing, usize> {
    let mut graph = DiGraph::new();
    let nodes: BTreeMap<Thing, NodeIndex> = things.iter().map(|t| (*t, graph.add_node(*t))).collect();
    for tie in ties {
        let (Some(a), Some(b)) = (nodes.get(&tie.before), nodes.get(&tie.after)) else { continue };
        graph.add_edge(*a, *b, tie.link.unwrap_or(usize::MAX));
    }
    graph
}

/// The shortest way from a thing back to itself; of several the one that starts with what is written first.
fn shortest_cycle(graph: &DiGraph<Thing, usize>) -> Option<Vec<(Thing, usize)>> {
    let round: BTreeSet<NodeIndex> = kosaraju_scc(graph).into_iter().filter(|p| p.len() > 1).flatten().collect();
    let cycles = round.iter().filter_map(|start| cycle_from(graph, *start));
    cycles.min_by_key(Vec::len)
}

fn cycle_from(graph: &DiGraph<Thing, usize>, start: NodeIndex) -> Option<Vec<(Thing, usize)>> {
    let mut came: BTreeMap<NodeIndex, (NodeIndex, usize)> = BTreeMap::new();
    let mut queue = VecDeque::from([start]);
    while let Some(at) = queue.pop_front() {
        let mut out: Vec<_> = graph.edges(at).map(|e| (*e.weight(), e.target())).collect();
        out.sort_unstable();
        for (link, next) in out {
            if next == start {
                return Some(walk_back(graph, &came, start, (at, link)));
            }
            if let std::collections::btree_map::Entry::Vacant(free) = came.entry(next) {
                free.insert((at, link));
                queue.push_back(next);
            }
        }
    }
    None
}

fn walk_back(
    graph: &DiGraph<Thing, usize>,
    came: &BTreeMap<NodeIndex, (NodeIndex, usize)>,
    start: NodeIndex,
    last: (NodeIndex, usize),
) -> Vec<(Thing, usize)> {
    let mut cycle = Vec::new();
    let mut step = Some(last);
    while let Some((node, link)) = step {
        cycle.extend(graph.node_weight(node).map(|t| (*t, link)));
        step = if node == start { None } else { came.get(&node).copied() };
    }
    cycle.reverse();
    cycle
}

/// Takes what is free in turn: the earliest trade first, then what is written first.
fn sorted(job: &Job, joint: &Joint, graph: &DiGraph<Thing, usize>, places: &BTreeMap<Thing, usize>) -> Vec<Thing> {
    let mut waits: BTreeMap<NodeIndex, usize> =
        graph.node_indices().map(|n| (n, graph.edges_directed(n, petgraph::Incoming).count())).collect();
    let rank = |n: NodeIndex| {
        let thing = graph.node_weight(n).copied().unwrap_or(Thing::Hole);
        (stage(job, joint, thing), places.get(&thing).copied().unwrap_or(usize::MAX), n)
    };
    let mut free: BTreeSet<_> = waits.iter().filter(|(_, w)| **w == 0).map(|(n, _)| rank(*n)).collect();
    let mut sorted = Vec::new();
    while let Some((_, _, node)) = free.pop_first() {
        sorted.extend(graph.node_weight(node).copied());
        for edge in graph.edges(node) {
            let Some(left) = waits.get_mut(&edge.target()) else { continue };
            *left = left.saturating_sub(1);
            if *left == 0 {
                free.insert(rank(edge.target()));
            }
        }
    }
    sorted
}

/// The steps with the sentences made at each: a sentence is made when the second of its things goes on.
fn steps(job: &Job, joint: &Joint, sorted: Vec<Thing>) -> Vec<Step> {
    let mut steps: Vec<Step> = sorted
        .into_iter()
        .map(|thing| Step { thing, stage: stage(job, joint, thing), links: Vec::new(), hold: None })
        .collect();
    let place = |thing: Thing, steps: &[Step]| steps.iter().position(|s| s.thing == thing);
    for (index, link) in joint.links.iter().enumerate() {
        let (subject, object) = super::ties::nodes(job, joint, link);
        let later = place(subject, &steps).max(object.and_then(|o| place(o, &steps)));
        if let Some(step) = later.and_then(|at| steps.get_mut(at)) {
            step.links.push(index);
        }
    }
    hold_points::put(job, joint, &mut steps);
    steps
}
