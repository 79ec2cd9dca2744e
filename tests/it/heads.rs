//! The head of a detail: what is read of a good one, what each mistake is told as and where, and that no text is too odd.

mod mistakes;

use dewlap::base::span::FileId;
use dewlap::model::detail::{Cooling, Head, Look, Outcome, Status, ZoneMask};
use dewlap::shelf::{Reading, read};
use dewlap::syntax::LIMIT;
use dewlap::syntax::ast::Rain;
use proptest::prelude::*;
use std::time::{Duration, Instant};

const GOOD: &str = "---
title: A frame wall dies into old brick            # one line
meets: [new frame wall, old solid brick]
status: reviewed
revision: 3
places: [boston-ma-us]
holds:
  zones: [4A, 5, 6]
  rain: up to severe
  heated: up to 40 %   # the room
  cooled: \"down to 72 F\"
  height: up to 30 ft
  faces: [N, northeast]
accepts:
  - finding: Safety/cut-in-old-wall
    in: tie
    because: |
      1 in slot in a mortar joint,
      cut wet: no dust
source: our own drawing
'mind': >
  brick ground bare and vacuumed
  6 in wider than the strip
evidence:
- date: 2026-04-02
  kind: opened up
  result: passed
  by: the site carpenter
  form: 1f0c93ab24de
  season: spring
  winters: 2
  reading: 13 %
  note: 'it''s dry # inside'
  photo: photos/tie-1.jpg
- {}
failures:
      - date: 2026-11-20
        what: the seal let go of the brick,
          all along
        cause: dust under the primer
        form: 1F0C93AB24DE
---
job press
";

pub fn reading(text: &str) -> Reading {
    read(FileId(0), text).unwrap()
}

/// The head that a text has, which must be read without a problem.
fn whole(text: &str) -> Head {
    let reading = reading(text);
    assert!(reading.problems.is_empty(), "{:#?}", reading.problems);
    reading.head.unwrap()
}

fn good() -> String {
    GOOD.replace("- {}\n", "")
}

#[test]
fn a_good_head_is_read_whole() {
    let text = good();
    let head = whole(&text);
    let at = |span: dewlap::base::span::Span| &text[span.range()];
    assert_eq!(
        (head.title.value.as_str(), at(head.title.span)),
        ("A frame wall dies into old brick", head.title.value.as_str())
    );
    assert_eq!(head.meets, ["new frame wall", "old solid brick"]);
    assert_eq!((head.status.value, at(head.status.span)), (Status::Reviewed, "reviewed"));
    assert_eq!((head.revision.value, at(head.revision.span)), (3, "3"));
    assert_eq!(at(head.places[0].span), "boston-ma-us");
    let zones: Vec<ZoneMask> = head.holds.zones.iter().map(|z| z.value).collect();
    assert_eq!(zones[..2], [ZoneMask { number: 4, letter: Some('A') }, ZoneMask { number: 5, letter: None }]);
    assert_eq!(head.holds.rain.map(|r| (r.value, at(r.span))), Some((Rain::Severe, "up to severe")));
    let heated = head.holds.heated.unwrap();
    assert_eq!((heated.value.si(), at(heated.span)), (0.4, "up to 40 %"));
    let cooled = head.holds.cooled.unwrap();
    assert!(matches!(cooled.value, Cooling::DownTo(t) if (t.si() - 22.222).abs() < 0.001));
    assert_eq!(at(cooled.span), "down to 72 F");
    assert!((head.holds.height.unwrap().value.si() - 9.144).abs() < 1e-9);
    let faces: Vec<&str> = head.holds.faces.iter().map(|f| f.value.as_str()).collect();
    assert_eq!(faces, ["N", "NE"]);
    assert_eq!(head.sources, ["our own drawing"]);
    assert_eq!(head.mind.as_deref(), Some("brick ground bare and vacuumed 6 in wider than the strip"));
}

