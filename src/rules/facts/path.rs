//! The paths that heat and vapor take straight through a surface: between members, through members, at a port.
//!
//! Layers outside a gap that is well ventilated by outdoor air are left out (ISO 6946 6.9.4, ISO 13788, from memory).
//! Invariant: parts run in the order written; each part is one physics layer; bay and member are never smeared.

use super::air::SOIL;
use super::{Missing, vent};
use crate::base::curve::Curve;
use crate::base::math;
use crate::base::quantity::{
    Fraction, Length, Permeance, RelativeHumidity, Temperature, ThermalResistance, VaporThickness,
};
use crate::base::span::Span;
use crate::catalog::Cup;
use crate::model::layer::{BayPart, Body, Fill, Gap, Layer, Members, Openings, Stuff};
use crate::model::surface::{Side, SidePlace, Surface};
use crate::model::value::Draw;
use crate::physics::heat::{self, HeatFlow, Outside, Purpose};
use crate::physics::profile;
use crate::physics::vapor::ByHumidity;
use crate::syntax::ast::SurfaceKind;

/// Emittance of a face of which nothing is known; of building materials but metals (ISO 6946 Annex D, from memory).
const PLAIN_FACE: Fraction = Fraction::new(0.9);
/// A face counts as bright below this emittance.
const BRIGHT: f64 = 0.3;
/// Vapor-equivalent thickness of any air layer (ISO 13788, from memory).
const AIR_LAYER: VaporThickness = VaporThickness::new(0.01);
/// Mean temperature at which air spaces are taken, degC (ISO 6946 Annex D, from memory).
const AIR_SPACE_MEAN: Temperature = Temperature::new(10.0);
/// Vapor-equivalent thickness of a layer that passes no vapor; finite so that sums stay finite.
const SEALED: VaporThickness = VaporThickness::new(1.0e5);

/// Which path.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PathKind {
    /// Through a surface without members.
    Whole,
    /// Between members.
    Bay,
    /// Through the deepest members.
    Member,
    /// At a vapor port of a roof.
    Port,
}

impl PathKind {
    /// Its name in a report.
    pub fn name(self) -> &'static str {
        match self {
            Self::Whole => "through the section",
            Self::Bay => "between members",
            Self::Member => "through members",
            Self::Port => "at the port",
        }
    }
}

/// What a part of a path is.
#[derive(Clone, Copy, Debug)]
pub enum PartKind<'a> {
    /// A material.
    Stuff(&'a Stuff),
    /// Air.
    Air,
    /// Paint on a room face.
    Paint(&'a Stuff),
    /// Not drawn: what a rule tries out as a mend.
    Tried,
}

/// One part of a path: one physics layer.
#[derive(Clone, Copy, Debug)]
pub struct Part<'a> {
    /// Which layer of the surface, counted from the first.
    pub layer: usize,
    /// What it is.
    pub kind: PartKind<'a>,
    /// Its thermal resistance, as written or as the catalog's figure gives it.
    pub resistance: ThermalResistance,
    /// Its vapor-equivalent thickness in the dry cup and in the wet cup.
    pub vapor: (VaporThickness, VaporThickness),
    /// Its figures that follow humidity and temperature.
    pub follows: Follows,
}

/// What the figures of a part follow; by default only the two cups.
#[derive(Clone, Copy, Debug, Default)]
pub struct Follows {
    /// The shape of its permeance over humidity; the two cups where there is none.
    pub humidity: Option<&'static Curve>,
    /// Its conductivity over mean temperature, as a multiple of that in its resistance.
    pub temperature: Option<&'static Curve>,
}

impl Follows {
    fn of(stuff: &Stuff) -> Self {
        Self { humidity: stuff.by_humidity(), temperature: stuff.by_temperature() }
    }
}

