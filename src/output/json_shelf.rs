//! Details of the shelf as one JSON document: those listed, or those found, best first; and what kept a command of the shelf
//! from its answer. `docs/outputs.md` describes them.
//!
//! Not here: one detail in full (json_detail). Invariant: field order and meaning are fixed by the version of the other
//! documents; every document says whether it is complete, and if not, why.

use super::json::{VERSION, finish};
use super::shelf::Item;
use crate::shelf::search::Hit;
use serde::Serialize;
use std::io::{Result, Write};

/// What is wrong, and a way out (may be empty).
pub type Wrong = (String, String);

/// One thing that is wrong.
#[derive(Debug, Serialize)]
pub(super) struct ErrorJson<'a> {
    message: &'a str,
    help: Option<&'a str>,
}

#[derive(Serialize)]
struct Failed<'a> {
    version: u32,
    complete: bool,
    errors: Vec<ErrorJson<'a>>,
}

#[derive(Serialize)]
struct Document<'a> {
    version: u32,
    complete: bool,
    errors: Vec<ErrorJson<'a>>,
    total: usize,
    details: Vec<DetailJson<'a>>,
}

#[derive(Serialize)]
struct DetailJson<'a> {
    name: &'a str,
    shelf: &'static str,
    file: Option<&'a str>,
    also_on: &'a [String],
    readable: bool,
    trouble: Option<&'a str>,
    says: Option<&'a str>,
    title: Option<&'a str>,
    meets: &'a [String],
    claimed: Option<&'static str>,
    status: Option<&'static str>,
    revision: Option<u32>,
    zones: Option<&'a [String]>,
    surfaces: &'a [String],
    joins: &'a [Vec<String>],
    materials: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    found: Option<Vec<FoundJson<'a>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lacks: Option<&'a [String]>,
}

#[derive(Serialize)]
struct FoundJson<'a> {
    asked: &'a str,
    stands: &'a str,
}

/// Writes what kept a command from any answer.
pub fn failed(out: &mut dyn Write, wrong: &[Wrong]) -> Result<()> {
    finish(out, &Failed { version: VERSION, complete: false, errors: errors(wrong) })
}

/// Writes the details that are listed.
pub fn list(out: &mut dyn Write, items: &[Item], complete: bool, wrong: &[Wrong]) -> Result<()> {
    let details = items.iter().map(|item| detail(item, None)).collect();
    finish(out, &Document { version: VERSION, complete, errors: errors(wrong), total: items.len(), details })
}

/// Writes the best of `total` that answer.
pub fn found(out: &mut dyn Write, hits: &[(Hit, Item)], total: usize, complete: bool, wrong: &[Wrong]) -> Result<()> {
    let details = hits.iter().map(|(hit, item)| detail(item, Some(hit))).collect();
    finish(out, &Document { version: VERSION, complete, errors: errors(wrong), total, details })
}

pub(super) fn errors(wrong: &[Wrong]) -> Vec<ErrorJson<'_>> {
    wrong
        .iter()
        .map(|(message, help)| ErrorJson { message, help: (!help.is_empty()).then_some(help.as_str()) })
        .collect()
}

fn detail<'a>(item: &'a Item, hit: Option<&'a Hit>) -> DetailJson<'a> {
    let (card, head) = (&item.card, item.card.head.as_ref());
    let found = |hit: &'a Hit| hit.found.iter().map(|(asked, stands)| FoundJson { asked, stands }).collect();
    DetailJson {
        name: &card.name,
        shelf: item.whose,
        file: item.file.as_deref(),
        also_on: &item.also,
        readable: head.is_some(),
        trouble: card.trouble.as_deref(),
        says: card.says.as_deref(),
        title: head.map(|head| head.title.as_str()),
        meets: head.map_or(&[], |head| &head.meets),
        claimed: head.map(|head| head.claimed.word()),
        status: head.map(|head| head.status.word()),
        revision: head.map(|head| head.revision),
        zones: head.filter(|_| card.trouble.is_none()).map(|head| head.zones.as_slice()),
        surfaces: &card.surfaces,
        joins: &card.joins,
        materials: &card.materials,
        found: hit.map(found),
        lacks: hit.map(|hit| hit.lacks.as_slice()),
    }
}
