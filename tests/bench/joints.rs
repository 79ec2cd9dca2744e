//! One large job of joints: the details that are shipped, over and over under numbered names.
//!
//! Invariant: every size is made of the same details in the same shares, so that times can be compared by size.

#[path = "../it/details/drawn.rs"]
mod drawn;

use dewlap::base::span::FileId;
use dewlap::graph::net::Net;
use dewlap::graph::plane::Agent;
use dewlap::model::{self, Job};
use dewlap::review::{self, Input};
use dewlap::syntax;
use divan::{Bencher, black_box};
use drawn::as_drawn;
use petgraph::algo::dijkstra;
use petgraph::graph::{DiGraph, NodeIndex};
use std::collections::BTreeSet;

/// Joints of a job; the last is four times the first.
const SIZES: [usize; 3] = [250, 500, 1_000];

const DETAILS: [&str; 12] = [
    include_str!("../../details/balcony-door.dew"),
    include_str!("../../details/chimney.dew"),
    include_str!("../../details/flanged-window.dew"),
    include_str!("../../details/frame-on-foundation.dew"),
    include_str!("../../details/kick-out.dew"),
    include_str!("../../details/ledger.dew"),
    include_str!("../../details/parapet.dew"),
    include_str!("../../details/pipe-in-wall.dew"),
    include_str!("../../details/planks-past-wall.dew"),
    include_str!("../../details/sill-on-slab.dew"),
    include_str!("../../details/stone-tie.dew"),
    include_str!("../../details/veneer-over-roof.dew"),
];

const HEAD: &str = "job quarter\n  place asheville-nc-us\n  code irc-2021\n  heated 68 F 40 %\n  cooled 75 F 55 %\n\n\
                    room barn\n  unheated\n\nroom loft\n  open eave and ridge 1/150\n\n";

/// A job of so many joints, and three surfaces for every ten of them.
pub fn text(joints: usize) -> String {
    let (mut text, mut made, mut surfaces) = (HEAD.to_owned(), 0, 0);
    for (number, detail) in DETAILS.iter().cycle().enumerate() {
        let detail = as_drawn(detail);
        let (of_joints, of_surfaces): (Vec<&str>, Vec<&str>) = stanzas(&detail)
            .into_iter()
            .partition(|s| ["joint ", "opening ", "penetration "].iter().any(|w| s.starts_with(w)));
        let own: BTreeSet<&str> = of_surfaces.iter().filter_map(|s| name(s)).collect();
        for stanza in &of_surfaces {
            text.push_str(&numbered(stanza, &own, &format!("-{number}")));
        }
        surfaces += of_surfaces.len();
        let openings: BTreeSet<&str> =
            of_joints.iter().filter(|s| s.starts_with("opening ")).filter_map(|s| name(s)).collect();
        // The joints are repeated until there are enough for the surfaces.
        for copy in 0.. {
            for stanza in &of_joints {
                if made == joints {
                    return text;
                }
                let stanza = numbered(stanza, &own, &format!("-{number}"));
                let stanza = numbered(&stanza, &openings, &format!("-{number}-{copy}"));
                text.push_str(&head_numbered(&stanza, &format!("-{number}-{copy}")));
                made += 1;
            }
            if made * 3 >= surfaces * 10 {
                break;
            }
        }
    }
    text
}

/// The surfaces and joints of a detail; its head is none of them.
fn stanzas(detail: &str) -> Vec<&str> {
    let detail = detail.rsplit_once("\n---\n").map_or(detail, |(_, below)| below);
    let mut starts: Vec<usize> = detail.match_indices('\n').map(|(at, _)| at + 1).collect();
    starts.retain(|at| detail[*at..].starts_with(|c: char| c.is_ascii_lowercase()));
    let ends = starts.iter().skip(1).copied().chain([detail.len()]);
    let all = starts.iter().zip(ends).map(|(from, to)| &detail[*from..to]);
    all.filter(|s| !["detail ", "job ", "room "].iter().any(|w| s.starts_with(w))).collect()
}

fn name(stanza: &str) -> Option<&str> {
    stanza.split_whitespace().nth(1)
}

