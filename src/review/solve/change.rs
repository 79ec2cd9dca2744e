//! One change to a section, worked into copies of the job and the surface.
//!
//! Invariant: the job that is reviewed is never altered, and what a change adds is an ordinary layer that every rule reads.

use crate::base::quantity::{Length, Permeance, RelativeHumidity, ThermalResistance};
use crate::base::span::Span;
use crate::catalog;
use crate::model::Job;
use crate::model::layer::{Body, Choice, Layer, LayerWords, Openings, Seams, Stuff, Treatment};
use crate::model::room::{Room, RoomAir, RoomHumidity, RoomId};
use crate::model::surface::Surface;
use crate::model::value::{Origin, Value};
use crate::rules::facts::side::Source;
use crate::syntax::ast::OpenAt;

/// What insulation is tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Insulation {
    /// Closed-cell foam board, its seams closed.
    Foam,
    /// Mineral wool board, which passes vapor.
    Wool,
}

impl Insulation {
    /// The catalog's material.
    fn key(self) -> &'static str {
        match self {
            Self::Foam => "xps",
            Self::Wool => "mineral-wool-board",
        }
    }

    /// In an order.
    pub fn words(self) -> &'static str {
        match self {
            Self::Foam => "closed-cell foam board",
            Self::Wool => "mineral wool board",
        }
    }

    /// Board of a resistance, as the catalog's conductivity makes it.
    pub fn stuff(self, resistance: ThermalResistance) -> Option<Stuff> {
        let material = catalog::material(self.key()).found()?;
        let thickness = material.conductivity()? * resistance;
        let of = |value| Value::known(value, Origin::Assumed);
        Some(Stuff {
            thickness: Some(of(thickness)),
            resistance: Some(Value::known(resistance, Origin::Assumed)),
            material: Some(material),
            ..bare(self.words())
        })
    }
}

/// One change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Change {
    /// A coat or sheet of at most this permeance on the face of a side; a paint that is there goes.
    Coat { side: Source, most: Permeance },
    /// A layer swapped for one of at least this permeance.
    Open { layer: usize, least: Permeance },
    /// Insulation before the layer of this index; `beside` is the layer that an order names.
    Insulate { at: usize, beside: usize, least: ThermalResistance, of: Insulation },
    /// An insulating layer made this thick.
    Thicken { layer: usize, least: Length },
    /// A room kept at or below this.
    Dry { room: RoomId, most: RelativeHumidity },
    /// The seams, edges and holes of a layer closed.
    Close { layer: usize },
    /// A layer left out.
    Remove { layer: usize },
    /// A gap opened low and high.
    Vent { layer: usize },
}

impl Change {
    /// Whether it gives a bound on a permeance: all beyond that has to do as well.
    pub fn bounds(&self) -> bool {
        matches!(self, Self::Coat { .. } | Self::Open { .. })
    }
}

/// The surface with the change in it.
pub(super) fn surface(of: &Surface, change: &Change) -> Surface {
    let mut changed = of.clone();
    match *change {
        Change::Coat { side, most } => coat(&mut changed, side, most),
        Change::Open { layer, least } => {
            stuffs(&mut changed, layer, |s| {
                s.permeance = Some(Value::known(least, Origin::Assumed));
            });
            // The figure is that of the layer with its paint.
            if let Some(layer) = changed.layers.get_mut(layer) {
                layer.words.paint = None;
            }
        }
        Change::Insulate { at, least, of, .. } => {
            if let Some(stuff) = of.stuff(least) {
                changed.layers.insert(at.min(changed.layers.len()), layer("added", stuff));
            }
        }
        Change::Thicken { layer, least } => thicken(&mut changed, layer, least),
        Change::Dry { .. } => {}
        Change::Close { layer } => {
            if let Some(layer) = changed.layers.get_mut(layer) {
                layer.seams.treatment = Treatment::Closed;
                for word in [&mut layer.words.edges, &mut layer.words.holes].into_iter().flatten() {
                    word.value = true;
                }
            }
        }
        Change::Remove { layer } => {
            if layer < changed.layers.len() {
                changed.layers.remove(layer);
            }
        }
        Change::Vent { layer } => {
            if let Some(Body::Gap(gap)) = changed.layers.get_mut(layer).map(|l| &mut l.body) {
                gap.openings = Openings::At { at: vec![OpenAt::Top, OpenAt::Bottom], size: None };
                gap.bridged = false;
            }
        }
    }
    changed
}

