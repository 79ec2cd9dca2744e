//! A control layer followed round a job, as plain data for printing.
//!
//! Invariant: the same graph as the review's; nothing is judged here that is not judged there.

use super::{Input, Loader, gather};
use crate::base::source::{Source, Sources};
use crate::base::span::Span;
use crate::graph::aside::minor;
use crate::graph::defense;
use crate::graph::net::{Cause, Leak};
use crate::graph::plane::Agent;
use crate::graph::station::Station;
use crate::graph::trace::{self, At, Crossing};
use crate::model::Job;
use crate::model::joint::Joint;

/// What was asked for.
#[derive(Debug)]
pub struct Traced {
    /// The texts.
    pub sources: Sources,
    /// The job's name.
    pub job: Option<String>,
    /// Something in the text could not be read or resolved: the answer is not complete.
    pub incomplete: bool,
    /// The names of all joints, for a name that is not known.
    pub joints: Vec<String>,
    /// One for each control layer asked for.
    pub layers: Vec<Traces>,
}

/// One control layer.
#[derive(Debug)]
pub struct Traces {
    /// `water`, `air`, `vapor` or `heat`.
    pub agent: &'static str,
    /// What carries it on each surface.
    pub carriers: Vec<Carrier>,
    /// The joints it comes to.
    pub joints: Vec<JointTrace>,
    /// Edges that no joint speaks of: the surface, its edges.
    pub unsaid: Vec<(String, Vec<&'static str>)>,
}

/// What carries a control layer on a surface.
#[derive(Debug)]
pub struct Carrier {
    /// "wall east".
    pub surface: String,
    /// The layer; none: nothing carries it.
    pub layer: Option<String>,
    /// The author relies on it; else it is the best there is.
    pub relied_on: bool,
    /// It is closed by its own material and seams.
    pub closed: bool,
    /// Where it is written.
    pub span: Span,
}

/// A control layer at a joint.
#[derive(Debug)]
pub struct JointTrace {
    /// The joint's name.
    pub name: String,
    /// Its title.
    pub title: Option<String>,
    /// Where it is written.
    pub span: Span,
    /// Something that leaves the answer open.
    pub undecided: Option<Span>,
    /// Place by place along the joint.
    pub stations: Vec<StationTrace>,
}

/// A control layer at one place of a joint.
#[derive(Debug)]
pub struct StationTrace {
    /// "at the head"; empty for the run of a seam.
    pub place: &'static str,
    /// The chains that close the seam: their things by name, and the sentences that tie them.
    pub chains: Vec<(Vec<String>, Vec<Span>)>,
    /// The ways that nothing closes.
    pub lifts: Vec<Lift>,
    /// What stands against rain, outermost first (of water alone).
    pub lines: Vec<(String, Span)>,
}

/// What a way that nothing closes comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The layer lifts.
    Lifts,
    /// It may: something at the joint is not written or not known.
    May,
    /// The author accepts what a rule of this control layer says of the joint.
    Accepted,
    /// Too little gets by for a rule to tell of it.
    Little,
}

/// A way that nothing closes.
#[derive(Debug, PartialEq)]
pub struct Lift {
    /// What it comes to.
    pub verdict: Verdict,
    /// Place by place, from outdoors in.
    pub steps: Vec<(String, Option<Span>)>,
    /// Why, in one sentence.
    pub why: String,
}

/// Follows control layers round a job; at one joint only when one is named (none when no joint has that name).
pub fn trace(root: Input, load: &mut Loader<'_>, agents: &[Agent], joint: Option<&str>) -> Traced {
    let mut sources = Sources::default();
    let file = sources.add(Source::new(root.name, root.text));
    let gathered = gather::gather(file, &mut sources, load);
    let lowered = gathered.lower();
    let job = lowered.job;
    let only = joint.and_then(|name| job.joints.iter().position(|j| j.name == name));
    let layers = match (joint, only) {
        (Some(_), None) => Vec::new(),
        _ => agents.iter().map(|agent| of_agent(&job, *agent, only)).collect(),
    };
    Traced {
        job: job.name.as_ref().map(|n| n.value.clone()),
        incomplete: !gathered.problems.is_empty() || !lowered.problems.is_empty(),
        joints: job.joints.iter().map(|j| j.name.clone()).collect(),
        layers,
        sources,
    }
}