#[test]
fn acceptances_evidence_and_failures_of_a_good_head() {
    let text = good();
    let head = whole(&text);
    let at = |span: dewlap::base::span::Span| &text[span.range()];
    let accept = &head.accepts[0];
    assert_eq!((accept.rule.text.as_str(), at(accept.rule.span)), ("safety/cut-in-old-wall", "Safety/cut-in-old-wall"));
    assert_eq!((accept.target.text.as_str(), at(accept.target.span)), ("tie", "tie"));
    assert_eq!(accept.because.text, "1 in slot in a mortar joint,\ncut wet: no dust");
    assert!(at(accept.span).starts_with("finding") && at(accept.span).ends_with("no dust"));
    let seen = &head.evidence[0];
    assert_eq!((seen.kind, seen.result, seen.winters), (Look::OpenedUp, Outcome::Passed, Some(2)));
    assert_eq!(seen.note.as_deref(), Some("it's dry # inside"));
    assert_eq!(seen.reading.as_deref(), Some("13 %"));
    let failure = &head.failures[0];
    assert_eq!(failure.what, "the seal let go of the brick, all along");
    assert_eq!(failure.form.as_deref(), Some("1f0c93ab24de"));
}

#[test]
fn line_ends_marks_and_never() {
    let plain = whole(&good());
    let other = whole(&format!("\u{feff}{}", good().replace('\n', "\r\n")));
    assert_eq!((plain.mind, plain.title.value), (other.mind, other.title.value));
    assert_eq!(plain.accepts[0].because.text, other.accepts[0].because.text);
    let never = whole(&good().replace("\"down to 72 F\"", "never"));
    assert_eq!(never.holds.cooled.unwrap().value, Cooling::Never);
    assert!(read(FileId(0), "job press\n").is_none() && read(FileId(0), "").is_none());
}

/// A head with this status, and one line of evidence or failures for each entry.
fn standing(status: &str, evidence: &str, failures: &str) -> (Status, Status, bool, usize) {
    let text = format!(
        "---\ntitle: a\nmeets: [b]\nsource: c\nstatus: {status}\nrevision: 1\nevidence:{evidence}\nfailures:{failures}\n---\n"
    );
    let standing = whole(&text).standing("1f0c93ab24de");
    (standing.borne, standing.status, standing.failed, standing.other_forms)
}

fn seen(kind: &str, result: &str, more: &str) -> String {
    format!("\n  - date: 2026-04-02\n    kind: {kind}\n    result: {result}\n    by: the mason{more}")
}

#[test]
fn evidence_bears_out_a_status() {
    const OWN: &str = "\n    form: 1f0c93ab24de";
    let own = |kind: &str, result: &str, winters: &str| seen(kind, result, &format!("{OWN}{winters}"));
    let borne = |status: &str, evidence: &str| standing(status, evidence, " []");
    assert_eq!(borne("proven", " []"), (Status::Reviewed, Status::Reviewed, false, 0));
    assert_eq!(borne("drawn", " []"), (Status::Reviewed, Status::Drawn, false, 0));
    assert_eq!(borne("proven", &own("built", "passed", "")), (Status::Built, Status::Built, false, 0));
    let dry = own("opened up", "passed", "\n    winters: 1");
    assert_eq!(borne("proven", &dry), (Status::Proven, Status::Proven, false, 0));
    assert_eq!(borne("withdrawn", &dry), (Status::Proven, Status::Withdrawn, false, 0));
    // A test of a day, a look before the first winter, one that can't be told: none of them shows that it stays dry.
    for evidence in [
        own("hose test", "passed", "\n    winters: 3"),
        own("opened up", "passed", "\n    winters: 0"),
        own("moisture reading", "passed", ""),
        own("opened up", "unclear", "\n    winters: 2"),
    ] {
        assert_eq!(borne("proven", &evidence), (Status::Built, Status::Built, false, 0), "{evidence}");
    }
    let example = seen("opened up", "passed", &format!("{OWN}\n    winters: 2\n    example: true"));
    assert_eq!(borne("proven", &example), (Status::Reviewed, Status::Reviewed, false, 0));
    let other = seen("opened up", "passed", "\n    form: 000000000000\n    winters: 2") + &seen("built", "passed", "");
    assert_eq!(borne("proven", &other), (Status::Reviewed, Status::Reviewed, false, 1));
    let failed = dry.clone() + &own("hose test", "failed", "");
    assert_eq!(borne("proven", &failed), (Status::Reviewed, Status::Reviewed, true, 0));
    let failure = "\n  - date: 2026-11-20\n    what: wet\n    cause: a gap\n    form: ";
    let told = |form: &str| standing("proven", &dry, &format!("{failure}{form}"));
    assert_eq!(told("1f0c93ab24de"), (Status::Reviewed, Status::Reviewed, true, 0));
    assert_eq!(told("000000000000"), (Status::Proven, Status::Proven, false, 0));
}

