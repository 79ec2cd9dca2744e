//! What a name within a joint stands for.
//!
//! In this order: words that always mean the same, the joint's own pieces, surfaces and openings that meet here, layers
//! of those surfaces, pieces of those openings, words that a piece or layer may take over (`gutter`), rooms.
//! Not here: reporting. Invariant: a name stands for one thing or for none, with the reason.

use std::collections::{HashMap, HashSet};

use super::edges;
use crate::base::span::Span;
use crate::model::joint::{End, EndOf, Thing};
use crate::model::layer::Body;
use crate::model::{Job, room::RoomId};
use crate::syntax::ast::{self, Edge, Half, JointLine, Row};

/// Words a piece can't be called by.
pub(super) const RESERVED: &[&str] = &["seam", "outdoors", "indoors", "grade", "ground", "upper", "lower"];

/// Words for what carries water away, and for what is walked on, unless a piece or layer has that name.
const LENT: &[(&str, Thing)] = &[
    ("gutter", Thing::Outlet("gutter")),
    ("outlet", Thing::Outlet("outlet")),
    ("drain", Thing::Outlet("drain")),
    ("scupper", Thing::Outlet("scupper")),
    ("daylight", Thing::Outdoors),
    ("paving", Thing::Paving),
];

/// The names of a whole job that joints can use.
pub(super) struct Known<'a> {
    /// Surfaces by name.
    pub surfaces: HashMap<&'a str, usize>,
    /// For each surface its layers by label.
    pub labels: Vec<HashMap<&'a str, usize>>,
    /// For each surface whether a line of its section could not be read.
    pub torn: Vec<bool>,
    /// Joints by name.
    pub joints: HashMap<&'a str, usize>,
    /// The stanzas of the joints.
    pub stanzas: Vec<&'a ast::Joint>,
    /// For each joint its pieces by name.
    pub pieces: Vec<HashMap<&'a str, usize>>,
    /// Rooms by name.
    pub rooms: HashMap<&'a str, RoomId>,
    /// A head line could not be read: what it names is not known.
    pub lost: bool,
}

impl<'a> Known<'a> {
    /// The pieces and layers of these stanzas by name; names of the stanzas themselves are added by the caller.
    pub fn new(stanzas: Vec<&'a ast::Joint>, surfaces: impl Iterator<Item = &'a ast::Surface>, lost: bool) -> Self {
        let mut labels = Vec::new();
        let mut torn = Vec::new();
        for surface in surfaces {
            let layers = surface.rows.iter().filter_map(|r| if let Row::Layer(l) = r { Some(l) } else { None });
            labels.push(first_of(layers.map(|l| l.label.text.as_str())));
            torn.push(surface.rows.iter().any(|r| matches!(r, Row::Hole(_))));
        }
        let pieces = stanzas.iter().map(|joint| first_of(pieces_of(joint).map(|p| p.label.text.as_str()))).collect();
        Self {
            surfaces: HashMap::new(),
            labels,
            torn,
            joints: HashMap::new(),
            stanzas,
            pieces,
            rooms: HashMap::new(),
            lost,
        }
    }

    fn label(&self, surface: usize, name: &str) -> Option<usize> {
        self.labels.get(surface)?.get(name).copied()
    }

    /// A piece of a joint.
    pub fn piece(&self, joint: usize, name: &str) -> Option<usize> {
        self.pieces.get(joint)?.get(name).copied()
    }
}

/// The piece lines of a stanza.
pub(super) fn pieces_of(joint: &ast::Joint) -> impl Iterator<Item = &ast::PieceLine> {
    joint.lines.iter().filter_map(|l| if let JointLine::Piece(piece) = l { Some(piece.as_ref()) } else { None })
}

/// Names to indices; the first of a name stands.
fn first_of<'a>(names: impl Iterator<Item = &'a str>) -> HashMap<&'a str, usize> {
    let mut map = HashMap::new();
    for (index, name) in names.enumerate() {
        map.entry(name).or_insert(index);
    }
    map
}