impl<'a> Part<'a> {
    /// The material, if it is one.
    pub fn stuff(&self) -> Option<&'a Stuff> {
        match self.kind {
            PartKind::Stuff(stuff) | PartKind::Paint(stuff) => Some(stuff),
            PartKind::Air | PartKind::Tried => None,
        }
    }

    /// Its row in the catalog.
    pub fn material(&self) -> Option<&'static crate::catalog::Material> {
        self.stuff()?.material
    }

    /// Its permeance at a humidity.
    pub fn permeance(&self, humidity: RelativeHumidity) -> Permeance {
        let layer = self.physics();
        let gain = layer.by_humidity.map_or(0.0, |law| law.ln_gain(humidity));
        layer.vapor.permeance() * math::exp(gain)
    }

    /// The layer that physics computes with.
    pub fn physics(&self) -> profile::Layer {
        let (dry, wet) = self.vapor;
        let by_humidity = match self.follows.humidity {
            Some(curve) => Some(ByHumidity::Points(curve)),
            None => (dry != wet && dry.si() > 0.0 && wet.si() > 0.0).then(|| ByHumidity::Cups(math::ln(dry / wet))),
        };
        let vapor = if by_humidity.is_some() { dry } else { dry.max(wet) };
        profile::Layer { resistance: self.resistance, vapor, by_humidity, by_temperature: self.follows.temperature }
    }
}

/// A path.
#[derive(Clone, Debug)]
pub struct Path<'a> {
    /// Which.
    pub kind: PathKind,
    /// Its share of the area.
    pub share: Fraction,
    /// Its parts in the order written.
    pub parts: Vec<Part<'a>>,
    /// Film on the first side.
    pub first_film: ThermalResistance,
    /// Film on the last side.
    pub last_film: ThermalResistance,
    /// Soil under a floor or slab, down to where it stays at the year's mean; none elsewhere. Not in the U-value.
    pub beneath: ThermalResistance,
    /// How many layers of the surface lie outside a vented gap and are left out; the gap itself is one of them.
    pub left_out: usize,
}

impl Path<'_> {
    /// The assembly that physics computes with.
    pub fn build(&self) -> profile::Build {
        profile::Build {
            outer_film: self.first_film,
            inner_film: self.last_film + self.beneath,
            layers: self.parts.iter().map(Part::physics).collect(),
        }
    }
}

/// The direction of heat flow in the heating season.
pub fn flow(kind: SurfaceKind) -> HeatFlow {
    match kind {
        SurfaceKind::Wall => HeatFlow::Horizontal,
        SurfaceKind::Roof | SurfaceKind::Ceiling => HeatFlow::Up,
        SurfaceKind::Floor | SurfaceKind::Slab | SurfaceKind::Deck => HeatFlow::Down,
    }
}

/// The paths of a surface under a draw: between members first.
///
/// # Errors
/// When a layer is a hole, or its resistance or permeance is neither written nor known.
pub fn paths<'a>(surface: &'a Surface, draw: &Draw) -> Result<Vec<Path<'a>>, Missing> {
    paths_beyond(surface, draw, vent::left_out(surface, draw))
}

/// The same with so many layers left out on the first side.
///
/// # Errors
/// As [`paths`].
pub fn paths_beyond<'a>(surface: &'a Surface, draw: &Draw, left_out: usize) -> Result<Vec<Path<'a>>, Missing> {
    if let Some(broken) = &surface.broken {
        return Err(Missing::new(broken.span, broken.why.clone()));
    }
    let deepest = surface
        .layers
        .iter()
        .enumerate()
        .skip(left_out)
        .filter_map(|(i, l)| members_of(l).map(|m| (i, m)))
        .max_by(|a, b| a.1.depth.at(draw).si().total_cmp(&b.1.depth.at(draw).si()));
    let Some((deepest, members)) = deepest else {
        return Ok(vec![build(surface, draw, PathKind::Whole, Fraction::new(1.0), left_out, None)?]);
    };
    let share = framing_share(surface, members, draw);
    let mut paths = vec![build(surface, draw, PathKind::Bay, Fraction::new(1.0) - share, left_out, None)?];
    // Metal is a thin web and two flanges, not a solid member: one dimension says nothing true about it.
    if !members.metal {
        paths.push(build(surface, draw, PathKind::Member, share, left_out, Some(deepest))?);
    }
    if surface.facts.port.is_some() {
        paths.push(port(surface, draw, deepest)?);
    }
    Ok(paths)
}

/// The members of a layer.
pub fn members_of(layer: &Layer) -> Option<&Members> {
    if let Body::Members(members) = &layer.body { Some(members) } else { None }
}

