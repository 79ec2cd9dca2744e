//! Spoilt details: whatever stands in one, reviewing it and using it ends, and every place that is told lies in its text.

use std::fs;

use dewlap::base::source::Sources;
use dewlap::review::report::Report;
use proptest::prelude::*;

use super::{JOB, done};

/// What is put in: signs that mean something to heads, blanks, parameters and sentences.
const SIGNS: &[&str] = &[
    "<",
    ">",
    "<lap>",
    "(",
    ")",
    ",",
    "=",
    ":",
    "\"",
    "#",
    "-",
    "---\n",
    "\n",
    "\n  ",
    "detail x(",
    "use y as z with a = b",
    "é",
    "\u{feff}",
    "\t",
    "\r\n",
    "0",
    "1/2 in",
    " laps over ",
    "[",
    "&a",
    "*a",
    "wall ",
    "joint ",
    ".",
    "..",
];

fn texts() -> Vec<String> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/details");
    let mut paths: Vec<_> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "dew"));
    paths.sort();
    paths.iter().map(|p| fs::read_to_string(p).unwrap()).collect()
}

fn spoilt(mut text: String, edits: &[(usize, usize, usize)]) -> String {
    for (at, cut, sign) in edits {
        let start = text.floor_char_boundary(at % (text.len() + 1));
        let end = text.floor_char_boundary((start + cut).min(text.len()));
        text.replace_range(start..end, SIGNS[sign % SIGNS.len()]);
    }
    text
}

fn places_lie_in_the_text(sources: &Sources, report: &Report) {
    for finding in &report.findings {
        for label in finding.others.iter().chain([&finding.primary]) {
            let text = sources.get(label.span.file).expect("a text of this review").text();
            let range = label.span.range();
            assert!(text.get(range.clone()).is_some(), "{range:?} of {}: {finding:?}", text.len());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_spoilt_detail_is_told_and_ends(
        which in 0usize..1000,
        edits in prop::collection::vec((0usize..20_000, 0usize..12, 0usize..100), 1..6),
        with in "[a-z.<> =,0-9]{0,20}",
    ) {
        let texts = texts();
        let text = spoilt(texts[which % texts.len()].clone(), &edits);
        let own = done(&text, &[]);
        places_lie_in_the_text(&own.sources, &own.reports[0]);
        let job = format!("{JOB}use d revision 1 as lake with lap = 2 in, {with}\nuse d as yard\n");
        let used = done(&job, &[("d", &text)]);
        places_lie_in_the_text(&used.sources, &used.reports[0]);
    }
}
