//! Vapor retarder verdicts zone by zone, against IRC 2021 Tables R702.7(2) and R702.7(3).
//!
//! The tables were read in a government extract (zone 1) and in transcriptions; zones 3 and 4 of R702.7(2) are from
//! memory. One place a zone stands for all.

use dewlap::review::{Input, review};

/// A place in each zone of the tables.
const PLACES: [(&str, &str); 10] = [
    ("1", "miami-fl-us"),
    ("2", "houston-tx-us"),
    ("3", "raleigh-nc-us"),
    ("4", "richmond-va-us"),
    ("4C", "seattle-wa-us"),
    ("5", "albany-ny-us"),
    ("5C", "port-angeles-wa-us"),
    ("6", "burlington-vt-us"),
    ("7", "duluth-mn-us"),
    ("8", "fairbanks-ak-us"),
];

/// The retarder rules raised on a frame wall with this board outboard of it, this sheathing and these inner layers.
fn raised(place: &str, outer: &str, sheathing: &str, studs: &str, inner: &str) -> Vec<&'static str> {
    let text = format!(
        "job mill\n  place {place}\n  code irc-2021\n  heated 70 F 35 %\n  cooled 75 F 55 %\nwall east\n  outdoors\n  \
         siding: wood-lap-siding 1/2 in\n  {outer}\n  sheath: {sheathing} 1/2 in, taped -> air\n  studs: {studs} at 16 in, \
         bays glass-batt\n  {inner}\n  indoors\n"
    );
    let done = review(vec![Input { name: "mill.dew".to_string(), text }], &mut |_, _| Err(String::new()));
    let rules = done.reports.iter().flat_map(|r| &r.findings).map(|f| f.rule);
    rules.filter(|r| matches!(*r, "vapor/class-not-allowed" | "vapor/class-three-unearned")).collect()
}

/// The zones in which a rule is raised; it is the only one of the two wherever it is.
fn zones(rule: &str, outer: &str, sheathing: &str, studs: &str, inner: &str) -> Vec<&'static str> {
    let in_zone = |place: &str| {
        let found = raised(place, outer, sheathing, studs, inner);
        assert!(found.is_empty() || found == [rule], "{place}: {found:?}");
        !found.is_empty()
    };
    PLACES.into_iter().filter(|(_, place)| in_zone(place)).map(|(zone, _)| zone).collect()
}

const WRAP: &str = "wrap: housewrap-laminated, lapped 6 in -> water";
const RAINSCREEN: &str = "gap: air 3/4 in, open top and bottom";
const BARE: &str = "lining: drywall 1/2 in, taped";
const PAINTED: &str = "lining: drywall 1/2 in, painted";

#[test]
fn class_one_is_barred_in_the_warm_zones() {
    let inner = format!("film: poly 6 mil, lapped 6 in\n  {BARE}");
    assert_eq!(zones("vapor/class-not-allowed", WRAP, "osb", "2x6", &inner), ["1", "2", "3", "4"]);
    let primed = "lining: drywall 1/2 in, painted vapor-retarder-primer";
    assert_eq!(zones("vapor/class-not-allowed", WRAP, "osb", "2x6", primed), ["1", "2"]);
    // Responsive: 0.3 perm in the dry cup, 4 in the wet cup.
    let kraft = format!("kraft: kraft\n  {BARE}");
    assert!(zones("", WRAP, "osb", "2x6", &kraft).is_empty());
}

#[test]
fn one_is_needed_in_the_cold_and_marine_zones() {
    assert_eq!(zones("vapor/class-three-unearned", WRAP, "osb", "2x6", BARE), ["4C", "5", "5C", "6", "7", "8"]);
}

#[test]
fn class_three_is_earned_by_insulation_or_vented_cladding() {
    let unearned =
        |outer: &str, sheathing, studs| zones("vapor/class-three-unearned", outer, sheathing, studs, PAINTED);
    assert_eq!(unearned(WRAP, "osb", "2x6"), ["4C", "5", "5C", "6", "7", "8"]);
    assert_eq!(unearned(RAINSCREEN, "osb", "2x6"), ["6", "7", "8"]);
    assert_eq!(unearned(RAINSCREEN, "gypsum-sheathing", "2x6"), ["7", "8"]);
    // Continuous insulation, just below and at the figures of the table.
    for (studs, figures) in [("2x4", [2.5, 5.0, 7.5, 10.0, 12.5]), ("2x6", [3.75, 7.5, 11.25, 15.0, 20.0])] {
        let steps = [vec!["4C"], vec!["5", "5C"], vec!["6"], vec!["7"], vec!["8"]];
        for (step, figure) in figures.into_iter().enumerate() {
            let board = |r: f64| format!("outer: mineral-wool-board {} in R-{r}", figure / 4.0);
            let still = |from: usize| steps.iter().skip(from).flatten().copied().collect::<Vec<_>>();
            assert_eq!(unearned(&board(figure), "osb", studs), still(step + 1), "R-{figure} over {studs}");
            assert_eq!(unearned(&board(figure - 0.1), "osb", studs), still(step), "below R-{figure} over {studs}");
        }
    }
}

#[test]
fn no_code_no_verdict_and_the_report_says_so() {
    let text = "job mill\n  place houston-tx-us\n  heated 70 F 35 %\nwall east\n  outdoors\n  boards: cedar 3/4 in\n  sheath: \
                plywood 1/2 in, taped -> air\n  studs: 2x4 at 16 in, bays glass-batt\n  lining: drywall 1/2 in, painted\n  indoors\n";
    let input = Input { name: "mill.dew".to_string(), text: text.to_string() };
    let done = review(vec![input], &mut |_, _| Err(String::new()));
    let reasons: Vec<_> =
        done.reports.iter().flat_map(|r| &r.not_run).filter(|n| n.why.contains("code edition")).collect();
    assert!(!reasons.is_empty());
    assert!(done.reports.iter().all(|r| r.findings.iter().all(|f| !f.rule.starts_with("vapor/"))));
}
