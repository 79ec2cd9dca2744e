//! Gives a detail's stanzas the job's names.
//!
//! Not here: whether the names fit (place). Invariant: what a sentence of the detail spoke of it still speaks of: the job's
//! surface in the place of the drawn one, the same layer of it, the same piece.

use std::collections::{BTreeMap, BTreeSet};

use super::names::{each_piece, pieces};
use super::place::Binding;
use crate::syntax::ast::{Joint, Name, PlaceWord, Row, Stanza, Tree};
use crate::syntax::names::{self, Role};

/// The names of a detail and what they become.
struct Names<'b, 'a> {
    bound: &'b Binding<'a>,
    /// Its own surfaces, joints, rooms and materials that stay.
    own: BTreeMap<String, String>,
    /// Pieces that are called as a layer of the job's surfaces is, by joint: in the detail nothing else was.
    taken: BTreeSet<(String, String)>,
}

impl Binding<'_> {
    /// Gives a detail's stanzas the job's names and takes out what the job replaces; the surfaces it has then, by name.
    pub fn rename(&self, tree: &mut Tree) -> Vec<String> {
        tree.stanzas.retain(|s| !self.replaces(s));
        let names = Names { bound: self, own: self.own_names(), taken: self.taken(tree) };
        for stanza in &mut tree.stanzas {
            let (joint, own) = (joint_name(stanza), pieces(stanza));
            names::each(stanza, &mut |role, name| names.change(role, name, &own, &joint));
            each_piece(stanza, |name| names.piece(&joint, name));
            places(stanza);
        }
        let own = self.drawn.surfaces.keys().filter_map(|s| names.own.get(s.as_str()).cloned());
        own.chain(self.surfaces.values().map(ToString::to_string)).collect()
    }

    /// Whether the job has something of its own in place of a stanza. What the head accepts of a drawn surface was not said
    /// of the job's.
    fn replaces(&self, stanza: &Stanza) -> bool {
        let bound = |name: &str| self.surfaces.contains_key(name) || self.rooms.contains_key(name);
        let named = |name: &Option<Name>| name.as_ref().is_some_and(|n| bound(&n.text));
        match stanza {
            Stanza::Surface(s) => named(&s.name),
            Stanza::Room(r) => named(&r.name),
            Stanza::Accept(a) => bound(a.target.text.split('.').next().unwrap_or_default()),
            Stanza::Material(_) | Stanza::Joint(_) | Stanza::Hole(_) => false,
            Stanza::Job(_) | Stanza::Climate(_) | Stanza::Include(_) | Stanza::Detail(_) | Stanza::Use(_) => true,
        }
    }

    /// The detail's own names that stay, and what they are in the job.
    pub fn own_names(&self) -> BTreeMap<String, String> {
        let stays = |n: &&String| !self.surfaces.contains_key(n.as_str()) && !self.rooms.contains_key(n.as_str());
        let built: BTreeSet<&String> = self.drawn.surfaces.keys().chain(&self.drawn.joints).filter(stays).collect();
        let rest = self.drawn.rooms.iter().filter(stays).chain(&self.drawn.materials);
        let base = &self.uses.name.text;
        let one = built.len() == 1;
        let named = |n: &String| if one { base.clone() } else { format!("{base}-{n}") };
        let built_names = built.iter().map(|n| ((*n).clone(), named(n)));
        built_names.chain(rest.map(|n| (n.clone(), format!("{base}-{n}")))).collect()
    }

    fn taken(&self, tree: &Tree) -> BTreeSet<(String, String)> {
        let own = || self.surfaces.values().filter_map(|s| self.job.surfaces.get(*s));
        let of = |stanza: &Stanza| {
            let joint = joint_name(stanza);
            let taken = pieces(stanza).into_iter().filter(|piece| own().any(|s| s.has(piece)));
            taken.map(|piece| (joint.clone(), piece)).collect::<Vec<_>>()
        };
        tree.stanzas.iter().flat_map(of).collect()
    }
}

impl Names<'_, '_> {
    fn change(&self, role: Role, name: &mut Name, pieces: &BTreeSet<String>, joint: &str) {
        let text = name.text.clone();
        let (first, rest) = text.split_once('.').map_or((text.as_str(), None), |(first, rest)| (first, Some(rest)));
        if role != Role::Thing {
            if let Some(new) = self.whole(role, &text) {
                name.text = new;
            }
        } else if pieces.contains(first) {
            self.piece(joint, name);
        } else {
            match (self.whole(role, first), rest) {
                (Some(new), None) => name.text = new,
                (Some(new), Some(rest)) => name.text = format!("{new}.{}", self.part(first, rest)),
                (None, None) => {
                    if let Some(layer) = self.layer(first) {
                        name.text = layer;
                    }
                }
                (None, Some(_)) => {}
            }
        }
    }

    /// What stands for a whole name.
    fn whole(&self, role: Role, name: &str) -> Option<String> {
        let bound = self.bound;
        let own = || self.own.get(name).cloned();
        match role {
            Role::Room => bound.rooms.get(name).map(ToString::to_string).or_else(own),
            Role::Material => own().filter(|_| bound.drawn.materials.contains(name)),
            Role::Own | Role::Surface | Role::Thing => {
                let taken = bound.surfaces.get(name).or_else(|| bound.rooms.get(name));
                taken.map(ToString::to_string).or_else(own)
            }
        }
    }

    /// What stands behind the dot: a layer of a surface that the job replaces, or a piece of a joint.
    fn part(&self, of: &str, part: &str) -> String {
        let (layer, beyond) = part.split_once('.').map_or((part, None), |(layer, beyond)| (layer, Some(beyond)));
        let said =
            self.bound.layers.iter().find(|((s, l), _)| *s == of && *l == layer).map(|(_, name)| name.text.clone());
        let taken = self.taken.contains(&(of.to_owned(), layer.to_owned()));
        let new = said.unwrap_or_else(|| if taken { self.renamed(layer) } else { layer.to_owned() });
        beyond.map_or_else(|| new.clone(), |beyond| format!("{new}.{beyond}"))
    }

    /// A bare name of a layer that only one drawn surface has, where the job replaces that surface: other walls of the job may
    /// have a layer of that name too.
    fn layer(&self, label: &str) -> Option<String> {
        let drawn = self.bound.drawn.only(label)?;
        let own = self.bound.surfaces.get(drawn)?;
        Some(format!("{own}.{}", self.part(drawn, label)))
    }

    /// The name of a piece of a joint, or what begins with it.
    fn piece(&self, joint: &str, name: &mut Name) {
        let first = name.text.split('.').next().unwrap_or_default().to_owned();
        if self.taken.contains(&(joint.to_owned(), first)) {
            name.text = self.renamed(&name.text);
        }
    }

    fn renamed(&self, piece: &str) -> String {
        format!("{}-{piece}", self.bound.uses.name.text)
    }
}

fn joint_name(stanza: &Stanza) -> String {
    match stanza {
        Stanza::Joint(Joint { name: Some(name), .. }) => name.text.clone(),
        _ => String::new(),
    }
}

/// A room for which outdoors or the house takes the place.
fn places(stanza: &mut Stanza) {
    let Stanza::Surface(surface) = stanza else { return };
    for row in &mut surface.rows {
        if let Row::Place(line) = row
            && let PlaceWord::Room { name, splashed } = &line.place
        {
            match name.text.as_str() {
                "outdoors" => line.place = PlaceWord::Outdoors,
                "indoors" => line.place = PlaceWord::Indoors { splashed: *splashed },
                _ => {}
            }
        }
    }
}
