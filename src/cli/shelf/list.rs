//! `shelf list`: what the shelves have.
//!
//! Not here: reading the details (stock). Invariant: what can't be read is listed as such, and makes the answer incomplete.

use super::args::ListArgs;
use super::shelves::Shelves;
use super::stock::Stock;
use crate::cli::Exit;
use crate::cli::streams::Streams;
use crate::output::figure::count;
use crate::output::{json_shelf, shelf};
use std::io::Result;

/// Runs the command.
pub fn run(options: &ListArgs, shelves: &Shelves, streams: &mut Streams) -> Result<Exit> {
    let stock = Stock::of(shelves);
    let complete = told(&stock, streams)?;
    let wanted = |at: &usize| {
        let status = stock.deck.entries.get(*at).and_then(|entry| entry.status);
        options.status.is_none_or(|wanted| status == Some(wanted))
    };
    let items: Vec<_> = (0..stock.deck.entries.len()).filter(wanted).filter_map(|at| stock.item(at)).collect();
    if options.json {
        json_shelf::list(&mut streams.out, &items, complete, &stock.failed)?;
    } else {
        let look = streams.looks.out;
        shelf::list(&mut streams.out, &items, &look)?;
        if stock.failed.is_empty() || !items.is_empty() {
            streams.say(&total(&items, options))?;
        }
    }
    Ok(if complete { Exit::Clean } else { Exit::Failed })
}

/// Tells which shelves can't be read; whether all that they have could be.
pub fn told(stock: &Stock, streams: &mut Streams) -> Result<bool> {
    stock.failed.iter().try_for_each(|(what, way_out)| streams.trouble(what, way_out))?;
    Ok(stock.failed.is_empty() && stock.unsound() == 0)
}

fn total(items: &[shelf::Item], options: &ListArgs) -> String {
    match options.status {
        Some(status) if items.is_empty() => return format!("no detail is borne out as {}", status.word()),
        None if items.is_empty() => {
            return "no detail is on the shelf; `dewlap shelf add FILE` puts one there".to_owned();
        }
        _ => {}
    }
    let mut shelves: Vec<&str> = items.iter().map(|item| item.shelf.as_str()).collect();
    shelves.dedup();
    let details = count(items.len(), "detail", "details");
    let status = options.status.map_or_else(String::new, |status| format!(" borne out as {}", status.word()));
    let unread = items.iter().filter(|item| item.card.head.is_none()).count();
    let unread = if unread == 0 { String::new() } else { format!("; {unread} not readable") };
    format!("{details}{status} on {}{unread}", count(shelves.len(), "shelf", "shelves"))
}
