//! How it is printed, at each width and in sentences, and the document.

use super::*;
use dewlap::output::json_swap;

const DEMO_YARD: &str = include_str!("../../../docs/demo/yard.yaml");

fn printed(target: &str, all: bool, look: &Look) -> String {
    page(&tried(DEMO, target, DEMO_YARD, all).unwrap(), all, look)
}

#[test]
fn the_yard_of_the_demo_at_80_columns() {
    insta::assert_snapshot!(printed("south.sheathing", false, &Look::default()));
}

#[test]
fn the_yard_of_the_demo_at_40_columns() {
    insta::assert_snapshot!(printed("south.sheathing", false, &Look { width: 40, ..Look::default() }));
}

#[test]
fn the_yard_of_the_demo_in_sentences() {
    insta::assert_snapshot!(printed("east.outboard", false, &Look { plain: true, ..Look::default() }));
}

#[test]
fn no_line_is_wider_than_asked_for_and_the_whole_catalog_is_no_wall_of_text() {
    for target in ["east.outboard", "east.membrane"] {
        let done = tried(DEMO, target, DEMO_YARD, true).unwrap();
        for width in [40, 60, 80] {
            let text = page(&done, true, &Look { width, ascii: true, ..Look::default() });
            assert!(text.lines().all(|l| l.chars().count() <= width), "{target} at {width}:\n{text}");
            assert!(text.is_ascii() && text.lines().count() < 400, "{target} at {width}:\n{text}");
        }
    }
}

#[test]
fn color_moves_nothing() {
    let plain = printed("south.sheathing", false, &Look::default());
    let colored = printed("south.sheathing", false, &Look { color: true, ..Look::default() });
    let mut bare = String::new();
    for (index, part) in colored.split("\u{1b}[").enumerate() {
        bare.push_str(if index == 0 { part } else { part.split_once('m').unwrap().1 });
    }
    assert_eq!(bare, plain);
    assert!(colored.len() > plain.len());
}

#[test]
fn json_has_them_all() {
    let done = tried(DEMO, "east.sheathing", DEMO_YARD, true).unwrap();
    let mut out = Vec::new();
    json_swap::write(&mut out, &done).unwrap();
    let json: serde_json::Value = serde_json::from_slice(&out).unwrap();
    assert_eq!(json["serves"].as_array().unwrap().len(), done.serves.len());
    let lists = ["serves", "loses_much", "other_kind", "cannot_tell", "stopped", "left_out"];
    let counted = lists.map(|k| json[k].as_array().unwrap().len());
    assert_eq!(counted.iter().sum::<usize>(), 302 + 11);
    assert_eq!(json["slot"]["thickness"], 0.0127);
    assert_eq!((&json["unreadable"], &json["refused"]), (&serde_json::json!([]), &serde_json::Value::Null));
    let first = &json["serves"][0];
    assert_eq!(
        (&first["kind"], &first["nearness"], &first["loses_much"]),
        (&"panels".into(), &"same".into(), &false.into())
    );
    assert_eq!(json["other_kind"][0]["nearness"], "other");
    assert!(first["name"].is_string() && first["margin"].is_number() && first["new"].is_array(), "{first}");
    assert_eq!((&json["complete"], &json["version"]), (&true.into(), &1.into()));
}
