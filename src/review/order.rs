//! The order of work at a joint, as plain data for printing.
//!
//! Invariant: the same order as the rules judge; every step and sentence comes with the place it was written at.

use super::{Input, Loader, gather};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::base::source::{Source, Sources};
use crate::base::span::Span;
use crate::graph::order::{self, Order};
use crate::graph::stages::Stage;
use crate::graph::words::{name, sentence};
use crate::model::Job;
use crate::model::joint::{Joint, Link, Thing};
use crate::model::layer::{Body, Stuff};
use crate::model::value::{Draw, Origin, Value};

/// What was asked for.
#[derive(Debug)]
pub struct Ordered {
    /// The texts.
    pub sources: Sources,
    /// Something in the text could not be read or resolved: the answer is not complete.
    pub incomplete: bool,
    /// The names of all joints, for a name that is not known.
    pub joints: Vec<String>,
    /// The joints asked for.
    pub found: Vec<JointOrder>,
}

/// The order of work at one joint.
#[derive(Debug)]
pub struct JointOrder {
    /// The joint's name.
    pub name: String,
    /// Its title.
    pub title: Option<String>,
    /// Where it is written.
    pub span: Span,
    /// Not all of it is shown: more may have to go on in between.
    pub undecided: Option<Span>,
    /// The order, or why there is none.
    pub work: Work,
}

/// The order, or why there is none.
#[derive(Debug)]
pub enum Work {
    /// It can be built so.
    Steps {
        /// What stands already.
        standing: Vec<String>,
        /// What goes on, first to last.
        steps: Vec<StepLine>,
    },
    /// Each has to be there before the next, the last before the first.
    Cycle(Vec<CycleLine>),
}

/// One step.
#[derive(Debug)]
pub struct StepLine {
    /// What goes on.
    pub what: String,
    /// What it is made of, with its figure; empty where nobody says.
    pub of: String,
    /// The sentences that are made with it.
    pub made: Vec<(String, Span)>,
    /// At what to stop and look before the next step.
    pub hold: Option<String>,
}

/// One turn of a cycle.
#[derive(Debug)]
pub struct CycleLine {
    /// What has to be there.
    pub first: String,
    /// Before what.
    pub next: String,
    /// The sentence that says so.
    pub sentence: String,
    /// Where it is written.
    pub span: Span,
}

/// The order of work at each joint of a text, or at the one that is named (none when no joint has that name).
pub fn order(root: Input, load: &mut Loader<'_>, joint: Option<&str>) -> Ordered {
    let mut sources = Sources::default();
    let file = sources.add(Source::new(root.name, root.text));
    let gathered = gather::gather(file, &mut sources, load);
    let lowered = gathered.lower();
    let job = lowered.job;
    let wanted = |j: &&Joint| joint.is_none_or(|name| j.name == name);
    Ordered {
        incomplete: !gathered.problems.is_empty() || !lowered.problems.is_empty(),
        joints: job.joints.iter().map(|j| j.name.clone()).collect(),
        found: job.joints.iter().filter(wanted).map(|j| of_joint(&job, j)).collect(),
        sources,
    }
}

fn of_joint(job: &Job, joint: &Joint) -> JointOrder {
    let work = match order::order(job, joint) {
        Order::Steps(steps) => {
            let (standing, new): (Vec<_>, Vec<_>) =
                steps.into_iter().partition(|s| s.stage == Stage::Existing && s.links.is_empty() && s.hold.is_none());
            Work::Steps {
                standing: standing.iter().map(|s| name(job, joint, s.thing)).collect(),
                steps: new.into_iter().map(|s| step(job, joint, s)).collect(),
            }
        }
        Order::Cycle(cycle) => Work::Cycle(turns(job, joint, &cycle)),
    };
    JointOrder {
        name: joint.name.clone(),
        title: joint.title.clone(),
        span: joint.span,
        undecided: joint.incomplete(),
        work,
    }
}

fn step(job: &Job, joint: &Joint, step: order::Step) -> StepLine {
    let made = step.links.iter().filter_map(|i| joint.links.get(*i));
    StepLine {
        what: name(job, joint, step.thing),
        of: made_of(job, joint, step.thing),
        made: made.map(|l| (said(job, joint, &step, l), l.span)).collect(),
        hold: step.hold,
    }
}

/// A sentence at its step: one about the thing that goes on need not name it again.
fn said(job: &Job, joint: &Joint, step: &order::Step, link: &Link) -> String {
    let whole = sentence(job, joint, link);
    let same = match (link.subject.thing, step.thing) {
        (Thing::Layer { end: a, layer: b, .. }, Thing::Layer { end, layer, .. }) => (a, b) == (end, layer),
        (a, b) => a == b,
    };
    let own = format!("`{}` ", name(job, joint, link.subject.thing));
    whole.strip_prefix(&own).filter(|_| same).map(str::to_string).unwrap_or(whole)
}

/// The turns of a cycle, each with the sentence that puts one thing before the next.
fn turns(job: &Job, joint: &Joint, cycle: &[(Thing, usize)]) -> Vec<CycleLine> {
    let next = cycle.iter().cycle().skip(1);
    let turn = |((first, link), (next, _)): (&(Thing, usize), &(Thing, usize))| {
        let link = joint.links.get(*link)?;
        Some(CycleLine {
            first: name(job, joint, *first),
            next: name(job, joint, *next),
            sentence: sentence(job, joint, link),
            span: link.span,
        })
    };
    cycle.iter().zip(next).filter_map(turn).collect()
}

/// "bitumen-sheet 40 mil"; a gap is air.
fn made_of(job: &Job, joint: &Joint, thing: Thing) -> String {
    let show = Show { metric: job.metric };
    let written = |v: &&Value<Length>| matches!(v.origin, Origin::Written(_));
    let stuff = |stuff: &Stuff| match stuff.thickness.as_ref().filter(written) {
        Some(thickness) => format!("{} {}", stuff.name, show.length(thickness.low())),
        None => stuff.name.clone(),
    };
    if let Some(piece) = joint.piece(job, thing) {
        return piece.stuff.as_ref().map(stuff).unwrap_or_default();
    }
    match joint.layer(job, thing).map(|l| &l.body) {
        Some(Body::Sheet(choice)) => choice.at(&Draw::middle()).map(stuff).unwrap_or_default(),
        Some(Body::Panel(parts)) => parts.first().map(|p| p.name.clone()).unwrap_or_default(),
        Some(Body::Members(m)) => {
            let [width, depth, spacing] = [&m.width, &m.depth, &m.spacing].map(|v| show.length(v.low()));
            format!("{} {width} by {depth}, at {spacing}", m.member.name)
        }
        Some(Body::Gap(gap)) => format!("air {}", show.length(gap.thickness.low())),
        Some(Body::Hole) | None => String::new(),
    }
}