/// What one joint knows while it is lowered.
pub(super) struct Scope<'k, 'a> {
    /// The names of the job.
    pub known: &'k Known<'a>,
    /// Which joint.
    pub index: usize,
    /// Its stanza.
    pub stanza: &'a ast::Joint,
    /// Its ends.
    pub ends: Vec<End>,
    /// The surfaces that meet here, each once.
    pub surfaces: Vec<usize>,
    /// A line of it could not be read.
    pub unread: bool,
    /// Names that were reported: each is told once.
    pub told: HashSet<(&'a str, Option<Edge>)>,
    /// Lines that could not be read or resolved.
    pub holes: Vec<Span>,
}

/// Why a name stands for nothing.
#[derive(Debug, PartialEq)]
pub(super) enum Trouble {
    /// Nothing of this name.
    Unknown,
    /// A layer or piece of this name is in both of these.
    Two(EndOf, EndOf),
    /// A piece of the stanza has this name, and so has a layer of this surface.
    Own(EndOf),
    /// There is such a surface, but not here.
    NotHere,
    /// The surface or joint is there, what stands behind the dot is not: what it has.
    NoPart(Vec<String>),
    /// Such a surface has no such edge: those it has.
    NoEdge(&'static [Edge]),
    /// It was in a part that could not be read.
    Lost,
}

type Find = Result<Thing, Trouble>;

impl Scope<'_, '_> {
    /// What a name stands for. A half or an edge tells between two ends of one surface.
    pub fn find(&self, job: &Job, name: &str, half: Option<Half>, edge: Option<Edge>) -> Find {
        let mut parts = name.split('.');
        let found = match (parts.next(), parts.next(), parts.next(), parts.next()) {
            (Some(one), None, ..) => self.bare(job, one, half, edge),
            (Some(one), Some(two), None, _) => self.dotted(job, one, two, half, edge),
            (Some(one), Some(two), Some(three), None) => self.part(job, one, two, three, half, edge),
            _ => Err(Trouble::Unknown),
        };
        match found {
            Err(Trouble::Unknown | Trouble::NoPart(_)) if self.lost() => Err(Trouble::Lost),
            found => found,
        }
    }

    /// Whether names are missing because a section, an end or a head line could not be read.
    fn lost(&self) -> bool {
        let torn = |surface: &usize| self.known.torn.get(*surface).copied().unwrap_or_default();
        self.ends.iter().any(|e| e.of == EndOf::Hole) || self.surfaces.iter().any(torn)
    }

    fn bare(&self, job: &Job, name: &str, half: Option<Half>, edge: Option<Edge>) -> Find {
        match name {
            "seam" => return Ok(Thing::Seam),
            "outdoors" => return Ok(Thing::Outdoors),
            "grade" | "ground" => return Ok(Thing::Grade),
            "indoors" => return Ok(Thing::Room(Job::INDOORS)),
            _ => {}
        }
        if let Some(piece) = self.known.piece(self.index, name) {
            let layer = self.surfaces.iter().find(|s| self.known.label(**s, name).is_some());
            return layer.map_or(Ok(Thing::Piece(piece)), |s| Err(Trouble::Own(EndOf::Surface(*s))));
        }
        if let Some(of) = self.meets(name) {
            return self.end(job, of, half, edge).map(|end| Thing::Surface { end, half: None });
        }
        if let Some(found) = self.layer(job, name, half, edge).or_else(|| self.opening_piece(name)) {
            return found;
        }
        if let Some((_, thing)) = LENT.iter().find(|(word, _)| *word == name) {
            return Ok(*thing);
        }
        match self.known.rooms.get(name) {
            Some(room) => Ok(Thing::Room(*room)),
            None if self.known.surfaces.contains_key(name) => Err(Trouble::NotHere),
            None => Err(Trouble::Unknown),
        }
    }

    /// The surface or opening of this name, where it meets here.
    fn meets(&self, name: &str) -> Option<EndOf> {
        let surface = self.known.surfaces.get(name).map(|i| EndOf::Surface(*i));
        let of = surface.or_else(|| self.known.joints.get(name).map(|i| EndOf::Opening(*i)))?;
        self.ends.iter().any(|e| e.of == of).then_some(of)
    }

