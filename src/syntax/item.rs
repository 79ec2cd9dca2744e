//! What joints speak of: edges of surfaces, places along a seam, and the items of a sentence.
//!
//! Invariant: `upper` and `lower` are never names; whether a name exists is asked later.

use super::ast::{Edge, EndRef, Item, Spot};
use super::joint_words::{EDGES, HALVES, SPOTS, begins_verb};
use super::problem::{Read, did_you_mean, incomplete, quote, unreadable};
use super::reader::Reader;
use super::words;
use crate::base::finding::Finding;
use crate::base::span::Spanned;

/// An edge, if one stands here.
pub(super) fn edge_here(reader: &mut Reader) -> Option<Spanned<Edge>> {
    let first = reader.word()?;
    let edge = words::find(EDGES, first)?;
    let mut ahead = *reader;
    ahead.bump();
    if edge == Edge::InsideFace && !ahead.take("face") {
        return None;
    }
    *reader = ahead;
    Some(Spanned::new(edge, reader.since(first)))
}

/// An edge.
pub(super) fn edge(reader: &mut Reader) -> Read<Spanned<Edge>> {
    edge_here(reader).ok_or_else(|| no_edge(reader))
}

/// Edges joined by `and`.
pub(super) fn edges(reader: &mut Reader) -> Read<Vec<Spanned<Edge>>> {
    let mut all = vec![edge(reader)?];
    while reader.take("and") {
        all.push(edge(reader)?);
    }
    Ok(all)
}

const EDGE_WORDS: &str = "an edge: wall `top`, `bottom`, `left`, `right`, `face`; roof `eave`, `high`, `ridge`, `rake`; \
                          floor `front`, `back`, `edge`; opening `head`, `jambs`, `sill`";

fn no_edge(reader: &Reader) -> Box<Finding> {
    match reader.word() {
        Some(word) if ["above", "below", "beside", "under", "over"].iter().any(|w| w.eq_ignore_ascii_case(word)) => {
            let help = "name the edges, they say which is above: `joins house top, flat high`";
            unreadable(reader.here(), format!("no {} between edges", quote(word)), help)
        }
        Some(word) => {
            let known = words::list(EDGES).filter(|known| *known != "inside");
            let help = did_you_mean(word, known).unwrap_or_else(|| format!("expected {EDGE_WORDS}"));
            unreadable(reader.here(), format!("{} is no edge", quote(word)), help)
        }
        None => reader.expected(EDGE_WORDS),
    }
}

/// `low eave`: a surface or an opening, and its edge.
pub(super) fn end(reader: &mut Reader) -> Read<EndRef> {
    let surface = reader.name("a surface and its edge: `house top`")?;
    Ok(EndRef { surface, edge: edge(reader)? })
}

/// A place along a joint, if one stands here.
pub(super) fn spot_here(reader: &mut Reader) -> Option<Spanned<Spot>> {
    let first = reader.word()?;
    let mut ahead = *reader;
    ahead.bump();
    for (word, second, spot) in SPOTS {
        if word.eq_ignore_ascii_case(first) && second.is_none_or(|second| ahead.take(second)) {
            *reader = ahead;
            return Some(Spanned::new(*spot, reader.since(first)));
        }
    }
    None
}

/// After `at`: places joined by `and`.
pub(super) fn spots(reader: &mut Reader) -> Read<Vec<Spanned<Spot>>> {
    let mut all = vec![spot(reader)?];
    while reader.take("and") {
        all.push(spot(reader)?);
    }
    Ok(all)
}

fn spot(reader: &mut Reader) -> Read<Spanned<Spot>> {
    spot_here(reader).ok_or_else(|| no_spot(reader))
}

const SPOT_WORDS: &str = "a place: `head`, `jambs`, `sill`; `top`, `sides`, `bottom`; `low end`, `high end`, `top end`, \
                          `bottom end`, `both ends`";

fn no_spot(reader: &Reader) -> Box<Finding> {
    let Some(word) = reader.word() else { return reader.expected(SPOT_WORDS) };
    let ends = ["low", "high", "both"].iter().find(|known| known.eq_ignore_ascii_case(word));
    let help = match ends {
        Some(&"both") => "write `both ends`".to_owned(),
        Some(end) => format!("write `{end} end`"),
        None => did_you_mean(word, SPOTS.iter().filter(|(_, second, _)| second.is_none()).map(|(word, ..)| *word))
            .unwrap_or_else(|| format!("expected {SPOT_WORDS}")),
    };
    unreadable(reader.here(), format!("{} is no place along a joint", quote(word)), help)
}

/// `strip`, `upper membrane`, `old.stone`, `low eave`.
pub(super) fn item(reader: &mut Reader, what: &str) -> Read<Item> {
    let first = reader.text();
    let half = reader.word().and_then(|word| words::find(HALVES, word)).map(|half| {
        let span = reader.here();
        reader.bump();
        Spanned::new(half, span)
    });
    if half.is_some() && reader.word().is_none_or(begins_verb) {
        let help = format!("write {first} and the layer: `{} membrane`", first.to_lowercase());
        return Err(incomplete(reader.before(), format!("{} of which layer?", quote(first)), help));
    }
    let name = reader.name(what)?;
    let edge = edge_here(reader);
    Ok(Item { half, name, edge, span: reader.since(first) })
}
