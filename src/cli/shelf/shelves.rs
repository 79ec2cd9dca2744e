//! The shelves, in the order they are searched: the project's own `details/`, the user's, shared ones, the one that comes
//! with the program.
//!
//! Invariant: the first shelf that has a detail of a name has it; nothing is written here.

use crate::base::near;
use crate::cli::texts::{self, read_file, shown};
use crate::review::Input;
use rust_embed::RustEmbed;
use std::fs::{self, DirEntry};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// The folder a project keeps its details in.
pub const FOLDER: &str = "details";
/// The folder in a shelf where earlier revisions are kept.
const PAST: &str = "past";
/// Names the shared shelves: folders, parted as in `PATH`.
pub const SHARED: &str = "DEWLAP_SHELF";

/// Whose a shelf is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whose {
    /// Of the project that the text lies in.
    Project,
    /// The user's own.
    Yours,
    /// Named by [`SHARED`].
    Shared,
    /// Comes with the program.
    Shipped,
    /// Named by the command.
    Named,
}

impl Whose {
    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Project => "project",
            Self::Yours => "yours",
            Self::Shared => "shared",
            Self::Shipped => "shipped",
            Self::Named => "named",
        }
    }
}

/// What is wrong, and a way out.
pub type Wrong = (String, String);

/// The details that come with the program.
#[derive(RustEmbed)]
#[folder = "details/"]
#[include = "*.dew"]
#[exclude = "past/*"]
struct Shipped;

/// Where a shelf stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stand {
    /// In a folder.
    Folder(PathBuf),
    /// In the program.
    Shipped,
}

/// One shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shelf {
    /// Whose it is.
    pub whose: Whose,
    /// Where it stands.
    pub stand: Stand,
}

/// A detail's file on a shelf, not yet read.
#[derive(Clone, Debug)]
pub struct Slot {
    /// The detail's name: that of its file.
    pub name: String,
    /// Its file; none for one that comes with the program.
    pub path: Option<PathBuf>,
    /// On whose shelf.
    pub whose: Whose,
}

/// Shelves in the order they are searched.
#[derive(Clone, Debug)]
pub struct Shelves(pub Vec<Shelf>);

impl Shelves {
    /// Those round a text, or round a folder where its name is that of one.
    pub fn round(from: &str) -> Self {
        let own = project(Path::new(from)).map(|folder| Shelf { whose: Whose::Project, stand: Stand::Folder(folder) });
        let yours = yours().map(|folder| Shelf { whose: Whose::Yours, stand: Stand::Folder(folder) });
        let shared = std::env::var_os(SHARED).unwrap_or_default();
        let shared = std::env::split_paths(&shared).filter(|p| !p.as_os_str().is_empty()).collect::<Vec<_>>();
        let shared = shared.into_iter().map(|folder| Shelf { whose: Whose::Shared, stand: Stand::Folder(folder) });
        let shipped = Shelf { whose: Whose::Shipped, stand: Stand::Shipped };
        Self(own.into_iter().chain(yours).chain(shared).chain([shipped]).collect())
    }

    /// Those that a command names, or those round the current folder.
    pub fn named(folders: &[PathBuf]) -> Self {
        if folders.is_empty() {
            return Self::round(".");
        }
        let named = |folder: &PathBuf| Shelf { whose: Whose::Named, stand: Stand::Folder(folder.clone()) };
        Self(folders.iter().map(named).collect())
    }

    /// Every detail, by shelf and name; a name that an earlier shelf has hides the later one.
    pub fn slots(&self) -> Vec<Slot> {
        let mut seen = std::collections::HashSet::new();
        let all = self.0.iter().flat_map(Shelf::slots);
        all.filter(|slot| seen.insert(slot.name.clone())).collect()
    }

    /// The detail of a name.
    ///
    /// # Errors
    /// In words, with near names, where no shelf has it or it can't be read.
    pub fn find(&self, name: &str) -> Result<Slot, String> {
        let plain = !name.contains(['/', '\\']) && !name.starts_with('.');
        let found = plain.then(|| self.0.iter().find_map(|shelf| shelf.slot(name))).flatten();
        found.ok_or_else(|| {
            let names: Vec<String> = self.slots().into_iter().map(|slot| slot.name).collect();
            let near = near::nearest(name, names.iter().map(String::as_str));
            if near.is_empty() {
                "`dewlap shelf list` names the details; `dewlap shelf find WORDS` looks for one".to_owned()
            } else {
                format!("did you mean {}?", near::one_of(&near))
            }
        })
    }

    /// The text of a detail.
    ///
    /// # Errors
    /// See [`Shelves::find`].
    pub fn detail(&self, name: &str) -> Result<Input, String> {
        self.find(name)?.read()
    }

    /// The text of an earlier revision.
    ///
    /// # Errors
    /// In words, where no shelf has kept it.
    pub fn revision(&self, name: &str, revision: u32) -> Result<Input, String> {
        let kept = self.0.iter().filter_map(|shelf| shelf.past(name, revision)).find(|path| path.is_file());
        let path = kept.ok_or_else(|| format!("no shelf has kept revision {revision} of `{name}`"))?;
        read_file(&path).map(|text| Input { name: shown(&path), text })
    }
}

