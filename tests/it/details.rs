//! Every detail of `details/` reviews without a finding, in the place its job names, with nothing left unjudged.

use std::fs;
use std::path::PathBuf;

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
    assert!(details.len() >= 6);
    for path in details {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.starts_with("# "), "{name} begins with what it is for");
        let done = review(vec![Input { name: name.clone(), text }], &mut |_, path| Err(format!("no {path} here")));
        let report = &done.reports[0];
        assert!(report.findings.is_empty(), "{name}: {:#?}", report.findings);
        assert!(report.not_run.is_empty(), "{name}: {:#?}", report.not_run);
        assert!(!report.surfaces.is_empty() && report.surfaces.iter().all(|s| s.u_value.is_some()), "{name}");
    }
}
