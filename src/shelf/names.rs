//! The names that a text defines: its surfaces with their layers, its joints, rooms and materials.
//!
//! Invariant: only what is written; the first of a name stands.

use std::collections::{BTreeMap, BTreeSet};

use crate::syntax::ast::{Control, JointLine, LayerLine, Name, Row, Stanza, SurfaceKind, Tree};
use crate::syntax::names::{self, Role};

/// What is drawn.
#[derive(Debug, Default)]
pub(super) struct Drawn {
    /// Surfaces by name.
    pub surfaces: BTreeMap<String, DrawnSurface>,
    /// Joints, openings, penetrations.
    pub joints: BTreeSet<String>,
    /// Rooms.
    pub rooms: BTreeSet<String>,
    /// Materials.
    pub materials: BTreeSet<String>,
    /// What sentences speak of, pieces of their own joint left out.
    spoken: BTreeSet<String>,
}

/// A surface that is drawn.
#[derive(Debug)]
pub(super) struct DrawnSurface {
    /// What sort.
    pub kind: SurfaceKind,
    /// The labels of its layers, in the order written.
    pub order: Vec<String>,
    /// Those of layers that are relied on for water.
    pub water: BTreeSet<String>,
}

impl DrawnSurface {
    /// Whether it has a layer of this label.
    pub fn has(&self, label: &str) -> bool {
        self.order.iter().any(|own| own == label)
    }
}

/// What the trees of a job define.
pub(super) fn of_job(trees: &[Tree]) -> Drawn {
    let mut drawn = Drawn::default();
    for stanza in trees.iter().flat_map(|t| &t.stanzas) {
        match stanza {
            Stanza::Surface(s) => {
                if let Some(name) = &s.name {
                    let layers = || s.rows.iter().filter_map(|r| if let Row::Layer(l) = r { Some(l) } else { None });
                    let water = |l: &&LayerLine| l.controls.iter().any(|c| c.value == Control::Water);
                    let label = |l: &LayerLine| l.label.text.clone();
                    let (order, water) = (layers().map(label).collect(), layers().filter(water).map(label).collect());
                    let surface = DrawnSurface { kind: s.kind.value, order, water };
                    drawn.surfaces.entry(name.text.clone()).or_insert(surface);
                }
            }
            Stanza::Joint(j) => {
                drawn.joints.extend(j.name.iter().map(|n| n.text.clone()));
                drawn.speak(stanza);
            }
            Stanza::Room(r) => drawn.rooms.extend(r.name.iter().map(|n| n.text.clone())),
            Stanza::Material(m) => drop(drawn.materials.insert(m.label.text.clone())),
            _ => {}
        }
    }
    drawn
}

/// The names of the pieces of a joint.
pub(super) fn pieces(stanza: &Stanza) -> BTreeSet<String> {
    let lines = if let Stanza::Joint(joint) = stanza { joint.lines.as_slice() } else { &[] };
    let piece = |l: &JointLine| if let JointLine::Piece(p) = l { Some(p.label.text.clone()) } else { None };
    lines.iter().filter_map(piece).collect()
}

/// Shows the name of each piece of a joint, so that it can be changed.
pub(super) fn each_piece(stanza: &mut Stanza, see: impl Fn(&mut Name)) {
    if let Stanza::Joint(joint) = stanza {
        for line in &mut joint.lines {
            if let JointLine::Piece(piece) = line {
                see(&mut piece.label);
            }
        }
    }
}

impl Drawn {
    fn speak(&mut self, stanza: &Stanza) {
        let own = pieces(stanza);
        // The walk gives names out to be changed, so it gets a copy.
        names::each(&mut stanza.clone(), &mut |role, name| {
            if role == Role::Thing && !own.contains(&name.text) {
                self.spoken.insert(name.text.clone());
            }
        });
    }

    /// The surface that has a layer of this label, where only one has.
    pub fn only(&self, layer: &str) -> Option<&str> {
        let mut having = self.surfaces.iter().filter(|(_, s)| s.has(layer)).map(|(name, _)| name.as_str());
        having.next().filter(|_| having.next().is_none())
    }

    /// Whether a surface, joint, room or material has this name.
    pub fn has(&self, name: &str) -> bool {
        self.surfaces.contains_key(name)
            || [&self.joints, &self.rooms, &self.materials].iter().any(|names| names.contains(name))
    }

    /// Whether a sentence speaks of a layer of a surface; a bare name may be of any surface that has it.
    pub fn spoken_of(&self, surface: &str, layer: &str) -> bool {
        (self.only(layer) == Some(surface) && self.spoken.contains(layer))
            || self.spoken.contains(&format!("{surface}.{layer}"))
    }
}
