//! A deck as bytes, to be kept between two runs: with each detail the stamp of the file it was read from.
//!
//! Numbers are little-endian; texts and lists begin with how many they hold. Not here: the file (cli). Invariant: reading is
//! total: bytes of another version, or that were cut or changed, give none.

use super::deck::{Deck, Entry, Mention, Packed};
use crate::model::detail::Status;
use std::sync::Arc;

/// What the bytes begin with. The number is raised when a card, its words or the bytes change.
const VERSION: &[u8] = concat!("dewlap shelf 3, program ", env!("CARGO_PKG_VERSION"), "\n").as_bytes();
/// For how many of a list room is made before they are read.
const MOST_AHEAD: usize = 1 << 14;
/// Bytes of the sum.
const SUM: usize = 8;

/// When a file was last changed, and how large it was.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Stamp {
    /// Nanoseconds since 1970.
    pub changed: u64,
    /// Bytes.
    pub size: u64,
}

/// A deck with the stamp of each entry.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    /// The details.
    pub deck: Deck,
    /// One for each entry.
    pub stamps: Vec<Stamp>,
}

impl Kept {
    /// Those whose stamp is trusted.
    pub fn only(&self, trusted: impl Fn(Stamp) -> bool) -> Self {
        let keeps = |at: usize| self.stamps.get(at).is_some_and(|stamp| trusted(*stamp));
        let mut deck = Deck::default();
        deck.append(self.deck.clone(), keeps);
        Self { deck, stamps: self.stamps.iter().copied().filter(|stamp| trusted(*stamp)).collect() }
    }

    /// The bytes.
    pub fn to_bytes(&self) -> Vec<u8> {
        let mut out = Writer(Vec::with_capacity(self.deck.entries.len() * 1024 + 1024));
        out.number(self.deck.words.len());
        self.deck.words.iter().for_each(|word| out.text(word));
        out.number(self.deck.entries.len());
        for (entry, stamp) in self.deck.entries.iter().zip(&self.stamps) {
            out.entry(entry, *stamp);
        }
        let Writer(body) = out;
        [VERSION, &sum(&body).to_le_bytes(), &body].concat()
    }

    /// What was kept; none where it can't be told.
    pub fn from_bytes(bytes: Vec<u8>) -> Option<Self> {
        let bytes = Arc::new(bytes);
        let (said, body) = bytes.strip_prefix(VERSION)?.split_at_checked(SUM)?;
        if u64::from_le_bytes(said.try_into().ok()?) != sum(body) {
            return None;
        }
        let mut reader = Reader { rest: body, all: &bytes };
        let words = reader.list(|r| r.text())?;
        let both = reader.list(|r| r.entry())?;
        let (entries, stamps) = both.into_iter().unzip();
        Some(Self { deck: Deck::whole(words, entries)?, stamps }).filter(|_| reader.rest.is_empty())
    }
}

/// A sum that tells changed bytes; nobody is kept from forging it.
fn sum(bytes: &[u8]) -> u64 {
    let (words, rest) = bytes.as_chunks::<8>();
    let last = rest.iter().fold(rest.len() as u64, |all, byte| all << 8 | u64::from(*byte));
    let words = words.iter().map(|word| u64::from_le_bytes(*word)).chain([last]);
    words.fold(0x9e37_79b9_7f4a_7c15, |all: u64, word| (all ^ word).wrapping_mul(0x0000_0100_0000_01b3).rotate_left(29))
}

struct Writer(Vec<u8>);

impl Writer {
    fn number(&mut self, number: usize) {
        self.0.extend((number as u32).to_le_bytes());
    }

    fn long(&mut self, number: u64) {
        self.0.extend(number.to_le_bytes());
    }

    fn text(&mut self, text: &str) {
        self.bytes(text.as_bytes());
    }

    fn bytes(&mut self, bytes: &[u8]) {
        self.number(bytes.len());
        self.0.extend(bytes);
    }

    fn entry(&mut self, entry: &Entry, stamp: Stamp) {
        self.long(stamp.changed);
        self.long(stamp.size);
        self.text(&entry.name);
        self.number(usize::from(entry.sound));
        self.number(entry.status.and_then(|s| Status::ALL.iter().position(|known| *known == s)).map_or(0, |at| at + 1));
        self.long(entry.zones);
        self.number(entry.joins.len());
        entry.joins.iter().for_each(|kinds| self.0.extend(kinds.to_le_bytes()));
        self.number(entry.mentions.len());
        entry.mentions.iter().for_each(|mention| self.0.extend(mention.0.to_le_bytes()));
        self.bytes(entry.card.bytes());
    }
}

