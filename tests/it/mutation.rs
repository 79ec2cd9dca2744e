//! Every harmful change of a sound detail is found. Each sentence and each shape of each joint of `details/` is spoilt,
//! one at a time, and the review has to say something about it, in a family that the harm belongs to.

mod changes;
mod harmless;

use std::collections::BTreeMap;
use std::fs;

use crate::details::drawn::as_drawn;
use changes::{Change, changes};
use dewlap::base::finding::Finding;
use dewlap::review::{Input, review};
use harmless::{harmless, job};

/// Of a hundred harmful changes so many are found at least.
const FOUND: usize = 95;

fn findings(text: &str) -> Vec<Finding> {
    let input = Input { name: "detail.dew".to_string(), text: text.to_string() };
    let done = review(vec![input], &mut |_, path| Err(format!("no {path} here")));
    done.reports.into_iter().flat_map(|r| r.findings).collect()
}

/// The families in which a class of harm may be told. A change that leaves the text contradicting itself is told as that.
fn families(class: &str) -> &'static [&'static str] {
    match class {
        "`primed` removed" | "`rolled` removed" | "slack removed" => &["match", "water"],
        "seal removed" | "filler removed" | "`sealed` removed" | "`taped` removed" => {
            &["air", "water", "vapor", "heat", "match"]
        }
        "lap removed" | "lap cut to 1/4 in" | "`bonded` removed" | "`welded` removed" => {
            &["water", "air", "vapor", "heat", "match"]
        }
        "butt removed" => &["heat", "air", "dew"],
        "clearance cut to 1/8 in" | "clearance gone" => &["water", "safety", "match"],
        _ => &["water", "air"],
    }
}

fn found(change: &Change) -> bool {
    let family = |f: &Finding| f.rule.split('/').next().unwrap_or_default();
    let fits = |f: &Finding| families(change.class).contains(&family(f)) || ["record", "notation"].contains(&family(f));
    findings(&change.text).iter().any(fits)
}

/// What came of the changes of one class.
#[derive(Default)]
struct Count {
    found: usize,
    missed: usize,
    harmless: usize,
}

#[test]
fn harm_is_found() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/details");
    let mut paths: Vec<_> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.sort();
    let mut counts: BTreeMap<&str, Count> = BTreeMap::new();
    let (mut missed, mut passed) = (Vec::new(), Vec::new());
    for path in paths {
        // A change that leaves a parameter without its blank would be told as that.
        let text = as_drawn(&fs::read_to_string(&path).unwrap());
        let sound = job(&text);
        for change in changes(&text) {
            let count = counts.entry(change.class).or_default();
            let told = || {
                format!("{} {}: {}: {}", path.file_name().unwrap().display(), change.joint, change.class, change.line)
            };
            if found(&change) {
                count.found += 1;
            } else if let Some(why) = harmless(&sound, &change) {
                count.harmless += 1;
                passed.push(format!("{}: {why}", told()));
            } else {
                count.missed += 1;
                missed.push(told());
            }
        }
    }
    for (class, count) in &counts {
        eprintln!("{class}: {} found, {} missed, {} harmless", count.found, count.missed, count.harmless);
    }
    let found: usize = counts.values().map(|c| c.found).sum();
    let all = found + missed.len();
    eprintln!("{found} of {all}; {} harmless\nmissed:\n{}", passed.len(), missed.join("\n"));
    eprintln!("harmless:\n{}", passed.join("\n"));
    assert!(all >= 200, "{all} changes: the details have joints");
    assert!(found * 100 >= all * FOUND, "{found} of {all}:\n{}", missed.join("\n"));
}