    /// Which end of a surface is meant: the one with this edge, one that can be cut where a half is named, the first.
    /// An edge that the surface has elsewhere means its corner with this joint (`house runs past low eave`).
    fn end(&self, job: &Job, of: EndOf, half: Option<Half>, edge: Option<Edge>) -> Result<usize, Trouble> {
        let own = || self.ends.iter().enumerate().filter(|(_, e)| e.of == of);
        let has = match of {
            EndOf::Surface(index) => job.surfaces.get(index).map(edges::of_surface).unwrap_or_default(),
            EndOf::Opening(_) | EndOf::Hole => edges::OPENING,
        };
        if edge.is_some_and(|edge| !has.contains(&edge)) {
            return Err(Trouble::NoEdge(has));
        }
        let at_edge = edge.and_then(|_| own().find(|(_, e)| e.edge == edge));
        let cut = half.and_then(|_| own().find(|(_, e)| cuts(e)));
        at_edge.or(cut).or_else(|| own().next()).map(|(i, _)| i).ok_or(Trouble::NotHere)
    }

    /// The layer of this label; none when no surface here has one.
    fn layer(&self, job: &Job, name: &str, half: Option<Half>, edge: Option<Edge>) -> Option<Find> {
        let mut hits = self.surfaces.iter().filter_map(|s| Some((*s, self.known.label(*s, name)?)));
        let first = hits.next()?;
        let mut hits: Vec<(usize, usize)> = std::iter::once(first).chain(hits).collect();
        if hits.len() > 1 && (half.is_some() || edge.is_some()) {
            let fits = |end: &End, surface: usize| {
                end.of == EndOf::Surface(surface)
                    && (half.is_none() || cuts(end))
                    && (edge.is_none() || end.edge == edge)
            };
            let told = hits.iter().copied().filter(|(s, _)| self.ends.iter().any(|e| fits(e, *s))).collect::<Vec<_>>();
            hits = if told.is_empty() { hits } else { told };
        }
        match hits.as_slice() {
            [(one, _), (two, _), ..] => Some(Err(Trouble::Two(EndOf::Surface(*one), EndOf::Surface(*two)))),
            [(surface, layer)] => Some(self.layer_at(job, *surface, *layer, None, half, edge)),
            [] => None,
        }
    }

    fn layer_at(
        &self,
        job: &Job,
        surface: usize,
        layer: usize,
        part: Option<usize>,
        half: Option<Half>,
        edge: Option<Edge>,
    ) -> Find {
        let end = self.end(job, EndOf::Surface(surface), half, edge)?;
        Ok(Thing::Layer { end, layer, half: None, part })
    }

    /// A piece of an opening whose edge meets here.
    fn opening_piece(&self, name: &str) -> Option<Find> {
        let mut hits: Vec<(usize, usize)> = Vec::new();
        for end in &self.ends {
            if let EndOf::Opening(joint) = end.of
                && let Some(piece) = self.known.piece(joint, name)
                && !hits.contains(&(joint, piece))
            {
                hits.push((joint, piece));
            }
        }
        match hits.as_slice() {
            [] => None,
            [(joint, piece)] => Some(Ok(Thing::Other { joint: *joint, piece: *piece })),
            [(one, _), (two, _), ..] => Some(Err(Trouble::Two(EndOf::Opening(*one), EndOf::Opening(*two)))),
        }
    }

    fn dotted(&self, job: &Job, one: &str, two: &str, half: Option<Half>, edge: Option<Edge>) -> Find {
        if let Some(EndOf::Surface(surface)) = self.meets(one) {
            let Some(layer) = self.known.label(surface, two) else {
                return Err(Trouble::NoPart(labels(job, surface)));
            };
            return self.layer_at(job, surface, layer, None, half, edge);
        }
        if let Some(joint) = self.known.joints.get(one).copied() {
            return match self.known.piece(joint, two) {
                Some(piece) if joint == self.index => Ok(Thing::Piece(piece)),
                Some(piece) => Ok(Thing::Other { joint, piece }),
                None => Err(self.no_piece(joint)),
            };
        }
        match self.layer(job, one, half, edge) {
            Some(found) => part(self.surface_of(found?), job, two),
            None if self.known.surfaces.contains_key(one) => Err(Trouble::NotHere),
            None => Err(Trouble::Unknown),
        }
    }

