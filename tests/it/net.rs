//! The graph of a joint against a naive reading of its definition: closures found by flooding, ways by trying them all.

use dewlap::base::span::FileId;
use dewlap::graph::net::{Cause, Leak, Net};
use dewlap::graph::plane::Agent;
use dewlap::graph::station::Station;
use dewlap::model::joint::{Joint, Link, Thing};
use dewlap::model::{Job, lower};
use dewlap::syntax::ast::{Half, Verb};
use dewlap::syntax::parse;

/// Surfaces whose layers are closed to air or not, as the table below says, and pieces of both sorts.
const JOB: &str = "wall a
  outdoors
  l0: wood-lap-siding 3/4 in
  l1: liquid-membrane-open 20 mil
  l2: mineral-wool-board 2 in
  indoors
wall b
  outdoors
  l0: plywood 1/2 in, sealed
  l1: mineral-wool-board 2 in
  l2: drywall 1/2 in, taped
  indoors
wall c
  outdoors
  l0: brick-veneer 4 in
  l1: plywood 1/2 in, sealed
  l2: mineral-wool-board 2 in
  l3: poly 6 mil, taped
  indoors
roof d
  slope 6:12
  outdoors
  l0: asphalt-shingles
  l1: self-adhered-high-temp, adhered
  l2: mineral-wool-board 2 in
  indoors
roof e
  slope 6:12
  outdoors
  l0: plywood 1/2 in
  l1: mineral-wool-board 2 in
  l2: smart-membrane, taped
  indoors
joint ab
  joins a left, b right
  p0: butyl-tape 4 in
  p1: galvanized-steel
  p2: mineral-wool-board 1 in
  p3: rubber-strip 6 in
  a.l0 laps over p0
  p1 seals to a.l0
  p2 seals to a.l0
  p3 seals to a.l0
joint ad
  joins a top, d eave
joint be
  joins b top, e eave
joint ec
  joins c face, e high
joint da
  joins a face, d high
joint bc
  joins c face, b left
";

/// Which layers are closed to air: of each surface in the order written.
const CLOSED: [&[bool]; 5] = [
    &[false, true, false],
    &[true, false, true],
    &[false, true, false, true],
    &[false, true, false],
    &[false, false, true],
];
/// Which pieces are, and which of them stick by themselves.
const PIECES: [(bool, bool); 4] = [(true, true), (true, false), (false, false), (true, false)];

fn job() -> Job {
    let parsed = parse(FileId(0), JOB);
    let lowered = lower(&[parsed.tree]);
    let problems: Vec<_> = parsed.problems.iter().chain(&lowered.problems).map(|p| &p.message).collect();
    assert!(problems.is_empty(), "{problems:?}");
    lowered.job
}

/// Numerical Recipes' linear congruential generator: the same cases every time.
struct Random(u32);

impl Random {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (self.0 >> 8) as usize % n
    }
}

/// What the naive reading sees of a joint.
struct Naive<'a> {
    joint: &'a Joint,
    /// Surface of each end.
    surfaces: Vec<usize>,
    /// Interfaces in the order met going round: (end, inner half of a face, interface).
    round: Vec<(usize, bool, usize)>,
    face: bool,
}

impl<'a> Naive<'a> {
    /// `a left, b right` and their like: outer to inner along the first, back along the second. A face is met twice.
    fn new(joint: &'a Joint, surfaces: Vec<usize>, face: bool) -> Self {
        let count = |e: usize| CLOSED[surfaces[e]].len();
        let mut round = Vec::new();
        if face {
            round.extend((0..=count(0)).rev().map(|i| (0, false, i)));
            round.extend((0..=count(1)).map(|i| (1, false, i)));
            round.extend((0..=count(0)).map(|i| (0, true, i)));
        } else {
            round.extend((0..=count(0)).map(|i| (0, false, i)));
            round.extend((0..=count(1)).rev().map(|i| (1, false, i)));
        }
        Self { joint, surfaces, round, face }
    }

    fn layer_closed(&self, end: usize, layer: usize) -> bool {
        CLOSED[self.surfaces[end]][layer]
    }

