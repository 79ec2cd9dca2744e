//! The embedded materials and the ways to find one.
//!
//! Invariant: start-up reads no YAML; an entry is read when it is first asked for, and once.

use std::sync::OnceLock;

use serde::Deserialize;

use super::entries::{self, Entry};
use super::material::{Curves, Material};
use super::name::{self, Lookup};
use super::ranges::{self, KINDS};
use super::schema::Row;

/// The data files: one a trade group, entries in any order.
static FILES: &[(&str, &str)] = &[
    ("batts", include_str!("data/materials/batts.yaml")),
    ("blocks", include_str!("data/materials/blocks.yaml")),
    ("brick-and-block", include_str!("data/materials/brick-and-block.yaml")),
    ("concrete-and-ground", include_str!("data/materials/concrete-and-ground.yaml")),
    ("fiber-and-mineral-boards", include_str!("data/materials/fiber-and-mineral-boards.yaml")),
    ("fills-and-foams", include_str!("data/materials/fills-and-foams.yaml")),
    ("foam-boards", include_str!("data/materials/foam-boards.yaml")),
    ("linings", include_str!("data/materials/linings.yaml")),
    ("lumber", include_str!("data/materials/lumber.yaml")),
    ("made-pieces", include_str!("data/materials/made-pieces.yaml")),
    ("membranes", include_str!("data/materials/membranes.yaml")),
    ("metals", include_str!("data/materials/metals.yaml")),
    ("paints", include_str!("data/materials/paints.yaml")),
    ("papers-and-foils", include_str!("data/materials/papers-and-foils.yaml")),
    ("plasters", include_str!("data/materials/plasters.yaml")),
    ("roof-and-ground-sheets", include_str!("data/materials/roof-and-ground-sheets.yaml")),
    ("roofing", include_str!("data/materials/roofing.yaml")),
    ("seals", include_str!("data/materials/seals.yaml")),
    ("siding", include_str!("data/materials/siding.yaml")),
    ("stone-and-earth", include_str!("data/materials/stone-and-earth.yaml")),
    ("wood-panels", include_str!("data/materials/wood-panels.yaml")),
];

/// Names that cover things too different to choose between.
static AMBIGUOUS: &str = include_str!("data/ambiguous.yaml");

struct Slot {
    entry: Entry,
    file: &'static str,
    read: OnceLock<Result<Material, String>>,
}

/// All entries in the order of the files. A look-up walks them: sorting the names first would cost more than it saves.
fn slots() -> &'static [Slot] {
    static SLOTS: OnceLock<Vec<Slot>> = OnceLock::new();
    SLOTS.get_or_init(|| {
        FILES
            .iter()
            .flat_map(|(file, text)| entries::split(text).into_iter().map(|entry| (*file, entry)))
            .map(|(file, entry)| Slot { entry, file, read: OnceLock::new() })
            .collect()
    })
}

/// All entries, sorted by key.
fn sorted() -> Vec<&'static Slot> {
    let mut all: Vec<&Slot> = slots().iter().collect();
    all.sort_unstable_by_key(|s| s.entry.key);
    all
}

impl Slot {
    fn material(&self) -> Result<&Material, &str> {
        self.read.get_or_init(|| parse(self.entry.key, self.entry.body)).as_ref().map_err(String::as_str)
    }
}

fn parse(key: &'static str, body: &str) -> Result<Material, String> {
    let row: Row = serde_yaml::from_str(body).map_err(|e| e.to_string())?;
    if let Some(fault) = ranges::fault(&row) {
        return Err(fault);
    }
    let curves = Curves::of(&row).ok_or("points that do not rise, or without the figure they belong to")?;
    Ok(Material { key, row, curves, groups: OnceLock::new() })
}

/// The material of a key or alias. Case, spaces for hyphens and British spelling make no difference. A name that covers
/// a tight and an open product is ambiguous.
pub fn material(name: &str) -> Lookup<&'static Material> {
    let name = name::normal(name);
    let by_key = slots().iter().find(|s| s.entry.key == name);
    let slot = by_key.or_else(|| slots().iter().find(|s| s.entry.is_alias(&name)));
    if let Some(Ok(material)) = slot.map(Slot::material) {
        return Lookup::Found(material);
    }
    if let Some(refusal) = ambiguous().iter().find(|a| a.name == name) {
        let choices = refusal.row.choices.iter().map(String::as_str).collect();
        return Lookup::Ambiguous { choices, why: &refusal.row.why };
    }
    let known: Vec<(&'static str, &'static str)> = slots()
        .iter()
        .map(|slot| &slot.entry)
        .flat_map(|entry| entry.aliases().chain([entry.key]).map(|name| (name, entry.key)))
        .collect();
    Lookup::Unknown { near: name::near_keys(&name, &known) }
}

