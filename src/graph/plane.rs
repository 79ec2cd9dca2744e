//! What is closed: a layer along its plane, a piece, a sentence, for each agent.
//!
//! How an edge of a layer is treated is not asked here: at a joint what is drawn outranks `edges open`.
//! Invariant: nothing is closed that is not known to be; an unknown, a hole and `not shown` are open.

use super::exposure;
use crate::base::quantity::{Length, Permeance, ThermalResistance};
use crate::base::unit::PERM;
use crate::catalog::{Bond, Cup, Material, Seams as Nature};
use crate::model::joint::{Link, Piece, Thing};
use crate::model::layer::{BayPart, Body, Choice, Fill, Layer, Members, Stuff, Treatment};
use crate::model::surface::Surface;
use crate::model::value::Draw;
use crate::syntax::ast::{Control, SurfaceKind, Verb};

/// Permeance in the dry cup up to which a layer counts as closed to vapor: class II (IRC section R202, from memory).
const VAPOR_LIMIT: Permeance = Permeance::new(PERM);
/// Lap of a sheet's own seams from which it sheds rain: 2 in, the least that any sheet is laid with. Common practice,
/// no source.
const LEAST_LAP: Length = Length::new(0.0508);
/// Lap under which nothing is held or sheltered: 3/8 in, as the least of metal over metal. Common practice, no source.
const LEAST_HOLD: Length = Length::new(0.0095);
/// Resistance from which a layer counts as insulation whatever it is made of: R-3. Common practice, no source.
const INSULATION: ThermalResistance = ThermalResistance::new(0.528);

/// What a control layer stops.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Agent {
    /// Rain and run-off.
    Water,
    /// Air.
    Air,
    /// Vapor.
    Vapor,
    /// Heat.
    Heat,
}

impl Agent {
    /// All, in the order of the trade's priorities.
    pub const ALL: [Self; 4] = [Self::Water, Self::Air, Self::Vapor, Self::Heat];

    /// As typed and printed.
    pub fn word(self) -> &'static str {
        match self {
            Self::Water => "water",
            Self::Air => "air",
            Self::Vapor => "vapor",
            Self::Heat => "heat",
        }
    }
}

/// The outer leaf of a cavity wall without a sheet: it takes the rain, and what comes through runs down the gap behind it.
fn outer_leaf(surface: &Surface) -> Option<usize> {
    let [leaf, gap, ..] = surface.layers.as_slice() else { return None };
    let laid = exposure::material(leaf).is_some_and(|m| m.kind() == "masonry" || m.family() == "clay");
    (surface.kind == SurfaceKind::Wall && laid && matches!(gap.body, Body::Gap(_))).then_some(0)
}

/// What runs hollow along a layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Void {
    /// An air gap.
    Gap,
    /// Between members, empty or filled with what air passes.
    Bays,
    /// Of hollow block.
    Cores,
    /// Of a fluted deck.
    Flutes,
    /// Between planks or boards.
    Planks,
    /// Pores and joints of masonry laid in mortar, without a coat of its own.
    Pores,
}

/// Whether a layer stops an agent over its whole plane: material, seams and holes.
pub fn layer_closed(layer: &Layer, agent: Agent, draw: &Draw) -> bool {
    match agent {
        Agent::Heat => insulates(layer, draw),
        Agent::Water => sheds(layer, draw),
        Agent::Air => seams_closed(layer) && airtight(layer, draw),
        Agent::Vapor => relied(layer, agent) || (seams_closed(layer) && vapor_tight(layer, draw)),
    }
}

/// Whether a layer is counted on at a joint: it is closed, or the author relies on it. Whether it earns that in its own
/// section is asked of the section, not of the joint.
pub fn holds(layer: &Layer, agent: Agent, draw: &Draw) -> bool {
    relied(layer, agent) || layer_closed(layer, agent, draw)
}

