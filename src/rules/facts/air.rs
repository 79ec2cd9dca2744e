//! The air on either side of a surface, month by month.
//!
//! Rooms are as their author describes them; between the heated and the cooled figures a room floats. What is our own
//! choice is said at each rule below; `docs/method.md` repeats it for readers.
//! Invariant: twelve months or a reason why not.

use super::Missing;
use crate::base::math;
use crate::base::quantity::{
    Duration, Length, Permeability, Pressure, RelativeHumidity, Temperature, TemperatureDifference,
};
use crate::base::span::Span;
use crate::model::Job;
use crate::model::climate::{Moisture, YearKind};
use crate::model::room::{Room, RoomAir, RoomHumidity, RoomId, Setting};
use crate::model::surface::{Side, SidePlace, Surface};
use crate::model::value::Draw;
use crate::physics::ground::{self, Swing};
use crate::physics::profile::{Air, MONTH_DAYS};
use crate::physics::{OutOfRange, air, vapor};
use crate::syntax::ast::SurfaceKind;

/// Sun, people and appliances keep a room this much above outdoors before heating or cooling sets in. It is what the
/// degree-day base of 65 F says of a room kept at 70 F. Common practice, no source.
const GAINS: TemperatureDifference = TemperatureDifference::new(3.0);

/// The soil that is taken, since nobody says which: sand or gravel, the standing choice of ISO 13370 where soil is not
/// known (from memory). Of its three it is the middle one: a wall beside clay is up to 1.5 K warmer in winter.
pub const SOIL: ground::Soil = ground::Soil::SAND;

/// A design year, met or exceeded once in ten, against a mean one: each month so much colder, and its relative humidity
/// so much higher. BS 5250:2011 (from memory, not sure; ISO 13788 asks for such a year and leaves the figures to others).
pub const DESIGN_COLDER: TemperatureDifference = TemperatureDifference::new(1.0);
/// See [`DESIGN_COLDER`].
pub const DESIGN_DAMPER: f64 = 0.04;

/// Air of twelve months, January first.
pub type YearOfAir = [Air; 12];

/// Seconds of each month.
pub fn month_lengths() -> [Duration; 12] {
    MONTH_DAYS.map(|days| Duration::new(days * 86_400.0))
}

/// Vapor permeability of still air under the mean pressure of the job's height; of the sea's where no place is known.
///
/// # Errors
/// A height at which nobody builds, in words.
pub fn still_air(job: &Job) -> Result<Permeability, String> {
    let height = job.climate.as_ref().map_or(Length::ZERO, |c| c.elevation);
    air::standard_pressure(height).and_then(vapor::still_air).map_err(|e| e.to_string())
}

/// Outdoor air.
///
/// # Errors
/// When the job has no climate, or a figure is out of the range of the saturation formula.
pub fn outdoors(job: &Job, span: Span) -> Result<YearOfAir, Missing> {
    let Some(climate) = &job.climate else {
        return Err(Missing::new(job.place_span.or(job.head).unwrap_or(span), "the place of the job is not known"));
    };
    let mut year = [Air { temperature: Temperature::new(0.0), vapor: Pressure::ZERO }; 12];
    for (air_of_month, month) in year.iter_mut().zip(&climate.months) {
        let vapor = match month.moisture {
            Moisture::Vapor(pressure) => pressure,
            Moisture::Humidity(humidity) => air::vapor_pressure(month.temperature, humidity)
                .map_err(|e| Missing::new(job.place_span.unwrap_or(span), format!("outdoors, {e}")))?,
        };
        let mean = Air { temperature: month.temperature, vapor };
        let harder = job.design_year.is_some() && climate.year != YearKind::Design;
        *air_of_month = if harder { designed(mean, job.place_span.unwrap_or(span))? } else { mean };
    }
    Ok(year)
}