/// The paint of `painted PAINT`: a material of the kind `paint`, named with or without the word.
pub fn paint(name: &str) -> Lookup<&'static Material> {
    let plain = name::normal(name);
    for candidate in [plain.clone(), format!("{plain}-paint")] {
        match material(&candidate) {
            Lookup::Found(found) if found.kind() == "paint" => return Lookup::Found(found),
            refusal @ Lookup::Ambiguous { .. } => return refusal,
            Lookup::Found(_) | Lookup::Unknown { .. } => {}
        }
    }
    let paints: Vec<(&'static str, &'static str)> =
        slots().iter().filter(|s| s.entry.kind == "paint").map(|s| (s.entry.key, s.entry.key)).collect();
    Lookup::Unknown { near: name::near_keys(&plain, &paints) }
}

/// All materials, sorted by key. Reads every entry.
pub fn materials() -> impl Iterator<Item = &'static Material> {
    sorted().into_iter().filter_map(|slot| slot.material().ok())
}

/// The names of all materials, sorted. Reads no entry.
pub fn material_keys() -> impl Iterator<Item = &'static str> {
    sorted().into_iter().map(|slot| slot.entry.key)
}

/// The materials of one kind, sorted by key.
pub fn materials_of_kind(kind: &str) -> Vec<&'static Material> {
    sorted().into_iter().filter(|s| s.entry.kind == kind).filter_map(|s| s.material().ok()).collect()
}

/// The words that `unknown KIND` takes, in alphabetical order.
pub fn material_kinds() -> impl Iterator<Item = &'static str> {
    KINDS.iter().map(|k| k.name)
}

/// Materials that answer to all of some words, best first: by key, then by a further name, then by kind or description.
pub fn search_materials(words: &str) -> Vec<&'static Material> {
    let words: Vec<String> = words.split_whitespace().map(name::normal).collect();
    let mut hits: Vec<(usize, &Slot)> = slots()
        .iter()
        .filter_map(|slot| {
            let ranks: Option<Vec<usize>> = words.iter().map(|word| rank(&slot.entry, word)).collect();
            Some((ranks?.into_iter().sum(), slot))
        })
        .collect();
    hits.sort_by_key(|(rank, slot)| (*rank, slot.entry.key));
    hits.into_iter().filter_map(|(_, slot)| slot.material().ok()).collect()
}

/// How well an entry answers to one word: 0 is best, none is not at all.
fn rank(entry: &Entry, word: &str) -> Option<usize> {
    let steps: [bool; 5] = [
        entry.key == word,
        entry.key.split('-').any(|part| part == word),
        entry.key.contains(word),
        entry.aliases().any(|alias| alias.contains(word)),
        entry.kind.contains(word) || entry.what.to_lowercase().contains(word),
    ];
    steps.iter().position(|hit| *hit)
}

/// One refused name.
struct Refusal {
    name: &'static str,
    row: RefusalRow,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RefusalRow {
    choices: Vec<String>,
    why: String,
}

fn ambiguous() -> &'static [Refusal] {
    static REFUSALS: OnceLock<Vec<Refusal>> = OnceLock::new();
    REFUSALS.get_or_init(|| {
        let read = |entry: Entry| serde_yaml::from_str(entry.body).ok().map(|row| Refusal { name: entry.key, row });
        entries::split(AMBIGUOUS).into_iter().filter_map(read).collect()
    })
}

/// What is wrong with the embedded data, one line a fault, `file: key: what`. Reads every entry.
pub fn faults() -> Vec<String> {
    slots()
        .iter()
        .filter_map(|s| s.material().err().map(|fault| format!("{}: {}: {fault}", s.file, s.entry.key)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_entry_is_swallowed() {
        for (file, text) in FILES.iter().chain([&("ambiguous", AMBIGUOUS)]) {
            let keys = text.lines().filter(|line| !line.is_empty() && !line.starts_with([' ', '#'])).count();
            let entries = entries::split(text);
            assert_eq!(entries.len(), keys, "{file}");
            assert!(
                entries.iter().all(|e| *file == "ambiguous" || !(e.what.is_empty() || e.kind.is_empty())),
                "{file}"
            );
        }
        assert_eq!(ambiguous().len(), entries::split(AMBIGUOUS).len());
    }
}
