//! Heads with one mistake each: the words that are underlined, and a part of the message or the help.

use super::reading;
use dewlap::base::finding::{Finding, Weight};

/// What every head here says beside its mistake.
const BASE: &[&str] = &[
    "title: A porch roof at a school wall",
    "meets: [porch roof, school wall]",
    "status: drawn",
    "revision: 1",
    "source: our own drawing",
];

/// The head with these lines put in: a line whose key is there takes its place; `-key` takes a line out.
fn with(lines: &str) -> String {
    let mut all: Vec<&str> = BASE.to_vec();
    if let Some(key) = lines.strip_prefix('-') {
        all.retain(|line| !line.starts_with(key));
    } else {
        let key = lines.split_inclusive(':').next().unwrap();
        all.retain(|line| !line.starts_with(key));
        all.push(lines);
    }
    format!("---\n{}\n---\njob porch\n", all.join("\n"))
}

const SEEN: &str = "- date: 2026-04-02\n  kind: built\n  result: passed\n  by: the mason";

/// An entry of evidence with one line changed or added.
fn seen(line: &str) -> String {
    let key = line.split(':').next().unwrap();
    let mut all: Vec<String> = SEEN.lines().map(str::to_string).collect();
    match all.iter_mut().find(|l| l.trim_start_matches(['-', ' ']).starts_with(key)) {
        Some(old) => {
            let lead = old.len() - old.trim_start_matches(['-', ' ']).len();
            *old = format!("{}{line}", &old[..lead]);
        }
        None => all.push(format!("  {line}")),
    }
    with(&format!("evidence:\n{}", all.join("\n")))
}

fn check(text: &str, quoted: &str, words: &str) -> Option<String> {
    let problems = reading(text).problems;
    let fits =
        |f: &Finding| text[f.primary.span.range()] == *quoted && (f.message.contains(words) || f.help.contains(words));
    let plain =
        problems.iter().all(|f| f.weight == Weight::Stop && f.message.chars().count() <= 80 && !f.help.is_empty());
    let told = |f: &Finding| format!("  {:?}: {} / {}", &text[f.primary.span.range()], f.message, f.help);
    let all = || problems.iter().map(told).collect::<Vec<_>>().join("\n");
    (problems.len() != 1 || !fits(&problems[0]) || !plain)
        .then(|| format!("{text}wants {quoted:?}: {words}\n{}", all()))
}

