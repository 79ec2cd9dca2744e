//! `shelf log`: writes down what was seen of a detail where it was built, or how it failed.
//!
//! Not here: how an entry is worked into a head. Invariant: an entry is kept with the fingerprint of the detail as it
//! stands under the lock; what the head claims is left to its keeper.

use super::args::LogArgs;
use super::entry::Entry;
use super::shelves::{Shelves, Slot, Whose};
use super::sound::Sound;
use super::store::{self, Refused};
use crate::cli::Exit;
use crate::cli::streams::Streams;
use crate::cli::texts::shown;
use crate::review::Input;
use crate::shelf::log;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Runs the command.
pub fn run(options: &LogArgs, shelves: &Shelves, streams: &mut Streams) -> io::Result<Exit> {
    match write(options, shelves) {
        Ok((path, entry, sound)) => tell(&path, &entry, &sound, options.photo.as_deref(), streams),
        Err(refused) => refused.tell(streams),
    }
}

fn tell(path: &Path, entry: &Entry, sound: &Sound, photo: Option<&str>, streams: &mut Streams) -> io::Result<Exit> {
    writeln!(streams.out, "{}: written down: {}; {}", shown(path), entry.told(), sound.stands())?;
    let photo = photo.map(|photo| path.parent().unwrap_or(Path::new("")).join(photo));
    if let Some(missing) = photo.filter(|photo| !photo.is_file()) {
        streams.say(&format!("the photo is not there yet: put it at {}", shown(&missing)))?;
    }
    if entry.speaks_against() {
        streams.say("a form that failed stands as `reviewed` at most; a cure is a change, and makes another form")?;
    }
    if let Some(claim) = sound.claim() {
        streams.say(&claim)?;
    }
    Ok(Exit::Clean)
}

/// Writes the entry; where, which, and the detail as it stands now.
fn write(options: &LogArgs, shelves: &Shelves) -> Result<(PathBuf, Entry, Sound), Refused> {
    let name = &options.detail;
    let none = |near| Refused::new(format!("there is no detail `{name}` on the shelf"), near);
    let slot = shelves.find(name).map_err(none)?;
    let Some(path) = slot.path.clone() else {
        let what = format!("`{name}` comes with the program, where nothing can be written");
        return Err(on_your_own(Refused::new(what, ""), &slot));
    };
    let entry = Entry::of(options)?;
    let done = store::change(&path, |text| {
        let input = |text: &str| Input { name: shown(&path), text: text.to_owned() };
        let entry = entry.of_form(Sound::read(&input(text))?.form);
        let refused = |why: log::Refused| Refused::new(format!("{}: {}", shown(&path), why.message), why.help);
        let new = entry.put_into(text).map_err(refused)?;
        let sound = Sound::read(&input(&new))?;
        Ok((new, (entry, sound)))
    });
    let (entry, sound) = done.map_err(|refused| on_your_own(refused, &slot))?;
    Ok((path, entry, sound))
}

/// A way out where the shelf is not one's own.
fn on_your_own(refused: Refused, slot: &Slot) -> Refused {
    let foreign = matches!(slot.whose, Whose::Shipped | Whose::Shared);
    match refused {
        Refused::Words(all) if foreign => {
            let way_out = format!("`dewlap shelf add {}` copies it to your shelf; log it there", slot.name);
            let filled = |(what, own): (String, String)| (what, if own.is_empty() { way_out.clone() } else { own });
            Refused::Words(all.into_iter().map(filled).collect())
        }
        other => other,
    }
}
