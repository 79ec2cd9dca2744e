//! The command: where the yard is looked for, what can't be done, exit codes.

use super::{COLD, WARM};
use crate::cli::folder;
use assert_cmd::Command;
use std::fs;
use tempfile::TempDir;

fn run(folder: &TempDir, words: &[&str]) -> (i32, String, String) {
    let mut command = Command::cargo_bin("dewlap").unwrap();
    let done = command.current_dir(folder.path()).env_clear().arg("swap").args(words).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    (done.status.code().unwrap(), text(done.stdout), text(done.stderr))
}

#[test]
fn the_yard_is_looked_for_beside_the_job_and_here() {
    let board = "- what: wood-fiber-board 2 in\n";
    let at = folder(&[("jobs/lake.dew", WARM), ("jobs/yard.yaml", board), ("loft.yaml", "- what: poly\n")]);
    let (code, out, _) = run(&at, &["jobs/lake.dew", "lake.outboard"]);
    assert!(code == 0 && out.contains("1. wood-fiber-board 2 in (yard, sound)"), "{out}");
    let (code, out, _) = run(&at, &["jobs/lake.dew", "lake.outboard", "--yard", "loft.yaml"]);
    assert!(code == 1 && out.contains("nothing serves") && out.contains("stopped: 1"), "{out}");
    fs::rename(at.path().join("jobs/yard.yaml"), at.path().join("yard.yaml")).unwrap();
    let (code, out, _) = run(&at, &["jobs/lake.dew", "lake.outboard"]);
    assert!(code == 0 && out.contains("(yard, sound)"), "{out}");
    fs::remove_file(at.path().join("yard.yaml")).unwrap();
    let (code, out, told) = run(&at, &["jobs/lake.dew", "lake.outboard"]);
    assert!(code == 2 && out.is_empty() && told.contains("`--all` tries the catalog"), "{told}");
    let (code, out, _) = run(&at, &["jobs/lake.dew", "lake.outboard", "--all"]);
    assert!(code == 0 && out.contains("(catalog)") && !out.contains("asbestos"), "{out}");
}

#[test]
fn every_mistake_of_a_yard_is_told_where_it_stands() {
    let yard = "- what: plywood 5/8\n  stat: wet\n- what: osb\n  covers: 3 ft\n";
    let at = folder(&[("lake.dew", COLD), ("yard.yaml", yard)]);
    let (code, out, told) = run(&at, &["lake.dew", "lake.sheathing"]);
    assert!(code == 2 && out.is_empty(), "{out}");
    for place in ["yard.yaml:1:17", "yard.yaml:2:3", "yard.yaml:4:11", "did you mean `state`?", "nothing was tried"] {
        assert!(told.contains(place), "{place}: {told}");
    }
    let (code, _, told) = run(&at, &["lake.dew", "lake.sheathing", "--yard", "none.yaml"]);
    assert!(code == 2 && told.contains("none.yaml: no such file"), "{told}");
}

#[test]
fn asked_for_a_document_it_writes_one_whatever_comes() {
    let at = folder(&[("lake.dew", COLD), ("yard.yaml", "- what: plywood 5/8\n- what: osb\n  covers: 3 ft\n")]);
    let document = |words: &[&str]| -> serde_json::Value {
        let (code, out, told) = run(&at, &[words, &["--json"]].concat());
        assert!(code == 2 && !told.is_empty(), "{words:?}: {code} {told}");
        let json: serde_json::Value = serde_json::from_str(&out).unwrap();
        assert_eq!(
            (&json["complete"], &json["slot"], &json["serves"]),
            (&false.into(), &().into(), &serde_json::json!([]))
        );
        json
    };
    let problems = document(&["lake.dew", "lake.sheathing"])["problems"].clone();
    assert_eq!(problems.as_array().unwrap().len(), 2);
    assert_eq!((&problems[1]["file"], &problems[1]["line"]), (&"yard.yaml".into(), &3.into()));
    assert_eq!(document(&["lake.dew", "lake.sheathing", "--yard", "no.yaml"])["unreadable"][0]["file"], "no.yaml");
    assert_eq!(document(&["sea.dew", "lake.sheathing"])["unreadable"][0]["file"], "sea.dew");
    assert_eq!(document(&["lake.dew", "lake.x", "--yard", "lake.dew"])["serves"], serde_json::json!([]));
    fs::write(at.path().join("yard.yaml"), "\u{feff}- what: osb\n").unwrap();
    assert!(document(&["lake.dew", "lake.x"])["refused"]["what"].as_str().unwrap().contains("`x`"));
    assert_eq!(run(&at, &["lake.dew", "lake.sheathing"]).0, 0);
}

#[test]
fn a_text_that_could_not_be_read_in_full_is_said() {
    let at = folder(&[("lake.dew", &format!("{COLD}\nwal north\n")), ("yard.yaml", "- what: osb\n")]);
    let (code, _, told) = run(&at, &["lake.dew", "lake.sheathing"]);
    assert!(code == 2 && told.contains("could not be read in full"), "{told}");
    let (code, _, told) = run(&at, &["lake.dew", "lake.gable"]);
    assert!(code == 2 && told.contains("no layer of `lake` is called `gable`"), "{told}");
}
