//! `tidy`: puts files into the usual form, in place.
//!
//! Invariant: a text with problems is left as it is; a file that is tidy already is not written.

use super::args::TidyArgs;
use super::rewrite::rewrite;
use super::shelf::store::{self, Refused};
use super::streams::Streams;
use super::texts::{self, Text};
use super::{Exit, review};
use crate::base::finding::Finding;
use crate::output::figure::count;
use crate::review::Input;
use crate::syntax;
use std::io::{Result, Write};
use std::path::Path;

/// What came of one text.
enum Outcome {
    /// It was tidy.
    Same,
    /// It was put into form, or would be.
    Changed,
    /// It could not be.
    Failed,
}

/// Runs the command.
pub fn run(options: &TidyArgs, streams: &mut Streams) -> Result<Exit> {
    let texts = texts::read_all(&options.files, None);
    let mut failed = !review::told(&texts, streams)?.is_empty();
    if texts.found.is_empty() && !failed {
        streams.trouble("no .dew file there", "name a file, a folder that holds .dew files, or `-`")?;
        return Ok(Exit::Failed);
    }
    let (mut changed, all) = (0, texts.found.len());
    let only_stdin = texts.found.iter().all(|t| t.path.is_none());
    for text in texts.found {
        match one(&text, options.check, streams)? {
            Outcome::Same => {}
            Outcome::Changed => changed += 1,
            Outcome::Failed => failed = true,
        }
    }
    if !only_stdin {
        let verb = if options.check { "would change" } else { "changed" };
        streams.say(&format!("{changed} of {} {verb}", count(all, "file", "files")))?;
    }
    Ok(match (failed, options.check && changed > 0) {
        (true, _) => Exit::Failed,
        (false, true) => Exit::Found,
        (false, false) => Exit::Clean,
    })
}

fn one(text: &Text, check: bool, streams: &mut Streams) -> Result<Outcome> {
    let tidied = match syntax::tidy(&text.input.text) {
        Ok(tidied) => tidied,
        Err(problems) => {
            left_alone(text, problems, streams)?;
            return Ok(Outcome::Failed);
        }
    };
    let same = tidied == text.input.text;
    match &text.path {
        None if !check => streams.out.write_all(tidied.as_bytes())?,
        _ if check && !same => writeln!(streams.out, "{}", text.input.name)?,
        Some(path) if !same => {
            if let Err(refused) = save(text, path, &tidied) {
                refused.tell(streams)?;
                return Ok(Outcome::Failed);
            }
        }
        _ => {}
    }
    Ok(if same { Outcome::Same } else { Outcome::Changed })
}

/// Writes a text that was tidied. A detail may have got an entry meanwhile: it is tidied from what it says under the lock.
fn save(text: &Text, path: &Path, tidied: &str) -> std::result::Result<(), Refused> {
    let name = &text.input.name;
    if syntax::head::cut(tidied).is_none() {
        return rewrite(path, tidied).map_err(|error| Refused::new(format!("{name}: {error}; left as it is"), ""));
    }
    store::change(path, |now| {
        let input = || Input { name: name.clone(), text: now.to_owned() };
        let tidied = syntax::tidy(now).map_err(|problems| Refused::Problems(input(), problems))?;
        Ok((tidied, ()))
    })
}

/// Shows the problems of a text that is left as it is. Standard input is passed through, so that an editor that puts the
/// answer in place of the text loses nothing.
fn left_alone(text: &Text, problems: Vec<Finding>, streams: &mut Streams) -> Result<()> {
    if text.path.is_none() {
        streams.out.write_all(text.input.text.as_bytes())?;
    }
    Refused::Problems(text.input.clone(), problems).tell(streams).map(|_| ())
}