/// The job with the change in it; none where it is the section that changes. It has no surfaces and no joints of its own.
pub(super) fn job(of: &Job, change: &Change) -> Option<Job> {
    let Change::Dry { room, most } = *change else { return None };
    let mut changed = Job {
        name: of.name.clone(),
        climate: of.climate.clone(),
        place_span: of.place_span,
        code: of.code,
        head: of.head,
        metric: of.metric,
        rain: of.rain,
        airtight: of.airtight,
        wood_at_cover: of.wood_at_cover,
        rooms: of.rooms.clone(),
        axes: of.axes.clone(),
        ..Job::default()
    };
    if let Some(room) = changed.rooms.get_mut(room) {
        dry(room, most);
    }
    Some(changed)
}

/// While it is heated where it is kept so, else all year by a machine.
fn dry(room: &mut Room, most: RelativeHumidity) {
    let cap = Value::known(most, Origin::Assumed);
    match &mut room.air {
        RoomAir::Kept { heated: Some(setting), .. } if matches!(setting.humidity, RoomHumidity::Relative(_)) => {
            setting.humidity = RoomHumidity::Relative(cap);
        }
        _ => room.dehumidified = Some(cap),
    }
}

fn coat(surface: &mut Surface, side: Source, most: Permeance) {
    let stuff = Stuff { permeance: Some(Value::known(most, Origin::Assumed)), ..bare("a coat") };
    match side {
        Source::First => surface.layers.insert(0, layer("added", stuff)),
        Source::Last => {
            if let Some(last) = surface.layers.last_mut() {
                last.words.paint = None;
            }
            surface.layers.push(layer("added", stuff));
        }
    }
}

fn thicken(surface: &mut Surface, layer: usize, least: Length) {
    stuffs(surface, layer, |stuff| {
        let Some(before) = stuff.thickness else { return };
        if let Some(resistance) = &mut stuff.resistance {
            let by = least / before.high();
            *resistance = Value::known(resistance.high() * by, Origin::Assumed);
        }
        if let Some(permeance) = &mut stuff.permeance {
            let by = before.high() / least;
            *permeance = Value::known(permeance.low() * by, Origin::Assumed);
        }
        stuff.thickness = Some(Value::known(least, Origin::Assumed));
    });
}

fn stuffs(surface: &mut Surface, layer: usize, mut change: impl FnMut(&mut Stuff)) {
    if let Some(Body::Sheet(choice)) = surface.layers.get_mut(layer).map(|l| &mut l.body) {
        choice.builds.iter_mut().for_each(&mut change);
    }
}

fn bare(name: &str) -> Stuff {
    Stuff {
        name: name.to_string(),
        span: Span::default(),
        material: None,
        thickness: None,
        resistance: None,
        conductivity: None,
        permeance: None,
        factor: None,
        density: None,
    }
}

/// A layer that is not drawn, closed at its seams and stuck on: it changes nothing else.
fn layer(label: &str, stuff: Stuff) -> Layer {
    let nowhere = Span::default();
    Layer {
        label: label.to_string(),
        span: nowhere,
        line: nowhere,
        stuff_span: nowhere,
        body: Body::Sheet(Choice::one(stuff)),
        seams: Seams { treatment: Treatment::Closed, span: None, lap: None, reversed: false, adhered: true },
        relied_on: Vec::new(),
        words: LayerWords::default(),
    }
}
