//! `shelf show`.
//!
//! Invariant: what can't be read of a head is told beside the rest, and makes the answer incomplete.

use super::args::ShowArgs;
use super::shelves::{Shelves, Slot, Wrong};
use crate::base::span::FileId;
use crate::cli::Exit;
use crate::cli::streams::Streams;
use crate::output::json_detail;
use crate::output::shelf_show::{self, Shown};
use crate::review::Input;
use crate::shelf::form::fingerprint;
use crate::syntax;
use std::io::{Result, Write};

/// Runs the command.
pub fn run(options: &ShowArgs, shelves: &Shelves, streams: &mut Streams) -> Result<Exit> {
    match super::found(shelves, &options.detail) {
        Ok((_, input)) if options.text => {
            streams.out.write_all(input.text.as_bytes())?;
            Ok(Exit::Clean)
        }
        Ok((slot, input)) => show(&slot, &input, options.json, streams),
        Err(wrong) => super::refused(&[wrong], options.json, streams),
    }
}

fn show(slot: &Slot, input: &Input, json: bool, streams: &mut Streams) -> Result<Exit> {
    let (name, file) = (slot.name.as_str(), slot.path.is_some().then_some(input.name.as_str()));
    let Some(reading) = crate::shelf::read(FileId::default(), &input.text) else {
        let way_out = "begin it with one between two lines `---`; `--text` shows it as it stands";
        let way_out = crate::shelf::begun_late(&input.text).unwrap_or(way_out);
        return super::refused(&[(format!("`{name}` has no head"), way_out.to_owned())], json, streams);
    };
    let review = file.map_or_else(String::new, |file| format!("`dewlap review {file}` shows what is wrong"));
    let Some(head) = reading.head else {
        return super::refused(&[(format!("the head of `{name}` is not readable"), review)], json, streams);
    };
    let wrong: Vec<Wrong> = match reading.problems.is_empty() {
        true => Vec::new(),
        false => vec![(format!("the head of `{name}` is not readable in full"), review)],
    };
    let tree = syntax::parse(FileId::default(), &input.text).tree;
    let shown = Shown {
        name,
        whose: slot.whose.word(),
        file,
        head: &head,
        sound: wrong.is_empty(),
        form: &fingerprint(&input.text, &[]),
        detail: tree.detail(),
        text: &input.text,
    };
    let look = streams.looks.out;
    if json {
        json_detail::write(&mut streams.out, &shown, &wrong)?;
    } else {
        shelf_show::write(&mut streams.out, &shown, &look)?;
    }
    wrong.iter().try_for_each(|(what, way_out)| streams.trouble(what, way_out))?;
    Ok(if wrong.is_empty() { Exit::Clean } else { Exit::Failed })
}
