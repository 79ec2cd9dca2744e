//! Places on either side of a surface, and what their air is to the job.
//!
//! Invariant: a room of which nothing is said is neither kept nor free; only the job's own `indoors` counts as kept.

use crate::model::Job;
use crate::model::room::{RoomAir, RoomId};
use crate::model::surface::{Side, SidePlace};

/// What lies on one side of an end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// Outdoor air.
    Outdoors,
    /// Soil.
    Ground,
    /// Retained water.
    Water,
    /// A room.
    Room(RoomId),
    /// Could not be told.
    Unknown,
}

/// What the air of a place is to the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Air {
    /// Heated, cooled or dried.
    Kept,
    /// Outdoor, soil or unheated air.
    Free,
    /// Retained water.
    Wet,
    /// Nothing is said of it.
    Unsaid,
}

/// What the air of a place is. `indoors` is kept even where nothing is said of it.
pub fn air(job: &Job, place: Place) -> Air {
    match place {
        Place::Outdoors | Place::Ground => Air::Free,
        Place::Water => Air::Wet,
        Place::Unknown => Air::Unsaid,
        Place::Room(id) => of_room(job, id, 0),
    }
}

/// `depth` guards against rooms that share one another's air.
fn of_room(job: &Job, id: RoomId, depth: usize) -> Air {
    match job.room(id).map(|r| &r.air) {
        Some(RoomAir::Kept { .. } | RoomAir::Always(_) | RoomAir::Monthly { .. }) => Air::Kept,
        Some(RoomAir::Unheated(_) | RoomAir::Open { .. }) => Air::Free,
        Some(RoomAir::Shares { room, .. }) if depth <= job.rooms.len() => of_room(job, *room, depth + 1),
        None | Some(RoomAir::Unsaid | RoomAir::Shares { .. }) if id == Job::INDOORS => Air::Kept,
        None | Some(RoomAir::Unsaid | RoomAir::Shares { .. }) => Air::Unsaid,
    }
}

/// What lies on a side.
pub fn place(side: &Side) -> Place {
    match side.place {
        SidePlace::Outdoors => Place::Outdoors,
        SidePlace::Ground { .. } => Place::Ground,
        SidePlace::Water { .. } => Place::Water,
        SidePlace::Room(id) => Place::Room(id),
        SidePlace::Hole => Place::Unknown,
    }
}