/// Whether the author relies on a layer against an agent.
pub fn relied(layer: &Layer, agent: Agent) -> bool {
    let claims = |control: Control| layer.relied_on.iter().any(|c| c.value == control);
    match agent {
        Agent::Water => claims(Control::Water),
        Agent::Air => claims(Control::Air),
        Agent::Vapor => claims(Control::Vapor),
        Agent::Heat => false,
    }
}

/// The layer of a surface that carries an agent's control: of those relied on the innermost that is closed, else the
/// innermost relied on, else the best that is closed: against water the outermost, against the rest the innermost; of
/// insulation the layer of the highest resistance.
pub fn control(surface: &Surface, agent: Agent, draw: &Draw) -> Option<usize> {
    let layers = || surface.layers.iter().enumerate();
    if agent == Agent::Heat {
        let insulating = layers().filter(|(_, l)| insulates(l, draw));
        return insulating.max_by(|a, b| resistance(a.1, draw).total_cmp(&resistance(b.1, draw))).map(|(i, _)| i);
    }
    let of = |test: &dyn Fn(&Layer) -> bool| layers().rev().find(|(_, l)| test(l)).map(|(i, _)| i);
    of(&|l| relied(l, agent) && layer_closed(l, agent, draw)).or_else(|| of(&|l| relied(l, agent))).or_else(|| {
        if agent == Agent::Water {
            layers().find(|(_, l)| layer_closed(l, agent, draw)).map(|(i, _)| i).or_else(|| outer_leaf(surface))
        } else {
            of(&|l| layer_closed(l, agent, draw))
        }
    })
}

/// What runs hollow along a layer, where something does.
pub fn void(layer: &Layer, draw: &Draw) -> Option<Void> {
    match &layer.body {
        Body::Gap(_) => Some(Void::Gap),
        Body::Members(members) => (!bays_closed(members)).then_some(Void::Bays),
        Body::Panel(_) | Body::Hole => None,
        Body::Sheet(choice) => match choice.at(draw)?.material? {
            m if matches!(m.key(), "tongue-and-groove" | "board-sheathing") => Some(Void::Planks),
            m if m.key() == "steel-deck" => Some(Void::Flutes),
            m if hollow_block(m) => Some(Void::Cores),
            m if m.seams() == Nature::Units && m.air_open() => Some(Void::Pores),
            _ => None,
        },
    }
}

/// Whether air runs along a layer: it is hollow, or of what air passes freely.
pub fn airy(layer: &Layer) -> bool {
    let draw = Draw::middle();
    let loose = |choice: &Choice| choice.at(&draw).and_then(|s| s.material).is_some_and(Material::air_open);
    void(layer, &draw).is_some() || matches!(&layer.body, Body::Sheet(choice) if loose(choice))
}

fn hollow_block(m: &Material) -> bool {
    let block = m.key().starts_with("block") || m.key().ends_with("-block");
    block && !matches!(m.key(), "block-grouted" | "aerated-block")
}

/// Whether the seams within a layer are closed all over, and no hole through it is said to be open.
pub fn seams_closed(layer: &Layer) -> bool {
    layer.seams.treatment.closed() && layer.words.holes.is_none_or(|h| h.value)
}

/// Whether what fills the bays stops air by itself.
pub fn bays_closed(members: &Members) -> bool {
    let Fill::Parts(parts) = &members.fill else { return false };
    let seamless = |s: &Stuff| s.material.is_some_and(|m| m.seams() == Nature::Seamless);
    let tight = |s: &Stuff| s.air_tight_at(&Draw::middle()) == Some(true);
    parts.iter().any(|p| matches!(p, BayPart::Stuff(stuff) if seamless(stuff) && tight(stuff)))
}

/// Of a layer whose seams are closed. Solid wood is tight in itself: logs and planks leak at their joints alone.
fn airtight(layer: &Layer, draw: &Draw) -> bool {
    let wood = |s: &Stuff| s.material.is_some_and(|m| m.kind() == "lumber");
    let tight = |s: &Stuff| s.air_tight_at(draw) == Some(true) || wood(s);
    match &layer.body {
        Body::Hole | Body::Gap(_) => false,
        Body::Members(members) => bays_closed(members),
        Body::Sheet(choice) => choice.at(draw).is_some_and(tight),
        Body::Panel(parts) => parts.iter().any(tight),
    }
}