/// Puts a number to every word that is one of these names; a line of one word is a room, `low end` a place.
fn numbered(stanza: &str, names: &BTreeSet<&str>, number: &str) -> String {
    let word = |c: char| c.is_ascii_alphanumeric() || c == '-';
    let mut out = String::new();
    for line in stanza.split_inclusive('\n') {
        let mut rest = line;
        while let Some(from) = rest.find(word) {
            let len = rest[from..].find(|c| !word(c)).unwrap_or(rest.len() - from);
            let (found, after) = (&rest[from..from + len], &rest[from + len..]);
            out.push_str(&rest[..from + len]);
            let label = after.starts_with(':');
            if names.contains(found) && line.trim() != found && !label && !after.starts_with(" end") {
                out.push_str(number);
            }
            rest = after;
        }
        out.push_str(rest);
    }
    out
}

/// Puts a number to the name of a stanza that has none yet.
fn head_numbered(stanza: &str, number: &str) -> String {
    match name(stanza) {
        Some(own) if !own.ends_with(number) => stanza.replacen(own, &format!("{own}{number}"), 1),
        _ => stanza.to_owned(),
    }
}

/// The job, with everything in it read.
fn job(text: &str) -> Job {
    let lowered = model::lower(&[syntax::parse(FileId(0), text).tree]);
    let told: Vec<&str> = lowered.problems.iter().map(|p| p.message.as_str()).collect();
    assert!(told.is_empty(), "the job of the bench has to be readable: {told:?}");
    lowered.job
}

/// Reading and lowering.
#[divan::bench(args = SIZES, sample_count = 20)]
fn parse_and_lower(bencher: Bencher<'_, '_>, joints: usize) {
    let text = text(joints);
    bencher.bench_local(|| {
        let trees = [syntax::parse(FileId(0), black_box(&text)).tree];
        let lowered = model::lower(&trees);
        (trees, lowered)
    });
}

/// The floor of it: the same text cut into words, each owned, as names are.
#[divan::bench(args = SIZES, sample_count = 20)]
fn words(bencher: Bencher<'_, '_>, joints: usize) {
    let text = text(joints);
    bencher.bench_local(|| black_box(&text).split_whitespace().map(str::to_owned).collect::<Vec<String>>());
}

/// The graph of every joint, and the open ways of all four agents.
#[divan::bench(args = SIZES, sample_count = 20)]
fn graph(bencher: Bencher<'_, '_>, joints: usize) {
    let job = job(&text(joints));
    bencher.bench_local(|| {
        let nets = black_box(&job).joints.iter().map(|joint| Net::new(&job, joint));
        nets.map(|net| Agent::ALL.map(|agent| net.leaks(agent).len())).collect::<Vec<_>>()
    });
}

/// The floor of it: a shortest way through a graph of as many nodes and edges, one a joint and agent, and nothing else.
#[divan::bench(args = SIZES, sample_count = 20)]
fn searches(bencher: Bencher<'_, '_>, joints: usize) {
    // Two sections of six layers and a seam: interface to interface, and each to the seam, both ways.
    const NODES: u32 = 16;
    let mut ring: DiGraph<(), u32> = DiGraph::new();
    for _ in 0..NODES {
        ring.add_node(());
    }
    for node in 0..NODES {
        for (a, b) in [(node, (node + 1) % NODES), (node, NODES - 1)] {
            ring.add_edge(NodeIndex::from(a), NodeIndex::from(b), 2);
            ring.add_edge(NodeIndex::from(b), NodeIndex::from(a), 2);
        }
    }
    bencher.bench_local(|| {
        let ways = (0..joints * Agent::ALL.len()).map(|_| {
            dijkstra(black_box(&ring), NodeIndex::from(0), Some(NodeIndex::from(NODES / 2)), |e| *e.weight()).len()
        });
        ways.sum::<usize>()
    });
}

fn reviewed(roots: Vec<Input>) -> review::Review {
    review::review(roots, &mut |_, _| Err("the job of the bench includes nothing".to_owned()))
}

fn input(joints: usize) -> Input {
    Input { name: "joints.dew".to_owned(), text: text(joints) }
}

/// Texts in, report out.
#[divan::bench(args = SIZES, sample_count = 20)]
fn review(bencher: Bencher<'_, '_>, joints: usize) {
    let input = input(joints);
    bencher.with_inputs(|| vec![input.clone()]).bench_local_values(reviewed);
}

/// The same number of joints as four jobs of a quarter each: were the cost not linear, one job would take longer.
#[divan::bench(args = [1_000], sample_count = 20)]
fn review_in_quarters(bencher: Bencher<'_, '_>, joints: usize) {
    let input = input(joints / 4);
    bencher.with_inputs(|| vec![input.clone(); 4]).bench_local_values(reviewed);
}