fn of_agent(job: &Job, agent: Agent, only: Option<usize>) -> Traces {
    let found = trace::trace(job, agent, only);
    let carriers = found.surfaces.into_iter().filter_map(|c| {
        let surface = job.surfaces.get(c.surface)?;
        Some(Carrier {
            surface: format!("{} {}", surface.kind_word(), surface.name),
            layer: c.layer.map(|_| c.words),
            relied_on: c.relied_on,
            closed: c.closed,
            span: c.span,
        })
    });
    let mut unsaid: Vec<(String, Vec<&'static str>)> = Vec::new();
    for (index, edge) in found.unsaid {
        let Some(surface) = job.surfaces.get(index) else { continue };
        match unsaid.last_mut() {
            Some((name, edges)) if *name == surface.name => edges.push(edge.word()),
            _ => unsaid.push((surface.name.clone(), vec![edge.word()])),
        }
    }
    Traces {
        agent: agent.word(),
        carriers: carriers.collect(),
        joints: found.joints.into_iter().filter_map(|c| of_joint(job, agent, c)).collect(),
        unsaid,
    }
}

fn of_joint(job: &Job, agent: Agent, crossing: Crossing) -> Option<JointTrace> {
    let joint = job.joints.get(crossing.joint)?;
    let rain = if agent == Agent::Water { defense::defenses(job, joint) } else { Vec::new() };
    let lines = |station: Station| {
        let here = rain.iter().filter(move |d| d.station == station);
        here.flat_map(|d| &d.lines).map(|l| (l.words.clone(), l.span)).collect()
    };
    let station = |at: At| StationTrace {
        place: at.station.words(),
        lines: lines(at.station),
        // A face that carries on closes nothing by itself.
        chains: at.closed.into_iter().filter(|l| l.names.len() > 1).map(|l| (l.names, l.sentences)).collect(),
        lifts: at.lifts.into_iter().map(|leak| lift(job, crossing.joint, leak, crossing.undecided)).collect(),
    };
    Some(JointTrace {
        name: joint.name.clone(),
        title: joint.title.clone(),
        span: joint.span,
        undecided: crossing.undecided,
        stations: crossing.stations.into_iter().map(station).collect(),
    })
}

/// What an open way comes to. An acceptance counts for the control layer of its rule, at the joint that it names.
fn verdict(job: &Job, joint: &Joint, leak: &Leak, undecided: Option<Span>) -> Verdict {
    let family = |rule: &str| rule.split_once('/').is_some_and(|(family, _)| family == leak.agent.word());
    if minor(job, joint, leak) {
        Verdict::Little
    } else if job.accepts.iter().any(|a| a.target.text == joint.name && family(&a.rule.text)) {
        Verdict::Accepted
    } else if undecided.or(leak.doubt).is_some() {
        Verdict::May
    } else {
        Verdict::Lifts
    }
}

fn lift(job: &Job, joint: usize, leak: Leak, undecided: Option<Span>) -> Lift {
    let verdict = job.joints.get(joint).map_or(Verdict::Lifts, |j| verdict(job, j, &leak, undecided));
    let label = |(end, layer): (usize, usize)| {
        let surface = job.joints.get(joint).and_then(|j| j.surface(job, end));
        surface
            .and_then(|s| Some(format!("`{}` of `{}`", s.layers.get(layer)?.label, s.name)))
            .unwrap_or_else(|| "the unit".to_string())
    };
    let why = match leak.cause {
        Cause::NothingJoined => "nothing ties one side to the other here".to_string(),
        Cause::Misaligned(layers) => {
            let names: Vec<String> = layers.into_iter().map(label).collect();
            format!(
                "each side is closed, but at different depths: {}; a hollow between them links round",
                names.join(", ")
            )
        }
        Cause::Along(end, layer) => format!("it runs along {}, past what is tied to it", label((end, layer))),
        Cause::OpenLayer(end, layer) => format!("{} is open itself", label((end, layer))),
    };
    Lift { verdict, steps: leak.steps.into_iter().map(|s| (s.words, s.span)).collect(), why }
}
