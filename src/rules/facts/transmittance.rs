//! The thermal transmittance of a surface, members included.
//!
//! Wood: ISO 6946 combined method. Metal: refused, never the wood method. What follows temperature is taken at its own
//! mean of the season in which heat goes out. Invariant: a figure or the reason why there is none.

use super::path::{self, Path, PathKind};
use super::{Missing, vent};
use crate::base::quantity::{Fraction, Temperature, TemperatureDifference, ThermalResistance, Transmittance};
use crate::base::show::Show;
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::Draw;
use crate::physics::heat::{self, Combined, Section};
use crate::physics::profile::MonthInput;

/// Months in which the sides differ by less than this are no part of the season. Our own choice, as at the room face.
const SEASON: TemperatureDifference = TemperatureDifference::new(5.0);

/// A transmittance and how it was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// U.
    pub u: Transmittance,
    /// How it was found.
    pub how: String,
}

/// U of a surface; `months` is the air of its two sides, where it is known.
///
/// # Errors
/// When a path can't be built, metal crosses the insulation, or the limits of the method lie too far apart.
pub fn told(
    surface: &Surface,
    paths: &[Path<'_>],
    draw: &Draw,
    months: Option<&[MonthInput; 12]>,
    metric: bool,
) -> Result<Told, Missing> {
    if matches!((&surface.first.place, &surface.last.place), (SidePlace::Outdoors, SidePlace::Outdoors)) {
        return Err(Missing::new(surface.span, "outdoors lies on both sides"));
    }
    let season = months.and_then(|m| season(surface, m));
    let mut how = match paths.iter().filter(|p| p.kind != PathKind::Port).count() {
        1 => "series of layers".to_string(),
        _ => "ISO 6946 combined method".to_string(),
    };
    let of = combined(surface, paths, draw, season)?;
    if of.error_bound.si() > 0.0005 {
        how.push_str(&format!(", within {:.0} %", (of.error_bound.si() * 100.0).max(1.0)));
    }
    let mut u = of.u;
    if let Some((gap, opening)) = vent::slightly(surface, draw) {
        let beyond = combined(surface, &path::paths_beyond(surface, draw, gap + 1)?, draw, season)?;
        let refuse = |e: crate::physics::OutOfRange| Missing::new(surface.span, e.to_string());
        u = heat::slightly_ventilated(opening, of.total, beyond.total).map_err(refuse)?.transmittance();
        let label = surface.layers.get(gap).map_or("", |l| l.label.as_str());
        how.push_str(&format!(", `{label}` slightly ventilated by {}", vent::told(opening, metric)));
    }
    if let Some((label, mean)) = season.and_then(|airs| at_mean(surface, paths, airs)) {
        how.push_str(&format!(", `{label}` at its mean of {} while heated", Show { metric }.temperature(mean)));
    }
    Ok(Told { u, how })
}

/// Mean air of the two sides over the months in which the room is warmer than the other side; where there are none, over
/// those in which it is cooler.
fn season(surface: &Surface, months: &[MonthInput; 12]) -> Option<(Temperature, Temperature)> {
    let room_first = matches!(surface.first.place, SidePlace::Room(_));
    let room_last = matches!(surface.last.place, SidePlace::Room(_));
    let rise = |m: &MonthInput| {
        let rise = m.indoor.temperature - m.outdoor.temperature;
        if room_first && !room_last { -rise } else { rise }
    };
    let mean = |cool: bool| {
        let within = months.iter().filter(|m| if cool { -rise(m) >= SEASON } else { rise(m) >= SEASON });
        let (mut time, mut first, mut last) = (0.0, 0.0, 0.0);
        for month in within {
            let seconds = month.duration.si();
            time += seconds;
            first += month.outdoor.temperature.si() * seconds;
            last += month.indoor.temperature.si() * seconds;
        }
        (time > 0.0).then(|| (Temperature::new(first / time), Temperature::new(last / time)))
    };
    mean(false).or_else(|| mean(true))
}

/// The layer whose resistance follows temperature and counts most, and its mean temperature.
fn at_mean(surface: &Surface, paths: &[Path<'_>], airs: (Temperature, Temperature)) -> Option<(String, Temperature)> {
    let path = paths.first()?;
    let resistances = path.build().resistances(airs.0, airs.1);
    let total = path.first_film + resistances.iter().copied().sum::<ThermalResistance>() + path.last_film;
    let mut outside = path.first_film;
    let mut most: Option<(ThermalResistance, usize, Temperature)> = None;
    for (part, resistance) in path.parts.iter().zip(resistances) {
        let mean = airs.0 + (airs.1 - airs.0) * ((outside + resistance / 2.0) / total);
        if part.follows.temperature.is_some() && most.is_none_or(|(r, ..)| resistance > r) {
            most = Some((resistance, part.layer, mean));
        }
        outside += resistance;
    }
    let (_, layer, mean) = most?;
    Some((surface.layers.get(layer)?.label.clone(), mean))
}

/// The combined method over bay and member, what follows temperature at its own mean between the two airs.
fn combined(
    surface: &Surface,
    paths: &[Path<'_>],
    draw: &Draw,
    season: Option<(Temperature, Temperature)>,
) -> Result<Combined, Missing> {
    let warmed: Vec<Path<'_>> = paths.iter().map(|path| warmed(path, season)).collect();
    heat::combined(&sections(surface, &warmed, draw)).map_err(|e| match e {
        crate::physics::Error::MetalBridge => {
            Missing::new(surface.span, "metal members cross the insulation: it needs a computation in two dimensions")
        }
        other => Missing::new(surface.span, other.to_string()),
    })
}

fn warmed<'a>(path: &Path<'a>, season: Option<(Temperature, Temperature)>) -> Path<'a> {
    let mut path = path.clone();
    if let Some((first, last)) = season.filter(|_| path.parts.iter().any(|p| p.follows.temperature.is_some())) {
        let resistances = path.build().resistances(first, last);
        for (part, resistance) in path.parts.iter_mut().zip(resistances) {
            part.resistance = resistance;
        }
    }
    path
}

/// Bay and member side by side, layer by layer. Where members cross members, each crossing layer is split by its own
/// share in the deepest members' sections.
fn sections(surface: &Surface, paths: &[Path<'_>], draw: &Draw) -> Vec<Section> {
    let main: Vec<&Path<'_>> = paths.iter().filter(|p| p.kind != PathKind::Port).collect();
    let deepest = main.iter().find(|p| p.kind == PathKind::Member).and_then(|m| deepest_layer(surface, m, draw));
    main.iter()
        .map(|p| {
            let mut resistances = vec![p.first_film];
            for index in p.left_out..surface.layers.len() {
                let straight: ThermalResistance =
                    p.parts.iter().filter(|x| x.layer == index).map(|x| x.resistance).sum();
                resistances.push(crossed(surface, index, straight, deepest, draw));
            }
            resistances.push(p.last_film);
            let share = if main.len() == 1 { Fraction::new(1.0) } else { p.share };
            Section { share, resistances, metal: has_metal(surface, p.left_out) }
        })
        .collect()
}

fn deepest_layer(surface: &Surface, member: &Path<'_>, draw: &Draw) -> Option<usize> {
    let depth = |i: usize| surface.layers.get(i).and_then(path::members_of).map(|m| m.depth.at(draw).si());
    (member.left_out..surface.layers.len())
        .filter(|i| depth(*i).is_some())
        .max_by(|a, b| depth(*a).unwrap_or(0.0).total_cmp(&depth(*b).unwrap_or(0.0)))
}

/// A second layer of members: bay and member of it in parallel, as the lower limit takes them.
fn crossed(
    surface: &Surface,
    index: usize,
    bay: ThermalResistance,
    deepest: Option<usize>,
    draw: &Draw,
) -> ThermalResistance {
    let Some(members) = surface.layers.get(index).and_then(path::members_of).filter(|_| deepest != Some(index)) else {
        return bay;
    };
    let Some(through) = members.member.resistance_at(draw) else { return bay };
    let share = (members.width.at(draw).si() / members.spacing.at(draw).si()).min(1.0);
    (bay.transmittance() * (1.0 - share) + through.transmittance() * share).resistance()
}

fn has_metal(surface: &Surface, left_out: usize) -> bool {
    surface.layers.iter().skip(left_out).filter_map(path::members_of).any(|m| m.metal)
}