/// Lines of the head itself.
const HEADS: &[(&str, &str, &str)] = &[
    ("-title", "---", "`title` is missing"),
    ("-meets", "---", "`meets` is missing"),
    ("-status", "---", "`status` is missing"),
    ("-revision", "---", "`revision` is missing"),
    ("-source", "---", "write `source: our own drawing`"),
    ("title:", "title", "`title` says nothing"),
    ("title: # later", "title", "`title` says nothing"),
    ("title: \"\"", "\"\"", "nothing is said here"),
    ("title: [a]", "[a]", "words were expected"),
    ("title: |\n  a\n  b", "|", "a title is one line"),
    ("title: a porch: the roof", ": the roof", "only in quotes"),
    ("title: \"a \\e[2J\"", "\"a \\e[2J\"", "U+001B"),
    ("title: a\u{200b}b", "\u{200b}", "cannot be seen"),
    ("title: !!str a", "!!str a", "anchors, aliases and tags"),
    ("title: &a b", "&a b", "anchors, aliases and tags"),
    ("titel: a", "titel", "did you mean `title`?"),
    ("title: a\ntitle: b", "title", "`title` is said twice"),
    ("proof: a", "proof", "known here: `title`"),
    ("Status: drawn", "Status", "did you mean `status`?"),
    ("meets: []", "[]", "nothing is said here"),
    ("meets: [a, [b]]", "[a, [b]]", "brackets within brackets"),
    ("meets: {a: b}", "{a: b}", "words were expected"),
    ("meets:\n  a: b", "a: b", "words were expected"),
    ("meets: *a", "*a", ""),
    ("status: drawm", "drawm", "did you mean `drawn`?"),
    ("status: fine", "fine", "write `withdrawn`, `drawn`"),
    ("status: [drawn]", "[drawn]", "words were expected"),
    ("revision: one", "one", "a whole number from 1"),
    ("revision: 0", "0", "`0` does not fit"),
    ("revision: -1", "-1", "`-1` does not fit"),
    ("revision: 1.5", "1.5", "`1.5` does not fit"),
    ("revision: 99999999999", "99999999999", "does not fit"),
    ("places: bostn-ma-us", "bostn-ma-us", "did you mean `boston-ma-us`"),
    ("places: [boston-ma-us, qqqqqq]", "qqqqqq", "there is no place"),
    ("places: [boston-ma-us, Boston-ma-us]", "Boston-ma-us", "said twice"),
    ("source: [our own drawing, ]\nsource: b", "source", "`source` is said twice"),
    ("source: {}", "{}", "words were expected"),
    ("mind:\n  - a", "- a", "words were expected"),
    ("mind: \"a", "mind: \"a", "this is no YAML"),
    ("mind: @a", "@a", "this is no YAML"),
    ("mind:\n\tbare brick", "bare brick", "a tab at the start of a line"),
    ("no colon here", "no colon here", "this is no YAML"),
    ("holds: anywhere", "anywhere", "this is no `key: value`"),
    ("holds: {zones: 4A}", "{zones: 4A}", "brackets were not expected"),
    ("holds: [4A]", "[4A]", "brackets were not expected"),
    ("holds:\n  - zones: 4A", "- zones: 4A", "a list was not expected"),
    ("holds:\n  zone: 4A", "zone", "did you mean `zones`?"),
    ("holds:\n  zones: [4A, 4D]", "4D", "there is no zone `4D`"),
    ("holds:\n  zones: 7A", "7A", "there is no zone `7A`"),
    ("holds:\n  zones: [9]", "9", "zones are 0 to 8"),
    ("holds:\n  zones: [5, '5']", "'5'", "`5` is said twice"),
    ("holds:\n  rain: severe", "severe", "write it as `up to normal`"),
    ("holds:\n  rain: up to sever", "sever", "did you mean `severe`"),
    ("holds:\n  rain: up to", "up to", "is no bound"),
    ("holds:\n  heated: 40 %", "40 %", "write it as `up to 40 %`"),
    ("holds:\n  heated: up to 40", "40", "has no unit"),
    ("holds:\n  heated: up to 140 %", "up to 140 %", "above 100 %"),
    ("holds:\n  heated: up to 40 F", "40 F", "does not fit here"),
    ("holds:\n  heated: up to 40 % in winter", "in", "nothing after the figure"),
    ("holds:\n  heated: \"up to 0,4 %\"", "0,4", "decimal comma"),
    ("holds:\n  cooled: up to 72 F", "up to 72 F", "write it as `down to 72 F`"),
    ("holds:\n  cooled: down to 72 %", "72 %", "does not fit here"),
    ("holds:\n  height: up to 30 fo", "fo", "is not a unit"),
    ("holds:\n  height: up to 0 ft", "up to 0 ft", "no building is so low"),
    ("holds:\n  height: up to 12 ft to 30 ft", "to", "nothing after the figure"),
    ("holds:\n  faces: [N, up]", "up", "there is no direction `up`"),
    ("holds:\n  faces: [N, north]", "north", "`north` is said twice"),
    ("accepts: safety/deep-trench", "safety/deep-trench", "a list was expected"),
    ("accepts:\n  finding: a/b\n  in: c\n  because: d", "finding: a/b", "begin each entry with `- `"),
    ("accepts:\n- finding: a/b\n  in: c", "finding: a/b", "`because` is missing"),
    ("accepts:\n- finding: a/b\n  in: c d\n  because: e", "c d", "is not one word"),
    ("accepts:\n- finding: a/b\n  in: c\n  because: ''", "''", "nothing is said here"),
    ("accepts:\n- finding: a/b\n  in: c\n  because: d\n  till: e", "till", "there is no key `till`"),
    ("evidence: it was built", "it was built", "a list was expected"),
    ("evidence: [a]", "[a]", "a list was expected"),
    ("evidence:\n- *a", "*a", ""),
    ("evidence:\n-", "", "an entry that says nothing"),
    ("evidence:\n- it was built", "it was built", "this is no `key: value`"),
    ("failures:\n- date: 2026-11-20\n  what: wet", "date: 2026-11-20", "`cause` is missing"),
    ("failures:\n- date: 2026-11-31\n  what: wet\n  cause: a gap", "2026-11-31", "there is no day"),
];