/// Share of a surface that is framing: as written; for studs of a wall by the trade's table with plates and headers
/// (25 % at 16 in, 22 % at 24 in; ASHRAE Handbook of Fundamentals, from memory), else width over spacing.
pub fn framing_share(surface: &Surface, members: &Members, draw: &Draw) -> Fraction {
    if let Some(written) = &surface.facts.framing {
        return written.at(draw);
    }
    let spacing = members.spacing.at(draw).si();
    let plain = (members.width.at(draw).si() / spacing).min(1.0);
    let studs = surface.kind == SurfaceKind::Wall && !members.metal && members.depth.at(draw).si() > 0.06;
    if !studs {
        return Fraction::new(plain);
    }
    // 0.4064 m and 0.6096 m are 16 in and 24 in; straight between, and in proportion outside.
    let table = 0.25 + (spacing - 0.4064) / (0.6096 - 0.4064) * (0.22 - 0.25);
    // Studs closer than the table knows can be more than its most.
    Fraction::new(table.clamp(plain, plain.max(0.35)))
}

fn build<'a>(
    surface: &'a Surface,
    draw: &Draw,
    kind: PathKind,
    share: Fraction,
    left_out: usize,
    member_at: Option<usize>,
) -> Result<Path<'a>, Missing> {
    let mut parts = Vec::with_capacity(surface.layers.len() + 4);
    for (index, layer) in surface.layers.iter().enumerate().skip(left_out) {
        layer_parts(&mut parts, surface, index, layer, draw, member_at == Some(index))?;
    }
    let bare = parts.first().is_some_and(|p| matches!(p.kind, PartKind::Air));
    if bare && vent::aired_bays(surface, left_out, draw) {
        parts.remove(0);
    }
    let flow = flow(surface.kind);
    let first_film =
        if left_out > 0 { heat::outer_film(Outside::VentilatedLayer, flow) } else { film(&surface.first, flow) };
    let beneath = beneath(surface);
    Ok(Path { kind, share, parts, first_film, last_film: film(&surface.last, flow), beneath, left_out })
}

/// Two meters of soil under a floor or slab on the ground (ISO 13788, from memory).
fn beneath(surface: &Surface) -> ThermalResistance {
    let on_ground = surface.kind != SurfaceKind::Wall && matches!(surface.last.place, SidePlace::Ground { .. });
    if on_ground { SOIL.two_meters() } else { ThermalResistance::ZERO }
}

/// The film between a side and the surface, for the vapor profile.
fn film(side: &Side, flow: HeatFlow) -> ThermalResistance {
    match side.place {
        SidePlace::Outdoors | SidePlace::Hole => heat::outer_film(Outside::Air, flow),
        SidePlace::Room(_) => heat::inner_film(flow, Purpose::Vapor),
        SidePlace::Ground { .. } | SidePlace::Water { .. } => heat::outer_film(Outside::Ground, flow),
    }
}

fn layer_parts<'a>(
    parts: &mut Vec<Part<'a>>,
    surface: &'a Surface,
    index: usize,
    layer: &'a Layer,
    draw: &Draw,
    through_member: bool,
) -> Result<(), Missing> {
    let begin = parts.len();
    match &layer.body {
        Body::Hole => {
            return Err(Missing::new(layer.stuff_span, format!("layer `{}` could not be resolved", layer.label)));
        }
        Body::Sheet(choice) => {
            let stuff = choice.at(draw).ok_or_else(|| Missing::new(layer.stuff_span, "nothing is drawn here"))?;
            parts.push(stuff_part(index, stuff, draw)?);
        }
        Body::Panel(list) => {
            for stuff in list {
                parts.push(stuff_part(index, stuff, draw)?);
            }
        }
        Body::Gap(gap) => parts.push(gap_part(surface, index, gap, draw)?),
        Body::Members(members) if through_member => {
            parts.push(stuff_part(index, &members.member, draw)?);
        }
        Body::Members(members) => bay_parts(parts, surface, index, members, draw)?,
    }
    if let Some(paint) = &layer.words.paint {
        let (resistance, vapor, follows) = (ThermalResistance::ZERO, vapor_of(paint, draw)?, Follows::of(paint));
        // On the face that is to be seen: of the first layer its outer one, unless the room sees the other.
        let alone = surface.layers.len() == 1 && !matches!(surface.first.place, SidePlace::Room(_));
        let at = if index == 0 && !alone { begin } else { parts.len() };
        parts.insert(at, Part { layer: index, kind: PartKind::Paint(paint), resistance, vapor, follows });
    }
    Ok(())
}

