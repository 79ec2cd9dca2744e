//! Looks for details: words with their slips, zone, status, material, what is joined.
//!
//! Weights and thresholds are our own choice. Invariant: pure; the same deck and question give the same answer in the same
//! order, by score, then by name.

use super::deck::{Deck, Entry, Mention, Rank, kind_bits, whole, zone_bits};
use super::words::{asked, single, tells};
use crate::base::math::ln;
use crate::base::near;
use crate::catalog::Zone;
use crate::model::detail::Status;

/// How well a word answers: as written, by its beginning, with a slip, with two, as the first part of the word asked for.
const AS_WRITTEN: f64 = 1.0;
const BY_BEGINNING: f64 = 0.75;
const SLIPPED: [f64; 2] = [0.6, 0.4];
const AS_PART: f64 = 0.5;
/// From where on two words are alike, 1 being the same; how many such are told.
const ALIKE: f64 = 0.75;
const NEAR_WORDS: usize = 4;
/// What a detail must have of what is asked for, the rare words counting more; a little less than half, for the rounding.
const SHARE: f64 = 0.499;
/// Fewest letters of a beginning, and of the first part of a compound: shorter ones begin too many other words.
const BEGINNING: usize = 4;
/// Fewest letters of a word that may have a slip, and of one that may have two: in a shorter one a slip makes another word.
const SLIPS_FROM: usize = 5;
const TWO_SLIPS_FROM: usize = 8;

/// What is looked for. What is left out narrows nothing.
#[derive(Clone, Debug, Default)]
pub struct Query {
    /// Words, as typed.
    pub words: Vec<String>,
    /// A zone that it must hold for; a bare number: for any part of it.
    pub zone: Option<Zone>,
    /// The status as borne out.
    pub status: Option<Status>,
    /// The key of a material, or a name that is a detail's own.
    pub material: Option<String>,
    /// Kinds of surfaces that one joint joins, by their words.
    pub joins: Vec<String>,
}

/// A detail that answers.
#[derive(Clone, Debug, PartialEq)]
pub struct Hit {
    /// Which entry of the deck.
    pub at: usize,
    /// How well it answers.
    pub score: f64,
    /// The words that were found, as asked and as they stand.
    pub found: Vec<(String, String)>,
    /// Words that were not.
    pub lacks: Vec<String>,
}

/// What a search found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Answer {
    /// The best, best first.
    pub hits: Vec<Hit>,
    /// How many answer in all.
    pub total: usize,
    /// How many would if nothing but the words were asked.
    pub unfiltered: usize,
    /// The words that were looked for.
    pub asked: Vec<String>,
    /// Those of them that no detail has.
    pub unknown: Vec<String>,
}

/// A word of the deck that answers to a word of the question.
#[derive(Clone, Copy, Debug)]
struct Match {
    word: usize,
    asked: usize,
    quality: f64,
}

/// For each word of the deck which matches it has: from where in the list of matches to where.
struct Matches {
    all: Vec<Match>,
    of_word: Vec<(u32, u32)>,
}

/// An entry as it answers: the best match of each word that was asked for.
struct Found {
    at: usize,
    best: Vec<Option<(f64, usize)>>,
}

impl Found {
    /// Whether it has half of the words at least.
    fn has_half(&self) -> bool {
        self.best.iter().flatten().count() * 2 >= self.best.len()
    }

    /// How much of what is asked for it has, the rare words counting more. What no detail has counts for nothing.
    fn share(&self, rarity: &[f64]) -> f64 {
        let has = self.best.iter().zip(rarity).filter(|(best, _)| best.is_some()).map(|(_, rare)| rare);
        let all: f64 = rarity.iter().sum();
        if all > 0.0 { has.sum::<f64>() / all } else { 1.0 }
    }
}

/// Looks for details and gives the best `most`.
pub fn search(deck: &Deck, query: &Query, most: usize) -> Answer {
    let asked = asked(&query.words);
    let matches = Matches::of(deck, &asked);
    let mut found: Vec<Found> =
        deck.entries.iter().enumerate().filter_map(|(at, e)| matches.found(at, e, asked.len())).collect();
    let rarity = rarity(&found, asked.len(), deck.entries.len());
    found.retain(|f| f.has_half() && f.share(&rarity) >= SHARE);
    let filter = Filter::of(deck, query);
    let passing = found.iter().filter(|f| deck.entries.get(f.at).is_some_and(|entry| filter.lets(entry)));
    let mut scored: Vec<(f64, &Found)> = passing.map(|f| (score(deck, f, &rarity), f)).collect();
    let total = scored.len();
    let name = |f: &Found| deck.entries.get(f.at).map_or("", |entry| entry.name.as_str());
    scored.sort_by(|(a, f), (b, g)| b.total_cmp(a).then_with(|| name(f).cmp(name(g))).then(f.at.cmp(&g.at)));
    scored.truncate(most);
    let hits = scored.into_iter().map(|(score, f)| hit(deck, &asked, f, score)).collect();
    let answers = |at: usize| matches.all.iter().any(|m| m.asked == at);
    let unknown = asked.iter().enumerate().filter(|(at, _)| !answers(*at)).map(|(_, word)| word.clone()).collect();
    Answer { hits, total, unfiltered: found.len(), asked, unknown }
}

