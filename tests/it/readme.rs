//! The README shows real output, and its text reviews as it says.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use dewlap::review::{Input, review};

fn readme() -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap()
}

fn blocks(text: &str, language: &str) -> Vec<String> {
    let fence = format!("```{language}\n");
    text.split(&fence).skip(1).filter_map(|rest| rest.split("\n```").next()).map(str::to_string).collect()
}

#[test]
fn what_it_prints_is_what_it_prints() {
    let shown = blocks(&readme(), "text");
    assert!(!shown.is_empty());
    for block in shown {
        let (command, expected) = block.split_once('\n').unwrap_or((&block, ""));
        let words: Vec<&str> = command.strip_prefix("$ dewlap ").expect("a command of ours").split(' ').collect();
        let run = Command::cargo_bin("dewlap")
            .unwrap()
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .args(&words)
            .output()
            .unwrap();
        let printed = String::from_utf8(run.stdout).unwrap();
        assert_eq!(printed.trim_end(), expected, "`{command}` prints something else now");
    }
}

#[test]
fn its_example_reviews_clean() {
    let shown = blocks(&readme(), "dew");
    assert_eq!(shown.len(), 1);
    let input = Input { name: "README.md".to_string(), text: shown[0].clone() };
    let done = review(vec![input], &mut |_, path| Err(path.to_string()));
    assert!(done.reports[0].findings.is_empty(), "{:#?}", done.reports[0].findings);
    assert_eq!(done.reports[0].surfaces.len(), 1);
}
