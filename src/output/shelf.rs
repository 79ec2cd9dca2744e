//! Details of the shelf as they are listed: name, status as borne out, zones, title; and what of a question was found.
//!
//! Not here: one detail in full (shelf_show). Invariant: a status that the evidence does not bear out is never shown alone.

use super::clean::{clean_line, one_line};
use super::look::{Ink, Look};
use super::wrap::{columns, hang, pad};
use crate::shelf::card::{Card, CardHead};
use crate::shelf::search::Hit;
use std::io::{Result, Write};

/// A detail on a shelf.
#[derive(Clone, Debug)]
pub struct Item {
    /// What is listed.
    pub card: Card,
    /// Whose shelf: `project`, `yours`, `shared`, `shipped` or `named`.
    pub whose: &'static str,
    /// What the shelf is called where its details are listed.
    pub shelf: String,
    /// The same in a word.
    pub short: String,
    /// Its file; none for one that comes with the program.
    pub file: Option<String>,
    /// Later shelves that have one of this name too.
    pub also: Vec<String>,
}

/// Widest name that the facts stand beside.
const NAME: usize = 30;
/// Columns that facts take at least.
const FACTS: usize = 24;

/// Writes details by shelf; they come in the order of the shelves.
pub fn list(out: &mut dyn Write, items: &[Item], look: &Look) -> Result<()> {
    let mut shelf = "";
    let width = names(items.iter());
    for item in items {
        if item.shelf != shelf {
            if !shelf.is_empty() {
                writeln!(out)?;
            }
            shelf = &item.shelf;
            let title = if look.plain { format!("Shelf {shelf}.") } else { shelf.to_owned() };
            heading(out, look, "", &title)?;
        }
        one(out, item, "  ", width, look)?;
    }
    Ok(())
}

/// Writes what was found, best first.
pub fn found(out: &mut dyn Write, hits: &[(Hit, Item)], look: &Look) -> Result<()> {
    let width = names(hits.iter().map(|(_, item)| item));
    for (at, (hit, item)) in hits.iter().enumerate() {
        one(out, item, &format!("{:>2}. ", at + 1), width, look)?;
        let text = [matched(hit), format!("shelf: {}", clean_line(&item.short))];
        let text: Vec<&str> = text.iter().map(String::as_str).filter(|text| !text.is_empty()).collect();
        hang(out, look, "      ", 6, &sentence(&text.join("; "), look))?;
    }
    Ok(())
}

/// The words that were found, those with a slip as they stand; and those that were not.
fn matched(hit: &Hit) -> String {
    let as_found = |(asked, stands): &(String, String)| {
        if stands.starts_with(asked.as_str()) || asked.strip_suffix('s') == Some(stands) {
            clean_line(asked).into_owned()
        } else {
            format!("{}: {}", clean_line(asked), clean_line(stands))
        }
    };
    let found: Vec<String> = hit.found.iter().map(as_found).collect();
    let mut text = if found.is_empty() { String::new() } else { format!("has {}", found.join(", ")) };
    if !hit.lacks.is_empty() {
        text.push_str(&format!("; lacks {}", clean_line(&hit.lacks.join(", "))));
    }
    text
}

fn names<'i>(items: impl Iterator<Item = &'i Item>) -> usize {
    items.map(|item| columns(&clean_line(&item.card.name))).filter(|width| *width <= NAME).max().unwrap_or(0)
}

fn one(out: &mut dyn Write, item: &Item, lead: &str, width: usize, look: &Look) -> Result<()> {
    let (card, name) = (&item.card, clean_line(&item.card.name));
    let facts = facts(item);
    let indent = lead.len() + width + 2;
    if look.plain {
        let title = card.head.as_ref().map_or_else(String::new, |head| format!(" {}", ended(&one_line(&head.title))));
        hang(out, look, lead, lead.len(), &format!("Detail {name}: {facts}.{title}"))?;
    } else {
        if columns(&name) <= width && look.width >= indent + FACTS {
            hang(
                out,
                look,
                &format!("{lead}{}  ", pad(&look.paint(Ink::Head, &name), padding(look, &name, width))),
                indent,
                &facts,
            )?;
        } else {
            heading(out, look, lead, &name)?;
            hang(out, look, "      ", 6, &facts)?;
        }
        if let Some(head) = &card.head {
            hang(out, look, "      ", 6, &one_line(&head.title))?;
        }
    }
    let says = card.says.as_ref().map(|says| format!("its own line says `{}`", clean_line(says)));
    let trouble = card.trouble.as_ref().map(|why| trouble(item, why));
    let mut all = says.into_iter().chain(trouble);
    all.try_for_each(|told| hang(out, look, "      ", 6, &sentence(&told, look)))
}

/// A heading in its color; one that is wider than there is room for goes on below, without.
fn heading(out: &mut dyn Write, look: &Look, lead: &str, text: &str) -> Result<()> {
    let text = clean_line(text);
    if lead.len() + columns(&text) <= look.width {
        return writeln!(out, "{lead}{}", look.paint(Ink::Head, &text));
    }
    hang(out, look, lead, lead.len(), &text)
}

/// The width to pad a painted name to: its escape sequences take no columns.
fn padding(look: &Look, name: &str, width: usize) -> usize {
    width + columns(&look.paint(Ink::Head, name)) - columns(name)
}

fn facts(item: &Item) -> String {
    let mut facts = match &item.card.head {
        Some(head) if !item.card.zones_are_known() => format!("{}, zones not known", status(head)),
        Some(head) => format!("{}, {}", status(head), zones(&head.zones)),
        None => "not readable".to_owned(),
    };
    if !item.also.is_empty() {
        facts.push_str(&format!("; also on: {}", item.also.join(", ")));
    }
    facts
}

/// The status as borne out; where more is claimed, that too.
pub fn status(head: &CardHead) -> String {
    let (status, claimed) = (head.status.word(), head.claimed.word());
    if status == claimed { status.to_owned() } else { format!("{status} (says {claimed})") }
}

/// "zone 4A", "zones 4A, 5", "any zone".
pub fn zones(zones: &[String]) -> String {
    match zones {
        [] => "any zone".to_owned(),
        [one] => format!("zone {one}"),
        more => format!("zones {}", more.join(", ")),
    }
}

/// What is wrong with a head, and where to look.
fn trouble(item: &Item, why: &str) -> String {
    let what = if item.card.head.is_some() { "a mistake in its head: " } else { "" };
    let way_out =
        item.file.as_ref().map_or_else(String::new, |file| format!("; see `dewlap review {}`", clean_line(file)));
    format!("{what}{}{way_out}", one_line(why))
}

/// A full stop where whole sentences are asked for.
pub fn sentence(text: &str, look: &Look) -> String {
    if look.plain { ended(&capital(text)) } else { text.to_owned() }
}

fn ended(text: &str) -> String {
    if text.ends_with(['.', '!', '?']) { text.to_owned() } else { format!("{text}.") }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
