//! What is searched and listed of one detail.
//!
//! Not here: searching (search), keeping cards (kept). Invariant: total: a text whose head can't be read has a card too, and
//! says so.

use super::form::fingerprint;
use super::head::begun_late;
use super::names;
use super::read;
use crate::base::span::{FileId, Spanned};
use crate::catalog::{self, Lookup};
use crate::model::detail::{Head, Status};
use crate::syntax;
use crate::syntax::ast::{Attribute, JointLine, LayerLine, Name, Row, Sort, Spot, Stanza, SurfaceKind, Tree, Word};
use crate::syntax::joint_words::SPOTS;
use crate::syntax::names::Role;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// One detail, as it is searched and listed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Card {
    /// Its name: that of its file.
    pub name: String,
    /// What its head says; none where that can't be read.
    pub head: Option<CardHead>,
    /// The first mistake in its head, or why the text can't be read.
    pub trouble: Option<String>,
    /// The name on its own line, where that is another.
    pub says: Option<String>,
    /// The kinds of surfaces it draws, by their words.
    pub surfaces: Vec<String>,
    /// For each joint, opening and penetration the kinds of surfaces it joins; one for each edge.
    pub joins: Vec<Vec<String>>,
    /// The materials it names, by their keys in the catalog where they have one.
    pub materials: Vec<String>,
    /// What else is said of it: sources, what the crew minds, failures, labels, titles. Looked through, never listed: it is
    /// not kept with the card.
    #[serde(skip)]
    pub others: Vec<String>,
}

/// What a head says, as far as it is listed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CardHead {
    /// One line on what it is.
    pub title: String,
    /// What meets what.
    pub meets: Vec<String>,
    /// As its keeper says.
    pub claimed: Status,
    /// As its evidence bears out.
    pub status: Status,
    /// From 1.
    pub revision: u32,
    /// Climate zones it holds for; none: any.
    pub zones: Vec<String>,
}

impl Card {
    /// The card of a text.
    pub fn of(name: &str, text: &str) -> Self {
        let mut card = Self { name: name.to_owned(), ..Self::default() };
        match read(FileId::default(), text) {
            Some(reading) => {
                card.trouble = reading.problems.first().map(|problem| problem.message.clone());
                if let Some(head) = reading.head {
                    card.take(&head, text);
                }
            }
            None => {
                let late = begun_late(text).is_some();
                let why = if late { "its head begins below the first line" } else { "it has no head" };
                card.trouble = Some(why.to_owned());
            }
        }
        card.draw(syntax::parse(FileId::default(), text).tree);
        card
    }

    /// The card of a text that can't be read at all.
    pub fn unreadable(name: &str, why: String) -> Self {
        Self { name: name.to_owned(), trouble: Some(why), ..Self::default() }
    }

    /// Whether it is known where it holds: a head with a mistake that names no zone may have meant one.
    pub fn zones_are_known(&self) -> bool {
        self.head.as_ref().is_some_and(|head| self.trouble.is_none() || !head.zones.is_empty())
    }

    fn take(&mut self, head: &Head, text: &str) {
        let standing = head.standing(&fingerprint(text, &[]));
        self.others.extend(head.sources.iter().cloned());
        self.others.extend(head.mind.clone());
        for failure in &head.failures {
            self.others.extend([failure.what.clone(), failure.cause.clone()]);
            self.others.extend(failure.cure.clone());
        }
        self.head = Some(CardHead {
            title: head.title.value.clone(),
            meets: head.meets.clone(),
            claimed: head.status.value,
            status: standing.status,
            revision: head.revision.value,
            zones: head.holds.zones.iter().map(|zone| zone.value.to_string()).collect(),
        });
    }

    fn draw(&mut self, mut tree: Tree) {
        let named = |s: &Stanza| if let Stanza::Detail(detail) = s { Some(detail.name.text.clone()) } else { None };
        self.says = tree.stanzas.iter().find_map(named).filter(|says| *says != self.name);
        let mut materials = BTreeSet::new();
        for stanza in &mut tree.stanzas {
            self.others.extend(remarks(stanza));
            syntax::names::each(stanza, &mut |role, name| {
                if role == Role::Material {
                    materials.insert(key(&name.text));
                }
            });
            materials.extend(layers(stanza).flat_map(treatments));
        }
        self.materials = materials.into_iter().collect();
        let drawn = names::of_job(std::slice::from_ref(&tree));
        let kinds: BTreeMap<&str, SurfaceKind> = drawn.surfaces.iter().map(|(n, s)| (n.as_str(), s.kind)).collect();
        let all: BTreeSet<SurfaceKind> = kinds.values().copied().collect();
        self.surfaces = all.into_iter().map(|kind| word(kind).to_owned()).collect();
        self.joins = joins(&tree, kinds);
    }
}

