//! How many things must fail before rain reaches the first layer that it harms, and which they are.
//!
//! A line is one hold: a lap, a bond, a held edge, a slot, a bead, a finish that carries on past the seam. Holds of one
//! sentence stand behind one another; of sentences in a row the weakest counts: a smallest cut between the two sides.
//! Invariant: the lines are named outermost first; their worths add up to the depth.

use petgraph::algo::ford_fulkerson;
use petgraph::graph::{DiGraph, NodeIndex, UnGraph};
use petgraph::visit::{EdgeRef, IntoNodeReferences};
use std::collections::{BTreeMap, BTreeSet};

use super::exposure::{depth, gap, material_of, rained_on, sensitive, water_plane};
use super::holds::{holds, long_enough};
use super::laps::Falls;
use super::station::{self, Station};
use super::words::name;
use crate::base::span::Span;
use crate::model::Job;
use crate::model::joint::{EndOf, Joint, Link, Thing};
use crate::model::layer::{Layer, Openings};
use crate::syntax::ast::{Control, Edge, Half, JointKind, OpenAt, Verb};

/// One line of defense.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// "`return` carries on past the seam", "`strip` sticks to `stone`, rolled".
    pub words: String,
    /// The sentence it rests on.
    pub span: Span,
    /// How many independent holds it has.
    pub worth: u32,
}

/// The defense of a joint against rain at one station.
#[derive(Clone, Debug, PartialEq)]
pub struct Defense {
    /// Where along the joint.
    pub station: Station,
    /// The lines, outermost first.
    pub lines: Vec<Line>,
    /// What the rain would harm; none: the room itself.
    pub harmed: Option<Thing>,
    /// A sentence that may hold more than it says: `not shown`, or a word of it could not be read.
    pub doubt: Option<Span>,
}

impl Defense {
    /// How many things must fail.
    pub fn depth(&self) -> u32 {
        self.lines.iter().map(|l| l.worth).sum()
    }
}

/// A side of the seam: an end of the joint, or half of one; the unit of an opening and the thing through are one too.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Side {
    End(usize, Option<Half>),
    Middle,
}

/// The defense at every station of a joint that rain can reach; empty when rain reaches none.
pub fn defenses(job: &Job, joint: &Joint) -> Vec<Defense> {
    with(&Falls::new(job, joint))
}

/// The same of a joint whose laps are looked at already.
pub fn with(falls: &Falls<'_>) -> Vec<Defense> {
    if !rained_on(falls.job, falls.joint) {
        return Vec::new();
    }
    falls.stations().map(|s| defense(falls, s)).collect()
}

fn defense(falls: &Falls<'_>, station: Station) -> Defense {
    let (job, joint) = (falls.job, falls.joint);
    let counts = |l: &&Link| station::of_link(job, joint, l).counts(station);
    let links: Vec<&Link> = joint.links.iter().filter(counts).collect();
    let harmed = harmed(job, joint);
    let mut lines: Vec<Line> = links.iter().filter_map(|l| cover(job, joint, l)).collect();
    lines.extend(closures(falls, station, &links));
    let doubt = links.iter().find(|l| l.not_shown || l.unread).map(|l| l.span);
    Defense { station, lines, harmed, doubt }
}

/// The outermost layer inboard of the water plane that rain harms, of the first end that has one.
fn harmed(job: &Job, joint: &Joint) -> Option<Thing> {
    (0..joint.ends.len()).find_map(|end| {
        let layer = first_harmed(job, joint, end)?;
        Some(Thing::Layer { end, layer, half: None, part: None })
    })
}

fn first_harmed(job: &Job, joint: &Joint, end: usize) -> Option<usize> {
    let surface = joint.surface(job, end)?;
    let plane = water_plane(surface)?;
    let inboard =
        surface.layers.iter().enumerate().filter(|(i, l)| depth(surface, *i) > depth(surface, plane) && sensitive(l));
    inboard.min_by_key(|(i, _)| depth(surface, *i)).map(|(i, _)| i)
}

