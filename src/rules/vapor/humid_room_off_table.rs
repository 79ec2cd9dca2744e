//! A room more humid than the retarder tables of a code have in mind, and a wall that relies on them.

use super::wall;
use super::winter::{HUMID, Winter, season, winter};
use super::{class_three_unearned, no_room_retarder, responsive_in_humid_room};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::RelativeHumidity;
use crate::base::show::Show;
use crate::catalog::Zone;
use crate::catalog::codes::Edition;
use crate::rules::dew::criteria::{self, Met};
use crate::rules::facts::{Look, Missing, capital};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/humid-room-off-table",
    summary: "a room more humid than the retarder tables of the code have in mind",
    weight: Weight::Watch,
    page: include_str!("humid_room_off_table.md"),
    run: Run::Surface(run),
};

/// Mean relative humidity of the heating season up to which tables hold in cold and in mild climates (statement of intent
/// of the National Building Code of Canada, read; that the tables of the IRC mean the same is our own reading).
const COLD_LIMIT: f64 = 0.35;
const MILD_LIMIT: f64 = 0.60;

/// A wall off the table.
struct Off {
    edition: &'static Edition,
    zone: Zone,
    air: Winter,
    limit: f64,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(off)) => sink.found(tell(look, &off)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

fn find(look: &Look<'_>) -> Result<Option<Off>, Missing> {
    // Nobody relies on a table that no code is stated for.
    if look.job.code.is_none() || wall::frame(look)?.is_none() {
        return Ok(None);
    }
    let (edition, zone, row) = wall::table(look.job)?;
    if !row.needed || class_three_unearned::speaks(look) {
        return Ok(None);
    }
    let limit = if zone.number <= 4 { MILD_LIMIT } else { COLD_LIMIT };
    let Some(air) = winter(look)?.filter(|w| w.over(limit)) else { return Ok(None) };
    // A little over the limit matters only where the sum over the year shows water.
    if !air.over(HUMID) && !wet(look)? {
        return Ok(None);
    }
    // Where the wall lacks a retarder for this room, that is said with its figures.
    if no_room_retarder::speaks(look) || responsive_in_humid_room::speaks(look) {
        return Ok(None);
    }
    Ok(Some(Off { edition, zone, air, limit }))
}

fn wet(look: &Look<'_>) -> Result<bool, Missing> {
    let months = look.months().map_err(Clone::clone)?;
    let years = look.years().map_err(Clone::clone)?;
    Ok(years.iter().any(|of| criteria::met(look, months, of) != Met::default()))
}

fn tell(look: &Look<'_>, off: &Off) -> Finding {
    let show = Show { metric: look.job.metric };
    let limit = show.humidity(RelativeHumidity::new(off.limit));
    let held = if off.air.held { ", and is held so" } else { "" };
    let climate = if off.limit < HUMID { "cold" } else { "mild" };
    let help = if off.air.held || look.surface.facts.existing {
        "have this wall designed by computation for the room as it is used".to_string()
    } else {
        format!("keep the room at or below {limit} while it is heated, or have the wall designed by computation")
    };
    Finding::new(
        RULE.id,
        Weight::Watch,
        look.surface.last.span,
        format!("the room is over the {limit} that retarder tables have in mind"),
    )
    .label(format!("{} in winter", show.humidity(off.air.humidity)))
    .detail(format!(
        "{} the room has {} on average{held}. In {climate} climates tables by zone hold up to \
         {limit} (intent of the National Building Code of Canada, read); for zone {} of {} that is our own reading. What the \
         tables allow says nothing of this room.",
        capital(&season(show)),
        show.humidity(off.air.humidity),
        off.zone,
        off.edition.title()
    ))
    .help(help)
    .number("room_humidity", off.air.humidity.si(), "1")
    .number("humidity_limit", off.limit, "1")
}
