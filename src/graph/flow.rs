//! Which thing passes its water on to which, at one station: a directed graph of laps, slots, upturns and written exits.
//!
//! A lap hands water from its subject to its object. What a piece tucks into or turns up feeds it.
//! Invariant: says what the sentences say; whether a lap is the right way round is for gravity to judge.

use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::{Dfs, EdgeFiltered, Reversed};
use std::collections::{BTreeMap, BTreeSet};

use super::station::{self, Station, Where};
use crate::model::Job;
use crate::model::joint::{Joint, Thing};
use crate::syntax::ast::{Half, Verb};

/// The graph of one station.
#[derive(Debug)]
pub struct Flow {
    graph: DiGraph<Thing, usize>,
    nodes: BTreeMap<Thing, NodeIndex>,
}

impl Flow {
    /// Connects what counts at a station, ties across its corners included. Round a hole water goes on down its sides:
    /// what pieces hand to the host further down counts as handed to its lower half.
    pub fn new(job: &Job, joint: &Joint, station: Station) -> Self {
        let mut flow = Self { graph: DiGraph::new(), nodes: BTreeMap::new() };
        let lower: Vec<Station> = std::iter::successors(station.below(), |s| s.below()).collect();
        for (index, link) in joint.links.iter().enumerate() {
            let place = station::of_link(job, joint, link);
            let counts = place.counts(station) || matches!(place, Where::Corner(..));
            let further = !counts && lower.iter().any(|s| place.counts(*s));
            let shown = (counts || further) && !link.not_shown;
            let (Some(object), true) = (link.object.map(|o| o.thing), shown) else { continue };
            let subject = link.subject.thing;
            let host = |thing: Thing| matches!(thing, Thing::Layer { .. });
            let object = match object {
                Thing::Layer { end, .. } if further => Thing::Surface { end, half: Some(Half::Lower) },
                other => other,
            };
            if further && host(subject) {
                continue;
            }
            match link.verb {
                Verb::LapsOver | Verb::DrainsTo => flow.tie(subject, object, index),
                Verb::TucksInto | Verb::TurnsUp => flow.tie(object, subject, index),
                _ => {}
            }
        }
        flow
    }

    fn node(&mut self, thing: Thing) -> NodeIndex {
        *self.nodes.entry(thing).or_insert_with(|| self.graph.add_node(thing))
    }

    fn find(&self, thing: Thing) -> Option<NodeIndex> {
        self.nodes.get(&thing).copied()
    }

    fn tie(&mut self, from: Thing, to: Thing, link: usize) {
        let (from, to) = (self.node(from), self.node(to));
        self.graph.add_edge(from, to, link);
    }

    /// The things that `source` picks whose water reaches `thing` without the sentence `except`.
    pub fn feeders(&self, thing: Thing, except: usize, source: impl Fn(Thing) -> bool) -> BTreeSet<Thing> {
        let Some(at) = self.find(thing) else { return BTreeSet::new() };
        let kept = EdgeFiltered::from_fn(&self.graph, |e| *e.weight() != except);
        let upward = Reversed(&kept);
        let mut walk = Dfs::new(upward, at);
        let mut feeders = BTreeSet::new();
        while let Some(node) = walk.next(upward) {
            feeders.extend(self.graph.node_weight(node).copied().filter(|t| source(*t)));
        }
        feeders
    }

    /// Whether water on a thing reaches one that `sink` picks without the sentence `except`.
    pub fn drained(&self, thing: Thing, except: usize, sink: impl Fn(Thing) -> bool) -> bool {
        let Some(at) = self.find(thing) else { return false };
        let kept = EdgeFiltered::from_fn(&self.graph, |e| *e.weight() != except);
        let mut walk = Dfs::new(&kept, at);
        while let Some(node) = walk.next(&kept) {
            if self.graph.node_weight(node).is_some_and(|t| sink(*t)) {
                return true;
            }
        }
        false
    }
}
