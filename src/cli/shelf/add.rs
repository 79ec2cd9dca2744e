//! `shelf add`: puts a detail on a shelf, from a file or from another shelf.
//!
//! Invariant: a text that stood there is never lost: an earlier revision is kept before the new one takes its place, and
//! no other text is replaced. Nor is what was seen: every entry of the earlier text is in the new one.

use super::args::AddArgs;
use super::shelves::{Shelf, Shelves, Stand, Whose, past};
use super::sound::Sound;
use super::store::{Held, Refused, led_to};
use crate::base::span::FileId;
use crate::cli::Exit;
use crate::cli::streams::Streams;
use crate::cli::texts::{read_file, shown};
use crate::model::detail::Head;
use crate::output::figure::count;
use crate::review::Input;
use crate::shelf::log;
use crate::shelf::record::{self, Carried};
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Longest name, bytes: file systems take 255, and `past` adds the revision; own choice.
const LONGEST: usize = 200;

/// What came of it.
enum Done {
    /// The same text stands there; how many entries that were to be added it does not have.
    There(usize),
    /// It was written, in the place of an earlier revision or of nothing.
    Written(Option<Earlier>),
}

/// An earlier revision.
struct Earlier {
    /// Which.
    revision: u32,
    /// Where it is kept.
    kept: PathBuf,
    /// What was carried over from it.
    carried: String,
}

/// Runs the command.
pub fn run(options: &AddArgs, shelves: &Shelves, streams: &mut Streams) -> io::Result<Exit> {
    match add(options, shelves) {
        Ok((path, sound, done)) => tell(&path, &sound, &done, streams),
        Err(refused) => refused.tell(streams),
    }
}

fn tell(written: &Path, sound: &Sound, done: &Done, streams: &mut Streams) -> io::Result<Exit> {
    let (path, revision, stands) = (shown(written), sound.head.revision.value, sound.stands());
    match done {
        Done::There(_) => writeln!(streams.out, "{path}: is there already: revision {revision}, {stands}")?,
        Done::Written(None) => writeln!(streams.out, "{path}: added: revision {revision}, {stands}")?,
        Done::Written(Some(Earlier { revision: earlier, kept, carried })) => {
            let kept = shown(kept);
            writeln!(
                streams.out,
                "{path}: revision {revision}, {stands}; revision {earlier} is kept as {kept}{carried}"
            )?;
        }
    }
    if let Done::There(more @ 1..) = done {
        let entries = count(*more, "entry", "entries");
        streams.say(&format!("{entries} of yours it does not have: `dewlap shelf log` writes down what was seen"))?;
    }
    if let Some(claim) = sound.claim() {
        streams.say(&claim)?;
    }
    let others = others(written);
    if !others.is_empty() {
        streams
            .say(&format!("also on: {}; the first shelf that has a name is the one that is used", others.join(", ")))?;
    }
    Ok(Exit::Clean)
}

/// The other shelves that have a detail of this name.
fn others(path: &Path) -> Vec<String> {
    let (Some(folder), Some(name)) = (path.parent(), path.file_stem().and_then(|stem| stem.to_str())) else {
        return Vec::new();
    };
    let other = Shelves::round(".").0.into_iter().filter(|shelf| !stands_in(shelf, folder));
    let having = other.filter(|shelf| Shelves(vec![shelf.clone()]).find(name).is_ok());
    having.map(|shelf| shelf.short()).collect()
}

fn add(options: &AddArgs, shelves: &Shelves) -> Result<(PathBuf, Sound, Done), Refused> {
    let folder = target(options.to.as_deref())?;
    let (stem, input) = wanted(&options.file, shelves, &folder)?;
    let sound = Sound::alone(&input)?;
    let name = sound.name.clone().unwrap_or(stem);
    plain(&name)?;
    if options.to.is_none() {
        let why = |error: io::Error| Refused::new(format!("{}: {error}", shown(&folder)), "name one: `--to FOLDER`");
        fs::create_dir_all(&folder).map_err(why)?;
    }
    let path = folder.join(format!("{name}.dew"));
    let (sound, done) = place(&folder, &name, &input, sound)?;
    Ok((path, sound, done))
}

/// The folder of the shelf that is added to.
fn target(named: Option<&Path>) -> Result<PathBuf, Refused> {
    if let Some(folder) = named {
        let there = folder.is_dir();
        let missing =
            || Refused::new(format!("{}: no such folder", shown(folder)), "make it first, or leave out `--to`");
        return there.then(|| folder.to_owned()).ok_or_else(missing);
    }
    let own = |shelf: Shelf| match shelf.stand {
        Stand::Folder(folder) if matches!(shelf.whose, Whose::Project | Whose::Yours) => Some(folder),
        _ => None,
    };
    let found = Shelves::round(".").0.into_iter().find_map(own);
    found.ok_or_else(|| Refused::new("there is no folder for a shelf of your own", "name one: `--to FOLDER`"))
}