/// Words of the deck that sound like those of a question which nothing answers to, the nearest first: a way out, so it is
/// laxer than the search.
pub fn near_words<'d>(deck: &'d Deck, asked: &[String]) -> Vec<&'d str> {
    let known = deck.words.iter().filter(|word| !word.starts_with('='));
    let best = |word: &str| asked.iter().map(|asked| strsim::jaro_winkler(asked, word)).fold(0.0, f64::max);
    let mut near: Vec<(f64, &str)> = known.map(|word| (best(word), word.as_str())).filter(|n| n.0 >= ALIKE).collect();
    near.sort_by(|(a, one), (b, other)| b.total_cmp(a).then(one.cmp(other)));
    let mut out: Vec<&str> = Vec::new();
    for (_, word) in near {
        if out.len() < NEAR_WORDS && !out.iter().any(|before| single(before) == single(word)) {
            out.push(word);
        }
    }
    out
}

/// Names of materials on the shelf that are near to one that is not known.
pub fn near_materials<'d>(deck: &'d Deck, name: &str) -> Vec<&'d str> {
    near::nearest(name, deck.words.iter().filter_map(|word| word.strip_prefix('=')))
}

/// Whether any detail names the material.
pub fn has_material(deck: &Deck, name: &str) -> bool {
    deck.words.iter().any(|word| word.strip_prefix('=') == Some(name))
}

impl Matches {
    fn of(deck: &Deck, asked: &[String]) -> Self {
        let of = |(at, word): (usize, &String)| {
            matching(deck, word).into_iter().map(move |(word, quality)| Match { word, asked: at, quality })
        };
        let mut all: Vec<Match> = asked.iter().enumerate().flat_map(of).collect();
        all.sort_by_key(|m| (m.word, m.asked));
        let mut of_word = vec![(0, 0); if all.is_empty() { 0 } else { deck.words.len() }];
        for (at, m) in (0..).zip(&all) {
            if let Some((from, to)) = of_word.get_mut(m.word) {
                *from = if *to == 0 { at } else { *from };
                *to = at + 1;
            }
        }
        Self { all, of_word }
    }

    fn at(&self, mention: Mention) -> &[Match] {
        let (from, to) = self.of_word.get(mention.word()).copied().unwrap_or_default();
        self.all.get(from as usize..to as usize).unwrap_or(&[])
    }

    /// What an entry answers; none where it lacks all of the words.
    fn found(&self, at: usize, entry: &Entry, asked: usize) -> Option<Found> {
        let mut best = vec![None; asked];
        for mention in entry.mentions.iter().filter(|_| asked > 0) {
            for m in self.at(*mention) {
                let weight = m.quality * weight(mention.rank());
                if let Some(best) = best.get_mut(m.asked)
                    && best.is_none_or(|(before, _)| weight > before)
                {
                    *best = Some((weight, m.word));
                }
            }
        }
        (asked == 0 || best.iter().any(Option::is_some)).then_some(Found { at, best })
    }
}

/// What a word weighs by where it stands.
fn weight(rank: Rank) -> f64 {
    match rank {
        Rank::Lead => 4.0,
        Rank::Material => 2.0,
        Rank::Other => 1.0,
        Rank::Key => 0.0,
    }
}

/// The words of the deck that answer to one that is asked for: those that begin with it, else those that it begins with
/// (`brickwork`: `brick`) and those a slip or two away.
fn matching(deck: &Deck, asked: &str) -> Vec<(usize, f64)> {
    let letters = asked.chars().count();
    let written = words(deck).filter_map(|(at, word)| {
        let same = word == asked || single(word) == single(asked);
        let begins = letters >= BEGINNING && word.starts_with(asked);
        let quality = if same { AS_WRITTEN } else { BY_BEGINNING };
        (same || begins).then_some((at, quality))
    });
    let written: Vec<(usize, f64)> = written.collect();
    if !written.is_empty() {
        return written;
    }
    parts(deck, asked).into_iter().chain(slipped(deck, asked, letters)).collect()
}

/// The words of a deck with their numbers, keys of materials left out.
fn words(deck: &Deck) -> impl Iterator<Item = (usize, &str)> {
    deck.words.iter().map(String::as_str).enumerate().filter(|(_, word)| !word.starts_with('='))
}

