//! A crawlspace whose soil lies bare under a floor.

use super::slab;
use crate::base::finding::{Finding, Weight};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::codes::CLASS_LIMITS;
use crate::graph::place::{self, Air};
use crate::model::room::{RoomAir, RoomId};
use crate::model::surface::SidePlace;
use crate::rules::facts::space::walkable;
use crate::rules::facts::{Look, Missing};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "vapor/crawl-sheet",
    summary: "bare soil in a crawlspace",
    weight: Weight::Fix,
    page: include_str!("crawl_sheet.md"),
    run: Run::Surface(run),
};

/// With openings of this share of its floor a crawlspace may go without a sheet (IRC section R408.1, from memory).
const OPEN: f64 = 1.0 / 150.0;

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    if walkable(look.surface) {
        return Ok(None);
    }
    let Some(floor) = slab::on_ground(look)? else { return Ok(None) };
    let kept = place::air(look.job, place::place(&look.surface.first)) == Air::Kept;
    let limit = CLASS_LIMITS.first().copied().unwrap_or_default();
    let shut = floor.sheets.iter().any(|(_, r)| r.dry.si() / PERM <= limit * 1.001);
    if shut || !(kept || under_a_floor(look, floor.room)) {
        return Ok(None);
    }
    Ok(Some(tell(look, floor.room, kept, limit)))
}

/// Whether the floor of a kept room lies over it: other rooms on bare soil are nobody's harm.
fn under_a_floor(look: &Look<'_>, room: RoomId) -> bool {
    look.job.surfaces.iter().any(|s| {
        let over = matches!(s.last.place, SidePlace::Room(id) if id == room);
        s.kind == SurfaceKind::Floor && over && place::air(look.job, place::place(&s.first)) == Air::Kept
    })
}

fn tell(look: &Look<'_>, room: RoomId, kept: bool, limit: f64) -> Finding {
    let show = Show { metric: look.job.metric };
    let share = match look.job.room(room).map(|r| &r.air) {
        Some(RoomAir::Open { ratio: Some(ratio), .. }) => ratio.at(&look.draw).si(),
        _ => 0.0,
    };
    let aired = !kept && share >= OPEN - 1e-9;
    let stands = look.surface.facts.existing;
    let weight = if aired || stands { Weight::Watch } else { Weight::Fix };
    let (lap, sheet) = if show.metric { ("150 mm", "0.15 mm") } else { ("6 in", "6 mil") };
    let how = match () {
        () if aired => " It is open enough to go without by the code; in a humid summer its soil is the wetter for it.",
        () if kept => " Its air is the room's air: all that the soil gives off is breathed and condenses upstairs.",
        () => " The floor above takes up what the soil gives off.",
    };
    Finding::new(RULE.id, weight, look.surface.last.span, "the soil of this crawlspace lies bare")
        .label("gives off water all year")
        .detail(format!(
            "A sheet of class I, {limit} perm or less, lies on the soil, lapped {lap}, sealed and turned up at the walls \
             where no outdoor air passes (IRC section R408, from memory; ENERGY STAR foundation checklist, quoted).{how}"
        ))
        .help(format!("lay `sheet: poly {sheet}, lapped {lap}, taped` on the soil, and fasten its edge to the walls"))
        .number("permeance_most", limit * PERM, "kg/(s.m2.Pa)")
}