#[test]
fn no_head_is_too_large_or_too_deep() {
    let bomb: String =
        (1..30).map(|n| format!("a{n}: &a{n} [*a{0}, *a{0}, *a{0}, *a{0}, *a{0}, *a{0}]\n", n - 1)).collect();
    let texts = [
        (format!("---\na0: &a0 x\n{bomb}---\n"), None),
        (format!("---\n{}---\n", "mind: a long story\n".repeat(4000)), Some(LIMIT)),
        (format!("---\nmind: {}\n---\n", "x".repeat(70 << 10)), Some(LIMIT)),
        (format!("---\nmind: {}{}\n---\n", "[".repeat(5000), "]".repeat(5000)), Some(LIMIT)),
        (format!("---\nmind: {}\n---\n", "{a: ".repeat(5000)), Some(LIMIT)),
        (format!("---\nmind:\n  {}x\n---\n", "- ".repeat(5000)), None),
        (format!("---\n{}---\n", (0..330).map(|n| format!("{}a:\n", " ".repeat(n))).collect::<String>()), None),
        (format!("---\nmeets: [{}]\n---\n", "a, ".repeat(20_000)), None),
        (format!("---\nmeets:\n{}---\n", "- a\n".repeat(15_000)), None),
    ];
    for (text, rule) in texts {
        let began = Instant::now();
        let reading = reading(&text);
        let took = began.elapsed();
        let start: String = text.chars().take(40).collect();
        assert!(took < Duration::from_secs(2), "{start} took {took:?}");
        assert!(!reading.problems.is_empty(), "{start}");
        assert!(rule.is_none_or(|rule| reading.problems[0].rule == rule), "{start}: {:?}", reading.problems[0]);
    }
}

/// Pieces of heads, of YAML that is not read, and of neither, to be jumbled.
const PIECES: &[&str] = &[
    "title: a",
    "title:",
    "meets: [b, c]",
    "meets:",
    "status: drawn",
    "revision: 1",
    "source: d",
    "places: [",
    "holds:",
    "evidence:",
    "failures:",
    "accepts:",
    "mind: >",
    "mind: |",
    "mind: ",
    "\n",
    "\n",
    "\n",
    "\n  ",
    "\n  ",
    "\n    ",
    "\n- ",
    "\n  - ",
    "date: 2026-02-30",
    "date: 2026-04-02",
    "kind: built",
    "result: passed",
    "by: ",
    "winters: 2",
    "form: 1f0c93ab24de",
    "rain: up to ",
    "heated: up to 40 %",
    "height: up to 3 m",
    "zones: [4A",
    "faces: ",
    "]",
    "]",
    "[",
    "{",
    "}",
    ", ",
    "\"",
    "'",
    " # ",
    "#",
    ": ",
    ":",
    "&x",
    "*x",
    "!!str ",
    "\t",
    "\r",
    "\r\n",
    "\u{feff}",
    "\u{2028}",
    "é",
    "日本",
    "\u{a0}",
    "---",
    "...",
    "? ",
    "<<: ",
    "\\",
    "x",
    "~",
    "null",
    "true",
    "-",
    "- ",
    "wall a",
    "%YAML",
    "@",
    "`",
    "\u{0}",
    "in: ",
    "because: ",
    "finding: ",
];

