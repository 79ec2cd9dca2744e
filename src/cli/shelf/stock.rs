//! All that the shelves have, ready for a search: each shelf's details in the order of the shelves, hidden ones left out.
//!
//! Invariant: the first shelf that has a detail of a name has it; where else it stands is told.

use super::index;
use super::shelves::{Shelf, Shelves, Stand, Wrong};
use crate::cli::texts::shown;
use crate::output::shelf::Item;
use crate::shelf::card::Card;
use crate::shelf::deck::{Deck, Entry};
use std::collections::BTreeMap;
use std::ops::Range;

/// What the shelves have.
#[derive(Debug)]
pub struct Stock<'s> {
    shelves: &'s Shelves,
    /// The details, shelf by shelf, by name.
    pub deck: Deck,
    /// Which of them are of each shelf.
    ranges: Vec<Range<usize>>,
    /// Names that a later shelf has too, and which.
    also: BTreeMap<String, Vec<String>>,
    /// Why shelves can't be read, and ways out.
    pub failed: Vec<Wrong>,
}

impl<'s> Stock<'s> {
    /// Takes stock of all shelves.
    pub fn of(shelves: &'s Shelves) -> Self {
        let mut stock =
            Self { shelves, deck: Deck::default(), ranges: Vec::new(), also: BTreeMap::new(), failed: Vec::new() };
        let cache = index::cache();
        for shelf in &shelves.0 {
            let deck = match &shelf.stand {
                Stand::Shipped => shipped(shelf),
                Stand::Folder(folder) => {
                    let deck = index::stock(folder, cache.as_deref()).map(|(deck, _)| deck);
                    deck.unwrap_or_else(|_| {
                        stock.failed.extend(shelf.trouble());
                        Deck::default()
                    })
                }
            };
            stock.take(deck, shelf);
        }
        stock
    }

    fn take(&mut self, deck: Deck, shelf: &Shelf) {
        let mut wanted = Vec::with_capacity(deck.entries.len());
        for entry in &deck.entries {
            let hidden = self.has(&entry.name);
            if hidden {
                self.also.entry(entry.name.clone()).or_default().push(shelf.short());
            }
            wanted.push(!hidden);
        }
        let from = self.deck.entries.len();
        self.deck.append(deck, |at| wanted.get(at).copied().unwrap_or(false));
        self.ranges.push(from..self.deck.entries.len());
    }

    fn has(&self, name: &str) -> bool {
        let of = |range: &Range<usize>| self.deck.entries.get(range.clone()).unwrap_or(&[]);
        self.ranges.iter().any(|range| of(range).binary_search_by(|entry| entry.name.as_str().cmp(name)).is_ok())
    }

    /// A detail as it is listed.
    pub fn item(&self, at: usize) -> Option<Item> {
        let shelf = self.shelves.0.get(self.ranges.iter().position(|range| range.contains(&at))?)?;
        let entry = self.deck.entries.get(at)?;
        let file = match &shelf.stand {
            Stand::Folder(folder) => Some(shown(&folder.join(format!("{}.dew", entry.name)))),
            Stand::Shipped => None,
        };
        let also = self.also.get(&entry.name).cloned().unwrap_or_default();
        Some(Item {
            card: entry.card(),
            whose: shelf.whose.word(),
            shelf: shelf.title(),
            short: shelf.short(),
            file,
            also,
        })
    }

    /// How many have a head that can't be read, or not in full.
    pub fn unsound(&self) -> usize {
        self.deck.entries.iter().filter(|entry: &&Entry| !entry.sound).count()
    }
}

/// The details that come with the program.
fn shipped(shelf: &Shelf) -> Deck {
    let drafts = index::drafts(&shelf.slots(), |slot| match slot.read() {
        Ok(input) => Card::of(&slot.name, &input.text),
        Err(why) => Card::unreadable(&slot.name, why),
    });
    let mut deck = Deck::default();
    drafts.into_iter().for_each(|draft| deck.add(draft));
    deck
}
