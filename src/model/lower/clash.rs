//! Sentences of one joint that can't both be so, and sentences that say nothing new.
//!
//! Invariant: each pair of sentences is reported once, at the later of the two; linear in the sentences, because those
//! of one pair of things that say the same are dropped once reported.

use std::collections::HashMap;

use super::climate::short;
use super::context::Context;
use crate::model::joint::{Link, Party, Piece, Thing};
use crate::syntax::ast::{Half, Sentence, Spot, Verb};

/// What is wrong with two sentences.
enum Clash {
    /// The same is said twice.
    Again,
    /// The same with another length.
    Length,
    /// They exclude each other.
    Both(&'static str),
    /// One face is said to be both.
    Face(&'static str),
}

/// Sentences by what they speak of.
type Pairs<'l> = HashMap<(Thing, Option<Thing>), Vec<&'l Link>>;

impl Context<'_> {
    /// Reports sentences that contradict or repeat an earlier one.
    pub fn clashes(&mut self, links: &[Link], written: &[&Sentence]) {
        let mut pairs: Pairs<'_> = HashMap::new();
        for (link, sentence) in links.iter().zip(written) {
            let (subject, object) = (link.subject.thing, link.object.map(|o| o.thing));
            let hole = subject == Thing::Hole || object == Some(Thing::Hole);
            // An unread word may be the place that keeps two sentences apart.
            if hole || link.unread || Some(subject) == object {
                continue;
            }
            let same = pairs.get(&(subject, object)).map(Vec::as_slice).unwrap_or_default();
            let turned = object.and_then(|o| pairs.get(&(o, Some(subject)))).map(Vec::as_slice).unwrap_or_default();
            let along = same.iter().find_map(|l| Some((along(l, link)?, *l)));
            let found = along.or_else(|| turned.iter().find_map(|l| Some((against(l, link)?, *l))));
            match found {
                Some((clash, first)) => self.clash(&clash, first, link, sentence),
                None => pairs.entry((subject, object)).or_default().push(link),
            }
        }
    }

    /// Round a hole the place says which half is meant; a half that is written can only confirm it.
    pub fn halves(&mut self, links: &[Link], pieces: &[Piece]) {
        for link in links.iter().filter(|l| !l.unread) {
            let Some(there) = half_of(link, pieces) else { continue };
            for party in std::iter::once(link.subject).chain(link.object) {
                let (Thing::Layer { half, .. } | Thing::Surface { half, .. }) = party.thing else { continue };
                if half.is_some_and(|half| half != there) {
                    let (place, word) = match there {
                        Half::Upper => ("above", "upper"),
                        Half::Lower => ("below", "lower"),
                    };
                    let message = format!("what lies {place} the hole is the {word} half");
                    self.contradiction(party.span, message, None, format!("write `{word}`, or leave the word out"));
                }
            }
        }
    }

    fn clash(&mut self, clash: &Clash, first: &Link, link: &Link, sentence: &Sentence) {
        let subject = short(&sentence.subject.name.text);
        let object = sentence.object.as_ref().map(|o| short(&o.name.text)).unwrap_or_default();
        match clash {
            Clash::Again => {
                let help = "keep one of the two; what differs between places is said with `at PLACE`";
                self.contradiction(link.verb_span, "this is said already", Some(first.verb_span), help);
            }
            Clash::Length => {
                let span = link.length_span.unwrap_or(link.verb_span);
                let help = "keep the one that will be built; what differs between places is said with `at PLACE`";
                self.contradiction(span, "this has another length already", first.length_span, help);
            }
            Clash::Both(words) => {
                let message = format!("`{subject}` and `{object}` can't both {words}");
                let help = "keep one of the two, or say where each is so with `at PLACE`";
                self.contradiction(link.verb_span, message, Some(first.verb_span), help);
            }
            Clash::Face(words) => self.both(link.verb_span, words, Some(first.verb_span)),
        }
    }
}

/// The half that lies at a place of an opening or penetration; none at its sides.
fn half_at(spot: Spot) -> Option<Half> {
    match spot {
        Spot::Head | Spot::Top => Some(Half::Upper),
        Spot::Sill | Spot::Bottom => Some(Half::Lower),
        _ => None,
    }
}

/// The half that all places of a sentence, or else of its pieces, lie in. A pan behind a stack lies at the top and laps
/// over what lies below it: round a thing that goes through, a piece's own place does not settle the half.
fn half_of(link: &Link, pieces: &[Piece]) -> Option<Half> {
    let of_piece = |party: &Party| match party.thing {
        Thing::Piece(index) => pieces.get(index).map(|p| p.places.as_slice()).filter(|p| settles(p)),
        _ => None,
    };
    let piece = || of_piece(&link.subject).or_else(|| of_piece(link.object.as_ref()?));
    let spots = Some(link.places.as_slice()).filter(|p| !p.is_empty()).or_else(piece)?;
    let first = half_at(*spots.first()?);
    first.filter(|_| spots.iter().all(|s| half_at(*s) == first))
}

fn settles(places: &[Spot]) -> bool {
    !places.is_empty() && !places.iter().any(|s| matches!(s, Spot::Top | Spot::Bottom))
}

/// Two sentences with the same subject and object.
fn along(first: &Link, link: &Link) -> Option<Clash> {
    let thing = |l: &Link| l.above.map(|a| a.thing);
    if first.verb == link.verb {
        let same = (first.hollow, thing(first)) == (link.hollow, thing(link)) && same_places(first, link);
        let length = |l: &Link| l.length.and_then(|v| v.sure()).map(|v| v.si());
        return match (same, length(first), length(link)) {
            (false, ..) => faces(first, link),
            (true, Some(a), Some(b)) if (a - b).abs() > f64::EPSILON => Some(Clash::Length),
            (true, ..) => Some(Clash::Again),
        };
    }
    if !overlap(first, link) {
        return None;
    }
    let ends = |verb| matches!(verb, Verb::RunsPast | Verb::RunsTo | Verb::StopsShort);
    if ends(first.verb) && ends(link.verb) {
        return Some(Clash::Both("end in two ways"));
    }
    apart(first, link).or_else(|| faces(first, link))
}

/// Two sentences of which one's subject is the other's object.
fn against(first: &Link, link: &Link) -> Option<Clash> {
    if !overlap(first, link) {
        return None;
    }
    match (first.verb, link.verb) {
        (Verb::LapsOver, Verb::LapsOver) if !first.hold.woven && !link.hold.woven => {
            Some(Clash::Both("lap over each other"))
        }
        (Verb::Touches, Verb::Touches) | (Verb::Butts, Verb::Butts) => Some(Clash::Again),
        _ => apart(first, link).or_else(|| faces(first, link)),
    }
}

fn apart(first: &Link, link: &Link) -> Option<Clash> {
    let touch = matches!((first.verb, link.verb), (Verb::Touches, Verb::Clears) | (Verb::Clears, Verb::Touches));
    touch.then_some(Clash::Both("touch and be clear of each other"))
}

fn faces(first: &Link, link: &Link) -> Option<Clash> {
    let (a, b) = (&first.face, &link.face);
    if !overlap(first, link) {
        return None;
    }
    if (a.damp.is_some() && b.dry) || (b.damp.is_some() && a.dry) {
        return Some(Clash::Face("damp and dry"));
    }
    ((a.dusty.is_some() && b.clean) || (b.dusty.is_some() && a.clean)).then_some(Clash::Face("dusty and clean"))
}

fn same_places(a: &Link, b: &Link) -> bool {
    a.places.len() == b.places.len() && a.places.iter().all(|s| b.places.contains(s))
}

/// Whether both hold at one place at least; nothing written holds everywhere.
fn overlap(a: &Link, b: &Link) -> bool {
    let ends = |s: &Spot| matches!(s, Spot::LowEnd | Spot::HighEnd | Spot::TopEnd | Spot::BottomEnd);
    let both = |x: &Link, y: &Link| x.places.contains(&Spot::BothEnds) && y.places.iter().any(ends);
    a.places.is_empty()
        || b.places.is_empty()
        || a.places.iter().any(|s| b.places.contains(s))
        || both(a, b)
        || both(b, a)
}
