//! What was seen goes into the head of a detail, and every other byte stays.

use dewlap::base::span::FileId;
use dewlap::model::detail::{Evidence, Failure, Head, Look, Outcome};
use dewlap::shelf::log::{with_evidence, with_failure};
use dewlap::shelf::read;
use dewlap::syntax::is_hidden;
use proptest::prelude::*;

const BASE: &str = "title: A mash-house window in rubble\nmeets: [window, rubble wall]\nstatus: drawn # so far\nrevision: 1\n\
                    source: our own drawing\n";
const BODY: &str = "# notes\njob mash\n  place boston-ma-us\n\n---\nwall a\n";
const SEEN: &str = "date: 2026-04-02\n    kind: built\n    result: passed\n    by: the mason\n";

fn entry() -> Evidence {
    Evidence {
        date: "2026-05-06".to_string(),
        kind: Look::OpenedUp,
        result: Outcome::Passed,
        by: "the site carpenter".to_string(),
        form: Some("123456789012".to_string()),
        season: Some("spring".to_string()),
        winters: Some(2),
        reading: Some("13 %".to_string()),
        note: Some("dry: no stain # at all".to_string()),
        photo: Some("photos/sill 1.jpg".to_string()),
        example: false,
    }
}

fn failure() -> Failure {
    let text = |text: &str| text.to_string();
    Failure { date: text("2026-11-20"), what: text("a leak"), cause: text("no dam"), cure: None, form: None }
}

/// What stands of evidence in a head, and what follows it.
fn logs() -> Vec<String> {
    let list =
        |lead: &str| format!("evidence:\n{}", format!("{lead}- {SEEN}").replace("\n    ", &format!("\n{lead}  ")));
    [
        String::new(),
        "# to come\n\n".to_string(),
        "evidence:\n".to_string(),
        "evidence: # none yet\n".to_string(),
        "evidence: []\n".to_string(),
        "evidence: [ ] # none yet\nmind: a\n".to_string(),
        "evidence: ~\n# end\n".to_string(),
        "evidence:\n  []\nmind: a\n".to_string(),
        "'evidence' :\nmind: |\n  a\n\n".to_string(),
        list(""),
        list("  ") + "mind: a\n",
        list("      ") + "      # a remark\n\nmind: a\n",
        list("  ") + "    note: |\n      a # b\n\nmind: a\n",
        list("") + "  note: said\n   \"so\n# z\nfailures: []\n",
        list(" ") + "   note: \"a\n  b: c\"\n",
    ]
    .to_vec()
}

fn texts() -> Vec<String> {
    let plain: Vec<String> = logs().iter().map(|log| format!("---\n{BASE}{log}---\n{BODY}")).collect();
    let windows = plain.iter().map(|text| format!("\u{feff}{}", text.replace('\n', "\r\n")));
    let bare = plain.iter().map(|text| text.split(BODY).next().unwrap().trim_end().to_string());
    let indented = logs().into_iter().filter(|log| !log.contains("\n  b: c")).map(|log| {
        let head: String = format!("{BASE}{log}").lines().map(|line| format!("  {line}\n")).collect();
        format!("---\n{head}---\n{BODY}")
    });
    plain.iter().cloned().chain(windows).chain(bare).chain(indented).collect()
}

fn head(text: &str) -> Head {
    let reading = read(FileId(0), text).unwrap();
    assert!(reading.problems.is_empty(), "{text}{:?}", reading.problems);
    reading.head.unwrap()
}

/// What a head says, its places put aside.
fn said(head: &Head) -> String {
    let told = format!("{head:?}");
    let parts = told.split("Span {").map(|part| part.split_once('}').map_or(part, |(_, after)| after));
    let first = told.split("Span {").next().unwrap();
    [first].into_iter().chain(parts.skip(1)).collect()
}

/// That `after` is `before` with lines put in, and at most what stands for an empty list taken out of the line above them.
fn kept(before: &str, after: &str) {
    let fits = |at: usize, gone: &str| {
        let rest = before.get(at..).and_then(|rest| rest.strip_prefix(gone));
        rest.is_some_and(|rest| {
            let line = if gone.is_empty() { 0 } else { rest.find('\n').unwrap() + 1 };
            after.as_bytes()[at..].starts_with(&rest.as_bytes()[..line]) && after.ends_with(&rest[line..])
        })
    };
    let same = before.bytes().zip(after.bytes()).take_while(|(a, b)| a == b).count();
    let gone = ["", " []", "  []", "    []", " [ ]", " ~"];
    let fits = (same.saturating_sub(3)..=same).any(|at| gone.iter().any(|gone| fits(at, gone)));
    assert!(fits, "{before:?}\n{after:?}");
}

#[test]
fn an_entry_is_added_and_all_else_stays() {
    for text in texts() {
        let out = with_evidence(&text, &entry()).unwrap_or_else(|told| panic!("{text}{told:?}"));
        kept(&text, &out);
        let (mut new, old) = (head(&out), head(&text));
        assert_eq!(entry(), new.evidence.pop().unwrap());
        assert_eq!(said(&new), said(&old), "{out}");
        assert_eq!(out.contains("\r\n"), text.contains("\r\n"));
        assert!(!text.contains("\r\n") || out.split_inclusive('\n').all(|l| l.ends_with("\r\n") || !l.ends_with('\n')));
        let again = with_failure(&with_evidence(&out, &entry()).unwrap(), &failure()).unwrap();
        let mut all = head(&again);
        assert_eq!((all.evidence.len(), all.failures.len()), (old.evidence.len() + 2, old.failures.len() + 1));
        all.evidence.truncate(old.evidence.len());
        assert_eq!(all.failures.pop().unwrap().cause, "no dam");
        assert_eq!(said(&all), said(&old));
    }
}

