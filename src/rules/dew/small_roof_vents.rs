//! A roof space whose openings are too small for the ratio that the code asks for.

use super::vent;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Fraction, Permeance};
use crate::base::unit::PERM;
use crate::catalog::Cup;
use crate::model::Job;
use crate::model::layer::{Body, Layer};
use crate::model::room::{Room, RoomAir, RoomId};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::{Draw, Origin, Value};
use crate::rules::facts::Missing;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{OpenAt, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "dew/small-roof-vents",
    summary: "a roof space with too little free area to outdoors",
    weight: Weight::Fix,
    page: include_str!("small_roof_vents.md"),
    run: Run::Job(run),
};

/// Free area over floor area (IRC section R806.2, an older text read).
const FULL: f64 = 1.0 / 150.0;
/// The same where the openings lie low and high (IRC section R806.2, an older text read; the split from memory).
const SPLIT: f64 = 1.0 / 300.0;
/// A vapor retarder of class II or I at the ceiling (IRC section R202, from memory).
const RETARDER: Permeance = Permeance::new(PERM);
/// From this zone on the smaller area asks for one (IRC section R806.2 since 2012, from memory).
const COLD: u8 = 6;

fn run(job: &Job, sink: &mut Sink) {
    for (id, room) in job.rooms.iter().enumerate() {
        let RoomAir::Open { at, ratio: Some(ratio) } = &room.air else { continue };
        if let Some(ceiling) = job.surfaces.iter().find(|s| under(s, id)) {
            sink.take(find(job, room, at, ratio, ceiling));
        }
    }
}

/// A ceiling with the room on top.
fn under(surface: &Surface, id: RoomId) -> bool {
    surface.kind == SurfaceKind::Ceiling && matches!(surface.first.place, SidePlace::Room(r) if r == id)
}

fn find(
    job: &Job,
    room: &Room,
    at: &[OpenAt],
    ratio: &Value<Fraction>,
    ceiling: &Surface,
) -> Result<Option<Finding>, Missing> {
    let Some(share) = ratio.sure() else {
        return Err(Missing::new(room.span, format!("how far `{}` is open is not known", room.name)));
    };
    let share = share.si() * (1.0 + 1e-6);
    if share >= FULL {
        return Ok(None);
    }
    let Some(code) = &job.code else {
        return Err(Missing::new(job.head.unwrap_or(room.span), "no code edition is stated"));
    };
    // High is the ridge or hips; gables lie between.
    let split = vent::ends(at).0 && at.iter().any(|a| matches!(a, OpenAt::Ridge | OpenAt::Hips | OpenAt::Top));
    let cold = job.climate.as_ref().and_then(|c| c.zone).is_some_and(|z| z.number >= COLD);
    let retarded = ceiling.layers.iter().any(retards);
    let why = match () {
        () if share < SPLIT => "less than 1/300, which is too little anywhere",
        () if !split => "less than 1/150, and 1/300 is enough only with openings both low and high",
        () if cold && !retarded => "less than 1/150, and from zone 6 on 1/300 asks for a vapor retarder in the ceiling",
        () => return Ok(None),
    };
    let short: String = room.name.chars().take(20).collect();
    let span = if let Origin::Written(span) = ratio.origin { span } else { room.span };
    Ok(Some(
        Finding::new(RULE.id, Weight::Fix, span, format!("the openings of `{short}` are 1/{:.0} of its floor", 1.0 / share))
            .label("free area over floor area")
            .also(ceiling.span, "the ceiling under it")
            .detail(format!(
                "That is {why} ({} section R806.2: 1/150 in an older text read, 1/300 with 40 to 50 % of it high and, in \
                 zones 6 to 8, class I or II at the ceiling from memory). What gets past the ceiling condenses on the cold \
                 side of the deck.",
                code.value.title()
            ))
            .help(if share < SPLIT || !split {
                "open it at `eave and ridge` with 1/150 of its floor; close the ceiling to air first"
            } else {
                "open it with 1/150 of its floor, or put class II in the ceiling, such as `kraft`"
            })
            .number("free_area", share, "1")
            .number("free_area_least", if split && (!cold || retarded) { SPLIT } else { FULL }, "1"),
    ))
}

fn retards(layer: &Layer) -> bool {
    let draw = Draw::middle();
    let of = |s: &crate::model::layer::Stuff| s.permeance_at(&draw, Cup::Dry).is_some_and(|w| w <= RETARDER);
    let sheet = match &layer.body {
        Body::Sheet(choice) => choice.at(&draw).is_some_and(of),
        _ => false,
    };
    sheet || layer.words.paint.as_deref().is_some_and(of)
}
