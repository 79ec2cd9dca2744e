//! Closures as they are told: the chains of a station without what hangs loose on them, in order.
//!
//! Invariant: every thing of a closure lies on a way between two of its layers.

use super::contact::{Chain, Contact, Knot, Tie};
use super::{Closure, Net, Side};
use crate::graph::plane::Agent;
use crate::graph::station::Station;
use crate::model::joint::{Link, Thing};
use crate::syntax::ast::{JointKind, Verb};

impl Net<'_> {
    /// The closures against an agent at a station.
    pub fn closures(&self, agent: Agent, station: Station) -> Vec<Closure> {
        let Some(side) = self.sides.iter().find(|s| s.station == station) else { return Vec::new() };
        let contact = self.gather(side, agent).contact();
        contact.chains(&side.ring).iter().map(|chain| self.told(side, agent, &contact, chain)).collect()
    }

    fn told(&self, side: &Side, agent: Agent, contact: &Contact, chain: &Chain) -> Closure {
        let ties = bearing(contact, chain);
        let mut knots: Vec<usize> = Vec::new();
        let layer = |k: &usize| matches!(contact.knots.get(*k), Some(Knot::Layer(..)));
        let start = chain.knots.iter().copied().find(layer);
        let mut queue: Vec<usize> = start.into_iter().collect();
        while let Some(next) = queue.pop() {
            if !knots.contains(&next) {
                knots.push(next);
                let beyond = |t: &Tie| if t.a == next { Some(t.b) } else { (t.b == next).then_some(t.a) };
                queue.extend(ties.iter().rev().filter_map(beyond));
            }
        }
        let mut meets: Vec<(usize, usize)> = Vec::new();
        for (stack, layer) in &chain.crossed {
            if let Some(stack) = side.ring.stacks.get(*stack) {
                meets.push((stack.end, stack.layer(*layer)));
            }
        }
        meets.sort_unstable();
        meets.dedup();
        let mut links: Vec<usize> = ties.iter().filter_map(|t| t.link).collect();
        links.sort_unstable();
        links.dedup();
        let worth = |l: &usize| self.joint.links.get(*l).map(holds);
        let worth = if agent == Agent::Water { links.iter().filter_map(worth).min().unwrap_or(1) } else { 1 };
        let things = knots.iter().filter_map(|k| contact.knots.get(*k)).filter_map(|k| self.thing(*k)).collect();
        Closure { station: side.station, meets, things, links, worth }
    }

    fn thing(&self, knot: Knot) -> Option<Thing> {
        match knot {
            Knot::Piece(thing) => Some(thing),
            Knot::Layer(end, _, _) if end == self.joint.ends.len() => {
                (self.joint.kind != JointKind::Joint).then_some(Thing::Piece(0))
            }
            Knot::Layer(end, layer, _) => Some(Thing::Layer { end, layer, half: None, part: None }),
        }
    }
}

/// The ties of a chain on which it bears: pieces that only hang on it are left out, again and again.
fn bearing(contact: &Contact, chain: &Chain) -> Vec<Tie> {
    let mut ties: Vec<Tie> = contact.ties.iter().filter(|t| chain.knots.contains(&t.a)).copied().collect();
    loop {
        let reach = |k: usize, ties: &[Tie]| {
            let mut others: Vec<usize> = ties.iter().filter_map(|t| t.other(k)).collect();
            others.sort_unstable();
            others.dedup();
            others.len()
        };
        let loose = |k: usize| matches!(contact.knots.get(k), Some(Knot::Piece(_))) && reach(k, &ties) < 2;
        let kept: Vec<Tie> = ties.iter().filter(|t| !loose(t.a) && !loose(t.b)).copied().collect();
        if kept.len() == ties.len() {
            return kept;
        }
        ties = kept;
    }
}

impl Tie {
    fn other(&self, knot: usize) -> Option<usize> {
        if self.a == knot { Some(self.b) } else { (self.b == knot).then_some(self.a) }
    }
}

/// Independent holds of a sentence against water: a lap, a slot or a bead; a bond beside it; an edge that is held.
fn holds(link: &Link) -> u32 {
    let hold = &link.hold;
    let stuck = hold.bonded || hold.sealed || hold.taped || hold.welded || hold.clamped || hold.torched || hold.pointed;
    let base = u32::from(matches!(link.verb, Verb::LapsOver | Verb::TucksInto | Verb::SealsTo | Verb::TurnsUp));
    (base
        + u32::from(stuck || (link.with.is_some() && link.verb != Verb::SealsTo))
        + u32::from(hold.edge_under.is_some()))
    .max(1)
}
