//! Cards made ready for a search: each a set of numbered words and a few flags, the words themselves once for all.
//!
//! A deck of many thousands is read, put together and searched without unpacking a card; only those that are shown are.
//! Not here: its bytes (kept), the search (search). Invariant: every number of a word stands for a word of the deck, and
//! every word of the deck is one of a detail.

use super::card::{self, Card};
use super::words::cut;
use crate::catalog::{Zone, ZoneBasis};
use crate::model::detail::Status;
use crate::syntax::ast::SurfaceKind;
use std::collections::{BTreeMap, HashMap};
use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// Where a word of a detail stands, the least telling first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rank {
    /// Sources, notes, labels, titles of surfaces.
    Other,
    /// A material.
    Material,
    /// Name, title, what meets what.
    Lead,
    /// The key of a material, whole: nothing that is asked for in words.
    Key,
}

impl Rank {
    const ALL: [Self; 4] = [Self::Other, Self::Material, Self::Lead, Self::Key];
    const BITS: u32 = 2;
}

/// The number of a word, and where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mention(pub(super) u32);

impl Mention {
    pub(super) fn new(word: u32, rank: Rank) -> Self {
        Self(word << Rank::BITS | rank as u32)
    }

    /// The number of the word.
    pub fn word(self) -> usize {
        (self.0 >> Rank::BITS) as usize
    }

    /// Where it stands.
    pub fn rank(self) -> Rank {
        let rank = (self.0 & ((1 << Rank::BITS) - 1)) as usize;
        Rank::ALL.get(rank).copied().unwrap_or(Rank::Other)
    }
}

/// What is asked of one detail in a search.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its name.
    pub name: String,
    /// Its head was read without a mistake.
    pub sound: bool,
    /// Its status as borne out.
    pub status: Option<Status>,
    /// The zones it holds for, a bit for each; see [`zone_bits`].
    pub zones: u64,
    /// For each joint the kinds it joins; see [`kind_bits`].
    pub joins: Vec<u16>,
    /// Its words, each once, where it stands best.
    pub mentions: Vec<Mention>,
    /// The card, packed.
    pub(super) card: Packed,
}

/// A part of some bytes that many share.
#[derive(Clone, Default)]
pub(super) struct Packed {
    all: Arc<Vec<u8>>,
    part: Range<usize>,
}

impl Packed {
    /// Part of what is shared.
    pub fn part(all: &Arc<Vec<u8>>, part: Range<usize>) -> Self {
        Self { all: Arc::clone(all), part }
    }

    /// The bytes.
    pub fn bytes(&self) -> &[u8] {
        self.all.get(self.part.clone()).unwrap_or(&[])
    }
}

impl From<Vec<u8>> for Packed {
    fn from(bytes: Vec<u8>) -> Self {
        let part = 0..bytes.len();
        Self { all: Arc::new(bytes), part }
    }
}

impl PartialEq for Packed {
    fn eq(&self, other: &Self) -> bool {
        self.bytes() == other.bytes()
    }
}

impl Eq for Packed {}

impl fmt::Debug for Packed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&String::from_utf8_lossy(self.bytes()))
    }
}

/// An entry whose words have no numbers yet.
#[derive(Clone, Debug)]
pub struct Draft {
    entry: Entry,
    words: BTreeMap<String, Rank>,
}

/// Cards made ready for a search.
#[derive(Clone, Debug, Default)]
pub struct Deck {
    /// The words.
    pub words: Vec<String>,
    /// The details.
    pub entries: Vec<Entry>,
    numbers: HashMap<String, u32>,
}

impl Draft {
    /// Cuts a card into words.
    pub fn of(card: &Card) -> Self {
        let mut words = BTreeMap::new();
        let mut say = |text: &str, rank: Rank| {
            for word in cut(text) {
                let best: &mut Rank = words.entry(word).or_insert(rank);
                *best = rank.max(*best);
            }
        };
        card.others.iter().for_each(|text| say(text, Rank::Other));
        card.materials.iter().for_each(|key| say(key, Rank::Material));
        say(&card.name, Rank::Lead);
        let head = card.head.as_ref();
        head.into_iter().flat_map(|head| head.meets.iter().chain([&head.title])).for_each(|text| say(text, Rank::Lead));
        words.extend(card.materials.iter().map(|material| (whole(material), Rank::Key)));
        let entry = Entry {
            name: card.name.clone(),
            sound: card.trouble.is_none(),
            status: head.map(|head| head.status),
            zones: if card.zones_are_known() { head.map_or(0, |head| zones(&head.zones)) } else { 0 },
            joins: card.joins.iter().map(|kinds| kind_bits(kinds.iter().map(String::as_str))).collect(),
            mentions: Vec::new(),
            // A card has nothing that could not be written.
            card: serde_json::to_vec(card).unwrap_or_default().into(),
        };
        Self { entry, words }
    }
}

impl Entry {
    /// The card.
    pub fn card(&self) -> Card {
        let empty =
            || Card { name: self.name.clone(), trouble: Some("is not kept in full".to_owned()), ..Card::default() };
        serde_json::from_slice(self.card.bytes()).unwrap_or_else(|_| empty())
    }
}