fn vapor_tight(layer: &Layer, draw: &Draw) -> bool {
    let tight = |s: &Stuff| s.permeance_at(draw, Cup::Dry).is_some_and(|w| w <= VAPOR_LIMIT);
    match &layer.body {
        Body::Hole | Body::Gap(_) | Body::Members(_) => false,
        Body::Sheet(choice) => choice.at(draw).is_some_and(tight),
        Body::Panel(parts) => parts.iter().any(tight),
    }
}

/// Rain: a sheet whose seams are closed or lapped far enough, a coat, roofing in its courses. Siding and brick shed the
/// most of it and are an outer line; masonry is closed only where the author relies on it.
fn sheds(layer: &Layer, draw: &Draw) -> bool {
    if layer.seams.reversed && !layer.seams.adhered {
        return false;
    }
    let closed = |s: &Stuff| {
        let Some(m) = s.material else { return false };
        match m.kind() {
            "roofing" => m.seams() == Nature::LappedCladding,
            "masonry" | "plaster" => relied(layer, Agent::Water),
            "cladding" => layer.seams.treatment.closed() && m.seams() == Nature::Boards,
            _ => material_closed(m, Agent::Water) && (layer.seams.treatment.closed() || lapped(layer)),
        }
    };
    match &layer.body {
        Body::Hole | Body::Gap(_) | Body::Members(_) => false,
        Body::Sheet(choice) => choice.at(draw).is_some_and(closed),
        Body::Panel(parts) => parts.iter().any(closed),
    }
}

fn lapped(layer: &Layer) -> bool {
    let far = |lap: Length| lap >= LEAST_LAP;
    layer.seams.treatment == Treatment::Lapped && layer.seams.lap.as_ref().is_some_and(|l| far(l.low()))
}

fn insulates(layer: &Layer, draw: &Draw) -> bool {
    resistance(layer, draw) >= INSULATION.si()
}

/// Of what insulates in a layer; nothing for a gap and for what is not known. Of bays what fills them.
fn resistance(layer: &Layer, draw: &Draw) -> f64 {
    let of = |s: &Stuff| s.resistance_at(draw).map_or(0.0, ThermalResistance::si);
    match &layer.body {
        Body::Hole | Body::Gap(_) => 0.0,
        Body::Sheet(choice) => choice.at(draw).map_or(0.0, of),
        Body::Panel(parts) => parts.iter().map(of).sum(),
        Body::Members(members) => match &members.fill {
            Fill::Unknown(_) => 0.0,
            Fill::Parts(parts) => parts.iter().map(|p| if let BayPart::Stuff(s) = p { of(s) } else { 0.0 }).sum(),
        },
    }
}

/// Whether a piece stops an agent.
pub fn piece_closed(piece: &Piece, agent: Agent) -> bool {
    let open_seams = piece.shape.seams.as_ref().is_some_and(|s| s.how == crate::model::joint::PieceSeam::Open);
    let material = piece.stuff.as_ref().and_then(|s| s.material);
    // A coping or sill of stone sheds, whatever its pores pass; its seams are asked of the rules.
    let sheds = |m: &Material| agent == Agent::Water && m.kind() == "masonry";
    !open_seams && material.is_some_and(|m| material_closed(m, agent) || sheds(m))
}