/// A finish that carries on past the seam, far enough.
fn cover(job: &Job, joint: &Joint, link: &Link) -> Option<Line> {
    let object = link.object?.thing;
    let past = match link.verb {
        Verb::LapsOver => object == Thing::Seam,
        Verb::RunsPast => {
            joint.layer(job, link.subject.thing).is_some() && other_side(joint, link.subject.thing, object)
        }
        _ => false,
    };
    let paint = material_of(job, joint, link.subject.thing).is_some_and(|m| m.kind() == "paint");
    if !past || paint || link.not_shown || !long_enough(job, joint, link) {
        return None;
    }
    let drained = if drained_behind(job, joint, link.subject.thing) { ", a drained gap behind it" } else { "" };
    let words = format!("`{}` carries on past the seam{drained}", name(job, joint, link.subject.thing));
    Some(Line { words, span: link.span, worth: 1 })
}

fn other_side(joint: &Joint, a: Thing, b: Thing) -> bool {
    side(joint, a) != side(joint, b)
}

/// Whether a layer has a gap behind it that is open at its foot.
fn drained_behind(job: &Job, joint: &Joint, thing: Thing) -> bool {
    let Thing::Layer { end, layer, .. } = thing else { return false };
    let Some(surface) = joint.surface(job, end) else { return false };
    let behind = |(i, l): (usize, &Layer)| {
        let open = |o: &Openings| matches!(o, Openings::At { at, .. } if at.iter().any(low));
        depth(surface, i) == depth(surface, layer) + 1 && gap(l).is_some_and(|g| open(&g.openings))
    };
    surface.layers.iter().enumerate().any(behind)
}

fn low(at: &OpenAt) -> bool {
    matches!(at, OpenAt::Bottom | OpenAt::Eave | OpenAt::Front | OpenAt::Below)
}

/// The side of the seam that a thing belongs to; none for a piece between.
fn side(joint: &Joint, thing: Thing) -> Option<Side> {
    match thing {
        Thing::Layer { end, half, .. } | Thing::Surface { end, half } => {
            let face = joint.ends.get(end).is_some_and(|e| e.edge == Some(Edge::Face));
            Some(Side::End(end, half.filter(|_| face)))
        }
        Thing::Piece(0) if joint.kind != JointKind::Joint => Some(Side::Middle),
        Thing::Other { joint: other, .. } => {
            let end = joint.ends.iter().position(|e| e.of == EndOf::Opening(other))?;
            Some(Side::End(end, None))
        }
        _ => None,
    }
}

/// The lines of all that ties one side to another, outermost first.
fn closures(falls: &Falls<'_>, station: Station, links: &[&Link]) -> Vec<Line> {
    let held = held(falls, station, links);
    let mut strands = strands(falls, &held);
    strands.sort_by_key(|s| s.depth);
    strands.into_iter().flat_map(|s| s.lines(falls)).collect()
}

/// A sentence that holds, and what holds it.
struct Held<'a> {
    link: &'a Link,
    holds: Vec<String>,
}

/// Pieces and sentences that tie sides together without going through a side.
struct Strand<'a> {
    links: Vec<&'a Held<'a>>,
    depth: usize,
}