/// A text that begins with a head.
fn heads() -> impl Strategy<Value = String> {
    let pieces = prop::collection::vec(prop::sample::select(PIECES), 0..40);
    prop_oneof![
        4 => pieces.clone().prop_map(|all| format!("---\n{}\n---\njob x\n", all.concat())),
        2 => (pieces, 0..good().len()).prop_map(|(all, at)| {
            let mut text = good();
            let at = (0..=at).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
            text.insert_str(at, &all.concat());
            text
        }),
        1 => any::<String>().prop_map(|text| format!("---\n{text}")),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    #[test]
    fn every_head_is_read_and_every_place_lies_in_it(text in heads()) {
        let Some(reading) = read(FileId(0), &text) else { return Ok(()) };
        for problem in &reading.problems {
            let places = problem.others.iter().chain([&problem.primary]);
            prop_assert!(places.map(|l| l.span.range()).all(|range| text.get(range).is_some()), "{problem:?}");
            prop_assert!(problem.message.chars().count() <= 80, "{}", problem.message);
            prop_assert!(!problem.help.is_empty());
        }
        if let Some(head) = &reading.head {
            let spans = head.places.iter().map(|p| p.span);
            let spans = spans.chain(head.accepts.iter().flat_map(|a| [a.rule.span, a.target.span, a.because.span, a.span]));
            let mut spans = spans.chain([head.title.span, head.status.span, head.revision.span]);
            prop_assert!(spans.all(|span| text.get(span.range()).is_some_and(|t| !t.is_empty())));
        }
    }

    #[test]
    fn words_are_those_that_yaml_reads(
        mind in prop::collection::vec(prop::sample::select(WORDS), 1..9),
        note in prop::collection::vec(prop::sample::select(WORDS), 1..9),
    ) {
        let (mind, note) = (mind.concat(), note.concat());
        let entry = format!("date: 2026-04-02\n  kind: built\n  note: {note}\n  result: passed\n  by: a");
        let yaml = format!("title: t\nmind: {mind}\nevidence:\n- {entry}\nmeets: [b]\nstatus: drawn\nrevision: 1\nsource: c\n");
        let reading = reading(&format!("---\n{yaml}---\n"));
        let Ok(said) = serde_yaml::from_str::<serde_yaml::Value>(&yaml) else {
            prop_assert!(!reading.problems.is_empty(), "{yaml}");
            return Ok(());
        };
        if let (true, Some(head)) = (reading.problems.is_empty(), reading.head) {
            let words = |value: &serde_yaml::Value| value.as_str().map(|text| text.trim().to_owned());
            prop_assert_eq!(words(&said["mind"]), head.mind, "{}", yaml);
            prop_assert_eq!(words(&said["evidence"][0]["note"]), head.evidence[0].note.clone(), "{}", yaml);
        }
    }
}

/// Parts of values in every style.
const WORDS: &[&str] = &[
    "bare brick",
    "dry",
    " ",
    " ",
    "\"",
    "'",
    "''",
    "\\\"",
    "|\n",
    "|-\n",
    ">\n",
    "\n    ",
    "\n    ",
    "\n      ",
    "\n\n    ",
    "\n  ",
    "\n",
    " # ",
    "#",
    ":",
    ": ",
    "- ",
    "-",
    "[",
    "]",
    ", ",
    "{",
    "}",
    "é",
    "it's",
    "a: b",
    "...",
    "? ",
    "~x",
    "\r\n    ",
    "\t",
    "%",
    "\"dry\"",
    "'wet'",
];
