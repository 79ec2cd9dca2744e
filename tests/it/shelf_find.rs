//! Details of the shelf: listed, found, shown. What the index does stands with it (`cli/shelf/index.rs`).

mod told;

use assert_cmd::Command;
use dewlap::catalog::{Zone, ZoneBasis};
use dewlap::model::detail::Status;
use dewlap::shelf::card::Card;
use dewlap::shelf::deck::{Deck, Draft};
use dewlap::shelf::search::{Query, near_words, search};
use std::fs::{self, File};
use std::path::Path;
use std::time::{Duration, SystemTime};
use tempfile::TempDir;

const PORCH: &str = include_str!("../data/shelf/porch-rake.dew");
const BRICK: &str = include_str!("../data/shelf/old-brick.dew");
const HEADLESS: &str = "---\nmeets: [press, sill]\nstatus: drawn\nrevision: 1\nsource: our own drawing\n---\nwall a\n";

/// A folder with three details, and nothing of the machine round it.
struct Place {
    folder: TempDir,
}

struct Ran {
    code: i32,
    out: String,
    err: String,
}

impl Place {
    fn new() -> Self {
        let place = Self { folder: TempDir::new().unwrap() };
        place.put("details/porch-rake.dew", PORCH);
        place.put("details/old-brick.dew", BRICK);
        place
    }

    fn path(&self) -> &Path {
        self.folder.path()
    }

