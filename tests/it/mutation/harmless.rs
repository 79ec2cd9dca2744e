//! Changes that do no harm, by class: decided from the sound detail, never from its name.

use dewlap::base::quantity::Length;
use dewlap::base::span::FileId;
use dewlap::catalog::Material;
use dewlap::graph::gravity::{self, Lap};
use dewlap::graph::net::{Closure, Net};
use dewlap::graph::plane::Agent;
use dewlap::graph::station;
use dewlap::model::joint::{Joint, Link, Thing};
use dewlap::model::layer::Body;
use dewlap::model::value::Draw;
use dewlap::model::{Job, lower};
use dewlap::syntax::ast::{Edge, JointKind, SurfaceKind, Verb};
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
        None => of_piece(job, joint, change),
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
        "lap removed" if others().any(|l| l.subject.thing == subject && l.verb == Verb::RunsPast) => {
            Some("the edge still runs past the face")
        }
        "lap removed" => as_closed(job, joint, change).then_some("every layer still goes on by another line"),
        "free edge sealed" if far(link) => Some("no bead reaches from the eave's edge to the face"),
        "`rolled` removed" => {
            (!porous(job, joint, link)).then_some("on a smooth face an adhesive holds before it is rolled")
        }
        "`primed` removed" => {
            let asks = sticks(job, joint, subject) && porous(job, joint, link);
            (!asks).then_some("a coating, and a smooth face, hold without a primer")
        }
        "exit removed" if lets_go(joint, link) => {
            Some("without its gutter the edge still lets the water go at its drip")
        }
        "exit removed" if others().any(|l| l.subject.thing == subject && leads_off(joint, l)) => {
            Some("its water still leaves over the edge, or over what it laps")
        }
        "`sealed` removed" if upright_hole(job, joint, link) => Some("on an upright face a hole sheds"),
        "`sealed` removed" => as_closed(job, joint, change).then_some("every layer still goes on by another line"),
        "seal removed" | "`taped` removed" => still_closed(change, Agent::Air).then_some("a second closure stays"),
        "butt removed" if warm(job) => Some("below zone 4 a strip without insulation costs little"),
        "butt removed" => still_closed(change, Agent::Heat).then_some("the insulation still meets over other pieces"),
        "upturn removed" => others()
            .any(|l| l.verb == Verb::LapsOver && l.object.is_some_and(|o| o.thing == subject))
            .then_some("what laps over it says that it turns up"),
        "clearance cut to 1/8 in" | "clearance gone" if lasting(job, joint, link) => {
            Some("masonry and metal may stand down to the soil")
        }
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

fn of_piece(job: &Job, joint: &Joint, change: &Change) -> Option<&'static str> {
    let (index, piece) = joint.pieces.iter().enumerate().find(|(_, p)| p.line == change.span)?;
    let shape = &piece.shape;
    let pan = shape.back_dam.is_some() && shape.slope.is_some();
    match change.class {
        "slope removed" | "back dam removed" if pan => Some("a pan has a dam at its back or a fall: one is enough"),
        "slope removed" if joint.kind == JointKind::Penetration && index == 0 => Some("a pipe may lie level"),
        "drip removed" if shape.hemmed => Some("a hemmed edge lets go of the water too"),
        "end dams removed" if foot(joint) => Some("a flashing that runs on round the foot has no end here"),
        "seams of a piece opened" => joint
            .links
            .iter()
            .any(|l| l.verb == Verb::LapsOver && l.subject.thing == Thing::Piece(index) && under(job, joint, l))
            .then_some("a sheet runs through below the seams"),
        _ => None,
    }
}

/// Whether the joint is the foot of a wall, which runs on round the corner.
fn foot(joint: &Joint) -> bool {
    joint.kind == JointKind::Joint
        && joint.ends.iter().any(|e| e.edge == Some(Edge::Bottom))
        && joint.ends.iter().all(|e| matches!(e.edge, Some(Edge::Bottom | Edge::Top | Edge::Edge)))
}

/// Whether what a piece laps over is a sheet that sticks, or one that is a layer of the surface.
fn under(job: &Job, joint: &Joint, link: &Link) -> bool {
    let Some(thing) = link.object.map(|o| o.thing) else { return false };
    let sheet = material(job, joint, thing).is_some_and(dewlap::rules::facts::class::membrane);
    sticks(job, joint, thing) || (sheet && matches!(thing, Thing::Layer { .. }))
}

