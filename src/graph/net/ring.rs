//! What lies round a seam, in order: the interfaces of every end, layer by layer.
//!
//! Seen along the seam the ends stand round a point like the spokes of a wheel. Going round once, every interface is
//! met once and every layer is crossed once; a face is met twice, on the outer and on the inner side of what meets it.
//! So a closure, which crosses some of the layers, parts the ring into as many arcs.
//! Invariant: neighbors on the ring share a place or a layer.

use crate::graph::gravity::{self, Height};
use crate::graph::place::{Place, place};
use crate::graph::station::Station;
use crate::model::Job;
use crate::model::joint::{EndOf, Joint, Thing};
use crate::syntax::ast::{Edge, Half, JointKind, Spot, SurfaceKind};

/// Which part of an end a stack is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// All of it.
    Whole,
    /// Of a face: what lies on the first side of the surface that meets it.
    Outer,
    /// Of a face: what lies on the last side.
    Inner,
}

/// The interfaces of an end, 0 on its outer or exposed side.
#[derive(Clone, Debug)]
pub(super) struct Stack {
    /// Index into the joint's ends; one past them for the unit of an opening or the thing that goes through.
    pub end: usize,
    /// Which part of it.
    pub part: Part,
    /// How many layers; one more interfaces.
    pub layers: usize,
    /// The layers count from the last side (`inside face`).
    pub reversed: bool,
    /// Whether the ring meets interface 0 first.
    pub forward: bool,
    /// Before interface 0 and behind the last.
    pub places: (Place, Place),
    /// Whether water leaves or enters it here.
    pub height: Height,
    /// Where its interfaces begin among those of the ring, counted by interface.
    pub base: usize,
}

impl Stack {
    /// The surface's own index of a layer, or back: the two are mirror images where the end is an inside face.
    pub fn layer(&self, index: usize) -> usize {
        if self.reversed { self.layers.saturating_sub(index + 1) } else { index }
    }
}

/// All stacks in the order of the ring.
#[derive(Clone, Debug)]
pub(super) struct Ring {
    pub stacks: Vec<Stack>,
    /// How many interfaces there are.
    pub len: usize,
    /// Whether the upper half of a face is its outer part.
    pub upper_outer: bool,
}

impl Ring {
    pub fn new(job: &Job, joint: &Joint, station: Station) -> Self {
        let mut stacks: Vec<Stack> = (0..joint.ends.len()).filter_map(|end| plain(job, joint, end, station)).collect();
        let face = joint.ends.iter().position(|e| matches!(e.edge, Some(Edge::Face | Edge::InsideFace)));
        let upper_outer = face.is_none_or(|f| upper_outer(job, joint, f));
        if joint.kind != JointKind::Joint {
            stacks.extend(through(job, joint, station));
        } else if let [one] = stacks.as_mut_slice()
            && face.is_none()
        {
            // A free edge: what lies behind it is outdoors too.
            one.places.1 = Place::Outdoors;
        }
        match face {
            Some(f) => stacks = around_face(stacks, f, upper_outer),
            None => orient(&mut stacks, joint),
        }
        let mut len = 0;
        for stack in &mut stacks {
            stack.base = len;
            len += stack.layers + 1;
        }
        Self { stacks, len, upper_outer }
    }

    /// The part of a face that a half is.
    pub fn part(&self, half: Half) -> Part {
        if (half == Half::Upper) == self.upper_outer { Part::Outer } else { Part::Inner }
    }

    /// Numbers the arcs into which the layers crossed, (stack, layer counted from interface 0), part the ring.
    pub fn arcs(&self, crossed: &[(usize, usize)]) -> Vec<u8> {
        let mut label = vec![0_u8; self.len];
        let (mut arc, all) = (0_usize, crossed.len().max(1));
        for (index, stack) in self.stacks.iter().enumerate() {
            for step in 0..=stack.layers {
                let item = if stack.forward { step } else { stack.layers - step };
                if let Some(slot) = label.get_mut(stack.base + item) {
                    *slot = u8::try_from(arc % all).unwrap_or(u8::MAX);
                }
                let layer = if stack.forward { item } else { item.wrapping_sub(1) };
                arc += usize::from(crossed.contains(&(index, layer)));
            }
        }
        label
    }
}

/// An end as one stack; none when it could not be told.
fn plain(job: &Job, joint: &Joint, end: usize, station: Station) -> Option<Stack> {
    let here = joint.ends.get(end)?;
    let thing = Thing::Surface { end, half: None };
    let height = gravity::height(job, joint, thing, station);
    let (layers, places) = match here.of {
        EndOf::Surface(index) => {
            let surface = job.surfaces.get(index)?;
            (surface.layers.len(), (place(&surface.first), place(&surface.last)))
        }
        EndOf::Opening(index) => {
            let host = job.joints.get(index)?.surface(job, 0)?;
            (1, (place(&host.first), place(&host.last)))
        }
        EndOf::Hole => return None,
    };
    let reversed = here.edge == Some(Edge::InsideFace);
    let places = if reversed { (places.1, places.0) } else { places };
    Some(Stack { end, part: Part::Whole, layers, reversed, forward: true, places, height, base: 0 })
}

