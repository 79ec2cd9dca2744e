//! Every detail of `details/` reviews without a finding in two places: the one its job names and the one its head names
//! beside it. Nothing is left unjudged but what an old wall's own water cannot be judged by. What a detail accepts, it
//! accepts of old walls only, and says why.

use std::fs;
use std::path::PathBuf;

use dewlap::review::report::{Accepted, NotRun, Report};
use dewlap::review::{Input, review};

fn details() -> Vec<PathBuf> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/details");
    let mut all: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    all.retain(|p| p.extension().is_some_and(|e| e == "dew"));
    all.sort();
    all
}

/// The text with the place its head names beside its own.
fn elsewhere(text: &str) -> Option<String> {
    let place = text.lines().find_map(|l| l.strip_prefix("# Also reviewed at: "))?;
    let own = text.lines().find(|l| l.trim_start().starts_with("place "))?;
    Some(text.replacen(own, &format!("  place {}", place.trim()), 1))
}

fn reviewed(name: &str, text: String) -> Report {
    let mut done = review(vec![Input { name: name.to_owned(), text }], &mut |_, path| Err(format!("no {path} here")));
    let report = done.reports.remove(0);
    // Masonry that takes up rain and gives it to the room is beyond a steady sum, and the tool says so.
    let beyond = |n: &NotRun| n.why.contains("draws water back to the room");
    assert!(report.not_run.iter().all(beyond), "{name}: {:#?}", report.not_run);
    let old = |a: &Accepted| a.finding.rule == "safety/cut-in-old-wall";
    assert!(report.accepted.iter().all(old), "{name}");
    report
}

#[test]
fn details_have_no_finding() {
    let details = details();
    assert!(details.len() >= 73);
    for path in details {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.starts_with("# "), "{name} begins with what it is for");
        let other = elsewhere(&text).unwrap_or_else(|| panic!("{name} names no second place"));
        assert_ne!(other, text, "{name}: the second place is another");
        let own = reviewed(&name, text);
        assert!(own.findings.is_empty(), "{name}: {:#?}", own.findings);
        // A deck or a porch roof has outdoors on both sides: no figure. Every detail has a side that keeps heat or rain.
        assert!(own.surfaces.iter().any(|s| s.u_value.is_some()), "{name}");
        // The code a job is held to stays its own: a place of another country than the code's is told, and is true.
        let told = reviewed(&format!("{name} at its second place"), other).findings;
        assert!(told.iter().all(|f| f.rule == "record/code-elsewhere"), "{name} at its second place: {told:#?}");
    }
}
