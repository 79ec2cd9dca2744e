//! The vapor layers of two sides are not tied at their joint.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::RelativeHumidity;
use crate::graph::net::{Cause, Leak};
use crate::graph::plane::Agent;
use crate::model::room::{Room, RoomAir, RoomHumidity};
use crate::model::surface::SidePlace;
use crate::rules::facts::{JointLook, way};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/layer-not-joined",
    summary: "vapor layers that are not tied at a joint",
    weight: Weight::Stop,
    page: include_str!("layer_not_joined.md"),
    run: Run::Joint(run),
};

/// Zones below this have no winter that draws vapor outward. Our own choice, after the retarder tables of the IRC.
const COLD: u8 = 4;
/// A room held this humid wets what its air reaches. Our own choice: pools, kitchens, drying rooms.
const HUMID: RelativeHumidity = RelativeHumidity::new(0.5);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    // Air carries far more vapor than passes by itself: where air goes through, that is told.
    if way::zone(look).is_some_and(|z| z < COLD) || !look.leaks(Agent::Air).is_empty() {
        return;
    }
    match way::open(look, Agent::Vapor, |c| matches!(c, Cause::NothingJoined | Cause::Misaligned(_))) {
        Ok(leaks) => {
            if let Some(first) = leaks.first() {
                sink.found(tell(look, first, &way::stations(look, &leaks)));
            }
        }
        Err(missing) => sink.cannot(&missing),
    }
}

fn tell(look: &JointLook<'_>, leak: &Leak, at: &str) -> Finding {
    let humid = humid(look);
    let weight = match (way::stands(look), humid) {
        (true, _) => Weight::Watch,
        (false, Some(_)) => Weight::Stop,
        (false, None) => Weight::Fix,
    };
    let room = humid.map_or(String::new(), |h| format!(" The room is held at {:.0} % and more.", h.si() * 100.0));
    let layers = way::controls(look, Agent::Vapor);
    let ties: Vec<String> = layers.iter().map(|(t, name, _)| way::tie(look, "tape", *t, name)).collect();
    let message = format!("the vapor layers are not tied at this joint{at}");
    let finding = Finding::new(RULE.id, weight, look.joint.span, message)
        .label("open to vapor")
        .detail(format!(
            "Both sides rely on one (`-> vapor`), and nothing ties them. The way: {}.{room} What gets through an open strip \
             meets the cold side of the joint, where insulation is thinnest (common practice, no source).",
            way::steps(leak)
        ))
        .help(format!("tie them: {}write {}", way::tie_piece(look, "tape", &layers), ties.join(" and ")));
    layers.iter().fold(finding, |f, (_, _, span)| f.also(*span, "vapor layer"))
}

/// The humidity of a room at the joint that is held as humid as [`HUMID`] or more.
fn humid(look: &JointLook<'_>) -> Option<RelativeHumidity> {
    let surfaces = (0..look.joint.ends.len()).filter_map(|e| look.joint.surface(look.job, e));
    let sides = surfaces.flat_map(|s| [&s.first, &s.last]);
    let rooms = sides.filter_map(|s| if let SidePlace::Room(id) = s.place { look.job.room(id) } else { None });
    rooms.filter_map(held).filter(|h| *h >= HUMID).max_by(|a, b| a.si().total_cmp(&b.si()))
}

fn held(room: &Room) -> Option<RelativeHumidity> {
    let setting = match &room.air {
        RoomAir::Kept { heated, .. } => heated.as_ref()?,
        RoomAir::Always(setting) => setting,
        _ => return None,
    };
    match setting.humidity {
        RoomHumidity::Relative(value) => Some(value.low()),
        RoomHumidity::Class(_) => None,
    }
}
