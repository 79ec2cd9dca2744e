//! What is varied on a surface, and between what.
//!
//! Invariant: a figure is varied once: what the author left open runs over his own range and over nothing else.

use crate::base::near;
use crate::base::quantity::{RelativeHumidity, ThermalResistance};
use crate::base::show::Show;
use crate::catalog::{self, Apart, Basis, Cup, Property, Spread};
use crate::model::Job;
use crate::model::layer::{BayPart, Body, Fill, Layer, Stuff};
use crate::model::room::{Room, RoomAir, RoomHumidity, RoomId, Setting};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::{Axis, AxisId, Draw, Origin, Reach, Value};
use crate::rules::facts::vent::left_out;

/// A layer with less than this holds back no heat that counts. Our own choice.
const NO_HEAT: ThermalResistance = ThermalResistance::new(0.01);

/// Room humidity, each way.
const HUMIDITY: f64 = 0.05;

/// One thing that is varied.
#[derive(Clone, Debug)]
pub(super) struct Input {
    /// "permeance of `skin`".
    pub what: String,
    /// The figure of a layer and the layer, where it is one: ("permeance", "skin").
    pub part: Option<(&'static str, String)>,
    /// The two builds that stand in for one another, where there are two.
    pub builds: Vec<String>,
    /// "a factor of 1.5 each way".
    pub within: String,
    /// Whose range it is: the author's, else common practice.
    pub source: &'static str,
    /// What it moves.
    pub moves: Moves,
}

/// What an input moves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Moves {
    /// A point on an axis.
    Axis(AxisId),
    /// One of so many stand-ins.
    OneOf(AxisId, usize),
    /// The conductivity of a piece of stuff, so far each way.
    Heat(usize, Apart),
    /// Its permeance, so far each way.
    Vapor(usize, Apart),
}

/// All that is made of one material on a surface; stand-ins for one another count as one.
pub(super) type Slots<'a> = Vec<Vec<&'a Stuff>>;

/// The materials of a surface in a fixed order, each with the number of its layer and a label.
fn labelled(surface: &Surface) -> Vec<(usize, String, Vec<&Stuff>)> {
    let of = |(index, layer)| of_layer(layer).into_iter().map(move |(label, stuffs)| (index, label, stuffs));
    surface.layers.iter().enumerate().flat_map(of).collect()
}

/// The same without labels.
pub(super) fn slots(surface: &Surface) -> Slots<'_> {
    labelled(surface).into_iter().map(|(_, _, stuffs)| stuffs).collect()
}

fn of_layer(layer: &Layer) -> Vec<(String, Vec<&Stuff>)> {
    let label = &layer.label;
    let within = |stuff: &'_ Stuff| format!("{label} ({})", stuff.name);
    let mut out: Vec<(String, Vec<&Stuff>)> = match &layer.body {
        Body::Sheet(choice) => vec![(label.clone(), choice.builds.iter().collect())],
        Body::Panel(parts) => parts.iter().map(|stuff| (within(stuff), vec![stuff])).collect(),
        Body::Members(members) => {
            let fill = match &members.fill {
                Fill::Parts(parts) => parts.as_slice(),
                Fill::Unknown(_) => &[],
            };
            let all = std::iter::once(&members.member).chain(fill.iter().filter_map(solid));
            all.map(|stuff| (within(stuff), vec![stuff])).collect()
        }
        Body::Gap(_) | Body::Hole => Vec::new(),
    };
    out.extend(layer.words.paint.as_deref().map(|paint| (format!("paint on {label}"), vec![paint])));
    out
}

fn solid(part: &BayPart) -> Option<&Stuff> {
    if let BayPart::Stuff(stuff) = part { Some(stuff) } else { None }
}