/// Lines of one entry of evidence.
const ENTRIES: &[(&str, &str, &str)] = &[
    ("date: 2026-02-30", "2026-02-30", "there is no day `2026-02-30`"),
    ("date: 2026-13-01", "2026-13-01", "there is no day"),
    ("date: 04/02/2026", "04/02/2026", "is no date"),
    ("date: 2026-4-2", "2026-4-2", "year, month, day"),
    ("date: 2026-04-02T10:00", "2026-04-02T10:00", "is no date"),
    ("date:", "date", "`date` says nothing"),
    ("kind: hose", "hose", "did you mean `hose test`?"),
    ("kind: opened up", "date: 2026-04-02", "without the winters"),
    ("result: pased", "pased", "did you mean `passed`?"),
    ("by: [a, b]", "[a, b]", "words were expected"),
    ("form: 1f0c93ab24d", "1f0c93ab24d", "is no fingerprint"),
    ("form: 1f0c93ab24dg", "1f0c93ab24dg", "12 digits"),
    ("season: fall", "fall", "there is no season `fall`"),
    ("season: sumer", "sumer", "did you mean `summer`?"),
    ("winters: two", "two", "a whole number, 0 to 200"),
    ("winters: 201", "201", "`201` does not fit"),
    ("winters: -1", "-1", "`-1` does not fit"),
    ("photo: /photos/a.jpg", "/photos/a.jpg", "is no path below"),
    ("photo: C:/a.jpg", "C:/a.jpg", "is no path below"),
    ("photo: photos\\a.jpg", "photos\\a.jpg", "is no path below"),
    ("photo: photos/../../a.jpg", "photos/../../a.jpg", "put the photo beside"),
    ("photo: photos//a.jpg", "photos//a.jpg", "is no path below"),
    ("example: maybe", "maybe", "neither `true` nor `false`"),
    ("weather: dry", "weather", "known here: `date`"),
    ("notes: dry", "notes", "did you mean `note`?"),
    ("note: &a dry", "&a dry", "anchors, aliases and tags"),
];

#[test]
fn each_mistake_is_told_once_where_it_stands() {
    assert!(HEADS.len() + ENTRIES.len() >= 100);
    let heads = HEADS.iter().filter_map(|(lines, quoted, words)| check(&with(lines), quoted, words));
    let entries = ENTRIES.iter().filter_map(|(line, quoted, words)| check(&seen(line), quoted, words));
    let wrong: Vec<String> = heads.chain(entries).collect();
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn several_mistakes_are_told_in_one_run_and_the_rest_is_read() {
    let text =
        with("revision: 2\nholds:\n  zones: [4D]\n  rain: wild\nevidence:\n- date: 2026-02-30\n  kind: x\nwhat: y");
    let reading = reading(&text);
    let told: Vec<&str> = reading.problems.iter().map(|f| &text[f.primary.span.range()]).collect();
    assert_eq!(told, ["4D", "wild", "date: 2026-02-30", "date: 2026-02-30", "2026-02-30", "x", "what"]);
    let head = reading.head.unwrap();
    assert_eq!((head.revision.value, head.evidence.len()), (2, 0));
}

#[test]
fn a_head_that_says_nothing_or_has_no_end_is_told_once() {
    for text in ["---\n---\n", "---", "---\n# soon\n\n---\njob a\n"] {
        let reading = reading(text);
        assert_eq!(reading.problems.len(), 1, "{text:?}: {:?}", reading.problems);
        assert_eq!(
            (reading.problems[0].message.as_str(), reading.problems[0].primary.span.range()),
            ("this head says nothing", 0..3)
        );
    }
    // The missing lower fence is told by the reader of the notation.
    let open = with("mind: a").replace("\n---\njob", "\njob");
    let reading = reading(&open);
    assert!(reading.problems.is_empty() && reading.head.is_some(), "{:?}", reading.problems);
}
