//! Reads the texts a command is asked for: files, folders, standard input, the built-in demo, and what they include.
//!
//! Invariant: a text that cannot be read is told with its path and the reason, and the others are read all the same.

use super::shelf::shelves::Shelves;
use crate::review::{Ask, Input};
use std::collections::BTreeSet;
use std::fs;
use std::io::{ErrorKind, Read};
use std::path::{Component, Path, PathBuf};
use walkdir::WalkDir;

/// Name of the built-in demo in findings.
pub const DEMO_NAME: &str = "press-room.dew";
/// The built-in demo.
pub const DEMO: &str = include_str!("../../docs/demo/press-room.dew");
/// Largest text that is read, bytes.
const LARGEST: u64 = 16 << 20;

/// A text that was asked for, and where it came from.
#[derive(Clone, Debug)]
pub struct Text {
    /// The text with its name.
    pub input: Input,
    /// Its file; none for standard input and the demo.
    pub path: Option<PathBuf>,
}

/// What could be read, and what could not: path and reason.
#[derive(Debug, Default)]
pub struct Texts {
    /// Texts in the order asked; those of a folder sorted by path.
    pub found: Vec<Text>,
    /// Path and reason.
    pub failed: Vec<(String, String)>,
}

/// Reads everything asked for; the same file is read once.
pub fn read_all(wanted: &[PathBuf], stdin_name: Option<&Path>) -> Texts {
    let mut texts = Texts::default();
    let mut seen = BTreeSet::new();
    for path in wanted {
        if path.as_os_str() == "-" {
            let name = stdin_name.map_or_else(|| "standard input".to_owned(), shown);
            texts.take(name, None, read_stdin());
        } else if path.is_dir() {
            texts.folder(path, &mut seen);
        } else if seen.insert(fs::canonicalize(path).unwrap_or_else(|_| path.clone())) {
            texts.take(shown(path), Some(path.clone()), read_file(path));
        }
    }
    texts
}

impl Texts {
    fn take(&mut self, name: String, path: Option<PathBuf>, read: Result<String, String>) {
        match read {
            Ok(text) => self.found.push(Text { input: Input { name, text }, path }),
            Err(why) => self.failed.push((name, why)),
        }
    }

    /// Every `.dew` file below a folder: sorted, hidden ones skipped, links not followed.
    fn folder(&mut self, folder: &Path, seen: &mut BTreeSet<PathBuf>) {
        let hidden = |name: &std::ffi::OsStr| name.to_string_lossy().starts_with('.');
        let walk = WalkDir::new(folder).sort_by_file_name().into_iter();
        for entry in walk.filter_entry(|e| e.depth() == 0 || !hidden(e.file_name())) {
            match entry {
                Ok(entry) => {
                    let wanted = entry.file_type().is_file() && entry.path().extension().is_some_and(|e| e == "dew");
                    let key = || fs::canonicalize(entry.path()).unwrap_or_else(|_| entry.path().to_path_buf());
                    if wanted && seen.insert(key()) {
                        self.take(shown(entry.path()), Some(entry.path().to_path_buf()), read_file(entry.path()));
                    }
                }
                Err(error) => {
                    let path = error.path().map_or_else(|| shown(folder), shown);
                    let why = error.io_error().map_or_else(|| "cannot be walked through".to_owned(), reason);
                    self.failed.push((path, why));
                }
            }
        }
    }
}

/// Fetches what `include PATH` or `file PATH` of a climate names, relative to the text it stands in.
///
/// # Errors
/// The reason in words when there is no such file or it is no text.
fn include(from: &str, written: &str) -> Result<Input, String> {
    let folder = Path::new(from).parent().unwrap_or(Path::new(""));
    let path = straight(&folder.join(written));
    let read = if is_weather(&path) { read_weather } else { read_file };
    read(&path).map(|text| Input { name: shown(&path), text })
}

/// Fetches whatever a text asks for from outside.
///
/// # Errors
/// The reason in words, and a way out.
pub fn load(from: &str, ask: Ask<'_>) -> Result<Input, String> {
    match ask {
        Ask::File(path) => include(from, path),
        Ask::Detail(name) => Shelves::round(from).detail(name),
        Ask::Revision(name, revision) => Shelves::round(from).revision(name, revision),
    }
}

/// Whether a path is that of a weather file.
pub fn is_weather(path: &Path) -> bool {
    path.extension().is_some_and(|e| e.eq_ignore_ascii_case("epw") || e.eq_ignore_ascii_case("csv"))
}

/// Reads a weather file. Many are ISO-8859-1: a byte that is no UTF-8 makes the text that.
///
/// # Errors
/// The reason in words.
pub fn read_weather(path: &Path) -> Result<String, String> {
    let bytes = read_bytes(path)?;
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        return Err("is UTF-16 text; save it as UTF-8".to_owned());
    }
    small_enough(&bytes)?;
    Ok(match String::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => error.as_bytes().iter().copied().map(char::from).collect(),
    })
}

/// Takes `.` and `NAME/..` out of a path, so that one file has one name.
fn straight(path: &Path) -> PathBuf {
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if matches!(out.components().next_back(), Some(Component::Normal(_))) => {
                out.pop();
            }
            other => out.push(other),
        }
    }
    out
}

/// A path as findings print it.
pub fn shown(path: &Path) -> String {
    let text = path.to_string_lossy();
    crate::output::json::slashes(text.strip_prefix("./").unwrap_or(&text))
}

fn read_stdin() -> Result<String, String> {
    let mut bytes = Vec::new();
    std::io::stdin().lock().take(LARGEST + 1).read_to_end(&mut bytes).map_err(|e| reason(&e))?;
    as_text(bytes)
}

/// Reads one file as text.
///
/// # Errors
/// The reason in words.
pub fn read_file(path: &Path) -> Result<String, String> {
    as_text(read_bytes(path)?)
}

fn read_bytes(path: &Path) -> Result<Vec<u8>, String> {
    if path.is_dir() {
        return Err("is a folder, not a file".to_owned());
    }
    let mut bytes = Vec::new();
    let file = fs::File::open(path).map_err(|e| reason(&e))?;
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(|e| reason(&e))?;
    Ok(bytes)
}

fn small_enough(bytes: &[u8]) -> Result<(), String> {
    if bytes.len() as u64 > LARGEST {
        return Err(format!("is larger than {} MiB", LARGEST >> 20));
    }
    Ok(())
}

pub fn as_text(bytes: Vec<u8>) -> Result<String, String> {
    small_enough(&bytes)?;
    String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        let before = e.as_bytes().iter().take(at);
        let line = before.filter(|b| **b == b'\n').count() + 1;
        let odd: Vec<String> = e.as_bytes().iter().skip(at).take(4).map(|b| format!("{b:02x}")).collect();
        format!("is not UTF-8 text: line {line}, byte {at}, where it has {} (hex); save it as UTF-8", odd.join(" "))
    })
}

/// Why something can't be read, in words.
pub fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "no such file".to_owned(),
        ErrorKind::PermissionDenied => "may not be read (permissions)".to_owned(),
        _ => error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_odd_bytes() {
        assert_eq!(straight(Path::new("a/./b/../c.dew")), Path::new("a/c.dew"));
        assert_eq!(straight(Path::new("../x/../y")), Path::new("../y"));
        assert_eq!(shown(Path::new("./a.dew")), "a.dew");
        let error = as_text(b"ok\n\xff".to_vec()).unwrap_err();
        assert!(error.contains("line 2, byte 3, where it has ff"), "{error}");
    }
}
