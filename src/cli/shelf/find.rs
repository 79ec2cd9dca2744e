//! `shelf find`.
//!
//! Invariant: a zone, kind or material that nothing answers to is a mistake in the question, told with what is near.

use super::args::FindArgs;
use super::list::told;
use super::shelves::{Shelves, Wrong};
use super::stock::Stock;
use crate::base::near::{all_of, nearest, one_of};
use crate::catalog::{self, Lookup, Zone, ZoneBasis};
use crate::cli::Exit;
use crate::cli::streams::Streams;
use crate::output::figure::count;
use crate::output::{json_shelf, shelf};
use crate::shelf::card::word;
use crate::shelf::deck::{Deck, KINDS};
use crate::shelf::search::{Answer, Query, has_material, near_materials, near_words, search};
use std::io::Result;

/// Runs the command.
pub fn run(options: &FindArgs, shelves: &Shelves, streams: &mut Streams) -> Result<Exit> {
    let stock = Stock::of(shelves);
    let query = match query(options, &stock.deck) {
        Ok(query) => query,
        Err(wrong) => return super::refused(&wrong, options.json, streams),
    };
    let answer = search(&stock.deck, &query, options.most);
    let complete = told(&stock, streams)?;
    let hits: Vec<_> = answer.hits.iter().filter_map(|hit| Some((hit.clone(), stock.item(hit.at)?))).collect();
    if options.json {
        json_shelf::found(&mut streams.out, &hits, answer.total, complete, &stock.failed)?;
    } else {
        let look = streams.looks.out;
        shelf::found(&mut streams.out, &hits, &look)?;
    }
    if answer.total == 0 {
        let (what, way_out) = nothing(&answer, &stock.deck);
        streams.trouble(&what, &way_out)?;
    } else if !options.json {
        idle(options, &answer).into_iter().try_for_each(|told| streams.say(&told))?;
        streams.say(&total(&answer))?;
    }
    if stock.unsound() > 0 {
        let unread = count(stock.unsound(), "detail has", "details have");
        streams.say(&format!("{unread} a head that can't be read in full; `dewlap shelf list` shows which"))?;
    }
    Ok(match (complete, answer.total) {
        (false, _) => Exit::Failed,
        (true, 0) => Exit::Found,
        (true, _) => Exit::Clean,
    })
}

fn query(options: &FindArgs, deck: &Deck) -> std::result::Result<Query, Vec<Wrong>> {
    let mut wrong = Vec::new();
    let mut kept = |read: std::result::Result<Option<String>, Wrong>| {
        read.unwrap_or_else(|why| {
            wrong.push(why);
            None
        })
    };
    let joins: Vec<String> = options.joins.iter().filter_map(|kind| kept(self::kind(kind))).collect();
    let material = kept(options.material.as_deref().map(|name| material(name, deck)).transpose());
    let zone = options.zone.as_deref().map(|text| {
        let way_out = "zones are 0 to 8, 0 to 6 with a letter: `4A`; a bare number is any letter of it".to_owned();
        Zone::read(text, ZoneBasis::Written).ok_or_else(|| (format!("there is no zone `{text}`"), way_out))
    });
    match zone.transpose() {
        Ok(zone) if wrong.is_empty() => {
            Ok(Query { words: options.words.clone(), zone, status: options.status, material, joins })
        }
        Ok(_) => Err(wrong),
        Err(why) => Err(wrong.into_iter().chain([why]).collect()),
    }
}

/// A kind of surface; that of more than one will do.
fn kind(text: &str) -> std::result::Result<Option<String>, Wrong> {
    let plain = text.trim().to_lowercase();
    let known = KINDS.map(word);
    let single = plain.strip_suffix('s').unwrap_or(&plain);
    let found = known.iter().find(|kind| **kind == plain || **kind == single);
    found.map(|kind| Some((*kind).to_owned())).ok_or_else(|| {
        let near = nearest(&plain, known);
        let way_out = if near.is_empty() { one_of(&known) } else { format!("did you mean {}?", one_of(&near)) };
        (format!("`{text}` is no kind of surface"), way_out)
    })
}

/// The key of a material of the catalog, or the name of one that a detail of the shelf describes.
fn material(name: &str, deck: &Deck) -> std::result::Result<String, Wrong> {
    let own = name.trim().to_lowercase();
    let (what, near) = match catalog::material(name) {
        Lookup::Found(material) => return Ok(material.key().to_owned()),
        _ if has_material(deck, &own) => return Ok(own),
        Lookup::Ambiguous { choices, why } => (format!("`{name}`: {why}"), choices),
        Lookup::Unknown { near } if near.is_empty() => {
            (format!("nothing is known of `{name}`"), near_materials(deck, &own))
        }
        Lookup::Unknown { near } => (format!("nothing is known of `{name}`"), near),
    };
    let way_out = if near.is_empty() {
        "`dewlap materials` lists all".to_owned()
    } else {
        format!("did you mean {}?", one_of(&near))
    };
    Err((what, way_out))
}

/// That nothing was found, and what might be.
fn nothing(answer: &Answer, deck: &Deck) -> Wrong {
    let of = |words: &[String]| if words.is_empty() { String::new() } else { format!(" of {}", one_of(words)) };
    if answer.unfiltered > 0 {
        let without = count(answer.unfiltered, "detail answers", "details answer");
        return (format!("no detail{} passes all the flags", of(&answer.asked)), format!("{without} without them"));
    }
    let known: Vec<&String> = answer.asked.iter().filter(|word| !answer.unknown.contains(word)).collect();
    let what = match answer.unknown.as_slice() {
        [] if !known.is_empty() => "no detail has half of these words".to_owned(),
        unknown => format!("no detail speaks{}", of(unknown)),
    };
    let near = near_words(deck, &answer.unknown);
    let near = (!near.is_empty()).then(|| format!("words there are: {}", one_of(&near)));
    let less = (!known.is_empty()).then(|| format!("details speak of {}: ask for less", all_of(&known)));
    let way_out: Vec<String> = near.into_iter().chain(less).collect();
    let none = || "`dewlap shelf list` names all there are".to_owned();
    (what, if way_out.is_empty() { none() } else { way_out.join("; ") })
}

/// What was asked in words of which none can be looked for.
fn idle(options: &FindArgs, answer: &Answer) -> Option<String> {
    let words = options.words.iter().map(|word| word.trim()).filter(|word| !word.is_empty()).collect::<Vec<_>>();
    let idle = answer.asked.is_empty() && !words.is_empty();
    idle.then(|| format!("there is no word to look for in {}", all_of(&words)))
}

fn total(answer: &Answer) -> String {
    let shown = answer.hits.len();
    let details = count(answer.total, "detail", "details");
    if shown == answer.total {
        return details;
    }
    // Without words none is better than another.
    let which = if answer.asked.is_empty() { "first" } else { "best" };
    format!("{details}; the {which} {shown} are shown (`--most {}` shows all)", answer.total)
}
