//! A layer of wood or paper that is humid for months, whether or not water condenses on it.

use super::criteria::condensate_told;
use super::wet::{self, Source, Wet};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{RelativeHumidity, Temperature, TemperatureDifference};
use crate::base::show::{Show, month_name};
use crate::catalog::Sensitivity;
use crate::model::layer::Body;
use crate::model::surface::SidePlace;
use crate::physics::profile::{MonthInput, MonthResult, Zone};
use crate::physics::surface::MOLD_HUMIDITY;
use crate::rules::facts::path::{Part, PathKind};
use crate::rules::facts::{Look, PathYear, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "dew/damp-layer",
    summary: "wood or paper that stays over 80 % humidity by the month",
    weight: Weight::Fix,
    page: include_str!("damp_layer.md"),
    run: Run::Surface(run),
};

/// Between these mold grows (ASHRAE 160-2009, from memory).
const COLDEST: Temperature = Temperature::new(5.0);
const WARMEST: Temperature = Temperature::new(40.0);
/// On the cold side of a heated room the steady sum shows more humidity than storage and drying air let come about; less
/// than a season of it is not told. Our own choice.
const SEASON: usize = 3;
/// A room cools what lies on its half of the way to outdoors; with less than this between the two it cools nothing. Our own choice.
const COOLED: TemperatureDifference = TemperatureDifference::new(1.0);

/// A face of a layer that is too humid.
#[derive(Clone, Debug)]
pub(super) struct Damp {
    /// The place, its months those that are too humid.
    wet: Wet,
    worst: RelativeHumidity,
    worst_month: u8,
    temperature: Temperature,
    path: &'static str,
    /// Cooled, or against the ground: not a matter of a heated room.
    cooled: bool,
}

impl Damp {
    /// How many months it is too humid.
    pub(super) fn months(&self) -> usize {
        self.wet.months.len()
    }
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    let (months, years) = match (look.months(), look.years()) {
        (Ok(months), Ok(years)) => (months, years),
        (Err(missing), _) | (_, Err(missing)) => return sink.cannot(missing),
    };
    if let Err(missing) = wet::decidable(look) {
        return sink.cannot(&missing);
    }
    if condensate_told(look, months, years) {
        return;
    }
    let worst = years.iter().filter_map(|of| find(look, months, of)).max_by(worse);
    if let Some(finding) = worst.and_then(|damp| tell(look, &damp)) {
        sink.found(finding);
    }
}

/// A cooled face outweighs a cold one; then more months, then the higher humidity.
fn worse(a: &Damp, b: &Damp) -> std::cmp::Ordering {
    let rank = |d: &Damp| (d.cooled, d.wet.months.len());
    rank(a).cmp(&rank(b)).then(a.worst.si().total_cmp(&b.worst.si()))
}

/// The worst face of a path.
pub(super) fn find(look: &Look<'_>, months: &[MonthInput; 12], of: &PathYear<'_>) -> Option<Damp> {
    let parts = of.path.parts.iter().enumerate().filter(|(index, part)| judged(look, of.path.kind, *index, part));
    let faces = parts.flat_map(|(index, _)| [index, index + 1].map(|face| (index, face)));
    faces.filter_map(|(part, face)| at(look, months, of, part, face)).max_by(worse)
}

/// Sensitive, and not what the weather wets anyway: a cladding, or what outdoors begins with.
pub(super) fn judged(look: &Look<'_>, path: PathKind, index: usize, part: &Part<'_>) -> bool {
    let Some(material) = part.stuff().and_then(|s| s.material) else { return false };
    let sensitive = matches!(material.sensitivity(), Sensitivity::Wood | Sensitivity::Paper);
    let weather = index == 0
        && look.paths().ok().and_then(|p| p.first()).is_some_and(|p| p.left_out == 0)
        && matches!(look.surface.first.place, SidePlace::Outdoors);
    // At members heat spreads sideways: there only the member itself is judged, its neighbors in the bay.
    let member = look.surface.layers.get(part.layer).is_some_and(|l| matches!(l.body, Body::Members(_)));
    wet::told(look, path)
        && sensitive
        && !weather
        && material.vented_cladding().is_none()
        && (member || path != PathKind::Member)
}