    fn put(&self, name: &str, text: &str) {
        let path = self.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    fn run(&self, arguments: &[&str]) -> Ran {
        let mut command = Command::cargo_bin("dewlap").unwrap();
        command.current_dir(self.path()).env_clear().arg("shelf").args(arguments);
        for (name, folder) in [("HOME", "home"), ("XDG_CACHE_HOME", "cache"), ("XDG_DATA_HOME", "data")] {
            command.env(name, self.path().join(folder));
        }
        let done = command.output().unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        Ran { code: done.status.code().unwrap(), out: text(done.stdout), err: text(done.stderr) }
    }

    fn own(&self, arguments: &[&str]) -> Ran {
        self.run(&[arguments, &["--shelf", "details"]].concat())
    }
}

fn three() -> Place {
    let place = Place::new();
    place.put("details/press-sill.dew", HEADLESS);
    place
}

#[test]
fn a_list_at_80_columns() {
    let ran = three().own(&["list"]);
    assert_eq!((ran.code, ran.err.as_str()), (2, "3 details on 1 shelf; 1 not readable\n"));
    insta::assert_snapshot!(ran.out);
}

#[test]
fn a_list_at_40_columns() {
    insta::assert_snapshot!(three().own(&["list", "--width", "40"]).out);
}

#[test]
fn a_list_in_sentences() {
    insta::assert_snapshot!(three().own(&["list", "--plain"]).out);
}

#[test]
fn a_list_as_json() {
    insta::assert_snapshot!(three().own(&["list", "--json"]).out);
}

#[test]
fn what_is_found_at_80_columns() {
    let ran = Place::new().own(&["find", "masonary", "brikc", "kick"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, "1 detail\n"));
    insta::assert_snapshot!(ran.out);
}

#[test]
fn what_is_found_at_40_columns() {
    insta::assert_snapshot!(Place::new().own(&["find", "wall", "--width", "40"]).out);
}

#[test]
fn what_is_found_in_sentences() {
    insta::assert_snapshot!(Place::new().own(&["find", "wall", "--plain"]).out);
}

#[test]
fn a_detail_at_80_columns() {
    let ran = Place::new().run(&["show", "porch-rake"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    insta::assert_snapshot!(ran.out);
}

#[test]
fn a_detail_at_40_columns() {
    insta::assert_snapshot!(Place::new().run(&["show", "porch-rake", "--width", "40"]).out);
}

#[test]
fn a_detail_in_sentences() {
    insta::assert_snapshot!(Place::new().run(&["show", "porch-rake", "--plain"]).out);
}

#[test]
fn a_text_is_shown_as_it_stands() {
    let place = Place::new();
    let odd = format!("\u{feff}{}\r\n# \u{1b}[2J", BRICK.replace('\n', "\r\n"));
    place.put("details/odd.dew", &odd);
    let ran = place.run(&["show", "odd", "--text"]);
    assert_eq!((ran.code, ran.out.as_str()), (0, odd.as_str()));
    let told = place.run(&["show", "odd"]);
    assert!(!told.out.contains('\u{1b}'), "{}", told.out);
}

#[test]
fn a_line_that_uses_a_detail_can_be_used() {
    let place = Place::new();
    let shown = place.run(&["show", "porch-rake", "--width", "40"]).out;
    let from = shown.lines().skip_while(|line| !line.starts_with("  use ")).take(3);
    let line: String = from.map(|line| format!("{}\n", line.strip_prefix("  ").unwrap())).collect();
    let job = line.replace("NAME", "east").replace("tall = WALL", "tall = house").replace("low = ROOF", "low = eave");
    let parsed = dewlap::syntax::parse(dewlap::base::span::FileId(0), &job);
    assert!(parsed.problems.is_empty(), "{job}{:?}", parsed.problems);
}

#[test]
fn a_detail_that_is_not_there_or_not_readable_is_told_with_a_way_out() {
    let place = three();
    let near = place.run(&["show", "porch-rak"]);
    assert!(near.code == 2 && near.err.contains("did you mean `porch-rake`?"), "{}", near.err);
    let unread = place.run(&["show", "press-sill"]);
    assert!(unread.code == 2 && unread.err.contains("`dewlap review details/press-sill.dew`"), "{}", unread.err);
    let missing = place.run(&["list", "--shelf", "nowhere"]);
    assert!(missing.code == 2 && missing.err.contains("nowhere: no such folder"), "{}", missing.err);
}

#[test]
fn a_name_that_an_earlier_shelf_has_is_told() {
    let place = Place::new();
    place.put("data/dewlap/details/old-brick.dew", BRICK);
    place.put("data/dewlap/details/ledge.dew", BRICK);
    let ran = place.run(&["list", "--status", "reviewed"]);
    let words = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("old-brick reviewed, any zone; also on: yours"), "{}", ran.out);
    assert!(words.contains("yours ledge reviewed, any zone"), "{}", ran.out);
    assert_eq!(ran.out.matches("\n  old-brick ").count(), 1, "{}", ran.out);
}

#[test]
fn nothing_found_is_told_with_words_there_are() {
    let place = Place::new();
    let ran = place.own(&["find", "boatyard", "zzz"]);
    assert!(ran.code == 1 && ran.out.is_empty(), "{}", ran.out);
    assert!(
        ran.err.contains("speaks of `boatyard` or `zzz`") && ran.err.contains("`board` or `boarded`"),
        "{}",
        ran.err
    );
    let filtered = place.own(&["find", "brick", "--status", "proven"]);
    assert!(filtered.code == 1 && filtered.err.contains("2 details answer without them"), "{}", filtered.err);
    let json = place.own(&["find", "zzz", "--json"]);
    assert!(json.code == 1 && json.out.contains("\"total\": 0"), "{}", json.out);
}

#[test]
fn a_question_with_mistakes_is_told_in_full() {
    let ran = Place::new().own(&["find", "--zone", "9", "--joins", "wal,rof", "--material", "plywod"]);
    assert!(ran.code == 2 && ran.out.is_empty());
    for told in ["no zone `9`", "did you mean `wall`?", "did you mean `roof`?", "did you mean `plywood`?"] {
        assert!(ran.err.contains(told), "{told}: {}", ran.err);
    }
}

#[test]
fn an_index_is_kept_in_the_cache_and_nothing_else_is_written() {
    let place = Place::new();
    for name in ["porch-rake", "old-brick"] {
        let file = File::options().append(true).open(place.path().join(format!("details/{name}.dew"))).unwrap();
        file.set_modified(SystemTime::now() - Duration::from_secs(60)).unwrap();
    }
    let first = place.own(&["find", "brick"]);
    let kept = fs::read_dir(place.path().join("cache/dewlap")).unwrap().count();
    assert_eq!((first.code, kept, place.own(&["find", "brick"]).out), (0, 1, first.out.clone()));
    let left: Vec<_> = fs::read_dir(place.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(left.len(), 2, "{left:?}");
    fs::remove_dir_all(place.path().join("cache")).unwrap();
    place.put("cache", "a file where the folder would be");
    assert_eq!(place.own(&["find", "brick"]).out, first.out);
}

#[test]
fn no_line_is_wider_than_asked_for() {
    let place = three();
    place.put("details/a-name-that-is-longer-than-most-names-are.dew", BRICK);
    for width in ["40", "60", "80"] {
        for arguments in [
            &["list", "--width", width][..],
            &["find", "wall", "--width", width],
            &["list", "--plain", "--width", width],
        ] {
            let ran = place.own(arguments);
            let fits = |line: &str| line.chars().count() <= width.parse().unwrap();
            assert!(ran.out.lines().chain(ran.err.lines()).all(fits), "{width}:\n{}{}", ran.out, ran.err);
        }
    }
}

fn deck() -> Deck {
    let mut deck = Deck::default();
    let renamed = BRICK.replace("title: A frame", "title: A second frame").replace("butyl-tape", "lead");
    let zone = BRICK
        .replace("revision: 1", "revision: 1\nholds:\n  zones: [4]")
        .replace("brick: brick 12 in", "stone: granite 12 in");
    let zone = zone.replace("old solid brick", "old stone").replace("old masonry", "stone");
    for (name, text) in [("old-brick", BRICK), ("porch-rake", PORCH), ("second", &renamed), ("stone-tie", &zone)] {
        let card = Card::of(name, text);
        assert_eq!(card.trouble, None);
        deck.add(Draft::of(&card));
    }
    deck
}

fn names(query: &Query) -> String {
    let deck = deck();
    let hits = search(&deck, query, usize::MAX).hits;
    hits.iter().map(|hit| deck.entries[hit.at].name.as_str()).collect::<Vec<_>>().join(" ")
}

fn words(words: &str) -> Query {
    Query { words: words.split(' ').map(str::to_owned).collect(), ..Query::default() }
}

#[test]
fn words_rank_by_where_they_stand_and_how_rare_they_are() {
    assert_eq!(names(&words("brick")), "old-brick second porch-rake stone-tie");
    assert_eq!(names(&words("frame second")), "second");
    assert_eq!(names(&words("old stone")), "stone-tie", "the rare word counts more");
    assert_eq!(names(&words("frame old brick")), "old-brick second stone-tie");
    assert_eq!(names(&words("plywood shingles")), "porch-rake");
    // A word that no shelf has takes nothing away; of four words one is not enough.
    assert_eq!(names(&words("xyzzy granite")), "stone-tie");
    assert_eq!(names(&words("boathouse gutter chimney granite")), "");
}

#[test]
fn a_slip_a_beginning_and_more_than_one_are_understood() {
    for asked in ["masonry", "masonary", "mason", "masonrys", "MASONRY"] {
        assert_eq!(names(&words(asked)), "old-brick second", "{asked}");
    }
    assert_eq!(names(&words("granit")), "stone-tie");
    assert_eq!(names(&words("brickwork")), names(&words("brick")));
    assert_eq!(names(&words("boathuose")), "porch-rake");
    assert_eq!(names(&words("xyzzy")), "");
    let deck = deck();
    assert_eq!(near_words(&deck, &["boatyard".to_owned()]), ["board", "boarded"]);
    let answer = search(&deck, &words("masonary"), 1);
    assert_eq!((answer.total, answer.hits[0].found.clone()), (2, vec![("masonary".to_owned(), "masonry".to_owned())]));
}

#[test]
fn other_words_are_not_taken_for_slips() {
    let mut deck = Deck::default();
    let text =
        "---\ntitle: Fiber at these seams, faster stand\nmeets: a\nstatus: drawn\nrevision: 1\nsource: own\n---\n";
    deck.add(Draft::of(&Card::of("press", text)));
    let total = |asked: &str| search(&deck, &words(asked), 1).total;
    for other in ["timber", "cheese", "fenster", "sea", "sand", "fib", "undersea"] {
        assert_eq!(total(other), 0, "{other}");
    }
    for same in ["fibre", "seam", "seams", "fiber*", "fiber's", "(faster)", "fiberboard", "fibe", "tehse"] {
        assert_eq!(total(same), 1, "{same}");
    }
    let hit = search(&deck, &words("fiberboard seams plough adze cart"), 1);
    assert_eq!((hit.total, hit.unknown.join(" ")), (0, "plough adze cart".to_owned()));
}

#[test]
fn where_a_piece_stands_can_be_asked_for_and_a_whole_name_comes_first() {
    let text = |title: &str, line: &str| {
        let head = format!("---\ntitle: {title}\nmeets: window\nstatus: drawn\nrevision: 1\nsource: own\n---\n");
        format!("{head}wall a\n  outdoors\nopening door in a\n{line}joint foot\n  joins a eave, door jambs\n")
    };
    let mut deck = Deck::default();
    let tray = "  pan: lead, at sill\n  pan seals to b, at both ends\n";
    for (name, text) in [
        ("brick-window-head-and-sill", text("A flanged window", "")),
        ("flanged-window", text("A flanged window", tray)),
        ("press", text("A press", "")),
        ("loft", text("A press", "  pan: lead, at sill\n")),
        ("barn", text("A press", "  pan: lead, at sill\n")),
    ] {
        deck.add(Draft::of(&Card::of(name, &text)));
    }
    let asked = |asked: &str| {
        let hits = search(&deck, &words(asked), 9).hits;
        hits.iter().map(|hit| deck.entries[hit.at].name.as_str()).collect::<Vec<_>>().join(" ")
    };
    assert!(asked("flanged window sill").starts_with("flanged-window brick-window-head-and-sill "));
    assert_eq!(asked("ends"), "flanged-window");
    assert_eq!(asked("jambs eave"), "barn brick-window-head-and-sill flanged-window loft press");
}

#[test]
fn filters_narrow() {
    let zone = |zone| Query { zone: Zone::read(zone, ZoneBasis::Written), ..Query::default() };
    assert_eq!(names(&zone("4B")), "old-brick second stone-tie");
    assert_eq!(names(&zone("4A")), "old-brick porch-rake second stone-tie");
    assert_eq!(names(&zone("4")), "old-brick porch-rake second stone-tie");
    assert_eq!(names(&zone("8")), "old-brick second");
    let status = |status| Query { status: Some(status), ..Query::default() };
    assert_eq!(names(&status(Status::Proven)), "", "what is claimed and not borne out is not found");
    assert_eq!(names(&status(Status::Reviewed)).split(' ').count(), 4);
    let material = |key: &str| Query { material: Some(key.to_owned()), ..Query::default() };
    assert_eq!((names(&material("granite")), names(&material("wood"))), ("stone-tie".to_owned(), String::new()));
    let joins = |kinds: &[&str]| Query { joins: kinds.iter().map(|k| (*k).to_owned()).collect(), ..Query::default() };
    assert_eq!(names(&joins(&["wall", "roof"])), "porch-rake");
    assert_eq!(names(&joins(&["wall", "wall"])), "old-brick second stone-tie");
    let both = Query { joins: vec!["wall".to_owned()], ..words("brick masonry") };
    assert_eq!(names(&both), "old-brick second");
}

#[test]
fn nothing_asked_is_all_by_name_and_the_order_is_always_the_same() {
    assert_eq!(names(&Query::default()), "old-brick porch-rake second stone-tie");
    assert_eq!(names(&words("the of")), "old-brick porch-rake second stone-tie");
    let first = search(&deck(), &words("wall old frame"), 3);
    assert!((0..5).all(|_| search(&deck(), &words("wall old frame"), 3) == first));
}

#[test]
fn a_card_knows_what_is_joined_and_named() {
    let card = Card::of("porch-rake", PORCH);
    assert_eq!(
        (card.surfaces.join(" "), card.joins.concat().join(" ")),
        ("wall roof".to_owned(), "roof wall".to_owned())
    );
    assert!(
        ["sheet-steel", "mineral-wool-batt", "ice-barrier"].iter().all(|m| card.materials.contains(&(*m).to_owned()))
    );
    let door = Card::of(
        "door",
        "slab a\n  indoors\nwall b\n  outdoors\nopening door in b\njoint sill\n  joins a edge, door sill\n",
    );
    assert_eq!(door.joins, [vec!["wall".to_owned()], vec!["slab".to_owned(), "wall".to_owned()]]);
    assert_eq!(door.trouble.as_deref(), Some("it has no head"));
    let mistaken = Card::of("tie", &BRICK.replace("revision: 1", "revision: 1\nholds:\n  zones: [9]"));
    assert!(mistaken.head.is_some() && !mistaken.zones_are_known());
}
