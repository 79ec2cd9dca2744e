//! How humid a room is in winter.
//!
//! Not here: what that does to a wall. Invariant: a mean over the cold months of the place; none where there are none.

use crate::base::quantity::{Pressure, RelativeHumidity, Temperature};
use crate::base::show::Show;
use crate::model::room::RoomAir;
use crate::model::surface::SidePlace;
use crate::physics::{OutOfRange, air};
use crate::rules::facts::air::outdoors;
use crate::rules::facts::{Look, Missing};

/// A month whose mean lies below this is one of the heating season. Our own choice; heating limits of 10 to 15 C are usual.
const COLD: Temperature = Temperature::new(10.0);
/// Room air with a dew point over this is humid, whatever its temperature: 20 C at 53 %. Our own choice.
pub(super) const MOIST: Temperature = Temperature::new(10.0);
/// Mean relative humidity over which a room is humid in winter. Common practice, no source.
pub(super) const HUMID: f64 = 0.5;
/// Sums of twelve figures come out a hair off.
const HAIR: f64 = 1e-6;

/// The air of a room in the heating season.
#[derive(Clone, Copy, Debug)]
pub(super) struct Winter {
    /// Mean relative humidity.
    pub humidity: RelativeHumidity,
    /// Dew point of the mean vapor pressure.
    pub dew_point: Temperature,
    /// The use or a machine keeps it so.
    pub held: bool,
}

impl Winter {
    /// Over 50 %, or over a dew point of 10 C, or held at 50 % and more.
    pub fn humid(&self) -> bool {
        self.over(HUMID) || self.dew_point > MOIST || (self.held && self.humidity.si() >= HUMID - HAIR)
    }

    /// Whether the mean humidity lies over a share.
    pub fn over(&self, share: f64) -> bool {
        self.humidity.si() > share + HAIR
    }
}

/// "in the months under 50 F outdoors": what a mean of the heating season is of.
pub(super) fn season(show: Show) -> String {
    format!("in the months under {} outdoors", show.temperature(COLD))
}

/// The winter air of the room on the last side; none where the last side is no room that is kept, or the place has no
/// cold months.
///
/// # Errors
/// When the air can't be told.
pub(super) fn winter(look: &Look<'_>) -> Result<Option<Winter>, Missing> {
    let SidePlace::Room(id) = look.surface.last.place else { return Ok(None) };
    let held = match look.job.room(id).map(|r| &r.air) {
        Some(RoomAir::Kept { heated, .. }) => heated.as_ref().is_some_and(|s| s.held),
        Some(RoomAir::Always(setting)) => setting.held,
        Some(RoomAir::Monthly { .. }) => false,
        _ => return Ok(None),
    };
    let outdoors = outdoors(look.job, look.surface.span)?;
    let months = look.months().map_err(Clone::clone)?;
    let cold: Vec<_> =
        months.iter().zip(outdoors).filter(|(_, out)| out.temperature < COLD).map(|(m, _)| m.indoor).collect();
    if cold.is_empty() {
        return Ok(None);
    }
    let refuse = |e: OutOfRange| Missing::new(look.surface.last.span, e.to_string());
    let count = cold.len() as f64;
    let mut humidity = 0.0;
    for month in &cold {
        humidity += air::relative_humidity(month.vapor, month.temperature).map_err(refuse)?.si() / count;
    }
    let vapor: Pressure = cold.iter().map(|m| m.vapor).sum::<Pressure>() / count;
    let dew_point = air::dew_point(vapor).map_err(refuse)?;
    Ok(Some(Winter { humidity: RelativeHumidity::new(humidity), dew_point, held }))
}
