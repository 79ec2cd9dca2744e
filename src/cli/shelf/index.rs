//! The index of a shelf: what was read of its details, kept in the user's cache folder until a file changes.
//!
//! Invariant: the index decides nothing but how fast it goes: where it is missing, broken, of another version or may not be
//! written, the details are read, and the answer is the same.

use super::shelves::read_detail;
use crate::shelf::card::Card;
use crate::shelf::deck::{Deck, Draft};
use crate::shelf::form::digest;
use crate::shelf::kept::{Kept, Stamp};
use rayon::prelude::*;
use std::ffi::OsStr;
use std::fs::{self, DirEntry, Metadata};
use std::io::{Result, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

/// A file that was changed so shortly before it was looked at may change again within one tick of its clock.
const TICK: Duration = Duration::from_secs(2);
/// Bytes of the digest that names an index.
const NAME: usize = 8;

/// A detail's file as the folder lists it.
#[derive(Debug)]
struct Listed {
    name: String,
    stamp: Stamp,
}

/// Where the indexes are; none where there is no such folder.
pub fn cache() -> Option<PathBuf> {
    dirs::cache_dir().map(|folder| folder.join("dewlap"))
}

/// The details of a folder by name, with the index that `cache` has of it; and how many texts had to be read.
///
/// # Errors
/// Where the folder can't be listed.
pub fn stock(folder: &Path, cache: Option<&Path>) -> Result<(Deck, usize)> {
    let now = nanoseconds(SystemTime::now());
    let index = cache.and_then(|cache| Some((cache, file(cache, &fs::canonicalize(folder).ok()?))));
    let read = || index.as_ref().and_then(|(_, path)| Kept::from_bytes(fs::read(path).ok()?)).unwrap_or_default();
    let (listed, kept) = rayon::join(|| list(folder), read);
    let listed = listed?;
    let before = kept.stamps.len();
    let (same, other) = compare(&kept, listed);
    if other.is_empty() && same.len() == before {
        return Ok((kept.deck, 0));
    }
    let (stocked, read) = (renewed(folder, kept, &same, &other), other.len());
    let old_enough = |stamp: Stamp| stamp.changed.saturating_add(TICK.as_nanos() as u64) < now;
    let news = same.len() < before || other.iter().any(|file| old_enough(file.stamp));
    if let Some((cache, path)) = index.filter(|_| news) {
        let trusted = if stocked.stamps.iter().all(|s| old_enough(*s)) { None } else { Some(stocked.only(old_enough)) };
        // Whether it can be kept changes nothing but the time of the next run.
        let _ = write(cache, &path, &trusted.as_ref().unwrap_or(&stocked).to_bytes());
    }
    Ok((stocked.deck, read))
}

/// The cards of some texts, in their order.
pub fn drafts<T: Sync>(texts: &[T], card: impl Fn(&T) -> Card + Sync) -> Vec<Draft> {
    texts.par_iter().map(|text| Draft::of(&card(text))).collect()
}

/// The entries that are as they were, and the files that are not.
fn compare(kept: &Kept, listed: Vec<Listed>) -> (Vec<usize>, Vec<Listed>) {
    let entries = || kept.deck.entries.iter().zip(&kept.stamps).enumerate();
    let mut before = entries().peekable();
    let mut same = Vec::new();
    let mut other = Vec::new();
    for file in listed {
        while before.next_if(|(_, (entry, _))| entry.name < file.name).is_some() {}
        let as_it_was = before.next_if(|(_, (entry, stamp))| entry.name == file.name && **stamp == file.stamp);
        match as_it_was {
            Some((at, _)) => same.push(at),
            None => other.push(file),
        }
    }
    (same, other)
}

/// What was kept and is as it was, and what is read now.
fn renewed(folder: &Path, kept: Kept, same: &[usize], other: &[Listed]) -> Kept {
    let new = drafts(other, |file| {
        let read = read_detail(&folder.join(format!("{}.dew", file.name)));
        read.map_or_else(|why| Card::unreadable(&file.name, why), |text| Card::of(&file.name, &text))
    });
    let mut stamps: Vec<Stamp> = same.iter().filter_map(|at| kept.stamps.get(*at).copied()).collect();
    stamps.extend(other.iter().map(|file| file.stamp));
    let mut deck = Deck::default();
    deck.append(kept.deck, |at| same.binary_search(&at).is_ok());
    new.into_iter().for_each(|draft| deck.add(draft));
    let (deck, stamps) = deck.sorted(stamps);
    Kept { deck, stamps }
}

/// The details' files of a folder, by name.
fn list(folder: &Path) -> Result<Vec<Listed>> {
    let entries: Vec<DirEntry> = fs::read_dir(folder)?.filter_map(std::result::Result::ok).collect();
    let mut all: Vec<Listed> = entries.par_iter().filter_map(listed).collect();
    all.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(all)
}

fn listed(entry: &DirEntry) -> Option<Listed> {
    let file = entry.file_name();
    let path = Path::new(&file);
    let name = path.file_stem().filter(|_| path.extension() == Some(OsStr::new("dew")))?.to_str()?;
    // A link is as new as what it leads to.
    let linked = entry.file_type().is_ok_and(|kind| kind.is_symlink());
    let found = if linked { fs::metadata(entry.path()) } else { entry.metadata() };
    let stamp = match found {
        Ok(found) => found.is_file().then(|| stamp(&found))?,
        // A link that leads nowhere is told; it may lead somewhere at the next run.
        Err(_) if linked => Stamp { changed: u64::MAX, size: 0 },
        Err(_) => return None,
    };
    (!name.starts_with('.')).then(|| Listed { name: name.to_owned(), stamp })
}

fn stamp(found: &Metadata) -> Stamp {
    Stamp { changed: found.modified().map_or(u64::MAX, nanoseconds), size: found.len() }
}

fn nanoseconds(time: SystemTime) -> u64 {
    time.duration_since(UNIX_EPOCH).map_or(0, |since| since.as_nanos() as u64)
}

/// The index of a folder.
fn file(cache: &Path, folder: &Path) -> PathBuf {
    cache.join(format!("shelf-{}.index", digest(folder.as_os_str().as_encoded_bytes(), NAME)))
}

fn write(cache: &Path, path: &Path, bytes: &[u8]) -> Result<()> {
    fs::create_dir_all(cache)?;
    let mut file = tempfile::NamedTempFile::new_in(cache)?;
    file.write_all(bytes)?;
    file.persist(path)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs::File;
    use tempfile::TempDir;

    const TEXT: &str =
        "---\ntitle: A porch on stone\nmeets: [porch, stone]\nstatus: drawn\nrevision: 1\nsource: own\n---\n";

    /// A folder with two details that are a while old, and one for the cache.
    fn folders() -> (TempDir, TempDir) {
        let (shelf, cache) = (TempDir::new().unwrap(), TempDir::new().unwrap());
        put(&shelf, "porch", TEXT, 100);
        put(&shelf, "loft", TEXT, 100);
        (shelf, cache)
    }

    fn put(shelf: &TempDir, name: &str, text: &str, seconds_ago: u64) {
        dated(shelf, name, text, SystemTime::now() - Duration::from_secs(seconds_ago));
    }

    fn dated(shelf: &TempDir, name: &str, text: &str, when: SystemTime) {
        let path = shelf.path().join(format!("{name}.dew"));
        fs::write(&path, text).unwrap();
        File::options().append(true).open(path).unwrap().set_modified(when).unwrap();
    }

    fn taken(shelf: &TempDir, cache: &Path) -> (usize, String) {
        let (deck, read) = stock(shelf.path(), Some(cache)).unwrap();
        let title = |card: Card| format!("{}: {}", card.name, card.head.map_or(String::new(), |head| head.title));
        (read, deck.entries.iter().map(|e| title(e.card())).collect::<Vec<_>>().join(", "))
    }

    fn index(cache: &TempDir) -> PathBuf {
        fs::read_dir(cache.path()).unwrap().next().unwrap().unwrap().path()
    }

    #[test]
    fn a_second_run_reads_nothing() {
        let (shelf, cache) = folders();
        assert_eq!(taken(&shelf, cache.path()), (2, "loft: A porch on stone, porch: A porch on stone".to_owned()));
        assert_eq!(taken(&shelf, cache.path()), (0, "loft: A porch on stone, porch: A porch on stone".to_owned()));
    }

    #[test]
    fn what_changed_is_seen() {
        let (shelf, cache) = folders();
        taken(&shelf, cache.path());
        put(&shelf, "porch", &TEXT.replace("stone\nm", "brick\nm"), 90);
        assert_eq!(taken(&shelf, cache.path()), (1, "loft: A porch on stone, porch: A porch on brick".to_owned()));
        fs::remove_file(shelf.path().join("loft.dew")).unwrap();
        assert_eq!(taken(&shelf, cache.path()), (0, "porch: A porch on brick".to_owned()));
        put(&shelf, "annex", TEXT, 80);
        assert_eq!(taken(&shelf, cache.path()), (1, "annex: A porch on stone, porch: A porch on brick".to_owned()));
        assert_eq!(taken(&shelf, cache.path()).0, 0);
        let words = stock(shelf.path(), Some(cache.path())).unwrap().0.words;
        assert!(!words.contains(&"loft".to_owned()), "a word that no detail has is forgotten");
    }

    #[test]
    fn what_was_changed_just_now_is_read_again() {
        let (shelf, cache) = folders();
        // As if the run took no time.
        dated(&shelf, "porch", TEXT, SystemTime::now() + Duration::from_secs(60));
        assert_eq!(taken(&shelf, cache.path()).0, 2);
        assert_eq!(taken(&shelf, cache.path()).0, 1);
        put(&shelf, "porch", TEXT, 50);
        assert_eq!((taken(&shelf, cache.path()).0, taken(&shelf, cache.path()).0), (1, 0));
    }

    #[test]
    fn a_broken_index_is_made_anew() {
        let (shelf, cache) = folders();
        taken(&shelf, cache.path());
        for broken in [b"".as_slice(), b"dewlap shelf 2\n", b"dewlap shelf 0\nwhatever else there was"] {
            fs::write(index(&cache), broken).unwrap();
            assert_eq!((taken(&shelf, cache.path()).0, taken(&shelf, cache.path()).0), (2, 0));
        }
    }

    #[test]
    fn without_a_cache_it_only_takes_longer() {
        let (shelf, cache) = folders();
        let not_a_folder = cache.path().join("file");
        fs::write(&not_a_folder, "").unwrap();
        assert_eq!((taken(&shelf, &not_a_folder).0, taken(&shelf, &not_a_folder).0), (2, 2));
        assert_eq!(stock(shelf.path(), None).unwrap().1, 2);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_is_as_new_as_what_it_leads_to() {
        let (shelf, cache) = folders();
        let other = TempDir::new().unwrap();
        put(&other, "far", TEXT, 100);
        std::os::unix::fs::symlink(other.path().join("far.dew"), shelf.path().join("near.dew")).unwrap();
        assert_eq!((taken(&shelf, cache.path()).0, taken(&shelf, cache.path()).0), (3, 0));
        put(&other, "far", TEXT, 50);
        assert_eq!(taken(&shelf, cache.path()).0, 1);
        // One that leads nowhere is listed, and read again each time.
        fs::remove_file(other.path().join("far.dew")).unwrap();
        for _ in 0..2 {
            let (read, all) = taken(&shelf, cache.path());
            assert!(read == 1 && all.contains("near: ,"), "{read} {all}");
        }
        fs::create_dir(shelf.path().join("folder.dew")).unwrap();
        assert!(!taken(&shelf, cache.path()).1.contains("folder"));
    }
}