    /// The table of the notation, for the sentences that the cases use.
    fn link_closed(link: &Link) -> bool {
        let sticks = match link.subject.thing {
            Thing::Piece(p) => PIECES[p].1,
            _ => false,
        };
        match link.verb {
            Verb::SealsTo => true,
            Verb::LapsOver => sticks || link.hold.taped || link.hold.sealed,
            Verb::Butts | Verb::TucksInto | Verb::Touches => link.hold.taped || link.hold.sealed,
            _ => false,
        }
    }

    /// A layer that a sentence names by halves is two things; a piece that is open is none. An open layer ends a chain.
    fn chains(&self) -> Vec<Vec<(usize, bool, usize)>> {
        let halved = |end: usize, layer: usize| {
            let parties = self.joint.links.iter().flat_map(|l| [Some(l.subject), l.object]).flatten();
            parties.into_iter().any(
                |p| matches!(p.thing, Thing::Layer { end: e, layer: l, half: Some(_), .. } if (e, l) == (end, layer)),
            )
        };
        // Crossings of a thing: (end, inner half, layer).
        let crossings = |thing: Thing| -> Vec<(usize, bool, usize)> {
            let Thing::Layer { end, layer, half, .. } = thing else { return Vec::new() };
            let both = self.face && end == 0;
            match half {
                Some(h) if halved(end, layer) => vec![(end, h == Half::Lower, layer)],
                _ if both => vec![(end, false, layer), (end, true, layer)],
                _ => vec![(end, false, layer)],
            }
        };
        let open_piece = |t: Thing| matches!(t, Thing::Piece(p) if !PIECES[p].0);
        let carries = |t: Thing| match t {
            Thing::Layer { end, layer, .. } => self.layer_closed(end, layer),
            _ => true,
        };
        let mut ties: Vec<(Thing, Thing)> = self
            .joint
            .links
            .iter()
            .filter(|l| Self::link_closed(l))
            .map(|l| (l.subject.thing, l.object.unwrap().thing))
            .filter(|(a, b)| !open_piece(*a) && !open_piece(*b))
            .collect();
        let mut chains = Vec::new();
        while let Some(first) = ties.pop() {
            let mut members = vec![first];
            while let Some(at) = ties.iter().position(|t| {
                let shared = |x: Thing| carries(x) && members.iter().any(|m| m.0 == x || m.1 == x);
                shared(t.0) || shared(t.1)
            }) {
                members.push(ties.remove(at));
            }
            let mut crossed: Vec<_> = members.iter().flat_map(|(a, b)| [*a, *b]).flat_map(crossings).collect();
            crossed.sort_unstable();
            crossed.dedup();
            if crossed.len() > 1 {
                chains.push(crossed);
            }
        }
        chains
    }

    /// In which arc of a chain each interface lies.
    fn arcs(&self, crossed: &[(usize, bool, usize)]) -> Vec<usize> {
        let n = self.round.len();
        let cut = |k: usize| {
            let (a, b) = (self.round[k], self.round[(k + 1) % n]);
            (a.0, a.1) == (b.0, b.1) && crossed.contains(&(a.0, a.1, a.2.min(b.2)))
        };
        // Flood from each interface to its neighbors until a cut.
        (0..n)
            .map(|start| {
                let mut reached = vec![start];
                let mut next = 0;
                while next < reached.len() {
                    let k = reached[next];
                    next += 1;
                    for (to, at) in [((k + 1) % n, k), ((k + n - 1) % n, (k + n - 1) % n)] {
                        if !cut(at) && !reached.contains(&to) {
                            reached.push(to);
                        }
                    }
                }
                reached.into_iter().min().unwrap()
            })
            .collect()
    }