/// A month of a design year: colder, and damper by relative humidity up to saturation.
fn designed(mean: Air, span: Span) -> Result<Air, Missing> {
    let refuse = |e: OutOfRange| Missing::new(span, format!("outdoors, {e}"));
    let temperature = mean.temperature - DESIGN_COLDER;
    let humidity = air::relative_humidity(mean.vapor, mean.temperature).map_err(refuse)?.si();
    // Air that was given as more than saturated stays so; the profile takes it as saturated and says so.
    let humidity = RelativeHumidity::new(humidity.max((humidity + DESIGN_DAMPER).min(1.0)));
    Ok(Air { temperature, vapor: air::saturation_pressure(temperature).map_err(refuse)? * humidity })
}

/// Air on the first and on the last side of a surface.
///
/// # Errors
/// When it can't be told, with what is missing.
pub fn sides(job: &Job, surface: &Surface, draw: &Draw) -> Result<(YearOfAir, YearOfAir), Missing> {
    let wall = surface.kind == SurfaceKind::Wall;
    let first = side(job, &surface.first, if wall { Soil::Beside } else { Soil::Above }, draw)?;
    let last = side(job, &surface.last, if wall { Soil::Beside } else { Soil::Below }, draw)?;
    Ok((first, last))
}

/// Where soil lies: that says what its depth means.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Soil {
    /// From grade down to the foot of a wall.
    Beside,
    /// As deep as it is said to lie on a roof.
    Above,
    /// Under a floor or slab.
    Below,
}

fn side(job: &Job, side: &Side, soil: Soil, draw: &Draw) -> Result<YearOfAir, Missing> {
    match &side.place {
        SidePlace::Outdoors => outdoors(job, side.span),
        SidePlace::Room(id) => room(job, *id, draw, 0),
        SidePlace::Ground { depth, .. } => ground(job, soil, depth.map(|d| d.at(draw)), side.span),
        SidePlace::Water { winter, summer } => water(job, winter.at(draw), summer.at(draw), side.span),
        SidePlace::Hole => Err(Missing::new(side.span, "what lies on one side of it is not known")),
    }
}

/// Soil, saturated, and undisturbed by the building.
///
/// Beside a wall: the mean from grade down to its foot, month by month. On a roof: at its depth. Under a floor, or where
/// no depth is said: the year's mean (ISO 13788, from memory). The sine takes the air for the surface of the soil.
fn ground(job: &Job, soil: Soil, depth: Option<Length>, span: Span) -> Result<YearOfAir, Missing> {
    let air = outdoors(job, span)?;
    let refuse = |e: String| Missing::new(span, format!("soil, {e}"));
    let mut year = air;
    let (Some(depth), Soil::Beside | Soil::Above) = (depth, soil) else {
        let mean = air.iter().map(|a| a.temperature.si()).sum::<f64>() / 12.0;
        return Ok([saturated(Temperature::new(mean), span)?; 12]);
    };
    let days = ground::mid_months();
    let mut points = days.map(|day| (day, Temperature::new(0.0)));
    points.iter_mut().zip(&air).for_each(|(point, a)| point.1 = a.temperature);
    let swing = Swing::fit(&points).map_err(|e| refuse(e.to_string()))?;
    for (air_of_month, day) in year.iter_mut().zip(days) {
        let of = if soil == Soil::Beside { Swing::mean_to } else { Swing::at };
        let temperature = of(&swing, SOIL, depth, day).map_err(|e| refuse(e.to_string()))?;
        *air_of_month = saturated(temperature, span)?;
    }
    Ok(year)
}

/// Retained water: saturated, its temperature swings between winter and summer with the outdoor air.
fn water(job: &Job, winter: Temperature, summer: Temperature, span: Span) -> Result<YearOfAir, Missing> {
    let year = outdoors(job, span)?;
    let coldest = coldest_month(&year) as f64;
    let mut out = year;
    for (month, air_of_month) in out.iter_mut().enumerate() {
        let phase = (month as f64 - coldest) / 12.0 * std::f64::consts::TAU;
        *air_of_month = saturated(winter.lerp(summer, (1.0 - math::cos(phase)) / 2.0), span)?;
    }
    Ok(out)
}