/// The word of a kind of surface.
pub fn word(kind: SurfaceKind) -> &'static str {
    Sort::Surface(kind).word()
}

/// The key of a material in the catalog; its own name where it has none.
fn key(name: &str) -> String {
    match catalog::material(name) {
        Lookup::Found(material) => material.key().to_owned(),
        Lookup::Ambiguous { .. } | Lookup::Unknown { .. } => name.to_lowercase(),
    }
}

fn layers(stanza: &Stanza) -> impl Iterator<Item = &LayerLine> {
    let rows = if let Stanza::Surface(surface) = stanza { surface.rows.as_slice() } else { &[] };
    rows.iter().filter_map(|row| if let Row::Layer(layer) = row { Some(layer) } else { None })
}

/// What a layer is sealed and painted with.
fn treatments(layer: &LayerLine) -> impl Iterator<Item = String> {
    layer.words.iter().filter_map(|word| match &word.value {
        Word::Sealed { with: Some(with) } => Some(key(&with.text)),
        Word::Painted(Some(paint)) => catalog::paint(&paint.text).found().map(|paint| paint.key().to_owned()),
        _ => None,
    })
}

/// Titles, and the labels of layers and pieces.
fn remarks(stanza: &Stanza) -> Vec<String> {
    let text = |name: &Option<Name>| name.as_ref().map(|name| name.text.clone());
    let own = match stanza {
        Stanza::Surface(surface) => [text(&surface.name), text(&surface.note)],
        Stanza::Joint(joint) => [text(&joint.name), text(&joint.note)],
        Stanza::Job(block) => [None, text(&block.note)],
        Stanza::Detail(detail) => [None, text(&detail.note)],
        _ => [None, None],
    };
    let labels = layers(stanza).map(|layer| layer.label.text.clone());
    own.into_iter().flatten().chain(labels).chain(names::pieces(stanza)).chain(sites(stanza)).collect()
}

/// Where along it something of a joint stands: the edges that meet, and what is `at sill`.
fn sites(stanza: &Stanza) -> Vec<String> {
    let lines = if let Stanza::Joint(joint) = stanza { joint.lines.as_slice() } else { &[] };
    let spots = |spots: &[Spanned<Spot>]| spots.iter().map(|spot| spot_words(spot.value)).collect::<Vec<_>>();
    let of = |line: &JointLine| match line {
        JointLine::Joins(ends, _) => ends.iter().map(|end| end.edge.value.word().to_owned()).collect(),
        JointLine::Piece(piece) => spots(&piece.places),
        JointLine::Sentence(sentence) => {
            let at = sentence
                .attributes
                .iter()
                .map(|a| if let Attribute::At(at) = &a.value { spots(at) } else { Vec::new() });
            let items = [Some(&sentence.subject), sentence.object.as_ref()].into_iter().flatten();
            let edges = items.filter_map(|item| Some(item.edge.as_ref()?.value.word().to_owned()));
            at.flatten().chain(edges).collect()
        }
        _ => Vec::new(),
    };
    lines.iter().flat_map(of).collect()
}

fn spot_words(spot: Spot) -> String {
    let form = SPOTS.iter().find(|(_, _, known)| *known == spot);
    form.map_or_else(String::new, |(word, more, _)| format!("{word} {}", more.unwrap_or_default()))
}

/// For each joint the kinds of surfaces that meet there. An opening stands for the surface it is in.
fn joins<'t>(tree: &'t Tree, mut kinds: BTreeMap<&'t str, SurfaceKind>) -> Vec<Vec<String>> {
    let joints: Vec<_> =
        tree.stanzas.iter().filter_map(|s| if let Stanza::Joint(joint) = s { Some(joint) } else { None }).collect();
    for joint in &joints {
        let host = joint.host.as_ref().and_then(|host| kinds.get(host.text.as_str()).copied());
        if let (Some(name), Some(kind)) = (&joint.name, host) {
            kinds.entry(name.text.as_str()).or_insert(kind);
        }
    }
    let of = |name: &Name| kinds.get(name.text.as_str()).map(|kind| word(*kind).to_owned());
    let meet = joints.iter().map(|joint| {
        let ends = joint.lines.iter().flat_map(|line| match line {
            JointLine::Joins(ends, _) => ends.as_slice(),
            _ => &[],
        });
        let mut met: Vec<String> = joint.host.iter().chain(ends.map(|end| &end.surface)).filter_map(of).collect();
        met.sort_unstable();
        met
    });
    meet.filter(|met| !met.is_empty()).collect()
}
