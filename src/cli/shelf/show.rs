//! `shelf show`.

use super::args::ShowArgs;
use super::shelves::Shelves;
use crate::base::span::FileId;
use crate::cli::Exit;
use crate::cli::streams::Streams;
use crate::output::shelf_show::{self, Shown};
use crate::shelf::form::fingerprint;
use crate::shelf::head;
use crate::syntax::{self, ast::Stanza};
use std::io::{Result, Write};

/// Runs the command.
pub fn run(options: &ShowArgs, shelves: &Shelves, streams: &mut Streams) -> Result<Exit> {
    let name = options.detail.as_str();
    let slot = match shelves.find(name) {
        Ok(slot) => slot,
        Err(way_out) => {
            streams.trouble(&format!("no shelf has a detail `{name}`"), &way_out)?;
            return Ok(Exit::Failed);
        }
    };
    let input = match slot.read() {
        Ok(input) => input,
        Err(why) => {
            streams.trouble(&format!("`{name}` {why}"), "")?;
            return Ok(Exit::Failed);
        }
    };
    if options.text {
        streams.out.write_all(input.text.as_bytes())?;
        return Ok(Exit::Clean);
    }
    let review =
        slot.path.as_ref().map_or_else(String::new, |_| format!("`dewlap review {}` shows what is wrong", input.name));
    let Some(reading) = head::read(FileId::default(), &input.text) else {
        streams.trouble(
            &format!("`{name}` has no head"),
            "begin it with one between two lines `---`; `--text` shows it",
        )?;
        return Ok(Exit::Failed);
    };
    let Some(head) = reading.head else {
        streams.trouble(&format!("the head of `{name}` is not readable"), &review)?;
        return Ok(Exit::Failed);
    };
    let tree = syntax::parse(FileId::default(), &input.text).tree;
    let shown = Shown {
        name,
        whose: slot.whose,
        file: slot.path.as_ref().map(|_| input.name.as_str()),
        head: &head,
        form: &fingerprint(&input.text, &[]),
        detail: tree.stanzas.iter().find_map(|s| if let Stanza::Detail(detail) = s { Some(detail) } else { None }),
        text: &input.text,
    };
    let look = streams.looks.out;
    shelf_show::write(&mut streams.out, &shown, &look)?;
    if reading.problems.is_empty() {
        return Ok(Exit::Clean);
    }
    streams.trouble(&format!("the head of `{name}` is not readable in full"), &review)?;
    Ok(Exit::Failed)
}
