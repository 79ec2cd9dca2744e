//! The house rules that a machine can hold: floors, single importers, sizes, module comments.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Floors from the ground up; a module imports only from floors below its own.
const FLOORS: &[(&str, u8)] = &[
    ("base", 0),
    ("syntax", 1),
    ("physics", 1),
    ("catalog", 1),
    ("weather", 1),
    ("model", 2),
    ("graph", 3),
    ("shelf", 3),
    ("rules", 4),
    ("review", 5),
    ("output", 6),
    ("cli", 7),
];

/// Each big dependency and the floor that knows it; YAML is read by two, each its own files.
const IMPORTERS: &[(&str, &str)] = &[
    ("nom::", "syntax"),
    ("petgraph::", "graph"),
    ("serde_yaml::", "catalog shelf"),
    ("miette::", "output"),
    ("clap::", "cli"),
    ("csv::", "weather"),
    ("jiff::", "shelf cli"),
    ("sha2::", "shelf"),
    ("rust_embed::", "cli"),
];

/// Only the edges touch files, environment and clock.
const EDGES: &[&str] = &["std::fs", "std::env", "std::net", "SystemTime", "Instant::now", "std::process"];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &Path, ending: &str, out: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            files(&path, ending, out);
        } else if path.to_string_lossy().ends_with(ending) {
            out.push(path);
        }
    }
}

/// Every source file with its floor's name (the folder below `src`, or the file itself) and its text.
fn sources() -> Vec<(PathBuf, String, String)> {
    let src = root().join("src");
    let mut paths = Vec::new();
    files(&src, ".rs", &mut paths);
    paths.sort();
    assert!(paths.len() > 80, "only {} source files found", paths.len());
    paths
        .into_iter()
        .map(|path| {
            let below = path.strip_prefix(&src).unwrap();
            let floor = below.components().next().unwrap().as_os_str().to_string_lossy().replace(".rs", "");
            let text = fs::read_to_string(&path).unwrap();
            (path, floor, text)
        })
        .collect()
}

/// The text without comments and without its test module.
fn code(text: &str) -> String {
    let end = text.find("#[cfg(test)]\nmod tests").unwrap_or(text.len());
    text[..end].lines().filter(|l| !l.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

#[test]
fn a_module_imports_only_from_floors_below() {
    let floors: BTreeMap<&str, u8> = FLOORS.iter().copied().collect();
    let mut faults = Vec::new();
    for (path, floor, text) in sources() {
        let Some(own) = floors.get(floor.as_str()) else { continue };
        let code = code(&text);
        for (other, height) in FLOORS {
            let names = code.contains(&format!("crate::{other}::"))
                || code.contains(&format!("crate::{other};"))
                || code.contains(&format!("use crate::{{{other}"));
            if names && *other != floor && height >= own {
                faults.push(format!("{} imports {other}", path.display()));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_folder_is_a_floor() {
    let known: Vec<&str> = FLOORS.iter().map(|(f, _)| *f).chain(["lib", "main"]).collect();
    let stray: Vec<String> = sources()
        .into_iter()
        .filter(|(_, f, _)| !known.contains(&f.as_str()))
        .map(|(p, ..)| p.display().to_string())
        .collect();
    assert!(stray.is_empty(), "{stray:?}");
}

#[test]
fn each_big_dependency_is_known_to_one_floor() {
    let mut faults = Vec::new();
    for (path, floor, text) in sources() {
        let code = code(&text);
        for (name, only) in IMPORTERS {
            if code.contains(name) && !only.split(' ').any(|f| f == floor) {
                faults.push(format!("{} names {name}", path.display()));
            }
        }
        if floor != "cli" && floor != "main" {
            faults.extend(EDGES.iter().filter(|e| code.contains(*e)).map(|e| format!("{} uses {e}", path.display())));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_file_opens_with_a_module_comment() {
    let bare: Vec<String> = sources()
        .into_iter()
        .filter(|(_, _, t)| !t.starts_with("//! "))
        .map(|(p, ..)| p.display().to_string())
        .collect();
    assert!(bare.is_empty(), "{bare:?}");
}

#[test]
fn files_can_be_read_at_a_sitting() {
    let mut lengths: Vec<(usize, PathBuf)> = sources().into_iter().map(|(p, _, t)| (t.lines().count(), p)).collect();
    lengths.sort();
    let (longest, path) = lengths.last().unwrap();
    assert!(*longest <= 600, "{} has {longest} lines", path.display());
    let median = lengths[lengths.len() / 2].0;
    assert!(median <= 150, "the median file has {median} lines");
}

#[test]
fn functions_are_short() {
    let mut lengths = Vec::new();
    for (path, _, text) in sources() {
        let mut open: Option<(usize, usize, String)> = None;
        for (number, line) in text.lines().enumerate() {
            let indent = line.len() - line.trim_start().len();
            let head = line.trim_start();
            let starts = ["fn ", "pub fn ", "pub(super) fn ", "pub(crate) fn ", "pub const fn ", "const fn "];
            if open.is_none() && starts.iter().any(|s| head.starts_with(s)) {
                open = Some((number, indent, format!("{}:{}", path.display(), number + 1)));
            }
            if let Some((start, depth, name)) = &open
                && (line == format!("{}}}", " ".repeat(*depth)) || (number == *start && head.ends_with('}')))
            {
                lengths.push((number - start + 1, name.clone()));
                open = None;
            }
        }
    }
    assert!(lengths.len() > 400, "only {} functions found", lengths.len());
    let long: Vec<&(usize, String)> = lengths.iter().filter(|(n, _)| *n > 50).collect();
    assert!(
        long.len() * 20 <= lengths.len(),
        "{} of {} functions are over 50 lines: {long:?}",
        long.len(),
        lengths.len()
    );
}

#[test]
fn the_top_level_is_what_was_agreed() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "src",
        "details",
        "tests",
        "docs",
        "target",
    ];
    let stray: Vec<String> = fs::read_dir(root())
        .unwrap()
        .flatten()
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .filter(|n| !n.starts_with('.') && !allowed.contains(&n.as_str()))
        .collect();
    assert!(stray.is_empty(), "{stray:?}");
}

/// Documented public function or constant of `physics` with no word on where it comes from.
#[test]
fn physics_names_its_sources() {
    let mut faults = Vec::new();
    for (path, floor, text) in sources() {
        if floor != "physics" {
            continue;
        }
        let lines: Vec<&str> = text.lines().collect();
        for (number, line) in lines.iter().enumerate() {
            let formula =
                line.starts_with("pub fn ") || line.starts_with("pub const fn ") || line.starts_with("pub const ");
            if !formula {
                continue;
            }
            let doc: Vec<&str> = lines[..number]
                .iter()
                .rev()
                .take_while(|l| l.starts_with("///") || l.starts_with("#["))
                .copied()
                .collect();
            let doc = doc.join("\n").to_lowercase();
            let sourced = ["# source", "iso", "ashrae", "din", "memory", "definition", "by nature", "our own"];
            if !sourced.iter().any(|s| doc.contains(s)) {
                faults.push(format!("{}:{}: {line}", path.display(), number + 1));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