fn at(look: &Look<'_>, months: &[MonthInput; 12], of: &PathYear<'_>, part: usize, face: usize) -> Option<Damp> {
    let room = wet::room_side(look);
    let end = of.path.parts.len();
    let (inner, outer) = if room == Source::Last { (end, 0) } else { (0, end) };
    let soil = matches!(room.other().place(look.surface), SidePlace::Ground { .. } | SidePlace::Water { .. });
    // The room face has a rule of its own; an outer face in air sees that air only.
    if face == inner || (face == outer && !soil) {
        return None;
    }
    let node = of.year.nodes.iter().position(|n| n.interface == Some(face))?;
    let humid: Vec<State> =
        of.year.months.iter().filter_map(|m| state(months, m, node, room)).filter(State::counts).collect();
    // A cooled layer is wetted from its room side outward, where it is coldest.
    let toward_room = if room == Source::Last { face == part + 1 } else { face == part };
    let cooled: Vec<State> = humid.iter().filter(|s| s.cooled && toward_room).copied().collect();
    let cold: Vec<State> = humid.iter().filter(|s| !s.cooled).copied().collect();
    let (states, cooled) = match (cooled.is_empty(), cold.len() >= SEASON && !wet::under_skin(look, of, face)) {
        (false, _) => (cooled, true),
        (true, true) => (cold, false),
        (true, false) => return None,
    };
    let worst = states.iter().max_by(|a, b| a.humidity.si().total_cmp(&b.humidity.si()))?;
    let source = if cooled { room.other() } else { room };
    let mut list: Vec<u8> = states.iter().map(|s| s.month as u8 + 1).collect();
    list.sort_unstable();
    Some(Damp {
        wet: Wet {
            part,
            layer: of.path.parts.get(part)?.layer,
            source,
            months: wet::in_a_row(list),
            zone: dry_zone(node, face),
        },
        worst: worst.humidity,
        worst_month: worst.month as u8 + 1,
        temperature: worst.temperature,
        path: of.path.kind.name(),
        cooled,
    })
}

/// A face in one month.
#[derive(Clone, Copy, Debug)]
struct State {
    month: usize,
    humidity: RelativeHumidity,
    temperature: Temperature,
    /// Nearer to a cooled room's temperature than to outdoors, with vapor coming inward.
    cooled: bool,
    /// Outdoor vapor alone, at the face's temperature.
    outdoor: RelativeHumidity,
}

impl State {
    /// Humid enough at a temperature that matters, by more than the outdoor air it would be aired with.
    fn counts(&self) -> bool {
        let range = self.temperature >= COLDEST && self.temperature <= WARMEST;
        range && self.humidity >= MOLD_HUMIDITY && (self.cooled || self.outdoor < MOLD_HUMIDITY)
    }
}

fn state(months: &[MonthInput; 12], month: &MonthResult, node: usize, room: Source) -> Option<State> {
    let input = months.get(month.month)?;
    let (temperature, saturation) = (*month.temperature.get(node)?, *month.saturation.get(node)?);
    let vapor = *month.pressure.get(node)?;
    let (outside, inside) = (room.other().air(input), room.air(input));
    let cools = outside.temperature - inside.temperature > COOLED && outside.vapor > inside.vapor;
    Some(State {
        month: month.month,
        humidity: RelativeHumidity::new(vapor / saturation),
        temperature,
        cooled: cools && outside.temperature - temperature > temperature - inside.temperature,
        outdoor: RelativeHumidity::new(outside.vapor / saturation),
    })
}

pub(super) fn dry_zone(node: usize, face: usize) -> Zone {
    let none = crate::base::quantity::MoistureMass::ZERO;
    Zone { nodes: (node, node), layer: None, interface: Some(face), peak: none, peak_at: 0, dry_at: None, end: none }
}

fn tell(look: &Look<'_>, damp: &Damp) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(damp.wet.layer)?;
    let count = damp.wet.months.len();
    let plural = if count == 1 { "month" } else { "months" };
    let message = format!("`{}` is over {} for {count} {plural} a year", label(layer), show.humidity(MOLD_HUMIDITY));
    let (weight, caution) = if damp.cooled {
        (Weight::Fix, "")
    } else {
        (Weight::Watch, " Storage and air behind the cladding take the top off this: a steady sum shows too much here.")
    };
    let trust = wet::from_memory(look);
    Some(
        Finding::new(RULE.id, weight, layer.stuff_span, message)
            .label("humid for long")
            .detail(format!(
                "{}, {} keeps a face of it at up to {} in {} at {} ({}). Mold grows on wood and paper from {} by the \
                 month between {} and {} (ASHRAE 160-2009, from memory).{caution}{trust}",
                wet::capital(damp.path),
                wet::vapor_of(look, damp.wet.source),
                show.humidity(damp.worst),
                month_name(damp.worst_month),
                show.temperature(damp.temperature),
                wet::spell(&damp.wet.months),
                show.humidity(MOLD_HUMIDITY),
                show.temperature(COLDEST),
                show.temperature(WARMEST),
            ))
            .number("humidity", damp.worst.si(), "1")
            .number("humid_months", count as f64, "1"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outdoor_air_alone_does_not_count_but_a_cooled_face_does() {
        let h = RelativeHumidity::new;
        let state = |cooled, outdoor| State {
            month: 0,
            humidity: h(0.85),
            temperature: Temperature::new(8.0),
            cooled,
            outdoor: h(outdoor),
        };
        assert!(state(false, 0.7).counts());
        assert!(!state(false, 0.82).counts());
        assert!(state(true, 0.95).counts());
        assert!(!State { temperature: Temperature::new(4.0), ..state(false, 0.7) }.counts());
    }
}