fn coldest_month(year: &YearOfAir) -> usize {
    let by = |(_, a): &(usize, &Air), (_, b): &(usize, &Air)| a.temperature.si().total_cmp(&b.temperature.si());
    year.iter().enumerate().min_by(by).map_or(0, |(i, _)| i)
}

fn saturated(temperature: Temperature, span: Span) -> Result<Air, Missing> {
    let vapor = air::saturation_pressure(temperature).map_err(|e| Missing::new(span, e.to_string()))?;
    Ok(Air { temperature, vapor })
}

/// A room's air. `depth` guards against rooms that share one another's air.
fn room(job: &Job, id: usize, draw: &Draw, depth: usize) -> Result<YearOfAir, Missing> {
    let Some(room_here) = job.room(id) else {
        return Err(Missing::new(Span::default(), "the room is not known"));
    };
    let unsaid = || {
        let what = if id == Job::INDOORS {
            "the job does not say how it is heated or cooled"
        } else {
            "nothing is said of the room's air"
        };
        Missing::new(room_here.span, what)
    };
    if depth > job.rooms.len() {
        return Err(unsaid());
    }
    let mut year = match &room_here.air {
        RoomAir::Unsaid => return Err(unsaid()),
        RoomAir::Open { .. } => open_room(job, id, room_here, draw)?,
        RoomAir::Shares { room: other, .. } => room(job, *other, draw, depth + 1)?,
        RoomAir::Unheated(axis) => {
            between(&outdoors(job, room_here.span)?, &room(job, Job::INDOORS, draw, depth + 1)?, draw.at(*axis))
        }
        RoomAir::Monthly { temperature, humidity } => {
            let mut year = outdoors(job, room_here.span)?;
            for (air_of_month, (t, h)) in year.iter_mut().zip(temperature.iter().zip(humidity)) {
                *air_of_month = Air { temperature: *t, vapor: pressure(*t, h.si(), room_here)? };
            }
            year
        }
        RoomAir::Always(setting) => kept(job, room_here, Some(setting), Some(setting), draw)?,
        RoomAir::Kept { heated, cooled } => kept(job, room_here, heated.as_ref(), cooled.as_ref(), draw)?,
    };
    if let Some(cap) = &room_here.dehumidified {
        for air_of_month in &mut year {
            let most = pressure(air_of_month.temperature, cap.at(draw).si(), room_here)?;
            air_of_month.vapor = air_of_month.vapor.min(most);
        }
    }
    Ok(year)
}

/// How far the air of a room that is open to outdoors swings, as a share of outdoor air's: less than 1 in a crawlspace of
/// which it is said how much is open and that it lies on soil.
pub fn swing_of_open(job: &Job, id: RoomId, draw: &Draw) -> f64 {
    let on_soil = |s: &Surface| {
        let ends = [&s.first.place, &s.last.place];
        s.kind != SurfaceKind::Wall && matches!(ends, [SidePlace::Room(r), SidePlace::Ground { .. }] if *r == id)
    };
    match job.room(id).map(|r| &r.air) {
        Some(RoomAir::Open { ratio: Some(ratio), .. }) if job.surfaces.iter().any(on_soil) => {
            ground::crawlspace_swing(SOIL, ratio.at(draw)).unwrap_or(1.0)
        }
        _ => 1.0,
    }
}

/// Outdoor air; over soil steadied by it, with the vapor of outdoor air as far as it can hold it.
fn open_room(job: &Job, id: RoomId, room: &Room, draw: &Draw) -> Result<YearOfAir, Missing> {
    let mut year = outdoors(job, room.span)?;
    let swing = swing_of_open(job, id, draw);
    if swing < 1.0 {
        let mean = Temperature::new(year.iter().map(|a| a.temperature.si()).sum::<f64>() / 12.0);
        for air_of_month in &mut year {
            let temperature = mean.lerp(air_of_month.temperature, swing);
            let vapor = air_of_month.vapor.min(pressure(temperature, 1.0, room)?);
            *air_of_month = Air { temperature, vapor };
        }
    }
    Ok(year)
}