    /// Follows every way as long as it is cheaper than one known from outdoors to the room.
    fn cheapest(&self) -> u32 {
        let arcs: Vec<Vec<usize>> = self.chains().iter().map(|c| self.arcs(c)).collect();
        let apart = |a: usize, b: usize| arcs.iter().filter(|l| l[a] != l[b]).count() as u32;
        let cut = |layer: usize| {
            let parties = self.joint.links.iter().flat_map(|l| [Some(l.subject), l.object]).flatten();
            parties
                .into_iter()
                .any(|p| matches!(p.thing, Thing::Layer { end: 0, layer: l, half: Some(_), .. } if l == layer))
        };
        // How many layers of the face carry on before an interface: what lies behind as many lies in one part of the seam.
        let depth = |k: usize| {
            let (end, _, item) = self.round[k];
            if self.face && end == 0 { (0..item).filter(|l| !cut(*l)).count() } else { 0 }
        };
        let n = self.round.len();
        let depth: Vec<usize> = (0..n).map(depth).collect();
        let mut best = vec![u32::MAX; n];
        let outside = |k: usize| self.round[k] == (1, false, 0);
        let mut todo: Vec<(usize, u32)> = (0..n).filter(|k| outside(*k)).map(|k| (k, 0)).collect();
        while let Some((k, cost)) = todo.pop() {
            if cost >= best[k] {
                continue;
            }
            best[k] = cost;
            let here = self.round[k];
            for (to, there) in self.round.iter().copied().enumerate().filter(|(to, _)| *to != k) {
                if depth[k] == depth[to] {
                    todo.push((to, cost + apart(k, to)));
                }
                if (here.0, here.1) == (there.0, there.1) && here.2.abs_diff(there.2) == 1 {
                    todo.push((to, cost + u32::from(self.layer_closed(here.0, here.2.min(there.2)))));
                }
                let last = CLOSED[self.surfaces[here.0]].len();
                if self.face && here.0 == 0 && there.0 == 0 && here.2 == there.2 && (1..last).contains(&here.2) {
                    todo.push((to, cost + apart(k, to)));
                }
                // One place behind both: outdoors, or the room.
                if self.place(here) == self.place(there) && self.place(here).is_some() {
                    todo.push((to, cost));
                }
            }
        }
        (0..n).filter(|k| self.place(self.round[*k]) == Some(false)).map(|k| best[k]).min().unwrap()
    }

    /// Outdoors, indoors, or neither.
    fn place(&self, (end, inner, item): (usize, bool, usize)) -> Option<bool> {
        let last = item == CLOSED[self.surfaces[end]].len();
        match (self.face && end == 0, item) {
            (true, 0) => Some(!inner),
            (_, 0) => Some(true),
            _ if last => Some(false),
            _ => None,
        }
    }
}

const VERBS: [Verb; 6] = [Verb::LapsOver, Verb::SealsTo, Verb::SealsTo, Verb::Butts, Verb::TucksInto, Verb::Touches];

/// A joint with up to eight sentences drawn at random.
fn draw(template: &Joint, pieces: &Joint, layers: [usize; 2], face: bool, random: &mut Random) -> Joint {
    let mut joint = template.clone();
    joint.pieces = pieces.pieces.clone();
    for _ in 0..random.below(9) {
        let mut thing = |end: usize| {
            if random.below(3) == 0 {
                return Thing::Piece([0, 0, 1, 1, 3, 2][random.below(6)]);
            }
            let half = match random.below(4) {
                0 if face && end == 0 => Some(Half::Upper),
                1 if face && end == 0 => Some(Half::Lower),
                _ => None,
            };
            Thing::Layer { end, layer: random.below(layers[end]), half, part: None }
        };
        let mut link = pieces.links[0].clone();
        (link.subject.thing, link.object.as_mut().unwrap().thing) = (thing(0), thing(1));
        link.verb = VERBS[random.below(VERBS.len())];
        link.hold.sealed = random.below(3) == 0;
        // Coats stick as the subject of a lap; the table above leaves them to the other sentences.
        let coat = matches!(link.subject.thing, Thing::Layer { .. }) && link.verb == Verb::LapsOver;
        link.hold.sealed |= coat;
        joint.links.push(link);
    }
    joint
}

#[test]
fn the_cheapest_way_is_that_of_trying_them_all() {
    let job = job();
    let mut random = Random(20_260_711);
    let (mut leaky, mut tight, mut long) = (0, 0, 0);
    // Joint and its surfaces, in the order of its ends.
    let cases = [("ab", [0, 1]), ("ad", [0, 3]), ("be", [1, 4]), ("ec", [2, 4]), ("da", [0, 3]), ("bc", [2, 1])];
    for round in 0..2_400 {
        let (name, surfaces) = cases[round % cases.len()];
        let template = job.joints.iter().find(|j| j.name == name).unwrap();
        let face = round % cases.len() > 2;
        let layers = surfaces.map(|s| CLOSED[s].len());
        let mut joint =
            draw(&Joint { links: Vec::new(), ..template.clone() }, &job.joints[0], layers, face, &mut random);
        joint.links.retain(|l| l.subject.thing != l.object.unwrap().thing);
        let naive = Naive::new(&joint, surfaces.to_vec(), face).cheapest();
        let net = Net::new(&job, &joint);
        let cost = net.cost(Agent::Air, Station::Run).unwrap();
        assert_eq!(cost, naive, "round {round} of {name}: {:#?}", brief(&joint));
        leaky += usize::from(cost == 0);
        tight += usize::from(cost == 1);
        long += usize::from(cost > 1);
        // Every surface here has a closed layer: what leaks, leaks at the seam.
        let leaks = net.leaks(Agent::Air);
        assert_eq!(leaks.is_empty(), cost > 0, "round {round} of {name}: {leaks:?}");
    }
    assert!(leaky > 500 && tight > 300 && long > 10, "{leaky} {tight} {long}");
}

