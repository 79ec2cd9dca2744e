//! A control layer followed round a job, as it is printed, and the command that prints it.

use assert_cmd::Command;
use dewlap::graph::plane::Agent;
use dewlap::output::look::Look;
use dewlap::output::trace::write;
use dewlap::review::Input;
use dewlap::review::trace::trace;

const DEMO: &str = include_str!("../../docs/demo/press-room.dew");

fn printed(agent: Agent, joint: Option<&str>, look: &Look) -> String {
    let input = Input { name: "demo.dew".to_string(), text: DEMO.to_string() };
    let traced = trace(input, &mut |_, path| Err(format!("no {path}")), &[agent], joint);
    let mut out = Vec::new();
    traced.layers.iter().for_each(|layer| write(&mut out, &traced, layer, look).unwrap());
    String::from_utf8(out).unwrap()
}

#[test]
fn air_round_the_demo_at_60_columns() {
    insta::assert_snapshot!(printed(Agent::Air, None, &Look { width: 60, ..Look::default() }));
}

#[test]
fn lines_against_rain_at_40_columns() {
    insta::assert_snapshot!(printed(Agent::Water, Some("barn-tie"), &Look { width: 40, ..Look::default() }));
}

#[test]
fn no_line_is_wider_than_asked_for() {
    for width in [40, 60, 80] {
        for agent in Agent::ALL {
            let text = printed(agent, None, &Look { width, ..Look::default() });
            assert!(text.lines().all(|l| l.chars().count() <= width), "{} at {width}:\n{text}", agent.word());
        }
    }
}

fn run(words: &[&str]) -> (i32, String, String) {
    let done = Command::cargo_bin("dewlap").unwrap().arg("trace").args(words).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    (done.status.code().unwrap(), text(done.stdout), text(done.stderr))
}

#[test]
fn words_come_in_any_order() {
    let (code, one, _) = run(&["air", "corner"]);
    let (_, other, _) = run(&["corner", "AIR"]);
    assert_eq!((code, &one), (1, &other));
    assert!(one.contains("lifts: each side is closed, but at different depths"), "{one}");
    let (clean, whole, _) = run(&["air", "barn-tie"]);
    assert!(clean == 0 && whole.contains("goes on: `membrane` - `strip` - `stone`"), "{whole}");
}

#[test]
fn a_name_that_is_not_there_is_answered_with_the_nearest() {
    let (code, out, told) = run(&["air", "cornr"]);
    assert!(code == 2 && out.is_empty() && told.contains("did you mean `corner`?"), "{told}");
    let (code, _, told) = run(&["hatch", "duct"]);
    assert!(code == 2 && told.contains("`duct` is a second joint"), "{told}");
}
