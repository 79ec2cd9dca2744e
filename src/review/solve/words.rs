//! How an answer is told, and in which order.
//!
//! Invariant: the figure in the words is the figure for machines, in the units of the author.

use super::Step;
use super::change::Change;
use super::ladder::{Ladder, left_out};
use crate::base::finding::Answer;
use crate::base::quantity::{Length, Permeance};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::model::room::RoomAir;
use crate::rules::facts::Look;
use crate::rules::facts::side::{Source, room_side};

/// A coat of this permeance and more is paint.
const PAINT: f64 = 0.45 * PERM;

/// What order a change stands in: leaving out, closing and coating before a swapped sheet, a little drier air before new
/// insulation, and what closes the outside last. Our own choice.
pub(super) fn effort(look: &Look<'_>, change: &Change) -> (u8, u32) {
    let room = room_side(look);
    let percent = |h: f64| 100 - (h * 100.0) as u32;
    match change {
        Change::Remove { .. } | Change::Close { .. } => (0, 0),
        Change::Coat { most, side } if *side == room && most.si() >= PAINT => (1, 0),
        Change::Open { .. } => (2, 0),
        Change::Vent { .. } => (3, 0),
        Change::Thicken { least, .. } => (4, (least.si() * 1e4) as u32),
        Change::Dry { most, .. } if most.si() >= 0.45 => (5, percent(most.si())),
        Change::Insulate { least, .. } => (6, (least.si() * 1e3) as u32),
        Change::Coat { side, .. } if *side == room => (7, 0),
        Change::Dry { most, .. } => (8, percent(most.si())),
        Change::Coat { .. } => (9, 0),
    }
}

/// The answer of a ladder: the step that does, or that none does.
pub(super) fn answer(look: &Look<'_>, ladder: &Ladder, step: Option<&Step>) -> Answer {
    let (value, unit) = step.map_or((None, ""), |s| figure(&s.change));
    let words = step.map_or_else(|| ladder.tried.to_string(), |s| order(look, s));
    Answer { change: ladder.kind, words, does: step.is_some(), value, unit }
}

fn figure(change: &Change) -> (Option<f64>, &'static str) {
    match change {
        Change::Coat { most: w, .. } | Change::Open { least: w, .. } => (Some(w.si()), "kg/(s.m2.Pa)"),
        Change::Insulate { least, .. } => (Some(least.si()), "m2.K/W"),
        Change::Thicken { least, .. } => (Some(least.si()), "m"),
        Change::Dry { most, .. } => (Some(most.si()), "1"),
        Change::Close { .. } | Change::Remove { .. } | Change::Vent { .. } => (None, ""),
    }
}

/// Rounded up to half an inch or 5 mm.
fn bought(look: &Look<'_>, thickness: Length) -> Length {
    let step = if look.job.metric { 0.005 } else { 0.0127 };
    Length::new((thickness.si() / step - 1e-9).ceil() * step)
}

/// The order that a change is, and where.
fn order(look: &Look<'_>, step: &Step) -> String {
    let show = Show { metric: look.job.metric };
    let change = &step.change;
    let label = |at: usize| look.surface.layers.get(at).map_or("?", |l| l.label.as_str());
    match change {
        Change::Coat { side, most } => {
            let end = match side {
                Source::Last => look.surface.layers.len().saturating_sub(1),
                Source::First => left_out(look),
            };
            let face = if *side == room_side(look) { "room" } else { "outer" };
            format!(
                "give the {face} face of `{}` a coat or sheet of {}",
                label(end),
                range(show, step, "at most", *most)
            )
        }
        Change::Open { layer, least } => {
            format!("put in place of `{}` a layer of {}", label(*layer), range(show, step, "at least", *least))
        }
        Change::Insulate { at, beside, least, of } => {
            let first = (*at <= *beside) == (room_side(look) == Source::Last);
            let side = if first { "outside" } else { "on the room side" };
            let thickness = of.stuff(*least).and_then(|s| s.thickness).map(|t| t.high());
            let thick = thickness.map_or_else(String::new, |t| format!(", some {}", show.length(bought(look, t))));
            format!("put at least {} of {}{thick}, {side} of `{}`", show.resistance(*least), of.words(), label(*beside))
        }
        Change::Thicken { layer, least } => format!("make `{}` at least {} thick", label(*layer), show.length(*least)),
        Change::Dry { room, most } => {
            let room = look.job.room(*room);
            let heated = room.is_some_and(|r| matches!(&r.air, RoomAir::Kept { heated: Some(_), .. }));
            let when = if heated { " while it is heated" } else { "" };
            format!("keep {} at or below {}{when}", room.map_or("the room", |r| r.name.as_str()), show.humidity(*most))
        }
        Change::Close { layer } => format!("close the seams, edges and holes of `{}`", label(*layer)),
        Change::Remove { layer } => format!("leave `{}` out", label(*layer)),
        Change::Vent { layer } => format!("open `{}` low and high", label(*layer)),
    }
}

/// A bound on a permeance; between two figures where beyond the second it does not do.
fn range(show: Show, step: &Step, bound: &str, figure: Permeance) -> String {
    let other = match step.last {
        Some(Change::Coat { most: w, .. } | Change::Open { least: w, .. }) => w,
        _ => return format!("{bound} {}", show.permeance(figure)),
    };
    let (low, high) = if other < figure { (other, figure) } else { (figure, other) };
    if low < high {
        format!("at least {} and at most {}", show.permeance(low), show.permeance(high))
    } else {
        format!("about {}, not more and not less", show.permeance(figure))
    }
}