fn between(a: &YearOfAir, b: &YearOfAir, t: f64) -> YearOfAir {
    let mut out = *a;
    for (x, y) in out.iter_mut().zip(b) {
        *x = Air { temperature: x.temperature.lerp(y.temperature, t), vapor: x.vapor.lerp(y.vapor, t) };
    }
    out
}

fn pressure(temperature: Temperature, humidity: f64, room: &Room) -> Result<Pressure, Missing> {
    let saturation = air::saturation_pressure(temperature).map_err(|e| Missing::new(room.span, e.to_string()))?;
    Ok(saturation * RelativeHumidity::new(humidity))
}

/// A room that is heated, cooled or both.
///
/// It floats [`GAINS`] above outdoors, held between the heated and the cooled temperature; its humidity goes over from
/// the one to the other with the temperature. Air that no machine dries is at least as moist as outdoor air. A room
/// that is only heated follows outdoors in summer; one that is only cooled does in winter.
fn kept(
    job: &Job,
    room: &Room,
    heated: Option<&Setting>,
    cooled: Option<&Setting>,
    draw: &Draw,
) -> Result<YearOfAir, Missing> {
    let mut year = outdoors(job, room.span)?;
    for air_of_month in &mut year {
        *air_of_month = kept_month(*air_of_month, room, heated, cooled, draw)?;
    }
    Ok(year)
}

fn kept_month(
    out: Air,
    room: &Room,
    heated: Option<&Setting>,
    cooled: Option<&Setting>,
    draw: &Draw,
) -> Result<Air, Missing> {
    let floating = out.temperature + GAINS;
    let low = heated.map(|s| s.temperature.at(draw));
    let high = cooled.map(|s| s.temperature.at(draw));
    let free = |temperature: Temperature| -> Result<Air, Missing> {
        Ok(Air { temperature, vapor: out.vapor.min(pressure(temperature, 1.0, room)?) })
    };
    match (heated.zip(low), cooled.zip(high)) {
        (Some((h, low)), Some((c, high))) => {
            let temperature = floating.max(low).min(high.max(low));
            let share = if high > low { (temperature - low) / (high - low) } else { 1.0 };
            let warm = written(h, temperature, out, room, draw)?;
            let cool = written(c, temperature, out, room, draw)?;
            let said = warm.lerp(cool, share);
            let machine = h.held || share >= 1.0;
            Ok(Air {
                temperature,
                vapor: if machine { said } else { said.max(out.vapor.min(pressure(temperature, 1.0, room)?)) },
            })
        }
        (Some((h, low)), None) if floating <= low || h.held => {
            let said = written(h, low, out, room, draw)?;
            Ok(Air {
                temperature: low,
                vapor: if h.held { said } else { said.max(out.vapor.min(pressure(low, 1.0, room)?)) },
            })
        }
        (Some((_, low)), None) => free(out.temperature.max(low)),
        (None, Some((c, high))) if floating >= high || c.held => {
            Ok(Air { temperature: high, vapor: written(c, high, out, room, draw)? })
        }
        (None, _) => free(out.temperature),
    }
}

/// The vapor pressure that a setting asks for at a temperature.
fn written(
    setting: &Setting,
    temperature: Temperature,
    out: Air,
    room: &Room,
    draw: &Draw,
) -> Result<Pressure, Missing> {
    match setting.humidity {
        RoomHumidity::Relative(humidity) => pressure(temperature, humidity.at(draw).si(), room),
        RoomHumidity::Class(class) => {
            let class = humidity_class(class)
                .ok_or_else(|| Missing::new(setting.span, "humidity classes of ISO 13788 run from 1 to 5"))?;
            let excess = vapor::class_excess(class, out.temperature, vapor::Edition::E2012)
                .map_err(|e| Missing::new(setting.span, e.to_string()))?;
            Ok((out.vapor + excess).min(pressure(temperature, 1.0, room)?))
        }
    }
}

/// The class of a number, 1 to 5.
pub fn humidity_class(number: u32) -> Option<vapor::HumidityClass> {
    use vapor::HumidityClass::{Five, Four, One, Three, Two};
    [One, Two, Three, Four, Five].get(number.checked_sub(1)? as usize).copied()
}