#[test]
fn an_entry_looks_like_those_above_it() {
    let text = format!("---\n{BASE}evidence:\n  - {SEEN}mind: a\n---\njob x\n");
    let short = Evidence { form: None, season: None, winters: Some(1), reading: None, photo: None, ..entry() };
    let new = "  - date: 2026-05-06\n    kind: opened up\n    result: passed\n    by: the site carpenter\n    winters: 1\n    \
               note: \"dry: no stain # at all\"\nmind: a\n";
    assert_eq!(with_evidence(&text, &short).unwrap(), text.replace("mind: a\n", new));
    let invented = with_evidence(&text, &Evidence { example: true, ..entry() }).unwrap();
    assert!(head(&invented).evidence.pop().unwrap().example);
    let none = format!("---\n{BASE}---\njob x\n");
    let new = "failures:\n  - date: 2026-11-20\n    what: a leak\n    cause: no dam\n---\njob x";
    assert_eq!(with_failure(&none, &failure()).unwrap(), none.replace("---\njob x", new));
}

#[test]
fn what_can_not_be_put_down_is_refused() {
    let refused = |text: &str, entry: Evidence| with_evidence(text, &entry).unwrap_err().message;
    assert_eq!(refused("job x\n", entry()), "this text has no head");
    assert_eq!(refused(&format!("---\n{BASE}job x\n"), entry()), "the head of this text is not closed");
    assert_eq!(refused("---\ntitle: a\n---\n", entry()), "the head of this text has mistakes");
    assert_eq!(refused("---\n---\n", entry()), "the head of this text has mistakes");
    let good = format!("---\n{BASE}---\n");
    let text = |text: &str| text.to_string();
    assert_eq!(refused(&good, Evidence { date: text("2026-02-30"), ..entry() }), "there is no day `2026-02-30`");
    assert_eq!(refused(&good, Evidence { date: text("x\n  y: z"), ..entry() }), "`x   y: z` is no date");
    assert_eq!(refused(&good, Evidence { by: text(" "), ..entry() }), "nothing is said here");
    assert_eq!(refused(&good, Evidence { by: text("a\u{1b}b"), ..entry() }), "a character that cannot be seen, U+001B");
    assert_eq!(refused(&good, Evidence { season: Some(text("fall")), ..entry() }), "there is no season `fall`");
    assert_eq!(
        refused(&good, Evidence { photo: Some(text("../a")), ..entry() }),
        "`../a` is no path below this detail"
    );
    assert_eq!(refused(&good, Evidence { note: Some("x".repeat(70_000)), ..entry() }), "this is larger than 64 KiB");
    let told = with_evidence(&good, &Evidence { winters: None, ..entry() }).unwrap_err();
    assert_eq!(told.help, "write after how many: `winters: 2`");
}

/// Words that a person may type: any text, and text that is full of signs.
fn words() -> impl Strategy<Value = String> {
    let signs = prop::sample::select(
        &[
            "a",
            "12",
            " ",
            " ",
            "\n",
            "\r\n",
            "\t",
            "\"",
            "'",
            "\\",
            "#",
            " # ",
            ":",
            ": ",
            "- ",
            "-",
            "? ",
            "[",
            "]",
            "{",
            "}",
            ",",
            "&",
            "*",
            "!",
            "|",
            ">",
            "%",
            "@",
            "`",
            "~",
            "null",
            "true",
            "no",
            "1e5",
            "0x1f",
            ".inf",
            "---",
            "...",
            "<<",
            "=",
            "é",
            "日",
            "\u{a0}",
            "\u{fffe}",
            "\u{1f9f1}",
            "2026-04-02",
        ][..],
    );
    prop_oneof![any::<String>(), prop::collection::vec(signs, 1..8).prop_map(|all| all.concat())]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn words_survive(by in words(), note in words(), reading in words(), at in 0..1000usize) {
        let all = texts();
        let text = &all[at % all.len()];
        let new = Evidence { by: by.clone(), note: Some(note.clone()), reading: Some(reading.clone()), ..entry() };
        let clean = |said: &str| said.trim().replace("\r\n", "\n");
        let seen = [&by, &note, &reading].map(|said| clean(said));
        let fine = |said: &String| !said.is_empty() && !said.chars().any(|c| c != '\n' && is_hidden(c));
        let out = with_evidence(text, &new);
        prop_assert_eq!(out.is_ok(), seen.iter().all(fine), "{:?} {:?}", &out, &seen);
        if let Ok(out) = out {
            kept(text, &out);
            let mut new = head(&out);
            let last = new.evidence.pop().unwrap();
            prop_assert_eq!([last.by, last.note.unwrap(), last.reading.unwrap()], seen);
            prop_assert_eq!(said(&new), said(&head(text)));
            prop_assert!(out.ends_with(dewlap::syntax::head::cut(text).unwrap().body));
        }
    }
}