/// Whether a material as such stops an agent: of water and air what is dense by nature, of vapor what stops air, of heat
/// insulation and, a little, wood and frames.
pub fn material_closed(material: &Material, agent: Agent) -> bool {
    match (agent, material.kind()) {
        (Agent::Heat, "batt" | "board-insulation" | "loose-fill" | "spray-foam" | "panel") => true,
        (Agent::Heat, "lumber" | "trim" | "wood-panel" | "frame") => material.family() != "aluminum",
        (Agent::Heat, _) => matches!(material.key(), "gun-foam" | "foam-tape"),
        (_, "tape" | "sealant" | "metal" | "glass" | "frame" | "flashing" | "hardware" | "foil" | "coating") => {
            material.key() != "steel-deck"
        }
        (_, "trim" | "spray-foam" | "concrete" | "paint") => true,
        (_, "lumber") => !material.air_open() && material.key() != "tongue-and-groove",
        (Agent::Water, "paper") => material.family() == "bitumen",
        (Agent::Water, "roofing" | "cladding") => material.seams() == Nature::LappedCladding,
        (Agent::Water, "membrane") => !matches!(material.key(), "filter-fabric" | "drainage-mat"),
        (_, "board-insulation") => foam_plastic(material),
        _ => material.air_tight() == Some(true),
    }
}

/// Whether a material is ground for a coat or an adhered sheet: a board, a panel, masonry, concrete. What air passes is
/// entered at its edge all the same.
pub fn firm(m: &Material) -> bool {
    matches!(
        m.kind(),
        "wood-panel" | "gypsum-board" | "lumber" | "masonry" | "concrete" | "board-insulation" | "plaster"
    ) && m.seams() != Nature::LappedCladding
        && !m.air_open()
}

/// Foam boards: closed as a piece, whatever a thin sample of the loosest of them passes.
fn foam_plastic(m: &Material) -> bool {
    let foam = matches!(m.family(), "polystyrene" | "polyiso" | "polyurethane" | "phenolic" | "rubber");
    foam || m.air_tight() == Some(true)
}

/// Whether a material sticks to what it is laid on by its nature.
fn sticks(stuff: Option<&Stuff>) -> bool {
    let bond = stuff.and_then(|s| s.material).map(Material::bond);
    matches!(bond, Some(Bond::SelfAdhered | Bond::Tape | Bond::Liquid | Bond::Sealant))
}

fn on_piece(link: &Link) -> bool {
    link.object.is_some_and(|o| matches!(o.thing, Thing::Piece(_) | Thing::Other { .. }))
}

/// Whether a lap hardly reaches what it lies on, whatever its true length: no bond and no shelter.
fn narrow(link: &Link) -> bool {
    link.length.as_ref().is_some_and(|l| l.high() < LEAST_HOLD)
}

/// Whether a sentence closes the way between its two sides to an agent; `subject` is what its subject is made of.
///
/// Of water a lap counts as shedding; which way it is turned is asked of gravity.
pub fn link_closed(link: &Link, subject: Option<&Stuff>, agent: Agent) -> bool {
    if link.not_shown || (link.verb == Verb::LapsOver && agent != Agent::Heat && narrow(link)) {
        return false;
    }
    let hold = &link.hold;
    let sealed = hold.bonded || hold.sealed || hold.taped || hold.welded || hold.clamped || hold.torched;
    let sealed = sealed || sticks(link.with.as_ref());
    let stuff_closes = subject.and_then(|s| s.material).is_some_and(|m| material_closed(m, agent));
    if agent == Agent::Heat {
        let foam = |s: &Stuff| s.material.is_some_and(|m| m.kind() == "spray-foam" || m.key() == "gun-foam");
        return match link.verb {
            Verb::Butts | Verb::LapsOver => true,
            Verb::Fills => stuff_closes,
            _ => link.with.as_ref().is_some_and(foam) || subject.is_some_and(foam),
        };
    }
    match link.verb {
        Verb::SealsTo => true,
        Verb::Fills => stuff_closes,
        Verb::LapsOver => sealed || sticks(subject) || agent == Agent::Water,
        Verb::TucksInto => sealed || hold.pointed || agent == Agent::Water,
        // A dam: nothing that stands on the subject gets over it. Against what runs down a wall only where it sticks.
        Verb::TurnsUp => sealed || sticks(subject) || (agent == Agent::Water && on_piece(link)),
        Verb::Butts | Verb::FastensTo | Verb::FastensThrough | Verb::Touches | Verb::RunsTo => sealed,
        Verb::Clears | Verb::DrainsTo | Verb::RunsPast | Verb::StopsShort => false,
    }
}
