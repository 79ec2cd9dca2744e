//! What is told of questions, of texts and shelves that can't be read, and answers as JSON.

use super::{BRICK, Place, three};
use std::fs;

#[test]
fn what_is_told_of_a_question_is_so() {
    let place = Place::new();
    let ran = place.own(&["find", "brick", "plough", "adze"]);
    let told = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(ran.code == 1 && told.contains("speaks of `plough` or `adze`"), "{told}");
    assert!(told.contains("details speak of `brick`: ask for less"), "{told}");
    let ran = place.own(&["find", "(", "--most", "1"]);
    assert!(ran.err.contains("no word to look for in `(`") && ran.err.contains("the first 1 are shown"), "{}", ran.err);
    assert!(place.own(&["find", "brick", "--most", "1"]).err.contains("the best 1 are shown"));
    assert_eq!(place.own(&["find", "--most", "0"]).code, 2);
}

#[test]
fn what_can_not_be_read_is_listed_as_it_is_checked() {
    let place = Place::new();
    fs::create_dir(place.path().join("details/folder.dew")).unwrap();
    place.put("details/renamed.dew", &BRICK.replace("\n---\n", "\n---\ndetail other-name\n\n"));
    let list = place.own(&["list"]);
    assert!(list.code == 0 && list.out.contains("its own line says `other-name`"), "{}", list.out);
    assert!(list.err.contains("3 details") && !list.out.contains("folder"), "{}{}", list.out, list.err);
    assert!(place.own(&["find", "renamed"]).out.contains("its own line says `other-name`"));
    assert!(place.own(&["list", "--json"]).out.contains("\"says\": \"other-name\""));
    assert!(place.own(&["check"]).err.contains("3 details"));
    place.put("details/late.dew", &format!("\n{BRICK}"));
    let list = place.own(&["list"]);
    assert!(list.code == 2 && list.out.contains("its head begins below the first line"), "{}", list.out);
    fs::remove_file(place.path().join("details/late.dew")).unwrap();
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("nowhere.dew", place.path().join("details/dangling.dew")).unwrap();
        let list = place.own(&["list"]);
        assert!(list.code == 2 && list.out.contains("is a link that leads nowhere"), "{}", list.out);
        assert!(place.own(&["check"]).out.contains("is a link that leads nowhere"));
        let shown = place.own(&["show", "dangling"]);
        assert!(shown.code == 2 && shown.err.contains("`dangling`: is a link that leads nowhere"), "{}", shown.err);
    }
}

#[test]
fn a_shelf_that_is_no_folder_is_told_in_words() {
    let place = Place::new();
    for (shelf, why) in [("details/old-brick.dew", "is no folder"), ("nowhere", "no such folder")] {
        for command in [&["list"][..], &["find", "brick"], &["show", "old-brick"], &["check"], &["add", "old-brick"]] {
            let ran = place.run(&[command, &["--shelf", shelf]].concat());
            assert!(ran.code == 2 && ran.err.contains(&format!("{shelf}: {why}")), "{command:?} {}", ran.err);
            assert!(ran.err.contains("`--shelf FOLDER`") && !ran.err.contains("os error"), "{}", ran.err);
        }
    }
    // The others are shown and checked all the same.
    let ran = place.run(&["check", "--shelf", "nowhere", "--shelf", "details"]);
    assert!(ran.code == 2 && ran.err.contains("2 details at"), "{}", ran.err);
}

#[test]
fn what_there_is_no_answer_to_is_json_too() {
    let place = three();
    let asked: [(&[&str], &str); 6] = [
        (&["check", "nope"], "there is no detail `nope` on the shelf"),
        (&["show", "nope"], "there is no detail `nope` on the shelf"),
        (&["show", "press-sill"], "the head of `press-sill` is not readable"),
        (&["find", "--zone", "9"], "there is no zone `9`"),
        (&["show", "old-brick", "--shelf", "nowhere"], "nowhere: no such folder"),
        (&["list", "--shelf", "nowhere"], "nowhere: no such folder"),
    ];
    for (arguments, message) in asked {
        let ran = place.run(&[arguments, &["--json"]].concat());
        let json: serde_json::Value = serde_json::from_str(&ran.out).unwrap_or_else(|_| panic!("{arguments:?}"));
        let error = &json["errors"][0];
        assert_eq!((ran.code, json["complete"].as_bool(), error["message"].as_str()), (2, Some(false), Some(message)));
        assert!(error["help"].as_str().is_some_and(|help| !help.is_empty()), "{json}");
        assert!(ran.err.contains("dewlap: "), "{arguments:?}: told in words too");
    }
}

#[test]
fn a_detail_as_json() {
    let place = Place::new();
    let entry = |by: &str| format!("- date: 2026-04-02\n  kind: built\n  result: passed\n  by: {by}\n");
    let text = BRICK.replacen("\n---\n", &format!("\nevidence:\n{}{}---\n", entry("first"), entry("last")), 1);
    place.put("details/old-brick.dew", &text);
    let ran = place.own(&["show", "old-brick", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let detail = &json["detail"];
    assert_eq!((ran.code, detail["name"].as_str(), json["complete"].as_bool()), (0, Some("old-brick"), Some(true)));
    assert_eq!(detail["text"].as_str(), Some(text.as_str()));
    // Of one day, what was written down last stands first; for people too.
    assert_eq!(
        (detail["evidence"][0]["by"].as_str(), detail["evidence"][1]["by"].as_str()),
        (Some("last"), Some("first"))
    );
    let shown = place.own(&["show", "old-brick"]).out;
    assert!(shown.find("by last").unwrap() < shown.find("by first").unwrap(), "{shown}");
    // Each field is on the page that describes it.
    let page = include_str!("../../../docs/outputs.md");
    for key in detail.as_object().unwrap().keys() {
        assert!(page.contains(&format!("`{key}`")), "{key}");
    }
}