/// The sentences that hold against water between two things that stop it, outside what rain harms.
fn held<'a>(falls: &Falls<'_>, station: Station, links: &[&'a Link]) -> Vec<Held<'a>> {
    let (job, joint) = (falls.job, falls.joint);
    let harmed: Vec<Option<usize>> = (0..joint.ends.len()).map(|end| first_harmed(job, joint, end)).collect();
    let counts = |t| stops_water(job, joint, t) && outside(job, joint, t, &harmed);
    let both = |l: &&Link| counts(l.subject.thing) && l.object.is_some_and(|o| counts(o.thing));
    let held = links.iter().copied().filter(both).map(|link| Held { link, holds: holds(falls, link, station) });
    held.filter(|h| !h.holds.is_empty()).collect()
}

/// Cuts the contact graph at the layers of the sides: what is left hangs together strand by strand.
fn strands<'a>(falls: &Falls<'_>, held: &'a [Held<'a>]) -> Vec<Strand<'a>> {
    let (job, joint) = (falls.job, falls.joint);
    let mut nodes = BTreeMap::new();
    let mut graph: UnGraph<Thing, &'a Held<'a>> = UnGraph::new_undirected();
    let mut direct = Vec::new();
    for link in held {
        let Some(object) = link.link.object.map(|o| o.thing) else { continue };
        let subject = link.link.subject.thing;
        match (side(joint, subject), side(joint, object)) {
            (Some(a), Some(b)) if a != b => direct.push(link),
            (Some(_), Some(_)) => {}
            _ => {
                let mut node = |thing| *nodes.entry(thing).or_insert_with(|| graph.add_node(thing));
                let (a, b) = (node(subject), node(object));
                graph.add_edge(a, b, link);
            }
        }
    }
    let mut found: Vec<Vec<&'a Held<'a>>> = direct.into_iter().map(|l| vec![l]).collect();
    found.extend(components(&graph, joint));
    let reaches = |links: &Vec<&Held<'_>>| sides_of(joint, links).len() >= 2;
    let strand = |links: Vec<&'a Held<'a>>| Strand { depth: strand_depth(job, joint, &links), links };
    found.into_iter().filter(reaches).map(strand).collect()
}

/// The sentences of each connected part, where layers of a side hold nothing together.
fn components<'a>(graph: &UnGraph<Thing, &'a Held<'a>>, joint: &Joint) -> Vec<Vec<&'a Held<'a>>> {
    let mut seen = BTreeSet::new();
    let mut parts = Vec::new();
    for (start, thing) in graph.node_references() {
        if side(joint, *thing).is_some() || !seen.insert(start) {
            continue;
        }
        let (mut stack, mut part) = (vec![start], BTreeSet::new());
        while let Some(at) = stack.pop() {
            for edge in graph.edges(at) {
                part.insert(edge.id());
                let next = if edge.source() == at { edge.target() } else { edge.source() };
                let between = graph.node_weight(next).is_some_and(|t| side(joint, *t).is_none());
                if between && seen.insert(next) {
                    stack.push(next);
                }
            }
        }
        parts.push(part.into_iter().filter_map(|e| graph.edge_weight(e).copied()).collect());
    }
    parts
}