/// What can be varied on a surface; room humidities become axes of the job.
pub(super) fn inputs(job: &mut Job, surface: &Surface) -> Vec<Input> {
    let mut out: Vec<Input> = surface.axes.iter().filter_map(|id| left_open(job, *id)).collect();
    for room in rooms(job, surface) {
        out.extend(humidity(job, room));
    }
    // What lies outside of a gap that outdoor air passes through is not in the sum.
    let left_out = left_out(surface, &Draw::middle());
    let counted = labelled(surface).into_iter().enumerate().filter(|(_, (layer, ..))| *layer >= left_out);
    for (slot, (_, label, stuffs)) in counted {
        out.extend(heat(slot, &label, &stuffs));
        out.extend(vapor(slot, &label, &stuffs));
    }
    out
}

fn left_open(job: &Job, id: AxisId) -> Option<Input> {
    let axis = job.axes.get(id)?;
    let show = Show { metric: job.metric };
    let (within, moves) = match &axis.reach {
        Reach::Between { low, high, dimension: Some(dimension), .. } => {
            let ends = [*low, *high].map(|si| show.figure(*dimension, si));
            (ends.join(" to "), Moves::Axis(id))
        }
        Reach::Between { .. } => ("all the way from the one to the other".to_owned(), Moves::Axis(id)),
        Reach::OneOf(names) => (format!("{}, each as likely", near::one_of(names)), Moves::OneOf(id, names.len())),
    };
    let builds = match &axis.reach {
        Reach::OneOf(names) if names.len() == 2 => names.clone(),
        _ => Vec::new(),
    };
    Some(Input { what: axis.what.clone(), part: None, builds, within, source: "left open in the text", moves })
}

/// The rooms whose air a surface meets, those that they take their air from included.
fn rooms(job: &Job, surface: &Surface) -> Vec<RoomId> {
    let side = |place: &SidePlace| if let SidePlace::Room(id) = place { Some(*id) } else { None };
    let mut out: Vec<RoomId> = [&surface.first.place, &surface.last.place].into_iter().filter_map(side).collect();
    let mut at = 0;
    while let Some(id) = out.get(at).copied() {
        out.extend(
            match job.room(id).map(|r| &r.air) {
                Some(RoomAir::Shares { room, .. }) => Some(*room),
                Some(RoomAir::Unheated(_)) => Some(Job::INDOORS),
                _ => None,
            }
            .filter(|next| !out.contains(next)),
        );
        at += 1;
    }
    out.sort_unstable();
    out.dedup();
    out
}

/// Opens the humidity of a room that is written as one figure; heated and cooled move together.
fn humidity(job: &mut Job, id: RoomId) -> Option<Input> {
    let next = job.axes.len();
    let room = job.rooms.get_mut(id)?;
    let open = |humidity: &mut RoomHumidity| {
        let RoomHumidity::Relative(value) = humidity else { return false };
        let Some(sure) = value.sure() else { return false };
        let end = |by: f64| RelativeHumidity::new((sure.si() + by).clamp(0.0, 1.0));
        *value = Value::open(end(-HUMIDITY), end(HUMIDITY), false, next, Origin::Assumed);
        true
    };
    let mut settings = settings(room);
    let all = settings.len();
    let opened: Vec<&str> =
        settings.iter_mut().filter_map(|(when, s)| open(&mut s.humidity).then_some(*when)).collect();
    // Where one season is left open by the author only the other is opened here, and is told apart.
    let when = match opened.as_slice() {
        [] => return None,
        [one] if all > 1 => *one,
        _ => "",
    };
    let whose = if id == Job::INDOORS { "indoor humidity".to_owned() } else { format!("humidity of {}", room.name) };
    let what = format!("{whose}{when}");
    let reach = Reach::Between { low: 0.0, high: 1.0, by_factor: false, dimension: None };
    job.axes.push(Axis { span: room.span, what: what.clone(), reach });
    let within = format!("{:.0} % humidity each way", HUMIDITY * 100.0);
    let moves = Moves::Axis(next);
    Some(Input { what, part: None, builds: Vec::new(), within, source: Basis::Practice.words(), moves })
}

