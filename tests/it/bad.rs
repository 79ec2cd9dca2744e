//! Details as builders draw them, each with the failure that a careful inspector names first, and its mend.
//!
//! The failures are those of published experience: trade journals on flashing, air barriers and cold masonry, NHBC
//! Standards, ENERGY STAR and Building America checklists (from memory; the rules name what was read). The drawings are our
//! own. The first line of each names the rule that has to stop it; that line was written before the rules were asked.

use dewlap::base::finding::{Finding, Weight};
use dewlap::review::{Input, review};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn texts(below: &str) -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/bad").join(below);
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "dew"));
    paths.sort();
    let named = |p: &PathBuf| (p.file_stem().unwrap().to_str().unwrap().to_string(), fs::read_to_string(p).unwrap());
    paths.iter().map(named).collect()
}

/// What must not be built so: the findings that stop it or ask for a mend.
fn faults(text: &str) -> Vec<Finding> {
    let input = Input { name: "job.dew".to_string(), text: text.to_string() };
    let mut found = review(vec![input], &mut |_, path| Err(format!("no {path} here"))).reports.remove(0).findings;
    found.retain(|f| matches!(f.weight, Weight::Stop | Weight::Fix));
    found
}

fn rules(text: &str) -> BTreeSet<String> {
    faults(text).iter().map(|f| f.rule.to_string()).collect()
}

/// The rule that the first line of a text names.
fn expected(text: &str) -> &str {
    text.trim_start_matches("# ").split(':').next().unwrap()
}

#[test]
fn each_bad_detail_is_stopped_for_its_own_reason() {
    let all = texts("");
    assert!(all.len() >= 90, "{} texts", all.len());
    let missed = |(name, text): &(String, String)| {
        let found = rules(text);
        (!found.contains(expected(text))).then(|| format!("{name}: {} is not among {found:?}", expected(text)))
    };
    let missed: Vec<String> = all.iter().filter_map(missed).collect();
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

#[test]
fn the_mend_takes_the_finding_away_and_brings_no_other() {
    let bad = texts("");
    let mended = texts("mended");
    assert!(mended.len() >= 55, "{} texts", mended.len());
    for (name, text) in mended {
        let (_, drawn) = bad.iter().find(|(n, _)| *n == name).expect("a mended text has the bad one beside it");
        let (before, after) = (rules(drawn), rules(&text));
        assert!(!after.contains(expected(drawn)), "{name}: {} is still there", expected(drawn));
        assert!(after.is_subset(&before), "{name}: the mend brings {:?}", after.difference(&before));
    }
}

#[test]
fn odd_texts_are_read_to_the_end() {
    const WALL: &str = "wall a\n  outdoors\n  siding: fiber-cement-siding\n  wrap: open-sheet, adhered -> water air\n  \
                        sheath: plywood 1/2 in\n  studs: 2x6 at 16 in, bays mineral-wool-batt\n  indoors\n";
    let many = |joined: &str, links: &dyn Fn(usize) -> String| {
        let pieces: String = (0..200).map(|i| format!("  p{i}: copper\n")).collect();
        let links: String = (0..200).map(links).collect();
        format!("joint e\n  joins {joined}\n{pieces}{links}")
    };
    let odd = [
        "joint e\n".to_string(),
        "joint e\n  joins a top\n".to_string(),
        "opening e in a\n".to_string(),
        "penetration e through a\n".to_string(),
        "joint e\n  joins a left, a right\n  t: butyl-tape\n  t laps over a.wrap 2 in\n".to_string(),
        "joint e\n  joins e top, a left, a left\n  c: copper\n  c laps over c 2 in\n  c touches e.c\n".to_string(),
        "joint e \"日本語\"\n  joins a top\n  прокладка: copper\n  прокладка laps over wrap ½ in\n".to_string(),
        "opening e in a\n  f: unknown, at sill\n  p: unknown, slope unknown outward, end dams unknown\n  p laps over f \
         unknown\n  f seals to studs with unknown, unknown wide\n  p clears grade unknown\n  moves unknown across\n"
            .to_string(),
        "opening e in a\n  f: vinyl-window, ends not shown\n  not shown\n  wrap laps over f, not shown\n  f seals to \
         studs, not shown\n"
            .to_string(),
        many("a face", &|i| format!("  p{i} laps over p{} 4 in\n", i + 1)),
        many("a top", &|i| format!("  p{i} laps over p{} 4 in\n", (i + 1) % 200)),
    ];
    for joint in odd {
        for text in [format!("{WALL}{joint}"), joint.clone()] {
            let found = faults(&text);
            assert!(found.iter().all(|f| f.message.chars().count() <= 80), "{text}");
        }
    }
}

#[test]
fn an_opening_of_which_nothing_is_drawn_is_told_as_that_alone() {
    let wall = "wall a\n  outdoors\n  siding: fiber-cement-siding\n  wrap: open-sheet, adhered -> water air\n  \
                studs: 2x6 at 16 in, bays mineral-wool-batt\n  indoors\n";
    for head in ["opening e in a", "penetration e through a"] {
        let found = rules(&format!("{wall}{head}\n"));
        assert_eq!(found, BTreeSet::from(["notation/incomplete".to_string()]), "{head}");
    }
}

#[test]
fn a_pipe_through_a_roof_hands_nothing_on() {
    let roof = "roof low\n  slope 2 %\n  drains to outlet, overflow\n  outdoors\n  roofing: rubber-membrane 60 mil, \
                adhered, welded -> water\n  deck: plywood 3/4 in\n  outdoors\npenetration vent through low\n  pipe: \
                cast-iron, 3 in wide\n  boot: pipe-boot\n  boot laps over roofing 4 in, bonded\n  boot laps over pipe 8 in\n";
    assert_eq!(rules(roof), BTreeSet::new());
}

#[test]
fn plaster_on_an_old_wall_is_no_way_for_rain() {
    let text = |plaster: &str| {
        format!(
            "wall old\n  outdoors\n  masonry: solid-brick 12 in\n{plaster}  indoors\nroof low\n  slope 2 %\n  drains to \
             outlet, overflow\n  outdoors\n  roofing: rubber-membrane 60 mil, adhered, welded -> water\n  deck: plywood \
             3/4 in\n  indoors\njoint abut\n  joins old face, low high\n  counter: lead\n  roofing turns up masonry 8 \
             in\n  counter tucks into masonry 1 in, wedged, pointed\n  counter laps over roofing 4 in\n"
        )
    };
    assert_eq!(rules(&text("  skim: lime-plaster 3/4 in\n")), rules(&text("")));
}