/// The text that is to be added, and the name it has by its file.
fn wanted(file: &Path, shelves: &Shelves, folder: &Path) -> Result<(String, Input), Refused> {
    let said = shown(file);
    if file.as_os_str() == "-" {
        return Err(Refused::new("a detail needs a file", "save it, then `dewlap shelf add FILE`"));
    }
    let is_path = said.contains('/') || file.extension().is_some_and(|e| e == "dew");
    if file.is_file() || is_path {
        let text = read_file(file).map_err(|why| Refused::new(format!("{said}: {why}"), ""))?;
        let stem = file.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        return Ok((stem, Input { name: said, text }));
    }
    // The shelf itself is looked at last: a detail comes from another one.
    let (other, own): (Vec<Shelf>, Vec<Shelf>) = shelves.0.iter().cloned().partition(|shelf| !stands_in(shelf, folder));
    let slot = Shelves(other.into_iter().chain(own).collect()).find(&said);
    let slot = slot.map_err(|near| Refused::new(format!("there is no file and no detail `{said}`"), near))?;
    let input = slot.read().map_err(|why| Refused::new(format!("{said}: {why}"), ""))?;
    Ok((slot.name, input))
}

fn stands_in(shelf: &Shelf, folder: &Path) -> bool {
    let real = |path: &Path| fs::canonicalize(path).ok();
    matches!(&shelf.stand, Stand::Folder(own) if own == folder || real(own).is_some_and(|own| real(folder) == Some(own)))
}

/// Whether a name can be that of a file and of a `use`.
fn plain(name: &str) -> Result<(), Refused> {
    let fits = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    if name.starts_with(char::is_alphanumeric) && name.chars().all(fits) && name.len() <= LONGEST {
        return Ok(());
    }
    let short: String = name.chars().take(40).collect();
    let way_out = "a name is one word of letters, digits and hyphens; it may stand on a line `detail NAME`";
    Err(Refused::new(format!("`{short}` can't be the name of a detail"), way_out))
}

/// Puts a text in its place, under the lock of the folder; what it says there, with what was carried over.
fn place(folder: &Path, name: &str, input: &Input, sound: Sound) -> Result<(Sound, Done), Refused> {
    let path = folder.join(format!("{name}.dew"));
    // A link stays a link: what it leads to is written.
    let real = led_to(&path);
    let held = Held::take(real.parent().unwrap_or(folder))?;
    if !real.exists() {
        return held.put(&real, &input.text).map(|()| (sound, Done::Written(None)));
    }
    let unread = |why: String| Refused::new(format!("{}: {why}", shown(&path)), "move it away, then add again");
    let old = Input { name: shown(&path), text: read_file(&real).map_err(unread)? };
    if old.text == input.text {
        return Ok((sound, Done::There(0)));
    }
    let (head, new) = (head_of(&old)?, sound.head.revision.value);
    let earlier = head.revision.value;
    if new == earlier && record::apart(&old.text) == record::apart(&input.text) {
        let (evidence, failures) = record::missing(&sound.head, &head);
        return Ok((Sound::read(&old)?, Done::There(evidence.len() + failures.len())));
    }
    if new <= earlier {
        let what = format!("{}: revision {earlier} stands there with another text", old.name);
        return Err(Refused::new(
            what,
            format!("raise `revision: {new}` to {} in {}", earlier.saturating_add(1), input.name),
        ));
    }
    let full = |why: log::Refused| {
        Refused::new(format!("{}: the record of {}: {}", input.name, old.name, why.message), why.help)
    };
    let carried = record::carried(&head, &sound.head, &input.text).map_err(full)?;
    let told = told(&carried);
    let text = Input { name: old.name, text: carried.text };
    let sound = Sound::read(&text)?;
    let kept = past(folder, name, earlier);
    keep(&kept, &old.text)?;
    held.put(&real, &text.text)?;
    Ok((sound, Done::Written(Some(Earlier { revision: earlier, kept, carried: told }))))
}

/// What was carried over, in words; nothing where nothing was.
fn told(carried: &Carried) -> String {
    let evidence = count(carried.evidence, "entry of evidence", "entries of evidence");
    let failures = count(carried.failures, "failure", "failures");
    match (carried.evidence, carried.failures) {
        (0, 0) => String::new(),
        (_, 0) => format!("; carried over: {evidence}"),
        (0, _) => format!("; carried over: {failures}"),
        _ => format!("; carried over: {evidence}, {failures}"),
    }
}

/// The head of what stands there. It must be read in full, or an entry could be lost.
fn head_of(old: &Input) -> Result<Head, Refused> {
    let reading = crate::shelf::read(FileId::default(), &old.text);
    let head = reading.filter(|reading| reading.problems.is_empty()).and_then(|reading| reading.head);
    head.ok_or_else(|| {
        let what = format!("{}: stands there, and its head can't be read in full", old.name);
        Refused::new(what, "mend it or move it away, then add again")
    })
}

/// Keeps the text of an earlier revision.
fn keep(path: &Path, text: &str) -> Result<(), Refused> {
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder).map_err(|error| Refused::new(format!("{}: {error}", shown(folder)), ""))?;
    let held = Held::take(folder)?;
    match read_file(path) {
        Ok(kept) if kept == text => Ok(()),
        Err(_) if !path.exists() => held.put(path, text),
        _ => {
            let what = format!("{}: another text of that revision is kept there", shown(path));
            Err(Refused::new(what, "move it away, then add again"))
        }
    }
}
