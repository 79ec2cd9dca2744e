//! The order of work as it is printed, and the command that prints it.

use assert_cmd::Command;
use dewlap::output::look::Look;
use dewlap::output::order::write;
use dewlap::review::Input;
use dewlap::review::order::order;

const GOOD: &str = include_str!("../data/good-joints.dew");

fn good(part: usize) -> &'static str {
    GOOD.split("\n# ---").nth(part).unwrap().split_once('\n').unwrap().1
}

/// A creamery's low roof with three flashings, each under the next.
fn circle() -> String {
    let surfaces = good(1).split("\njoint ").next().unwrap();
    format!(
        "{surfaces}\njoint round \"Each under the next\"\n  joins house face, low high\n  step:  zinc\n  cap:   zinc\n  \
         strip: felt\n  step laps over cap 3 in\n  cap laps over strip 3 in\n  strip laps over step 3 in\n  \
         upper membrane laps over step 4 in\n"
    )
}

fn printed(text: &str, joint: &str, look: &Look) -> String {
    let input = Input { name: "tie.dew".to_string(), text: text.to_string() };
    let ordered = order(input, &mut |_, path| Err(format!("no {path}")), Some(joint));
    let mut out = Vec::new();
    ordered.found.iter().for_each(|j| write(&mut out, &ordered, j, look).unwrap());
    String::from_utf8(out).unwrap()
}

#[test]
fn the_order_at_80_columns() {
    insta::assert_snapshot!(printed(good(0), "barn-tie", &Look::default()));
}

#[test]
fn the_order_in_sentences() {
    insta::assert_snapshot!(printed(good(1), "kitchen", &Look { plain: true, width: 60, ..Look::default() }));
}

#[test]
fn a_circle_at_40_columns() {
    insta::assert_snapshot!(printed(&circle(), "round", &Look { width: 40, ..Look::default() }));
}

#[test]
fn no_line_is_wider_than_asked_for() {
    for width in [40, 53, 80, 120] {
        for part in 0..4 {
            let input = Input { name: "tie.dew".to_string(), text: good(part).to_string() };
            let ordered = order(input, &mut |_, path| Err(format!("no {path}")), None);
            let mut out = Vec::new();
            let look = Look { width, ..Look::default() };
            ordered.found.iter().for_each(|j| write(&mut out, &ordered, j, &look).unwrap());
            let out = String::from_utf8(out).unwrap();
            assert!(out.lines().all(|l| l.chars().count() <= width), "{width}: {out}");
        }
    }
}

/// Exit code and both streams.
fn ran(words: &[&str]) -> (i32, String, String) {
    let folder = tempfile::TempDir::new().unwrap();
    std::fs::write(folder.path().join("tie.dew"), good(0)).unwrap();
    std::fs::write(folder.path().join("circle.dew"), circle()).unwrap();
    let mut command = Command::cargo_bin("dewlap").unwrap();
    let done = command.current_dir(folder.path()).env_clear().arg("order").args(words).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (done.status.code().unwrap(), text(done.stdout), text(done.stderr))
}

#[test]
fn the_command_takes_a_joint_and_a_file_in_any_order() {
    let there = ran(&["barn-tie", "tie.dew"]);
    assert_eq!(there.0, 0, "{there:?}");
    assert!(there.1.contains("`strip`"));
    assert_eq!(ran(&["tie.dew", "barn-tie"]), there);
    assert_eq!(ran(&["tie.dew"]), there, "the one joint there is");
    let circle = ran(&["round", "circle.dew"]);
    assert_eq!(circle.0, 1);
    assert!(circle.1.contains("cannot be built"));
    let slip = ran(&["barn-tye", "tie.dew"]);
    assert_eq!((slip.0, slip.1.as_str()), (2, ""));
    assert!(slip.2.contains("did you mean `barn-tie`?"), "{}", slip.2);
    let two = ran(&["barn-tie", "kitchen", "tie.dew"]);
    assert!(two.0 == 2 && two.2.contains("`kitchen` is a second joint"), "{two:?}");
}