impl Deck {
    /// A deck that was kept; none where a word has no number.
    pub(super) fn whole(words: Vec<String>, entries: Vec<Entry>) -> Option<Self> {
        let known = |entry: &Entry| entry.mentions.iter().all(|mention| mention.word() < words.len());
        entries.iter().all(known).then(|| Self { words, entries, numbers: HashMap::new() })
    }

    /// Adds a detail.
    pub fn add(&mut self, draft: Draft) {
        let Draft { mut entry, words } = draft;
        entry.mentions = words.into_iter().map(|(word, rank)| Mention::new(self.number(word), rank)).collect();
        self.entries.push(entry);
    }

    /// Adds those details of another deck that are wanted, in their order.
    pub fn append(&mut self, other: Self, wanted: impl Fn(usize) -> bool) {
        if self.entries.is_empty() && (0..other.entries.len()).all(&wanted) {
            *self = other;
            return;
        }
        let mut words: Vec<(String, Option<u32>)> = other.words.into_iter().map(|word| (word, None)).collect();
        for (_, mut entry) in other.entries.into_iter().enumerate().filter(|(at, _)| wanted(*at)) {
            entry.mentions.retain_mut(|mention| {
                let Some((word, number)) = words.get_mut(mention.word()) else { return false };
                let number = *number.get_or_insert_with(|| self.number(std::mem::take(word)));
                *mention = Mention::new(number, mention.rank());
                true
            });
            self.entries.push(entry);
        }
    }

    /// The details in the order of their names, whatever stands beside each in the same order.
    pub fn sorted<T>(mut self, beside: Vec<T>) -> (Self, Vec<T>) {
        let mut both: Vec<(Entry, T)> = self.entries.into_iter().zip(beside).collect();
        both.sort_by(|(a, _), (b, _)| a.name.cmp(&b.name));
        let (entries, beside) = both.into_iter().unzip();
        self.entries = entries;
        (self, beside)
    }

    /// The number of a word, a new one where it has none.
    fn number(&mut self, word: String) -> u32 {
        if self.numbers.len() < self.words.len() {
            self.numbers = self.words.iter().cloned().zip(0..).collect();
        }
        if let Some(number) = self.numbers.get(&word) {
            return *number;
        }
        let number = self.words.len() as u32;
        self.words.push(word.clone());
        self.numbers.insert(word, number);
        number
    }
}

/// The key of a material as a word that no question has.
pub fn whole(material: &str) -> String {
    format!("={material}")
}

/// Zones by their bits: four for each number, for no letter, A, B and C.
pub fn zone_bits(zone: Zone) -> u64 {
    let letter = match zone.letter {
        Some('A') => 0b0010,
        Some('B') => 0b0100,
        Some('C') => 0b1000,
        _ => 0b1111,
    };
    letter << (u32::from(zone.number) * 4).min(60)
}

/// All zones of a head; any zone where it names none.
fn zones(written: &[String]) -> u64 {
    let read = written.iter().filter_map(|zone| Zone::read(zone, ZoneBasis::Written));
    if written.is_empty() { u64::MAX } else { read.map(zone_bits).fold(0, |all, bits| all | bits) }
}

/// The kinds of surfaces.
pub const KINDS: [SurfaceKind; 6] = [
    SurfaceKind::Wall,
    SurfaceKind::Roof,
    SurfaceKind::Ceiling,
    SurfaceKind::Floor,
    SurfaceKind::Slab,
    SurfaceKind::Deck,
];

/// Kinds by their bits: one where a kind is there, another where it is there twice or more.
pub fn kind_bits<'k>(kinds: impl Iterator<Item = &'k str>) -> u16 {
    kinds.fold(0, |bits, word| {
        let Some(at) = KINDS.iter().position(|kind| card::word(*kind) == word) else { return bits };
        let once = 1 << at;
        bits | once | if bits & once == 0 { 0 } else { once << KINDS.len() }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bits_tell_zones_and_kinds() {
        let bits = |zone: &str| zone_bits(Zone::read(zone, ZoneBasis::Written).unwrap());
        assert_ne!(bits("4") & bits("4A"), 0);
        assert_eq!(bits("4A") & bits("4B"), 0);
        assert_eq!(bits("8") & bits("7"), 0);
        assert_ne!(zones(&[]) & bits("8"), 0);
        let kinds = |words: &[&str]| kind_bits(words.iter().copied());
        assert_eq!(kinds(&["wall", "roof"]) & kinds(&["roof"]), kinds(&["roof"]));
        assert_ne!(kinds(&["wall"]) & kinds(&["wall", "wall"]), kinds(&["wall", "wall"]));
    }

    #[test]
    fn decks_are_put_together() {
        let card = |name: &str, material: &str| Card {
            name: name.to_owned(),
            materials: vec![material.to_owned()],
            ..Card::default()
        };
        let (mut one, mut two) = (Deck::default(), Deck::default());
        one.add(Draft::of(&card("porch", "zinc")));
        ["loft", "press"].iter().for_each(|name| two.add(Draft::of(&card(name, "zinc"))));
        one.append(two, |at| at == 1);
        assert_eq!(one.entries.iter().map(|e| e.name.as_str()).collect::<Vec<_>>(), ["porch", "press"]);
        let words = |entry: &Entry| entry.mentions.iter().map(|m| one.words[m.word()].as_str()).collect::<Vec<_>>();
        assert_eq!(words(&one.entries[1]), ["=zinc", "press", "zinc"]);
        assert_eq!(one.entries[1].card().name, "press");
    }
}
