//! Every detail of `details/` reviews without a finding, in the place its job names, with nothing left unjudged. What a
//! detail accepts, it accepts of old walls only, and says why.

use std::fs;
use std::path::PathBuf;

use dewlap::review::report::Accepted;
use dewlap::review::{Input, review};

fn details() -> Vec<PathBuf> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/details");
    let mut all: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    all.retain(|p| p.extension().is_some_and(|e| e == "dew"));
    all.sort();
    all
}

#[test]
fn details_have_no_finding() {
    let details = details();
    assert!(details.len() >= 18);
    for path in details {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.starts_with("# "), "{name} begins with what it is for");
        let done = review(vec![Input { name: name.clone(), text }], &mut |_, path| Err(format!("no {path} here")));
        let report = &done.reports[0];
        assert!(report.findings.is_empty(), "{name}: {:#?}", report.findings);
        assert!(report.not_run.is_empty(), "{name}: {:#?}", report.not_run);
        // A deck or a porch roof has outdoors on both sides: no figure. Every detail has a side that keeps heat or rain.
        assert!(report.surfaces.iter().any(|s| s.u_value.is_some()), "{name}");
        let old = |a: &Accepted| a.finding.rule == "safety/cut-in-old-wall";
        assert!(report.accepted.iter().all(old), "{name}");
    }
}