/// The unit of an opening, or the thing that goes through: one layer between the places of its host.
fn through(job: &Job, joint: &Joint, station: Station) -> Option<Stack> {
    let host = joint.surface(job, 0)?;
    let height = match station {
        Station::At(Spot::Head | Spot::Top) => Height::Lower,
        Station::At(Spot::Sill | Spot::Bottom) => Height::Upper,
        _ => Height::Beside,
    };
    let places = (place(&host.first), place(&host.last));
    let end = joint.ends.len();
    Some(Stack { end, part: Part::Whole, layers: 1, reversed: false, forward: false, places, height, base: 0 })
}

/// Which half of a face lies on the first side of what meets it: the upper, for a first side lies on top; but a wall that
/// stands on a roof has outdoors downhill.
fn upper_outer(job: &Job, joint: &Joint, face: usize) -> bool {
    let roof = joint.surface(job, face).is_some_and(|s| s.kind == SurfaceKind::Roof);
    let foot = joint.ends.iter().any(|e| e.edge == Some(Edge::Bottom));
    !(roof && foot)
}

/// A face carries on past what meets it: its outer part, what meets it, its inner part.
fn around_face(stacks: Vec<Stack>, face: usize, upper_outer: bool) -> Vec<Stack> {
    let (faces, mut others): (Vec<Stack>, Vec<Stack>) = stacks.into_iter().partition(|s| s.end == face);
    let Some(whole) = faces.into_iter().next() else { return others };
    let own = whole.places.0;
    let outer_place = others.first().map_or(own, |s| s.places.0);
    let inner_place = others.last().map_or(own, |s| s.places.1);
    let heights = match (whole.height, upper_outer) {
        (Height::Beside, _) => (Height::Beside, Height::Beside),
        (_, true) => (Height::Upper, Height::Lower),
        (_, false) => (Height::Lower, Height::Upper),
    };
    let behind = whole.places.1;
    let outer =
        Stack { part: Part::Outer, forward: false, places: (outer_place, behind), height: heights.0, ..whole.clone() };
    let inner = Stack { part: Part::Inner, places: (inner_place, behind), height: heights.1, ..whole };
    others.insert(0, outer);
    others.push(inner);
    others
}

/// Where an end stands on the wheel, clockwise from the top, as its edge says.
fn spoke(edge: Option<Edge>) -> u8 {
    match edge {
        Some(Edge::Bottom | Edge::Sill) => 0,
        Some(Edge::Top | Edge::Head) => 2,
        _ => 1,
    }
}

/// Sets the order and the direction of ends none of which carries on: the way round in which most neighbors share a
/// place. Of equals the one that the edges suggest: walls above, floors and roofs beside, walls below.
fn orient(stacks: &mut [Stack], joint: &Joint) {
    /// More ends than this meet nowhere; the suggested way is taken as it is.
    const MOST: usize = 6;
    let ends = joint.ends.len();
    let spoke = |s: &Stack| if s.end < ends { spoke(joint.ends.get(s.end).and_then(|e| e.edge)) } else { 3 };
    let outside = |p: Place| matches!(p, Place::Outdoors | Place::Ground | Place::Water);
    let inner = |s: &Stack| !outside(s.places.0) && !outside(s.places.1);
    let first = stacks.iter().position(|s| !inner(s)).and_then(|i| stacks.get(i)).map(|s| s.end);
    // What has rooms on both sides stands between those that have not.
    stacks.sort_by_key(|s| (spoke(s), u8::from(first != Some(s.end)) + u8::from(!inner(s) && first != Some(s.end))));
    let mut beside = 0;
    for stack in stacks.iter_mut() {
        let here = spoke(stack);
        beside += usize::from(here == 1);
        stack.forward = here == 0 || (here == 1 && beside == 1);
    }
    if stacks.len() > MOST {
        return;
    }
    let fits = |turned: usize| {
        let side = |s: &Stack, index: usize, entering: bool| {
            let forward = s.forward != (turned >> index & 1 == 1);
            if forward == entering { (s.places.0, true) } else { (s.places.1, false) }
        };
        // Of two sides that could be the neighbor it is the one in the weather: a landing meets a wall with its top.
        let like = |a: (Place, bool), b: (Place, bool)| {
            let same = a.0 == b.0 || (outside(a.0) && outside(b.0));
            if same { 4 + usize::from(outside(a.0) && a.1 && b.1) } else { 0 }
        };
        let next = stacks.iter().enumerate().cycle().skip(1);
        stacks
            .iter()
            .enumerate()
            .zip(next)
            .map(|((i, a), (j, b))| like(side(a, i, false), side(b, j, true)))
            .sum::<usize>()
    };
    let mut best = (0, fits(0));
    for turned in 1..1_usize << stacks.len() {
        let fit = fits(turned);
        if fit > best.1 {
            best = (turned, fit);
        }
    }
    for (index, stack) in stacks.iter_mut().enumerate() {
        stack.forward ^= best.0 >> index & 1 == 1;
    }
}
