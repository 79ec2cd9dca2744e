//! Changes that do no harm, by class: decided from the sound detail, never from its name.

use dewlap::base::span::FileId;
use dewlap::graph::gravity::{self, Lap};
use dewlap::graph::net::{Closure, Net};
use dewlap::graph::plane::Agent;
use dewlap::graph::station;
use dewlap::model::joint::{Joint, Link, Thing};
use dewlap::model::layer::Body;
use dewlap::model::value::Draw;
use dewlap::model::{Job, lower};
use dewlap::syntax::ast::{JointKind, Verb};
use dewlap::syntax::parse;

use super::changes::Change;

/// The job of a sound detail.
pub fn job(text: &str) -> Job {
    let parsed = parse(FileId(0), text);
    lower(&[parsed.tree]).job
}

/// Why a change does no harm, if it does none.
pub fn harmless(job: &Job, change: &Change) -> Option<&'static str> {
    let joint = job.joints.iter().find(|j| j.name == change.joint)?;
    match joint.links.iter().find(|l| l.span == change.span) {
        Some(link) => of_sentence(job, joint, link, change),
        None => of_piece(joint, change),
    }
}

fn of_sentence(job: &Job, joint: &Joint, link: &Link, change: &Change) -> Option<&'static str> {
    let others = || joint.links.iter().filter(|l| !std::ptr::eq(*l, link));
    let subject = link.subject.thing;
    match change.class {
        "lap turned round" => {
            let lap = gravity::lap(job, joint, link);
            matches!(lap, Lap::Upright | Lap::NotJudged).then_some("no water runs across the lap")
        }
        // Behind a ledger or the like with a cap of its own.
        "lap removed" if second_line(joint, subject) => Some("a second line behind what is capped"),
        // A cap that stands out over what it covered keeps the rain off it as before.
        "lap removed" => others()
            .any(|l| l.subject.thing == subject && l.verb == Verb::RunsPast)
            .then_some("the edge still runs past the face"),
        "`rolled` removed" => {
            (!porous(job, joint, link)).then_some("on a smooth face an adhesive holds before it is rolled")
        }
        "seal removed" | "`taped` removed" => still_closed(change, Agent::Air).then_some("a second closure stays"),
        "butt removed" => still_closed(change, Agent::Heat).then_some("the insulation still meets over other pieces"),
        "upturn removed" => others()
            .any(|l| l.verb == Verb::LapsOver && l.object.is_some_and(|o| o.thing == subject))
            .then_some("what laps over it says that it turns up"),
        "clearance cut to 1/8 in" | "clearance gone" => (joint.kind == JointKind::Penetration
            && link.object.is_some_and(|o| o.thing == Thing::Piece(0))
            && !porous(job, joint, link))
        .then_some("siding may close round a pipe that is flashed behind it"),
        _ => None,
    }
}

/// Whether a sheet only lies behind a piece over which another laps, or under pieces that all have a way out of their own.
fn second_line(joint: &Joint, sheet: Thing) -> bool {
    let over = |l: &&Link| l.verb == Verb::LapsOver && l.object.is_some_and(|o| o.thing == sheet);
    let exits = |thing: Thing| {
        joint.links.iter().any(|l| l.subject.thing == thing && matches!(l.verb, Verb::DrainsTo | Verb::RunsPast))
    };
    let mut lids = joint.links.iter().filter(over).map(|l| l.subject.thing).peekable();
    if lids.peek().is_some() && lids.all(exits) {
        return true;
    }
    let names = |l: &&Link, verb: Verb, thing: Thing| l.verb == verb && l.object.is_some_and(|o| o.thing == thing);
    let mut before = joint.links.iter().filter(|l| names(l, Verb::Touches, sheet)).map(|l| l.subject.thing);
    before.any(|thing| joint.links.iter().any(|l| names(&l, Verb::LapsOver, thing)))
}

fn of_piece(joint: &Joint, change: &Change) -> Option<&'static str> {
    let (index, piece) = joint.pieces.iter().enumerate().find(|(_, p)| p.line == change.span)?;
    let shape = &piece.shape;
    let pan = shape.back_dam.is_some() && shape.slope.is_some();
    match change.class {
        "slope removed" | "back dam removed" if pan => Some("a pan has a dam at its back or a fall: one is enough"),
        "slope removed" if joint.kind == JointKind::Penetration && index == 0 => Some("a pipe may lie level"),
        "seams of a piece removed" => joint
            .links
            .iter()
            .any(|l| l.verb == Verb::LapsOver && l.subject.thing == Thing::Piece(index) && under(joint, l))
            .then_some("a sheet runs through below the seams"),
        _ => None,
    }
}

/// Whether what a piece laps over is a sheet that sticks.
fn under(joint: &Joint, link: &Link) -> bool {
    let piece = link.object.and_then(|o| match o.thing {
        Thing::Piece(index) => joint.pieces.get(index),
        _ => None,
    });
    let material = piece.and_then(|p| p.stuff.as_ref()).and_then(|s| s.material);
    material.is_some_and(dewlap::rules::facts::class::self_adhered)
}

/// Whether a sentence is about masonry or concrete.
fn porous(job: &Job, joint: &Joint, link: &Link) -> bool {
    let Some(object) = link.object.map(|o| o.thing) else { return false };
    let layer = joint.layer(job, object).and_then(|l| match &l.body {
        Body::Sheet(choice) => choice.at(&Draw::middle())?.material,
        _ => None,
    });
    let piece = joint.piece(job, object).and_then(|p| p.stuff.as_ref()).and_then(|s| s.material);
    layer.or(piece).is_some_and(dewlap::rules::facts::class::masonry)
}

/// Whether, at each station, a chain still closes the seam to an agent and ties all sides of it to each other.
fn still_closed(change: &Change, agent: Agent) -> bool {
    let job = job(&change.text);
    let Some(joint) = job.joints.iter().find(|j| j.name == change.joint) else { return false };
    let net = Net::new(&job, joint);
    let sides = joint.ends.len() + usize::from(joint.kind != JointKind::Joint);
    station::stations(&job, joint).into_iter().all(|s| {
        let all = |c: &Closure| (0..sides).all(|end| c.meets.iter().any(|(e, _)| *e == end));
        net.closures(agent, s).iter().any(all)
    })
}
