//! The two sides of a section: which is the room's, what lies there, what air it has.
//!
//! Invariant: read off the job; nothing is computed here.

use super::Look;
use crate::model::Job;
use crate::model::room::RoomAir;
use crate::model::surface::{SidePlace, Surface};
use crate::physics::profile::{Air, MonthInput};

/// A side of a section, as the side that vapor comes from or as the side of the room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// The first side: outdoors, the ground, what lies on top.
    First,
    /// The last side: of walls, roofs and ceilings the room.
    Last,
}

impl Source {
    /// What lies on that side.
    pub fn place(self, surface: &Surface) -> &SidePlace {
        match self {
            Self::First => &surface.first.place,
            Self::Last => &surface.last.place,
        }
    }

    /// The other side.
    pub fn other(self) -> Self {
        match self {
            Self::First => Self::Last,
            Self::Last => Self::First,
        }
    }

    /// Its air in a month.
    pub fn air(self, month: &MonthInput) -> Air {
        match self {
            Self::First => month.outdoor,
            Self::Last => month.indoor,
        }
    }
}

/// The side of the room that is lived in: of floors and slabs the first, of two rooms the one that is kept warm or cool.
pub fn room_side(look: &Look<'_>) -> Source {
    let rank = |side: Source| match side.place(look.surface) {
        SidePlace::Room(Job::INDOORS) => 3,
        SidePlace::Room(id) => match look.job.room(*id).map(|r| &r.air) {
            Some(RoomAir::Kept { .. } | RoomAir::Always(_) | RoomAir::Monthly { .. }) => 2,
            _ => 1,
        },
        _ => 0,
    };
    if rank(Source::First) > rank(Source::Last) { Source::First } else { Source::Last }
}

/// The name of the room on that side, for an order.
pub fn room_name<'l>(look: &'l Look<'_>) -> &'l str {
    match room_side(look).place(look.surface) {
        SidePlace::Room(id) => look.job.room(*id).map_or("the room", |r| r.name.as_str()),
        _ => "the room",
    }
}

/// Whether it is a room with air of its own that neither its use nor a machine keeps as moist as it is.
pub fn may_be_dried(look: &Look<'_>) -> bool {
    let SidePlace::Room(id) = room_side(look).place(look.surface) else { return false };
    match look.job.room(*id).map(|r| &r.air) {
        Some(RoomAir::Kept { heated, cooled }) => ![heated, cooled].iter().any(|s| s.as_ref().is_some_and(|s| s.held)),
        Some(RoomAir::Always(setting)) => !setting.held,
        Some(RoomAir::Monthly { .. }) => true,
        _ => false,
    }
}

/// Whether a layer, or the surface it is in, stands already.
pub fn stands(surface: &Surface, layer: usize) -> bool {
    surface.facts.existing || surface.layers.get(layer).is_some_and(|l| l.words.existing)
}
