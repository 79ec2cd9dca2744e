//! A way in words, and why it is open.
//!
//! Invariant: no step is told twice; a name of the text stands in backticks.

use petgraph::graph::NodeIndex;

use super::ring::{Part, Stack};
use super::ways::{Node, Through, Way, Ways};
use super::{Cause, Leak, Net, Side, Step};
use crate::base::span::Span;
use crate::graph::place::Place;
use crate::graph::plane::{self, Agent, Void};
use crate::model::layer::{Body, Layer, Treatment};
use crate::model::value::Draw;

impl Ways<'_> {
    /// What a way goes through, node to node.
    pub fn passages(&self, way: &Way) -> Vec<Through> {
        way.nodes.iter().zip(way.nodes.iter().skip(1)).filter_map(|(a, b)| self.between(*a, *b)).collect()
    }

    fn node(&self, index: NodeIndex) -> Option<Node> {
        self.graph.node_weight(index).copied()
    }

    fn uses_seam(&self, way: &Way) -> bool {
        way.nodes.iter().any(|n| matches!(self.node(*n), Some(Node::Cell(_))))
    }

    /// Why a way is open; none when it goes straight through one surface, which is that section's affair.
    pub fn cause(&self, net: &Net<'_>, agent: Agent, way: &Way) -> Option<Cause> {
        let passages = self.passages(way);
        for passage in &passages {
            match *passage {
                Through::Along(end, item) => {
                    let stack = self.ring.stacks.iter().find(|s| s.end == end && s.part == Part::Outer)?;
                    let rank = |l: &usize| match net.layer(end, stack.layer(*l)).and_then(hollow) {
                        Some(Void::Gap | Void::Bays) => 0,
                        Some(_) => 1,
                        None => 2,
                    };
                    let layer = [item - 1, item].into_iter().min_by_key(rank).unwrap_or(item);
                    return Some(Cause::Along(end, stack.layer(layer)));
                }
                Through::Past(end, layer) => return Some(Cause::Along(end, layer)),
                Through::Free | Through::Layer(..) => {}
            }
        }
        if !self.uses_seam(way) {
            return None;
        }
        let mut crossed = passages.iter().filter_map(|p| match *p {
            Through::Layer(stack, layer) => self.ring.stacks.get(stack).map(|s| (s.end, s.layer(layer))),
            _ => None,
        });
        let Some((end, layer)) = crossed.next() else { return Some(Cause::NothingJoined) };
        let bare = std::iter::once((end, layer)).chain(crossed).find(|(e, _)| net.controls(*e, agent).is_none());
        if let Some((end, layer)) = bare {
            return Some(Cause::OpenLayer(end, layer));
        }
        let ends = 0..net.joint.ends.len();
        Some(Cause::Misaligned(ends.filter_map(|e| net.controls(e, agent).map(|l| (e, l))).collect()))
    }

    /// Takes the open part of a way as mended; whether there was something to mend.
    pub fn mend_way(&mut self, way: &Way, cause: Option<&Cause>) -> bool {
        match cause {
            Some(Cause::Along(end, layer)) => {
                // Whoever cuts a face to its control layer cuts all that lies before it.
                let (end, layer) = (*end, *layer);
                self.mend(|_, _, through| match through {
                    Through::Along(e, _) => e == end,
                    Through::Past(e, l) => (e, l) == (end, layer),
                    Through::Free | Through::Layer(..) => false,
                })
            }
            Some(_) => {
                let cells: Vec<Node> =
                    way.nodes.iter().filter_map(|n| self.node(*n)).filter(|n| matches!(n, Node::Cell(_))).collect();
                self.mend(|a, b, _| cells.contains(a) || cells.contains(b))
            }
            None => {
                let last = self.passages(way).into_iter().rev().find(|p| matches!(p, Through::Layer(..)));
                last.is_some_and(|layer| self.mend(|_, _, through| through == layer))
            }
        }
    }

    /// A way as it is reported.
    pub fn leak(&self, net: &Net<'_>, side: &Side, agent: Agent, way: &Way, cause: Cause) -> Leak {
        let mut steps: Vec<Step> = Vec::new();
        let mut say = |step: Step| {
            if steps.last().is_none_or(|last| last.words != step.words) {
                steps.push(step);
            }
        };
        let passages = self.passages(way);
        for (index, node) in way.nodes.iter().enumerate() {
            if let Some(Through::Layer(stack, layer)) = index.checked_sub(1).and_then(|i| passages.get(i)).copied()
                && let Some(stack) = self.ring.stacks.get(stack)
                && let Some(layer) = net.layer(stack.end, stack.layer(layer))
                && hollow(layer).is_none_or(|v| !matches!(v, Void::Gap | Void::Bays))
            {
                say(passing(layer, agent));
            }
            let inner = |i: usize| matches!(passages.get(i), Some(Through::Layer(..)));
            let plain = index.checked_sub(1).is_some_and(inner) && inner(index);
            match self.node(*node) {
                Some(Node::Place(place)) => say(net.place_step(place)),
                Some(Node::Cell(_)) => say(net.seam_step()),
                Some(Node::Item(stack, item)) => {
                    if let Some(step) = self.ring.stacks.get(stack).and_then(|s| net.item_step(s, item, plain)) {
                        say(step);
                    }
                }
                Some(Node::Source) | None => {}
            }
        }
        let doubt = passages.iter().find_map(|p| match *p {
            Through::Layer(stack, layer) => {
                let stack = self.ring.stacks.get(stack)?;
                doubtful(net.layer(stack.end, stack.layer(layer))?)
            }
            _ => None,
        });
        Leak { station: side.station, agent, steps, cause, doubt }
    }
}

