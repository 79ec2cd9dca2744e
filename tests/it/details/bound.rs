//! Details round surfaces of the job's own: whatever these and their layers are called, what the detail says of them is
//! said of the job's, and it stays quiet.

use super::drawn::as_drawn;
use super::{OnShelf, details, reviewed};
use dewlap::syntax::ast::Sort;
use std::fs;

impl OnShelf {
    fn parameters(&self, fits: impl Fn(Sort) -> bool) -> Vec<&str> {
        self.line.parameters.iter().filter(|p| fits(p.sort)).map(|p| p.name.text.as_str()).collect()
    }

    fn is_of_joints(&self) -> bool {
        self.text.lines().any(|l| ["joint ", "opening ", "penetration "].iter().any(|w| l.starts_with(w)))
    }

    /// A job that has the surfaces and rooms for which the detail takes the job's own: the same under other names,
    /// their layers too, and the line that says which is which.
    fn round_own(&self) -> String {
        let surfaces = self.parameters(|sort| matches!(sort, Sort::Surface(_)));
        let rooms = self.parameters(|sort| sort == Sort::Room);
        let (mut job, mut with) = (self.job(), Vec::new());
        for name in surfaces.iter().chain(&rooms) {
            with.push(format!("{name} = {name}-here"));
        }
        for stanza in as_drawn(&self.text).split("\n\n") {
            let mut words = stanza.split_whitespace();
            let (kind, name) = (words.next().unwrap_or(""), words.next().unwrap_or(""));
            let own = if kind == "room" { &rooms } else { &surfaces };
            if !own.contains(&name) || kind == "joint" {
                continue;
            }
            job.push('\n');
            for (number, line) in stanza.lines().enumerate() {
                let word = line.split([':', ' ', ',']).find(|w| !w.is_empty()).unwrap_or("");
                let label = number > 0 && line.trim_start().starts_with(&format!("{word}:"));
                let other = match number {
                    0 => Some(name),
                    _ if label || rooms.contains(&line.trim()) => Some(word),
                    _ => None,
                };
                let line = other.map_or(line.to_owned(), |n| line.replacen(n, &format!("{n}-here"), 1));
                job.push_str(&format!("{line}\n"));
                if label {
                    with.push(format!("{name}.{word} = {word}-here"));
                }
            }
        }
        format!("{job}\nuse {} revision 1 as y with {}\n", self.name, with.join(", "))
    }
}

#[test]
fn a_joint_is_quiet_round_surfaces_of_the_job() {
    let mut bound = 0;
    for detail in details().iter().filter(|d| d.is_of_joints()) {
        let own = detail.parameters(|sort| !sort.is_blank());
        assert!(!own.is_empty(), "{} takes no surface of a job", detail.name);
        for place in detail.places() {
            let report = detail.is_quiet(&format!("{} round its own", detail.name), &detail.round_own(), place);
            assert!(report.details.iter().any(|d| d.name == detail.name && d.form.is_none()), "{}", detail.name);
        }
        bound += 1;
    }
    assert!(bound >= 40, "{bound} details of joints");
}

/// Jobs that are built otherwise than what the details draw round themselves.
const BUILT_OTHERWISE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/own-walls");

#[test]
fn a_joint_is_quiet_round_another_build() {
    let mut used = 0;
    for entry in fs::read_dir(BUILT_OTHERWISE).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let report = reviewed(&name, fs::read_to_string(&path).unwrap());
        assert!(report.findings.is_empty(), "{name}: {:#?}", report.findings);
        used += report.details.len();
    }
    assert!(used >= 7, "{used} details in jobs");
}
