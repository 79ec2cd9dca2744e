//! The page on the shelf: its example is read, and every key and word of its tables is one that the reader knows, and the
//! other way round.

use dewlap::base::finding::Finding;
use dewlap::base::span::FileId;
use dewlap::catalog;
use dewlap::model::detail::{Look, Outcome, Status};
use dewlap::review::Input;
use dewlap::review::detail::check;
use dewlap::shelf::read;
use std::collections::BTreeSet;

const PAGE: &str = include_str!("../../docs/shelf.md");
/// What is drawn below the head of the page.
const BODY: &str = "detail boards-over-wool

job creamery
  place   charleston-sc-us
  heated  68 F 40 %

wall front
  outdoors
  siding: wood-lap-siding
  gap:    air 3/4 in, open top and bottom
  sheath: plywood 1/2 in
  studs:  2x4 at 16 in, bays mineral-wool-batt
  lining: drywall 1/2 in
  indoors
";
/// A head that is whole, but for the keys that are tried.
const HEAD: &str = "title: a\nmeets: a\nstatus: drawn\nrevision: 1\nsource: a\n";
const ENTRY: &str = "evidence:\n- date: 2026-04-02\n  kind: built\n  result: passed\n  by: a\n";

/// The rows of the table whose first column is called so: the two first columns.
fn table(title: &str) -> Vec<(&'static str, &'static str)> {
    let rows = PAGE.lines().skip_while(|line| !line.starts_with(&format!("| {title} |"))).skip(2);
    let rows = rows.take_while(|line| line.starts_with('|')).map(|line| line.split('|').collect::<Vec<_>>());
    let rows: Vec<_> = rows.map(|row| (row[1], row[2])).collect();
    assert!(!rows.is_empty(), "{title}");
    rows
}

fn words(text: &str) -> Vec<&str> {
    text.split('`').skip(1).step_by(2).collect()
}

fn keys(title: &str) -> BTreeSet<&'static str> {
    table(title).into_iter().flat_map(|(first, _)| words(first)).collect()
}

fn problems(head: &str) -> Vec<Finding> {
    read(FileId::default(), &format!("---\n{head}---\n")).unwrap().problems
}

/// The keys that are known where `lines` ends with a key that is none.
fn known(lines: &str) -> BTreeSet<String> {
    let told = problems(&format!("{lines}zzzzzz: a\n"));
    let told = told.iter().find(|told| told.message.contains("`zzzzzz`")).unwrap();
    words(&told.help).into_iter().map(str::to_owned).collect()
}

fn row(title: &str, key: &str) -> &'static str {
    table(title).into_iter().find(|(first, _)| words(first).contains(&key)).unwrap().1
}

#[test]
fn the_example_is_read_and_reviewed_in_full() {
    let yaml = PAGE.split("```yaml\n").nth(1).unwrap().split("```").next().unwrap();
    let again = check(Input { name: "boards-over-wool.dew".to_owned(), text: format!("{yaml}{BODY}") });
    let unread: Vec<&Finding> = again.at.iter().flat_map(|here| &here.report.findings).collect();
    let unread: Vec<_> = unread.into_iter().filter(|told| told.rule.starts_with("notation/")).collect();
    assert!(again.whole() && unread.is_empty(), "{unread:?}");
    assert_eq!(again.at.len(), 2);
}

#[test]
fn the_places_of_the_page_are_known() {
    let lines = PAGE.lines().filter(|line| line.starts_with("    dewlap shelf carry "));
    let places: Vec<&str> = lines.filter_map(|line| line.split(" --to ").nth(1)).collect();
    assert!(!places.is_empty() && places.iter().all(|place| catalog::place(place).found().is_some()), "{places:?}");
}

#[test]
fn the_keys_of_the_page_are_those_that_are_known() {
    let own = |title| keys(title).into_iter().map(str::to_owned).collect::<BTreeSet<_>>();
    assert_eq!(own("key"), known(HEAD));
    assert_eq!(own("condition"), known(&format!("{HEAD}holds:\n  rain: up to normal\n  ")));
    assert_eq!(own("of an entry of evidence"), known(&format!("{HEAD}{ENTRY}  ")));
    let told: BTreeSet<String> = words(row("key", "failures")).into_iter().map(str::to_owned).collect();
    let failure = "failures:\n- date: 2026-04-02\n  what: a\n  cause: b\n  ";
    assert_eq!(told, known(&format!("{HEAD}{failure}")));
    let told: BTreeSet<String> = words(row("key", "accepts")).into_iter().map(str::to_owned).collect();
    let accepts = "accepts:\n- finding: dew/damp-layer\n  in: a\n  because: b\n  ";
    assert!(known(&format!("{HEAD}{accepts}")).is_subset(&told));
}

#[test]
fn the_words_of_the_page_are_those_that_are_known() {
    assert_eq!(words(row("key", "status")).len(), Status::ALL.len());
    for status in words(row("key", "status")) {
        assert!(problems(&HEAD.replace("drawn", status)).is_empty(), "{status}");
    }
    let entry = "of an entry of evidence";
    let said = words(row(entry, "kind"));
    let known: Vec<&str> = Look::ALL.map(Look::words).into_iter().chain(Outcome::ALL.map(Outcome::word)).collect();
    assert_eq!(said, known);
    // `season`, `reading` and others share a row; the seasons stand before the first semicolon.
    let seasons = row(entry, "season").split(';').next().unwrap();
    let seasons: Vec<&str> = seasons.split([',', ' ']).filter(|word| !word.is_empty() && *word != "or").collect();
    assert_eq!(seasons.len(), 6);
    for season in seasons {
        assert!(problems(&format!("{HEAD}{ENTRY}  season: {season}\n")).is_empty(), "{season}");
    }
    let bounds = [("rain", "normal"), ("heated", "45 %"), ("cooled", "72 F"), ("height", "30 ft")];
    for (key, figure) in bounds {
        for bound in words(row("condition", key)).into_iter().filter(|word| word.contains(" to")) {
            assert!(problems(&format!("{HEAD}holds:\n  {key}: {bound} {figure}\n")).is_empty(), "{key}");
        }
    }
    assert!(problems(&format!("{HEAD}holds:\n  cooled: never\n")).is_empty());
}