fn parties<'a>(links: &'a [&Held<'_>]) -> impl Iterator<Item = Thing> + 'a {
    links.iter().map(|h| h.link).flat_map(|l| std::iter::once(l.subject.thing).chain(l.object.map(|o| o.thing)))
}

fn sides_of(joint: &Joint, links: &[&Held<'_>]) -> BTreeSet<Side> {
    parties(links).filter_map(|t| side(joint, t)).collect()
}

/// Whether a thing lies outside what rain harms first on its end.
fn outside(job: &Job, joint: &Joint, thing: Thing, harmed: &[Option<usize>]) -> bool {
    let Thing::Layer { end, layer, .. } = thing else { return true };
    let Some(surface) = joint.surface(job, end) else { return true };
    harmed.get(end).copied().flatten().is_none_or(|h| depth(surface, layer) < depth(surface, h))
}

/// How deep a strand meets its sides.
fn strand_depth(job: &Job, joint: &Joint, links: &[&Held<'_>]) -> usize {
    let at = |thing: Thing| match thing {
        Thing::Layer { end, layer, .. } => joint.surface(job, end).map(|s| depth(s, layer)),
        _ => None,
    };
    parties(links).filter_map(at).max().unwrap_or(0)
}

/// Whether a thing keeps water from going through it: a piece that is no batt or bar; a layer that is relied on for
/// water, is the water plane, is a skin by nature, or is the face that the weather meets.
fn stops_water(job: &Job, joint: &Joint, thing: Thing) -> bool {
    let kind = material_of(job, joint, thing).map(|m| m.kind());
    match thing {
        Thing::Layer { end, layer, .. } => {
            let Some(surface) = joint.surface(job, end) else { return false };
            let claimed = |l: &Layer| l.relied_on.iter().any(|c| c.value == Control::Water);
            let skin = kind.is_some_and(|k| {
                matches!(k, "membrane" | "coating" | "metal" | "roofing" | "cladding" | "concrete" | "glass" | "tape")
            });
            let face = depth(surface, layer) == 0 && kind.is_some();
            surface.layers.get(layer).is_some_and(claimed) || water_plane(surface) == Some(layer) || skin || face
        }
        Thing::Piece(_) | Thing::Other { .. } => kind.is_some_and(|k| {
            !matches!(k, "batt" | "loose-fill" | "hardware" | "air" | "ground" | "paint" | "finish" | "gypsum-board")
        }),
        _ => false,
    }
}

impl Strand<'_> {
    /// One line a hold of the weakest link; where several links side by side are the weakest, those of each.
    fn lines(&self, falls: &Falls<'_>) -> Vec<Line> {
        let named = |held: &'_ Held<'_>| {
            let (subject, span) = (name(falls.job, falls.joint, held.link.subject.thing), held.link.span);
            let line = |hold: &String| Line { words: format!("`{subject}` {hold}"), span, worth: 1 };
            held.holds.iter().map(line).collect::<Vec<Line>>()
        };
        self.smallest_cut(falls.joint).into_iter().flat_map(named).collect()
    }

    /// The fewest holds whose failing parts the outermost side from the others.
    fn smallest_cut(&self, joint: &Joint) -> Vec<&Held<'_>> {
        let sides: Vec<Side> = sides_of(joint, &self.links).into_iter().collect();
        let cut = |from: Side| self.cut(joint, from);
        // Three sides tied together are open as soon as any one of them comes loose.
        sides.into_iter().map(cut).min_by_key(|(worth, _)| *worth).map(|(_, cut)| cut).unwrap_or_default()
    }

    /// The smallest cut round one side: its worth, and its sentences.
    fn cut(&self, joint: &Joint, from: Side) -> (usize, Vec<&Held<'_>>) {
        let mut graph: DiGraph<(), usize> = DiGraph::new();
        let (source, sink) = (graph.add_node(()), graph.add_node(()));
        let mut known: BTreeMap<Thing, NodeIndex> = BTreeMap::new();
        let mut at = |graph: &mut DiGraph<(), usize>, thing: Thing| match side(joint, thing) {
            Some(s) if s == from => source,
            Some(_) => sink,
            None => *known.entry(thing).or_insert_with(|| graph.add_node(())),
        };
        let mut ties = Vec::new();
        for held in &self.links {
            let Some(object) = held.link.object else { continue };
            let (a, b) = (at(&mut graph, held.link.subject.thing), at(&mut graph, object.thing));
            if a != b {
                graph.add_edge(a, b, held.holds.len());
                graph.add_edge(b, a, held.holds.len());
                ties.push((a, b, *held));
            }
        }
        let (worth, flows) = ford_fulkerson(&graph, source, sink);
        let reached = left_over(&graph, &flows, source);
        let across = ties.into_iter().filter(|(a, b, _)| reached.contains(a) != reached.contains(b));
        (worth, across.map(|(_, _, l)| l).collect())
    }
}

/// What can still be reached from the source once the flow runs: its side of the cut.
fn left_over(graph: &DiGraph<(), usize>, flows: &[usize], source: NodeIndex) -> BTreeSet<NodeIndex> {
    let flow = |edge: petgraph::graph::EdgeIndex| flows.get(edge.index()).copied().unwrap_or(0);
    let mut reached = BTreeSet::from([source]);
    let mut stack = vec![source];
    while let Some(at) = stack.pop() {
        let out = graph.edges(at).filter(|e| *e.weight() > flow(e.id())).map(|e| e.target());
        let back = graph.edges_directed(at, petgraph::Incoming).filter(|e| flow(e.id()) > 0).map(|e| e.source());
        for next in out.chain(back) {
            if reached.insert(next) {
                stack.push(next);
            }
        }
    }
    reached
}