    fn part(&self, job: &Job, one: &str, two: &str, three: &str, half: Option<Half>, edge: Option<Edge>) -> Find {
        let found = self.dotted(job, one, two, half, edge)?;
        part(self.surface_of(found), job, three)
    }

    fn surface_of(&self, thing: Thing) -> (Thing, Option<usize>) {
        let surface = match thing {
            Thing::Layer { end, .. } => self.ends.get(end).map(|e| e.of),
            _ => None,
        };
        (thing, if let Some(EndOf::Surface(index)) = surface { Some(index) } else { None })
    }

    /// A piece whose line could not be read is no mistake here.
    fn no_piece(&self, joint: usize) -> Trouble {
        let Some(stanza) = self.known.stanzas.get(joint) else { return Trouble::Unknown };
        if stanza.lines.iter().any(|l| matches!(l, JointLine::Hole(_))) {
            return Trouble::Lost;
        }
        Trouble::NoPart(pieces_of(stanza).map(|p| p.label.text.clone()).collect())
    }

    /// What an end belongs to, by name.
    pub fn name_of<'n>(&'n self, job: &'n Job, of: EndOf) -> &'n str {
        match of {
            EndOf::Surface(index) => job.surfaces.get(index).map_or("", |s| s.name.as_str()),
            EndOf::Opening(index) => {
                self.known.stanzas.get(index).and_then(|s| s.name.as_ref()).map_or("", |n| n.text.as_str())
            }
            EndOf::Hole => "",
        }
    }

    /// The names that can be meant here, in the order of the text.
    pub fn names<'n>(&'n self, job: &'n Job) -> impl Iterator<Item = &'n str> {
        let surfaces = self.surfaces.iter().filter_map(|s| job.surfaces.get(*s));
        let openings = self.ends.iter().filter_map(|e| match e.of {
            EndOf::Opening(joint) => self.known.stanzas.get(joint).copied(),
            EndOf::Surface(_) | EndOf::Hole => None,
        });
        pieces_of(self.stanza)
            .map(|p| p.label.text.as_str())
            .chain(
                surfaces
                    .flat_map(|s| s.layers.iter().map(|l| l.label.as_str()).chain(std::iter::once(s.name.as_str()))),
            )
            .chain(openings.flat_map(|o| pieces_of(o).map(|p| p.label.text.as_str())))
            .chain(["seam", "outdoors", "grade"])
            .chain(LENT.iter().map(|(word, _)| *word))
    }
}

/// Whether layers of this end go on past the joint, so that they have halves.
pub(super) fn cuts(end: &End) -> bool {
    matches!(end.edge, None | Some(Edge::Face | Edge::InsideFace))
}

fn labels(job: &Job, surface: usize) -> Vec<String> {
    let layers = job.surfaces.get(surface).map(|s| s.layers.as_slice()).unwrap_or_default();
    layers.iter().map(|l| l.label.clone()).collect()
}

/// `outside`, `core` or `inside` of a factory panel.
fn part((thing, surface): (Thing, Option<usize>), job: &Job, word: &str) -> Find {
    let Thing::Layer { end, layer, half, .. } = thing else { return Err(Trouble::Unknown) };
    let body = surface.and_then(|s| job.surfaces.get(s)).and_then(|s| s.layers.get(layer)).map(|l| &l.body);
    let parts = match body {
        Some(Body::Panel(parts)) => parts.len(),
        Some(Body::Hole) | None => return Err(Trouble::Lost),
        Some(_) => return Err(Trouble::NoPart(Vec::new())),
    };
    let last = parts.saturating_sub(1);
    let index = match word {
        "outside" => 0,
        "core" => last.min(parts / 2),
        "inside" => last,
        _ => return Err(Trouble::NoPart(["outside", "core", "inside"].map(str::to_string).to_vec())),
    };
    Ok(Thing::Layer { end, layer, half, part: Some(index) })
}