struct Reader<'b> {
    rest: &'b [u8],
    all: &'b Arc<Vec<u8>>,
}

impl<'b> Reader<'b> {
    fn bytes(&mut self, count: usize) -> Option<&'b [u8]> {
        let (head, rest) = self.rest.split_at_checked(count)?;
        self.rest = rest;
        Some(head)
    }

    /// Bytes that are not copied.
    fn packed(&mut self) -> Option<Packed> {
        let count = self.number()?;
        let from = self.all.len() - self.rest.len();
        self.bytes(count).map(|_| Packed::part(self.all, from..from + count))
    }

    fn array<const N: usize>(&mut self) -> Option<[u8; N]> {
        self.bytes(N)?.try_into().ok()
    }

    fn number(&mut self) -> Option<usize> {
        self.array().map(|bytes| u32::from_le_bytes(bytes) as usize)
    }

    fn long(&mut self) -> Option<u64> {
        self.array().map(u64::from_le_bytes)
    }

    fn text(&mut self) -> Option<String> {
        let count = self.number()?;
        std::str::from_utf8(self.bytes(count)?).ok().map(str::to_owned)
    }

    fn list<T>(&mut self, mut one: impl FnMut(&mut Self) -> Option<T>) -> Option<Vec<T>> {
        let count = self.number()?;
        let mut out = Vec::with_capacity(count.min(MOST_AHEAD));
        for _ in 0..count {
            out.push(one(self)?);
        }
        Some(out)
    }

    fn entry(&mut self) -> Option<(Entry, Stamp)> {
        let stamp = Stamp { changed: self.long()?, size: self.long()? };
        let name = self.text()?;
        let sound = self.number()? != 0;
        let status = match self.number()?.checked_sub(1) {
            Some(at) => Some(*Status::ALL.get(at)?),
            None => None,
        };
        let zones = self.long()?;
        let joins = self.list(|r| r.array().map(u16::from_le_bytes))?;
        let count = self.number()?;
        let (mentions, _) = self.bytes(count.checked_mul(size_of::<u32>())?)?.as_chunks();
        let mentions = mentions.iter().map(|bytes| Mention(u32::from_le_bytes(*bytes))).collect();
        Some((Entry { name, sound, status, zones, joins, mentions, card: self.packed()? }, stamp))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shelf::card::Card;
    use crate::shelf::deck::Draft;

    fn kept() -> Kept {
        let text = "---\ntitle: A porch on stone\nmeets: [porch, stone]\nstatus: drawn\nrevision: 2\nholds:\n  zones: [4A, 5]\n\
            source: own\n---\nwall a\n  outdoors\n  board: plywood 1/2 in\n  indoors\njoint foot\n  joins a bottom\n";
        let mut deck = Deck::default();
        deck.add(Draft::of(&Card::of("porch-stone", text)));
        deck.add(Draft::of(&Card::of("headless", "wall a\n")));
        Kept { deck, stamps: vec![Stamp { changed: 5, size: 7 }, Stamp::default()] }
    }

    #[test]
    fn what_is_kept_comes_back() {
        let own = kept();
        let read = Kept::from_bytes(own.to_bytes()).unwrap();
        assert_eq!(
            (&read.deck.words, &read.deck.entries, &read.stamps),
            (&own.deck.words, &own.deck.entries, &own.stamps)
        );
        let card = read.deck.entries[0].card();
        let head = card.head.unwrap();
        assert_eq!(
            (head.revision, head.zones.join(" "), card.joins),
            (2, "4A 5".to_owned(), vec![vec!["wall".to_owned()]])
        );
        assert_eq!(read.deck.entries[1].card().trouble.as_deref(), Some("it has no head"));
    }

    #[test]
    fn no_bytes_are_believed_that_were_changed() {
        let bytes = kept().to_bytes();
        for at in 0..bytes.len() {
            assert!(Kept::from_bytes(bytes[..at].to_vec()).is_none(), "cut at {at}");
            let mut other = bytes.clone();
            other[at] ^= 0x10;
            assert!(Kept::from_bytes(other).is_none(), "changed at {at}");
        }
    }
}