/// The longest words that a word begins with.
fn parts(deck: &Deck, asked: &str) -> Vec<(usize, f64)> {
    let part = |word: &str| {
        let word = single(word);
        if asked.starts_with(word) { word.chars().count() } else { 0 }
    };
    let longest = words(deck).map(|(_, word)| part(word)).max().filter(|most| *most >= BEGINNING);
    let of = |longest| words(deck).filter(move |(_, word)| part(word) == longest).map(|(at, _)| (at, AS_PART));
    longest.map(|longest| of(longest).collect()).unwrap_or_default()
}

/// The words that are fewest slips away. The first letter is seldom wrong, and where it is another word is meant.
fn slipped(deck: &Deck, asked: &str, letters: usize) -> Vec<(usize, f64)> {
    let most = if letters < SLIPS_FROM { return Vec::new() } else { 1 + usize::from(letters >= TWO_SLIPS_FROM) };
    let (bag, limit, first) = (bag(asked), most as u32, asked.chars().next());
    let alike = |word: &str| word.chars().next() == first && (bag ^ self::bag(word)).count_ones() <= 2 * limit;
    let slipped = words(deck).filter(|(_, word)| alike(word)).filter_map(|(at, word)| {
        let apart = letters.abs_diff(word.chars().count());
        let slips = if apart > most { return None } else { strsim::damerau_levenshtein(asked, word) };
        (1..=most).contains(&slips).then_some((at, slips))
    });
    let slipped: Vec<(usize, usize)> = slipped.collect();
    let fewest = slipped.iter().map(|(_, slips)| *slips).min().unwrap_or(0);
    let nearest = slipped.into_iter().filter(|(_, slips)| *slips == fewest);
    nearest.filter_map(|(at, slips)| Some((at, *SLIPPED.get(slips.checked_sub(1)?)?))).collect()
}

/// Which letters a word has, a bit for each: a quick look before a slow one. A slip changes two of them at most.
fn bag(word: &str) -> u32 {
    word.chars().fold(0, |bag, letter| bag | 1 << (u32::from(letter) % 32))
}

/// What each word weighs by how few details have it; one that none has, nothing.
fn rarity(found: &[Found], asked: usize, entries: usize) -> Vec<f64> {
    let having = |at: usize| found.iter().filter(|f| f.best.get(at).is_some_and(Option::is_some)).count();
    let weight = |having: usize| if having == 0 { 0.0 } else { ln(1.0 + entries as f64 / having as f64) };
    (0..asked).map(having).map(weight).collect()
}

/// The more of the words it has, the rarer they are, and the more of its name they make, the better.
fn score(deck: &Deck, found: &Found, rarity: &[f64]) -> f64 {
    let weights = found.best.iter().zip(rarity).filter_map(|(best, rare)| best.map(|(weight, _)| weight * rare));
    weights.sum::<f64>() * found.share(rarity) * (1.0 + named(deck, found))
}

/// How much of the name of an entry is asked for: all of it is 1.
fn named(deck: &Deck, found: &Found) -> f64 {
    let name = deck.entries.get(found.at).map_or("", |entry| entry.name.as_str());
    let has = |word: &str| {
        let mut stand = found.best.iter().flatten().filter_map(|(_, at)| deck.words.get(*at));
        stand.any(|stands| single(stands).eq_ignore_ascii_case(single(word)))
    };
    let words = name.split(|c: char| !c.is_alphanumeric()).filter(|word| tells(word));
    let (all, said) =
        words.fold((0.0, 0.0), |(all, said), word| (all + 1.0, if has(word) { said + 1.0 } else { said }));
    if all > 0.0 { said / all } else { 0.0 }
}

fn hit(deck: &Deck, asked: &[String], found: &Found, score: f64) -> Hit {
    let mut hit = Hit { at: found.at, score, found: Vec::new(), lacks: Vec::new() };
    for (word, best) in asked.iter().zip(&found.best) {
        match best.and_then(|(_, at)| deck.words.get(at)) {
            Some(stands) => hit.found.push((word.clone(), stands.clone())),
            None => hit.lacks.push(word.clone()),
        }
    }
    hit
}

/// What an entry must have beside the words.
struct Filter {
    zone: Option<u64>,
    status: Option<Status>,
    /// The number of the material's word; `Some(None)` where no detail names it.
    material: Option<Option<usize>>,
    joins: u16,
}

impl Filter {
    fn of(deck: &Deck, query: &Query) -> Self {
        let number = |key: &String| deck.words.iter().position(|word| *word == whole(key));
        Self {
            zone: query.zone.map(zone_bits),
            status: query.status,
            material: query.material.as_ref().map(number),
            joins: kind_bits(query.joins.iter().map(String::as_str)),
        }
    }

    fn lets(&self, entry: &Entry) -> bool {
        let has = |word: usize| entry.mentions.iter().any(|m| m.word() == word);
        self.zone.is_none_or(|zone| entry.zones & zone != 0)
            && self.status.is_none_or(|status| entry.status == Some(status))
            && self.material.is_none_or(|number| number.is_some_and(has))
            && (self.joins == 0 || entry.joins.iter().any(|kinds| kinds & self.joins == self.joins))
    }
}