fn brief(joint: &Joint) -> Vec<String> {
    let one =
        |l: &Link| format!("{:?} {:?} {:?} {}", l.subject.thing, l.verb, l.object.map(|o| o.thing), l.hold.sealed);
    joint.links.iter().map(one).collect()
}

/// Three layers of defense of an old stone wall and a new frame wall, and what may meet there.
const PLACES: &str = "room barn
  unheated
wall east
  outdoors
  boards: wood-lap-siding 3/4 in
  gap: air 1 in, open top and bottom
  membrane: liquid-membrane-open 40 mil -> water air
  sheathing: plywood 1/2 in, sealed
  studs: 2x4 at 16 in, bays mineral-wool-batt
  lining: tongue-and-groove 3/4 in
  indoors
wall old
  existing
  outdoors
  stone: fieldstone 24 in -> water air
  barn
wall brick
  outdoors
  veneer: brick-veneer 4 in
  cavity: air 2 in, open bottom
  felt: felt, lapped 6 in -> water
  board: plywood 1/2 in, taped -> air
  indoors
roof low
  slope 6:12
  outdoors
  metal: standing-seam-steel -> water
  under: synthetic-underlay, lapped 6 in -> water
  deck: plywood 5/8 in
  rafters: 2x8 at 16 in, bays mineral-wool-batt
  foil: foil, taped -> air vapor
  boards: tongue-and-groove 3/4 in
  indoors
";

/// Why air leaks at the one joint of a text, and the ways it takes.
fn air_ways(stanza: &str) -> Vec<(Cause, String)> {
    ways(stanza, Agent::Air)
}

fn ways(stanza: &str, agent: Agent) -> Vec<(Cause, String)> {
    let parsed = parse(FileId(0), &format!("{PLACES}{stanza}"));
    let lowered = lower(&[parsed.tree]);
    let problems: Vec<_> = parsed.problems.iter().chain(&lowered.problems).map(|p| &p.message).collect();
    assert!(problems.is_empty(), "{problems:?}");
    let job = lowered.job;
    let leaks = Net::new(&job, &job.joints[0]).leaks(agent);
    let words = |l: &Leak| l.steps.iter().map(|s| s.words.clone()).collect::<Vec<_>>().join(", ");
    leaks.iter().map(|l| (l.cause.clone(), words(l))).collect()
}

#[test]
fn nothing_written_is_an_open_seam() {
    let ways = air_ways("joint tie\n  joins east left, old face\n");
    assert_eq!(ways, [(Cause::NothingJoined, "outdoors, the seam, indoors".to_string())]);
}

#[test]
fn a_strip_from_layer_to_layer_closes_it_and_a_lap_of_bare_metal_does_not() {
    let strip = |material: &str| {
        format!(
            "joint tie\n  joins east left, old face\n  strip: {material}\n  strip laps over membrane 4 in\n  strip laps \
             over stone 5 in, primed\n"
        )
    };
    assert_eq!(air_ways(&strip("bitumen-sheet")), []);
    assert_eq!(air_ways(&strip("galvanized-steel"))[0].0, Cause::NothingJoined);
}

#[test]
fn two_air_layers_at_two_depths_are_linked_by_the_bays_between_them() {
    let ways = air_ways(
        "joint eave\n  joins low eave, east top\n  out: sheathing-tape\n  in: sheathing-tape\n  out laps over membrane \
         2 in\n  out laps over under 2 in\n  in laps over foil 2 in\n  in laps over lining 2 in\n",
    );
    let (cause, words) = &ways[0];
    assert_eq!(*cause, Cause::Misaligned(vec![(0, 4), (1, 2)]));
    assert!(words.ends_with("the seam, the bays of `studs`, the joints of `lining`, indoors"), "{words}");
    assert_eq!(ways.len(), 1);
}