impl Shelf {
    /// Its details, sorted by name.
    pub fn slots(&self) -> Vec<Slot> {
        let whose = self.whose;
        let mut all: Vec<Slot> = match &self.stand {
            Stand::Folder(folder) => {
                let files = fs::read_dir(folder).into_iter().flatten().flatten();
                files.filter(is_detail).filter_map(|entry| slot_of(entry.path(), whose)).collect()
            }
            Stand::Shipped => Shipped::iter()
                .filter_map(|file| file.strip_suffix(".dew").map(str::to_owned))
                .filter(|name| !name.contains('/'))
                .map(|name| Slot { name, path: None, whose })
                .collect(),
        };
        all.sort_by(|a, b| a.name.cmp(&b.name));
        all
    }

    /// Why its details can't be listed, and a way out. That nobody named its folder, and it is not there, is no trouble.
    pub fn trouble(&self) -> Option<Wrong> {
        let Stand::Folder(folder) = &self.stand else { return None };
        let error = fs::read_dir(folder).err()?;
        let why = match error.kind() {
            ErrorKind::NotFound if matches!(self.whose, Whose::Project | Whose::Yours) => return None,
            ErrorKind::NotFound => "no such folder".to_owned(),
            ErrorKind::NotADirectory => "is no folder".to_owned(),
            _ => texts::reason(&error),
        };
        let way_out = match self.whose {
            Whose::Named => "name the folder that the details lie in: `--shelf FOLDER`".to_owned(),
            Whose::Shared => format!("mend {SHARED}: it names folders that details lie in"),
            _ => "a shelf is a folder that you may read".to_owned(),
        };
        Some((format!("{}: {why}", shown(folder)), way_out))
    }

    /// The same in a word; its folder where there may be several of the kind.
    pub fn short(&self) -> String {
        match (&self.stand, self.whose) {
            (Stand::Folder(folder), Whose::Named | Whose::Shared) => shown(folder),
            _ => self.whose.word().to_owned(),
        }
    }

    /// What it is called where its details are listed.
    pub fn title(&self) -> String {
        match (&self.stand, self.whose) {
            (Stand::Shipped, _) => "shipped with dewlap".to_owned(),
            (Stand::Folder(_), Whose::Yours) => self.whose.word().to_owned(),
            (Stand::Folder(folder), Whose::Named) => shown(folder),
            (Stand::Folder(folder), whose) => format!("{}: {}", whose.word(), shown(folder)),
        }
    }

    fn slot(&self, name: &str) -> Option<Slot> {
        let file = format!("{name}.dew");
        let slot = |path| Slot { name: name.to_owned(), path, whose: self.whose };
        match &self.stand {
            Stand::Folder(folder) => {
                Some(folder.join(file)).filter(|p| p.is_file() || leads_nowhere(p)).map(|path| slot(Some(path)))
            }
            Stand::Shipped => Shipped::get(&file).map(|_| slot(None)),
        }
    }

    /// Where it keeps an earlier revision; none where it can't.
    pub fn past(&self, name: &str, revision: u32) -> Option<PathBuf> {
        match &self.stand {
            Stand::Folder(folder) => Some(past(folder, name, revision)),
            Stand::Shipped => None,
        }
    }
}

/// Where a folder keeps an earlier revision of a detail.
pub fn past(folder: &Path, name: &str, revision: u32) -> PathBuf {
    folder.join(PAST).join(format!("{name}.r{revision}.dew"))
}

/// Whether an entry of a folder may be a detail: a file, or a link that leads to one, or nowhere: that is told.
fn is_detail(entry: &DirEntry) -> bool {
    entry.file_type().is_ok_and(|kind| kind.is_file() || kind.is_symlink() && !entry.path().is_dir())
}

fn leads_nowhere(path: &Path) -> bool {
    path.is_symlink() && !path.exists()
}

/// The text of a detail's file.
///
/// # Errors
/// The reason in words.
pub fn read_detail(path: &Path) -> Result<String, String> {
    read_file(path).map_err(|why| if leads_nowhere(path) { "is a link that leads nowhere".to_owned() } else { why })
}

fn slot_of(path: PathBuf, whose: Whose) -> Option<Slot> {
    let dew = path.extension().is_some_and(|e| e == "dew");
    let name = path.file_stem()?.to_str()?.to_owned();
    let hidden = name.starts_with('.');
    (dew && !hidden).then_some(Slot { name, path: Some(path), whose })
}

impl Slot {
    /// Its text.
    ///
    /// # Errors
    /// The reason in words.
    pub fn read(&self) -> Result<Input, String> {
        match &self.path {
            Some(path) => read_detail(path).map(|text| Input { name: shown(path), text }),
            None => {
                let file = Shipped::get(&format!("{}.dew", self.name)).ok_or("is not there any more")?;
                let text = texts::as_text(file.data.into_owned())?;
                Ok(Input { name: format!("shipped/{}.dew", self.name), text })
            }
        }
    }
}

/// The folder `details` beside a text, or beside one of the folders it lies in; the text may lie in it itself.
fn project(from: &Path) -> Option<PathBuf> {
    let start = if from.is_dir() { Some(from) } else { from.parent() };
    let full = fs::canonicalize(start.filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."))).ok()?;
    let beside = |p: &Path| if p.ends_with(FOLDER) { p.to_path_buf() } else { p.join(FOLDER) };
    let folder = full.ancestors().map(beside).find(|p| p.is_dir())?;
    // A path below the current folder is shorter to read.
    let here = fs::canonicalize(".").ok()?;
    Some(folder.strip_prefix(here).map(Path::to_path_buf).unwrap_or(folder))
}

/// The folder of the user's own shelf.
pub fn yours() -> Option<PathBuf> {
    dirs::data_dir().map(|folder| folder.join("dewlap").join(FOLDER))
}