fn bay_parts<'a>(
    parts: &mut Vec<Part<'a>>,
    surface: &'a Surface,
    index: usize,
    members: &'a Members,
    draw: &Draw,
) -> Result<(), Missing> {
    match &members.fill {
        Fill::Unknown(span) => Err(Missing::new(*span, "what fills the bays is not known")),
        Fill::Parts(list) => {
            for part in list {
                match part {
                    BayPart::Air(thickness) => {
                        parts.push(air_part(surface, index, thickness.at(draw), (PLAIN_FACE, PLAIN_FACE))?)
                    }
                    BayPart::Stuff(stuff) => parts.push(stuff_part(index, stuff, draw)?),
                }
            }
            Ok(())
        }
    }
}

fn stuff_part<'a>(layer: usize, stuff: &'a Stuff, draw: &Draw) -> Result<Part<'a>, Missing> {
    let resistance = stuff.resistance_at(draw).unwrap_or(ThermalResistance::ZERO);
    if resistance == ThermalResistance::ZERO && !thin(stuff, draw) {
        return Err(Missing::new(stuff.span, format!("the thermal resistance of `{}` is not known", stuff.name)));
    }
    let (vapor, follows) = (vapor_of(stuff, draw)?, Follows::of(stuff));
    Ok(Part { layer, kind: PartKind::Stuff(stuff), resistance, vapor, follows })
}

/// A film or sheet may go without a resistance; anything from 4 mm up may not.
fn thin(stuff: &Stuff, draw: &Draw) -> bool {
    stuff.resistance.is_some() || stuff.thickness.as_ref().is_none_or(|t| t.at(draw) < Length::new(0.004))
}

fn vapor_of(stuff: &Stuff, draw: &Draw) -> Result<(VaporThickness, VaporThickness), Missing> {
    let of = |cup| {
        stuff
            .permeance_at(draw, cup)
            .map(sealed)
            .ok_or_else(|| Missing::new(stuff.span, format!("the permeance of `{}` is not known", stuff.name)))
    };
    Ok((of(Cup::Dry)?, of(Cup::Wet)?))
}

fn sealed(permeance: Permeance) -> VaporThickness {
    permeance.vapor_thickness().min(SEALED)
}

fn gap_part<'a>(surface: &'a Surface, index: usize, gap: &Gap, draw: &Draw) -> Result<Part<'a>, Missing> {
    let face = |at: Option<usize>| {
        let layer = at.and_then(|i| surface.layers.get(i));
        let emittance = layer.and_then(|l| facing(l, draw)).and_then(|m| m.emittance());
        emittance.filter(|e| e.si() < BRIGHT).unwrap_or(PLAIN_FACE)
    };
    let open = matches!(&gap.openings, Openings::At { .. });
    // Outdoor air that moves through a gap carries dust to a bright face: it counts only in a closed gap.
    let faces = if open { (PLAIN_FACE, PLAIN_FACE) } else { (face(index.checked_sub(1)), face(Some(index + 1))) };
    air_part(surface, index, gap.thickness.at(draw), faces)
}

fn facing(layer: &Layer, draw: &Draw) -> Option<&'static crate::catalog::Material> {
    match &layer.body {
        Body::Sheet(choice) => choice.at(draw)?.material,
        _ => None,
    }
}

fn air_part<'a>(
    surface: &'a Surface,
    layer: usize,
    thickness: Length,
    faces: (Fraction, Fraction),
) -> Result<Part<'a>, Missing> {
    let resistance = heat::air_space(thickness, flow(surface.kind), faces.0, faces.1, AIR_SPACE_MEAN)
        .map_err(|e| Missing::new(layer_span(surface, layer), e.to_string()))?;
    let (vapor, follows) = ((AIR_LAYER, AIR_LAYER), Follows::default());
    Ok(Part { layer, kind: PartKind::Air, resistance, vapor, follows })
}

fn layer_span(surface: &Surface, layer: usize) -> Span {
    surface.layers.get(layer).map_or(surface.span, |l| l.stuff_span)
}

/// At a port all that lies above the bays is cut and covered.
fn port<'a>(surface: &'a Surface, draw: &Draw, deepest: usize) -> Result<Path<'a>, Missing> {
    let mut path = build(surface, draw, PathKind::Port, Fraction::new(0.0), 0, None)?;
    path.parts.retain(|p| p.layer >= deepest);
    if let Some(port) = &surface.facts.port {
        let cover = stuff_part(deepest, &port.cover, draw)?;
        path.parts.insert(0, cover);
    }
    Ok(path)
}
