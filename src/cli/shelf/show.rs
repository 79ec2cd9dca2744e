//! `shelf show`.

use super::args::ShowArgs;
use super::shelves::Shelves;
use crate::base::span::FileId;
use crate::cli::Exit;
use crate::cli::streams::Streams;
use crate::output::shelf_show::{self, Shown};
use crate::shelf;
use crate::shelf::form::fingerprint;
use crate::syntax::{self, ast::Stanza};
use std::io::{Result, Write};

/// Runs the command.
pub fn run(options: &ShowArgs, shelves: &Shelves, streams: &mut Streams) -> Result<Exit> {
    let name = options.detail.as_str();
    let Some(input) = super::text(shelves, name, streams)? else { return Ok(Exit::Failed) };
    if options.text {
        streams.out.write_all(input.text.as_bytes())?;
        return Ok(Exit::Clean);
    }
    let slot = shelves.find(name).ok();
    let file = slot.as_ref().filter(|slot| slot.path.is_some()).map(|_| input.name.as_str());
    let review = file.map_or_else(String::new, |file| format!("`dewlap review {file}` shows what is wrong"));
    let Some(reading) = shelf::read(FileId::default(), &input.text) else {
        let way_out = "begin it with one between two lines `---`; `--text` shows it as it stands";
        streams.trouble(&format!("`{name}` has no head"), way_out)?;
        return Ok(Exit::Failed);
    };
    let Some(head) = reading.head else {
        streams.trouble(&format!("the head of `{name}` is not readable"), &review)?;
        return Ok(Exit::Failed);
    };
    let tree = syntax::parse(FileId::default(), &input.text).tree;
    let shown = Shown {
        name,
        whose: slot.as_ref().map_or("", |slot| slot.whose),
        file,
        head: &head,
        sound: reading.problems.is_empty(),
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