#[test]
fn a_cavity_carries_on_behind_a_good_seal_until_it_is_filled_or_crossed() {
    let seal = "joint tie\n  joins east left, brick face\n  strip: bitumen-sheet\n  foam: spf-closed\n  strip laps over \
                membrane 4 in\n";
    let at_face = format!("{seal}  strip laps over veneer 5 in, primed\n  foam seals to strip\n");
    let ways = air_ways(&at_face);
    assert_eq!(
        ways,
        [(Cause::Along(1, 1), "outdoors, through `veneer`, the gap `cavity`, through `veneer`, indoors".to_string())]
    );
    assert_eq!(air_ways(&format!("{at_face}  foam fills cavity\n")), []);
    let crossed = format!("{seal}  strip laps over upper board 3 in, rolled\n  foam seals to strip\n");
    assert_eq!(air_ways(&crossed), []);
}

#[test]
fn bays_that_run_past_the_wall_are_open_until_they_are_filled() {
    let eave = "joint eave\n  joins low eave, east top\n  strip: sheathing-tape\n  foam: spf-closed\n  strip laps over \
                membrane 2 in\n  strip laps over foil 2 in\n  foam seals to strip\n  rafters run past membrane\n";
    let ways = air_ways(eave);
    // They lie outboard of the foil, which is tied: nothing gets in.
    assert_eq!(ways, []);
    let below = eave.replace("strip laps over foil 2 in", "strip laps over under 2 in").replace(
        "  rafters run past membrane\n",
        "  under seals to deck with urethane\n  low.boards run past membrane\n",
    );
    assert_eq!(air_ways(&below)[0].0, Cause::Along(0, 5), "{:?}", air_ways(&below));
}

#[test]
fn water_falls_down_a_cavity_that_has_no_tray() {
    let roof = "joint lean-to\n  joins brick face, low high\n  base: galvanized-steel\n  counter: galvanized-steel\n  counter \
                laps over base 4 in\n  base laps over metal 6 in\n";
    let slot = ways(&format!("{roof}  counter tucks into veneer 1 in, sealed\n"), Agent::Water);
    assert_eq!(
        slot,
        [(Cause::Along(0, 1), "outdoors, through `veneer`, the gap `cavity`, through `veneer`, indoors".to_string())]
    );
    let tray = format!("{roof}  tray: copper\n  upper felt laps over tray 4 in\n  tray laps over counter 2 in\n");
    assert_eq!(ways(&tray, Agent::Water), []);
}

#[test]
fn rain_does_not_climb_behind_a_ledger() {
    // The cap above and the strip behind are not tied, and need not be.
    let good = "wall frame\n  outdoors\n  siding: wood-lap-siding 3/4 in\n  gap: air 3/4 in, open top and bottom\n  wrap: \
                housewrap, lapped 6 in -> water\n  sheath: plywood 1/2 in\n  indoors\ndeck porch\n  slope 2 %\n  outdoors\n  \
                planks: larch 1 in\n  outdoors\njoint ledger\n  joins frame face, porch back\n  ledger: treated-wood 2 in\n  \
                cap: galvanized-steel, drip\n  strip: bitumen-sheet\n  upper wrap laps over cap 4 in\n  cap laps over ledger \
                1 in\n  ledger fastens through strip at 16 in oc\n  strip laps over lower wrap 3 in\n";
    assert_eq!(ways(good, Agent::Water), []);
    let bare = good.replace("  cap laps over ledger 1 in\n", "  cap drains to outdoors\n");
    assert!(!ways(&bare, Agent::Water).is_empty());
}

#[test]
fn a_free_edge_leaks_water_only() {
    let top = "wall screen\n  outdoors\n  face: bitumen-sheet 40 mil, adhered -> water air\n  board: plywood 3/4 in\n  back: \
               bitumen-sheet 40 mil, adhered -> water\n  outdoors\njoint cap\n  joins screen top\n";
    assert_eq!(ways(top, Agent::Water).len(), 1);
    assert_eq!(ways(top, Agent::Air), []);
    let capped = format!("{top}  cap: bitumen-sheet\n  cap laps over face 4 in\n  cap laps over back 4 in\n");
    assert_eq!(ways(&capped, Agent::Water), []);
}
