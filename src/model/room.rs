//! A space with air of its own, as the author describes it.
//!
//! Invariant: rule-of-thumb climates are not filled in here; a room says only what was written, with its origin.

use super::value::{AxisId, Value};
use crate::base::quantity::{Fraction, RelativeHumidity, Temperature};
use crate::base::span::Span;
use crate::syntax::ast::OpenAt;

/// Which room, as an index into [`super::Job::rooms`]; 0 is `indoors`.
pub type RoomId = usize;

/// A room.
#[derive(Clone, Debug)]
pub struct Room {
    /// Its name: `indoors` for the job's own air.
    pub name: String,
    /// Where it is described.
    pub span: Span,
    /// What its air does.
    pub air: RoomAir,
    /// A cap on humidity kept by a machine all year.
    pub dehumidified: Option<Value<RelativeHumidity>>,
}

/// What a room's air does.
#[derive(Clone, Debug)]
pub enum RoomAir {
    /// Nothing was said: cannot be judged.
    Unsaid,
    /// Kept by heating, cooling or both.
    Kept {
        /// While heated.
        heated: Option<Setting>,
        /// While cooled; none: not cooled, summer follows outdoors.
        cooled: Option<Setting>,
    },
    /// The same all year.
    Always(Setting),
    /// Twelve months as measured or planned.
    Monthly {
        /// January to December.
        temperature: [Temperature; 12],
        /// January to December.
        humidity: [RelativeHumidity; 12],
    },
    /// Between its neighbors: the axis runs from outdoors (0) to indoors (1).
    Unheated(AxisId),
    /// Outdoor air through openings.
    Open {
        /// Where.
        at: Vec<OpenAt>,
        /// Free area over floor area, where said.
        ratio: Option<Value<Fraction>>,
    },
    /// Another room's air.
    Shares {
        /// Whose.
        room: RoomId,
        /// Supplied air: mixed. Without: the air lies still.
        supplied: bool,
    },
}

/// Temperature and humidity that are kept.
#[derive(Clone, Copy, Debug)]
pub struct Setting {
    /// Air temperature.
    pub temperature: Value<Temperature>,
    /// Humidity.
    pub humidity: RoomHumidity,
    /// The use or a machine keeps it so; no mend may lower it.
    pub held: bool,
    /// The line.
    pub span: Span,
}

/// How humidity is given.
#[derive(Clone, Copy, Debug)]
pub enum RoomHumidity {
    /// Relative humidity.
    Relative(Value<RelativeHumidity>),
    /// ISO 13788 humidity class, 1 to 5: an excess over outdoor air.
    Class(u32),
}
