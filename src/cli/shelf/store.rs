//! Writes the details of a shelf: one change at a time, under the lock of their folder, each whole or not at all.
//!
//! The lock is the file `.lock` of the folder. It is held from reading the old text until the new one stands, and goes
//! with the process that holds it, however that ends. The new text is written beside the old one, under one name for all
//! of a folder: what a stopped process left there is taken away by the next.
//! Not here: what is changed. Invariant: a detail is its old text or its new one, whatever stops the program; an entry
//! that was written is in every later text.

use crate::base::finding::Finding;
use crate::cli::Exit;
use crate::cli::rewrite::{fill, permissions};
use crate::cli::streams::Streams;
use crate::cli::texts::{read_file, shown};
use crate::review::Input;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

/// What is locked.
const LOCK: &str = ".lock";
/// Where a new text is written before it takes the place of the old one.
const FRESH: &str = ".dewlap-fresh";
/// How long one waits before looking at a lock again.
const PAUSE: Duration = Duration::from_millis(2);
/// How often one looks: half a minute; own choice, a change takes some milliseconds.
const LOOKS: u32 = 15_000;

/// Why nothing was written.
#[derive(Debug)]
pub enum Refused {
    /// In words: what is in the way, and what to do (may be empty).
    Words(Vec<(String, String)>),
    /// A text has problems.
    Problems(Input, Vec<Finding>),
}

impl Refused {
    /// What is in the way, and what to do.
    pub fn new(what: impl Into<String>, way_out: impl Into<String>) -> Self {
        Self::Words(vec![(what.into(), way_out.into())])
    }

    /// Tells it on standard error.
    ///
    /// # Errors
    /// Where that can't be written.
    pub fn tell(self, streams: &mut Streams) -> io::Result<Exit> {
        match self {
            Self::Words(all) => all.iter().try_for_each(|(what, way_out)| streams.trouble(what, way_out))?,
            Self::Problems(input, problems) => {
                let said = format!("{}: left as it is", input.name);
                streams.problems(input, &problems)?;
                streams.say(&said)?;
            }
        }
        Ok(Exit::Failed)
    }
}

/// A folder whose lock is held for as long as this lives.
pub struct Held {
    folder: PathBuf,
    _lock: File,
}

impl Held {
    /// Takes the lock of a folder, and takes away what a stopped process left.
    ///
    /// # Errors
    /// Where the folder can't be written to, or another process holds the lock and does not let go.
    pub fn take(folder: &Path) -> Result<Self, Refused> {
        let failed = |path: &Path, error: &io::Error| {
            Refused::new(format!("{}: {}; nothing was written", shown(path), reason(error)), "")
        };
        // The mark of a folder stops nobody who may do all; here it is kept all the same.
        let marked = cfg!(unix) && fs::metadata(folder).is_ok_and(|m| m.permissions().readonly());
        if marked {
            return Err(Refused::new(format!("{}: the folder is read-only; nothing was written", shown(folder)), ""));
        }
        let at = folder.join(LOCK);
        let lock = open(&at).map_err(|error| failed(&at, &error))?;
        wait(&lock).map_err(|error| failed(&at, &error))?;
        let left = folder.join(FRESH);
        match fs::remove_file(&left) {
            Err(error) if error.kind() != ErrorKind::NotFound => Err(failed(&left, &error)),
            _ => Ok(Self { folder: folder.to_owned(), _lock: lock }),
        }
    }

    /// Writes the text of a file in the folder, or makes the file.
    ///
    /// # Errors
    /// Where it can't; the file is then as it was.
    pub fn put(&self, file: &Path, text: &str) -> Result<(), Refused> {
        let fresh = self.folder.join(FRESH);
        self.swap(&fresh, file, text).map_err(|error| {
            // What is left of it would be taken away by the next writer too.
            let _ = fs::remove_file(&fresh);
            Refused::new(format!("{}: {}; left as it is", shown(file), reason(&error)), "")
        })
    }

    fn swap(&self, fresh: &Path, file: &Path, text: &str) -> io::Result<()> {
        let old = match permissions(file) {
            Err(error) if error.kind() == ErrorKind::NotFound => None,
            other => Some(other?),
        };
        let mut made = OpenOptions::new().write(true).create_new(true).open(fresh)?;
        fill(&mut made, text, old)?;
        drop(made);
        fs::rename(fresh, file)?;
        // The new text stands. Not every file system can be told to keep the name too.
        if cfg!(unix) {
            let _ = File::open(&self.folder).and_then(|folder| folder.sync_all());
        }
        Ok(())
    }
}

/// Changes the text of a file, or of what it links to: `work` is shown what it says under the lock, and says what it shall
/// say, and an answer. Nothing is written where that is the same.
///
/// # Errors
/// What `work` refuses, or what is in the way of reading or writing; the file is then as it was.
pub fn change<T>(path: &Path, work: impl FnOnce(&str) -> Result<(String, T), Refused>) -> Result<T, Refused> {
    let file = led_to(path);
    let held = Held::take(file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new(".")))?;
    let old = read_file(&file).map_err(|why| Refused::new(format!("{}: {why}", shown(path)), ""))?;
    let (new, answer) = work(&old)?;
    if new != old {
        held.put(&file, &new)?;
    }
    Ok(answer)
}

/// The file that a link leads to; any other path as it is.
pub fn led_to(path: &Path) -> PathBuf {
    let real = path.is_symlink().then(|| fs::canonicalize(path).ok()).flatten();
    real.unwrap_or_else(|| path.to_owned())
}

/// Opens a file to lock it; makes it where there is none. One that another user made may often only be read, which does.
fn open(path: &Path) -> io::Result<File> {
    match OpenOptions::new().write(true).create(true).truncate(false).open(path) {
        Err(error) if error.kind() == ErrorKind::PermissionDenied && path.is_file() => File::open(path),
        other => other,
    }
}

/// Waits for a lock, not forever.
fn wait(lock: &File) -> io::Result<()> {
    for _ in 0..LOOKS {
        match lock.try_lock() {
            Ok(()) => return Ok(()),
            Err(TryLockError::WouldBlock) => thread::sleep(PAUSE),
            Err(TryLockError::Error(error)) => return Err(error),
        }
    }
    Err(io::Error::other("another process holds it and does not let go"))
}

fn reason(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "no such file".to_owned(),
        ErrorKind::PermissionDenied => "may not be written (permissions)".to_owned(),
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "the disk is read-only".to_owned(),
        _ => error.to_string(),
    }
}