/// What a room is kept at, each with when.
fn settings(room: &mut Room) -> Vec<(&'static str, &mut Setting)> {
    match &mut room.air {
        RoomAir::Kept { heated, cooled } => {
            let heated = heated.iter_mut().map(|s| (" while heated", s));
            heated.chain(cooled.iter_mut().map(|s| (" while cooled", s))).collect()
        }
        RoomAir::Always(setting) => vec![("", setting)],
        RoomAir::Unsaid
        | RoomAir::Monthly { .. }
        | RoomAir::Unheated(_)
        | RoomAir::Open { .. }
        | RoomAir::Shares { .. } => Vec::new(),
    }
}

/// Spread of the one drawn; none where its figure counts for nothing, whoever wrote it.
fn apart(stuff: &Stuff, written: bool, property: Property) -> Option<&'static Spread> {
    let of_kind = match stuff.material {
        Some(material) => catalog::spread(material.kind(), property).filter(|s| s.apart != Apart::Nothing)?,
        None => catalog::spread(catalog::WRITTEN, property)?,
    };
    if written { catalog::spread(catalog::WRITTEN, property) } else { Some(of_kind) }
}

fn heat(slot: usize, label: &str, stuffs: &[&Stuff]) -> Option<Input> {
    let stuff = stuffs.first()?;
    let open = |s: &&Stuff| {
        let axes = (s.resistance.and_then(|v| v.axis()), s.conductivity.and_then(|v| v.axis()));
        axes != (None, None)
    };
    let resistance = stuff.resistance_at(&Draw::middle())?;
    if stuffs.iter().any(open) || resistance < NO_HEAT {
        return None;
    }
    let origin = stuff.resistance.map(|v| v.origin).or(stuff.conductivity.map(|v| v.origin));
    let spread = apart(stuff, matches!(origin, Some(Origin::Written(_))), Property::Conductivity)?;
    Some(of_part("conductivity", label, spread, Moves::Heat(slot, spread.apart)))
}

fn vapor(slot: usize, label: &str, stuffs: &[&Stuff]) -> Option<Input> {
    let stuff = stuffs.first()?;
    let open = stuffs.iter().any(|s| s.permeance.and_then(|v| v.axis()).is_some());
    if open || stuff.permeance_at(&Draw::middle(), Cup::Wet)?.si() <= 0.0 {
        return None;
    }
    let origin = stuff.permeance.map(|v| v.origin);
    let written = matches!(origin, Some(Origin::Written(_))) || stuff.factor.is_some();
    let spread = apart(stuff, written, Property::Permeance)?;
    Some(of_part("permeance", label, spread, Moves::Vapor(slot, spread.apart)))
}

fn of_part(figure: &'static str, label: &str, spread: &Spread, moves: Moves) -> Input {
    let what = format!("{figure} of `{label}`");
    let (within, source) = (spread.apart.words().unwrap_or_default(), spread.basis.words());
    Input { what, part: Some((figure, label.to_owned())), builds: Vec::new(), within, source, moves }
}

/// What is left as it is, though nobody knows it for sure.
pub(super) fn not_varied(job: &Job, surface: &Surface) -> Vec<&'static str> {
    let mut notes = vec!["weather, thicknesses and workmanship are taken as they are"];
    let class = |s: &&Setting| matches!(s.humidity, RoomHumidity::Class(_));
    for room in rooms(job, surface).into_iter().filter_map(|id| job.room(id)) {
        match &room.air {
            RoomAir::Monthly { .. } => notes.push("a room written month by month is taken as it is"),
            RoomAir::Kept { heated, cooled } if heated.iter().chain(cooled).any(|s| class(&s)) => {
                notes.push("a humidity class is taken as it is");
            }
            RoomAir::Always(setting) if class(&setting) => notes.push("a humidity class is taken as it is"),
            _ => {}
        }
    }
    notes.dedup();
    notes
}