impl Net<'_> {
    fn place_step(&self, place: Place) -> Step {
        let words = match place {
            Place::Outdoors => "outdoors".to_string(),
            Place::Ground => "the ground".to_string(),
            Place::Water => "the water".to_string(),
            Place::Room(crate::model::Job::INDOORS) => "indoors".to_string(),
            Place::Room(id) => self.job.room(id).map_or_else(|| "the room".to_string(), |r| format!("`{}`", r.name)),
            Place::Unknown => "a side that is not known".to_string(),
        };
        Step { words, span: None }
    }

    fn seam_step(&self) -> Step {
        Step { words: "the seam".to_string(), span: Some(self.joint.span) }
    }

    /// An interface, or the place before or behind the whole; none where a way only passes it.
    fn item_step(&self, stack: &Stack, item: usize, plain: bool) -> Option<Step> {
        if item == 0 || item == stack.layers {
            return Some(self.place_step(if item == 0 { stack.places.0 } else { stack.places.1 }));
        }
        let (before, behind) =
            (self.layer(stack.end, stack.layer(item - 1))?, self.layer(stack.end, stack.layer(item))?);
        for layer in [before, behind] {
            let words = match hollow(layer) {
                Some(Void::Gap) => format!("the gap `{}`", layer.label),
                Some(Void::Bays) => format!("the bays of `{}`", layer.label),
                Some(Void::Cores) if !plain => format!("the cores of `{}`", layer.label),
                Some(Void::Flutes) if !plain => format!("the flutes of `{}`", layer.label),
                _ => continue,
            };
            return Some(Step { words, span: Some(layer.span) });
        }
        let surface = self.joint.surface(self.job, stack.end)?;
        let words = format!("between `{}` and `{}` of `{}`", before.label, behind.label, surface.name);
        (!plain).then_some(Step { words, span: Some(behind.span) })
    }
}

/// What a way meets in a layer.
fn passing(layer: &Layer, agent: Agent) -> Step {
    let tight = match &layer.body {
        Body::Sheet(choice) => {
            let material = choice.builds.first().and_then(|s| s.material);
            agent == Agent::Air && material.is_some_and(|m| m.air_tight() == Some(true))
        }
        _ => false,
    };
    let words = match hollow(layer) {
        _ if tight => format!("the seams of `{}`", layer.label),
        Some(Void::Planks) => format!("the joints of `{}`", layer.label),
        _ => format!("through `{}`", layer.label),
    };
    Step { words, span: Some(layer.span) }
}

fn hollow(layer: &Layer) -> Option<Void> {
    plane::void(layer, &Draw::middle())
}

/// Where a layer that counts as open leaves it in doubt.
fn doubtful(layer: &Layer) -> Option<Span> {
    let unknown = match &layer.body {
        Body::Hole => true,
        Body::Sheet(choice) => choice.axis.is_some() || choice.builds.iter().any(|s| s.material.is_none()),
        Body::Panel(parts) => parts.iter().any(|s| s.material.is_none()),
        Body::Gap(_) | Body::Members(_) => false,
    };
    let seams = layer.seams.treatment == Treatment::Unknown;
    (unknown || (seams && !matches!(layer.body, Body::Gap(_) | Body::Members(_)))).then_some(layer.stuff_span)
}