/// Whether a piece or a layer is a sheet that sticks by its own adhesive.
fn sticks(job: &Job, joint: &Joint, thing: Thing) -> bool {
    material(job, joint, thing).is_some_and(dewlap::rules::facts::class::self_adhered)
}

/// What a piece or a layer is of.
fn material(job: &Job, joint: &Joint, thing: Thing) -> Option<&'static Material> {
    let layer = joint.layer(job, thing).and_then(|l| match &l.body {
        Body::Sheet(choice) => choice.at(&Draw::middle())?.material,
        _ => None,
    });
    let piece = joint.piece(job, thing).and_then(|p| p.stuff.as_ref()).and_then(|s| s.material);
    layer.or(piece)
}

/// Whether a metal edge with a drip hands its water to a gutter.
fn lets_go(joint: &Joint, link: &Link) -> bool {
    let Thing::Piece(index) = link.subject.thing else { return false };
    let free = joint.pieces.get(index).is_some_and(|p| p.shape.drip || p.shape.hemmed);
    free && link.object.is_some_and(|o| matches!(o.thing, Thing::Outlet("gutter")))
}

/// Whether a sentence leads water off its subject: past the face, or on to a piece that drains.
fn leads_off(joint: &Joint, link: &Link) -> bool {
    let on = link.object.map(|o| o.thing);
    let drains = || joint.links.iter().any(|l| Some(l.subject.thing) == on && l.verb == Verb::DrainsTo);
    link.verb == Verb::RunsPast || (link.verb == Verb::LapsOver && drains())
}

/// Whether a sentence fastens something through a layer of a wall.
fn upright_hole(job: &Job, joint: &Joint, link: &Link) -> bool {
    let Some(Thing::Layer { end, .. }) = link.object.map(|o| o.thing) else { return false };
    link.verb == Verb::FastensThrough && joint.surface(job, end).is_some_and(|s| s.kind == SurfaceKind::Wall)
}

/// Whether the place is so warm that a strip without insulation costs little.
fn warm(job: &Job) -> bool {
    job.climate.as_ref().and_then(|c| c.zone).is_some_and(|z| z.number < 4)
}

/// Whether an edge stands out further than a bead is wide.
fn far(link: &Link) -> bool {
    link.length.as_ref().is_some_and(|l| l.low() > Length::new(0.15))
}

/// Whether a sentence keeps masonry or metal clear of the soil.
fn lasting(job: &Job, joint: &Joint, link: &Link) -> bool {
    let soil = link.object.is_some_and(|o| o.thing == Thing::Grade);
    let masonry_or_metal = |m| dewlap::rules::facts::class::masonry(m) || dewlap::rules::facts::class::metal(m);
    soil && material(job, joint, link.subject.thing).is_some_and(masonry_or_metal)
}

/// Whether a sentence is about masonry or concrete.
fn porous(job: &Job, joint: &Joint, link: &Link) -> bool {
    let Some(object) = link.object.map(|o| o.thing) else { return false };
    material(job, joint, object).is_some_and(dewlap::rules::facts::class::masonry)
}

/// Whether each agent that finds the seam closed in the sound detail finds it closed in the changed one, and one at least.
fn as_closed(job: &Job, joint: &Joint, change: &Change) -> bool {
    let before: Vec<Agent> = Agent::ALL.into_iter().filter(|a| closed(job, joint, *a)).collect();
    !before.is_empty() && before.into_iter().all(|a| still_closed(change, a))
}

/// Whether a chain still closes the seam to an agent.
fn still_closed(change: &Change, agent: Agent) -> bool {
    let job = job(&change.text);
    job.joints.iter().find(|j| j.name == change.joint).is_some_and(|joint| closed(&job, joint, agent))
}

/// Whether, at each station, a chain closes the seam to an agent and ties all sides of it to each other.
fn closed(job: &Job, joint: &Joint, agent: Agent) -> bool {
    let net = Net::new(job, joint);
    let sides = joint.ends.len() + usize::from(joint.kind != JointKind::Joint);
    station::stations(job, joint).into_iter().all(|s| {
        let all = |c: &Closure| (0..sides).all(|end| c.meets.iter().any(|(e, _)| *e == end));
        net.closures(agent, s).iter().any(all)
    })
}
