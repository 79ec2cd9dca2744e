//! What a room is for: to be in, or only to reach what lies there.
//!
//! Decided by the floor that is drawn for it, then by its air; never by its name. Invariant: `indoors` is lived in.

use crate::model::Job;
use crate::model::layer::{Body, Layer};
use crate::model::room::{RoomAir, RoomId};
use crate::model::surface::{SidePlace, Surface};
use crate::syntax::ast::SurfaceKind;

/// What a room is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// People are in it, or goods that damp harms.
    Lived,
    /// A crawlspace or attic, entered for service only.
    Service,
    /// Nothing tells.
    Unsaid,
}

/// What a room is for.
///
/// A room with a floor to stand on is lived in, one with bare soil, a sheet or insulation below is not. Where no floor is
/// drawn, a room that has heating or cooling of its own is lived in, one that is open to outdoors is not.
pub fn use_of(job: &Job, room: RoomId) -> Use {
    if room == Job::INDOORS {
        return Use::Lived;
    }
    let below = |s: &&Surface| {
        let flat = matches!(s.kind, SurfaceKind::Floor | SurfaceKind::Slab | SurfaceKind::Ceiling);
        flat && matches!(s.first.place, SidePlace::Room(id) if id == room)
    };
    let mut floors = job.surfaces.iter().filter(below).peekable();
    if floors.peek().is_some() {
        return if floors.any(walkable) { Use::Lived } else { Use::Service };
    }
    match job.room(room).map(|r| &r.air) {
        Some(RoomAir::Kept { .. } | RoomAir::Always(_) | RoomAir::Monthly { .. }) => Use::Lived,
        Some(RoomAir::Open { .. }) => Use::Service,
        _ => Use::Unsaid,
    }
}

/// Whether somebody can stand on a floor: an attic's ceiling, soil, a sheet on soil and insulation are none.
pub fn walkable(surface: &Surface) -> bool {
    surface.kind != SurfaceKind::Ceiling && surface.layers.iter().any(carries)
}

fn carries(layer: &Layer) -> bool {
    match &layer.body {
        Body::Sheet(choice) => !choice.builds.first().and_then(|s| s.material).is_some_and(|m| {
            matches!(
                m.kind(),
                "ground" | "membrane" | "coating" | "foil" | "paper" | "board-insulation" | "loose-fill" | "batt"
            )
        }),
        Body::Gap(_) => false,
        Body::Hole | Body::Members(_) | Body::Panel(_) => true,
    }
}
