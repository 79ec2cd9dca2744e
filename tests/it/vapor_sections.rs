//! Roofs, slabs, walls in the ground and crawlspaces at the borders of their limits.
//!
//! Table R806.5: zones 1 to 3 read in a government extract, the other rows from memory. The 45 F sum, the R of foam before
//! a cool wall: worked out here by hand from the same layers.

use dewlap::base::finding::{Finding, Weight};
use dewlap::review::report::Report;
use dewlap::review::{Input, review};

/// A place in each zone of the tables.
const PLACES: [(&str, &str); 8] = [
    ("2", "houston-tx-us"),
    ("3", "raleigh-nc-us"),
    ("4C", "seattle-wa-us"),
    ("4", "richmond-va-us"),
    ("5", "albany-ny-us"),
    ("6", "burlington-vt-us"),
    ("7", "duluth-mn-us"),
    ("8", "fairbanks-ak-us"),
];

fn report(text: &str) -> Report {
    let input = Input { name: "mill.dew".to_string(), text: text.to_string() };
    let mut reports = review(vec![input], &mut |_, _| Err(String::new())).reports;
    let report = reports.remove(0);
    let unread: Vec<_> = report.findings.iter().filter(|f| f.rule.starts_with("notation/")).collect();
    assert!(unread.is_empty(), "{unread:?}\n{text}");
    report
}

/// The first finding of a rule.
fn found(rule: &str, text: &str) -> Option<Finding> {
    report(text).findings.into_iter().find(|f| f.rule == rule)
}

fn weight(rule: &str, text: &str) -> Option<Weight> {
    found(rule, text).map(|f| f.weight)
}

fn not_run(rule: &str, text: &str) -> bool {
    report(text).not_run.iter().any(|n| n.rule == rule)
}

fn job(place: &str, code: &str) -> String {
    format!("job mill\n  place {place}\n  {code}\n  heated 68 F 35 %\n  cooled 76 F 55 %\n")
}

fn roof(place: &str, facts: &str, layers: &str) -> String {
    let head = job(place, "code irc-2021");
    format!("{head}roof main\n  {facts}\n  outdoors\n  shingles: asphalt-shingles\n  {layers}\n  indoors\n")
}

const THIN: &str = "vapor/thin-roof-insulation";
const STEEP: &str = "slope 6:12";

fn bays(tight: f64, loose: f64) -> String {
    let depth = tight / 6.0;
    format!(
        "deck: plywood 1/2 in\n  rafters: 2x12 at 16 in, bays spf-closed {depth:.3} in R-{tight} + glass-batt R-{loose}\n  \
         lining: drywall 1/2 in, painted"
    )
}

#[test]
fn each_zone_asks_for_the_figure_of_its_row() {
    let rows = [("2", 5.0), ("3", 5.0), ("4C", 10.0), ("4", 15.0), ("5", 20.0), ("6", 25.0), ("7", 30.0), ("8", 35.0)];
    for ((zone, place), (of, figure)) in PLACES.into_iter().zip(rows) {
        assert_eq!(zone, of);
        let at = |tight: f64| weight(THIN, &roof(place, STEEP, &bays(tight, 13.0)));
        assert_eq!(at(figure), None, "zone {zone} at R-{figure}");
        assert_eq!(at(figure - 0.1), Some(Weight::Stop), "zone {zone} under R-{figure}");
    }
}

#[test]
fn over_a_deeper_roof_the_share_is_held() {
    // Zone 6: 25/49 of all. R-30 below wants 30 x 25/24 = R-31.25 at the deck, and R-23 below no more than R-25.
    let at = |tight: f64, loose: f64| weight(THIN, &roof("burlington-vt-us", STEEP, &bays(tight, loose)));
    assert_eq!(at(31.3, 30.0), None);
    assert_eq!(at(31.1, 30.0), Some(Weight::Fix));
    assert_eq!(at(25.0, 23.0), None);
}

#[test]
fn a_warm_deck_is_the_other_way() {
    // -1 C in the three coldest months, 20 C inside: 7 C at the deck's underside is 8/21 of the way, which is
    // 8/13 x (2.0 + 0.08 + 0.10) = 1.3415 m2.K/W outward; less 0.04, 0.01 and 0.10 leaves 1.1915 for the boards.
    let at = |boards: f64| {
        let climate = "climate cove\n  like albany-ny-us\n  temperature -1 -1 4 9 14 18 20 19 15 9 4 -1 C\n";
        let head = job("cove", "code irc-2021");
        let text = format!(
            "{head}{climate}roof main\n  slope 6:12\n  outdoors\n  sheet: rubber-membrane 60 mil RSI 0.01, welded\n  boards: \
             xps 60 mm RSI {boards}\n  deck: plywood 12 mm RSI 0.10\n  rafters: 38x140 mm at 400 mm, bays glass-batt RSI \
             2.0\n  lining: drywall 12 mm RSI 0.08, painted\n  indoors\n"
        );
        weight(THIN, &text)
    };
    assert_eq!(at(1.20), None);
    assert_eq!(at(1.18), Some(Weight::Stop));
}

#[test]
fn a_port_serves_in_the_warm_zones_on_steep_roofs() {
    let at = |place: &str, slope: &str, perms: f64| {
        let facts = format!("slope {slope}\n  port ridge 4 in, vapor-open-sheet {perms} perm");
        let layers =
            "deck: plywood 1/2 in\n  rafters: 2x10 at 16 in, bays glass-batt\n  lining: drywall 1/2 in, painted";
        weight(THIN, &roof(place, &facts, layers)).is_some()
    };
    assert!(!at("raleigh-nc-us", "3:12", 20.0));
    assert!(at("raleigh-nc-us", "3:12", 19.0) && at("raleigh-nc-us", "2:12", 20.0));
    assert!(at("richmond-va-us", "3:12", 20.0));
}

#[test]
fn air_under_the_deck_is_asked_for_first() {
    let gap = |words: &str| {
        let layers = format!(
            "deck: plywood 1/2 in\n  gap: air 2 in{words}\n  rafters: 2x10 at 16 in, bays glass-batt\n  lining: drywall \
             1/2 in, painted"
        );
        roof("albany-ny-us", STEEP, &layers)
    };
    assert_eq!(weight(THIN, &gap(", open eave and ridge")), None);
    // Somebody meant it to breathe: that it can't is told for that.
    assert_eq!(weight(THIN, &gap(", open eave")), None);
    assert_eq!(weight("dew/one-ended-roof-gap", &gap(", open eave")), Some(Weight::Fix));
    assert!(weight(THIN, &gap("")).is_none() && not_run(THIN, &gap("")));
    let bays = |words: &str| {
        let layers = format!(
            "deck: plywood 1/2 in\n  rafters: 2x10 at 16 in, bays air 1 in + glass-batt{words}\n  lining: drywall 1/2 in, \
             painted"
        );
        weight(THIN, &roof("albany-ny-us", STEEP, &layers))
    };
    assert_eq!([bays(", open eave and ridge"), bays("")], [None, Some(Weight::Stop)]);
}

#[test]
fn without_a_code_a_closed_film_is_enough() {
    let at = |film: &str| {
        let head = job("albany-ny-us", "rain normal");
        let text = format!(
            "{head}roof main\n  slope 2 %\n  outdoors\n  sheet: rubber-membrane 60 mil, welded\n  deck: plywood 1/2 in\n  \
             rafters: 2x10 at 16 in, bays glass-batt\n  film: smart-film{film}\n  lining: drywall 1/2 in, painted\n  \
             indoors\n"
        );
        let report = report(&text);
        let told = |rule: &str| report.findings.iter().any(|f| f.rule.starts_with(rule));
        (told(THIN), told("dew/"))
    };
    assert_eq!(at(", taped, edges sealed"), (false, false));
    assert_eq!(at(", lapped 6 in"), (true, false));
}

#[test]
fn a_ceiling_film_is_barred_up_to_class_one() {
    let at = |perms: f64| {
        let layers = format!(
            "deck: plywood 1/2 in\n  rafters: 2x10 at 16 in, bays spf-closed 4 in + glass-batt\n  film: poly 6 mil {perms} \
             perm, taped\n  lining: drywall 1/2 in, painted"
        );
        weight("vapor/shut-roof-ceiling", &roof("albany-ny-us", STEEP, &layers))
    };
    assert_eq!([at(0.1), at(0.11)], [Some(Weight::Stop), None]);
}

#[test]
fn foam_is_class_two_from_zone_five_on() {
    let at = |place: &str, perms: f64| {
        let layers = format!(
            "deck: plywood 1/2 in\n  rafters: 2x8 at 16 in, bays spf-open {perms} perm\n  lining: drywall 1/2 in, painted"
        );
        weight("vapor/bare-open-foam", &roof(place, STEEP, &layers))
    };
    assert_eq!([at("albany-ny-us", 1.0), at("albany-ny-us", 1.1)], [None, Some(Weight::Stop)]);
    assert_eq!(at("seattle-wa-us", 1.1), None);
}

fn slab(code: &str, layers: &str) -> String {
    format!("{}slab floor\n  indoors\n  {layers}\n  ground\n", job("cleveland-oh-us", code))
}

#[test]
fn a_sheet_under_a_slab_is_as_thick_as_its_edition_asks() {
    let at = |code: &str, sheet: &str| {
        let layers = format!("pour: concrete 4 in\n  sheet: poly {sheet}\n  boards: xps 2 in");
        weight("vapor/open-slab", &slab(code, &layers))
    };
    assert_eq!([at("code irc-2021", "10 mil, taped"), at("code irc-2021", "9 mil, taped")], [None, Some(Weight::Fix)]);
    assert_eq!([at("code irc-2018", "6 mil, taped"), at("code irc-2018", "5 mil, taped")], [None, Some(Weight::Fix)]);
    assert_eq!(at("code irc-2021", "10 mil, lapped 6 in"), None);
    assert_eq!(at("code irc-2021", "10 mil, lapped 5 in"), Some(Weight::Fix));
    assert_eq!(at("rain normal", "4 mil, lapped 2 in"), None);
}

#[test]
fn a_missing_sheet_is_told_once() {
    let rules = |code: &str, layers: &str| {
        let found = report(&slab(code, layers)).findings;
        let of = |f: &Finding| f.rule.starts_with("vapor/").then_some((f.rule, f.weight));
        found.iter().filter_map(of).collect::<Vec<_>>()
    };
    let bare = "pour: concrete 4 in\n  stone: crushed-stone 4 in";
    assert_eq!(rules("code irc-2021", bare), [("vapor/open-slab", Weight::Stop)]);
    assert_eq!(rules("rain normal", bare), [("vapor/open-slab", Weight::Fix)]);
    let floor = format!("finish: vinyl-floor\n  {bare}");
    assert_eq!(rules("code irc-2021", &floor), [("vapor/tight-floor-on-damp-slab", Weight::Stop)]);
}

#[test]
fn concrete_has_a_month_an_inch() {
    let at = |inches: f64, days: u32| {
        let layers = format!(
            "finish: vinyl-floor\n  pour: concrete {inches} in, covered at {days} days\n  sheet: poly-10-mil, taped"
        );
        weight("vapor/tight-floor-on-damp-slab", &slab("code irc-2021", &layers))
    };
    assert_eq!([at(4.0, 120), at(4.0, 119)], [None, Some(Weight::Fix)]);
    assert_eq!([at(0.5, 28), at(0.5, 27)], [None, Some(Weight::Fix)]);
}

#[test]
fn the_foam_that_is_told_is_just_enough() {
    let rule = "vapor/fiber-against-cool-mass";
    let wall = |foam: &str| {
        format!(
            "{}wall north\n  ground 6 ft, drained\n  sheet: bitumen-sheet, adhered\n  pour: concrete 8 in\n  {foam}studs: 2x4 \
             at 16 in, bays glass-batt\n  lining: drywall 1/2 in, painted\n  indoors\n",
            job("cleveland-oh-us", "code irc-2021")
        )
    };
    let bare = found(rule, &wall("")).unwrap();
    let lacks = bare.numbers.iter().find(|n| n.name == "resistance_lacking").unwrap().value;
    assert!(lacks > 0.1 && lacks < 3.0, "{lacks}");
    let with = |r: f64| weight(rule, &wall(&format!("foam: xps 2 in RSI {r:.4}, taped\n  ")));
    assert_eq!(with(lacks + 0.001), None);
    assert_eq!(with(lacks - 0.01), Some(Weight::Fix));
}

#[test]
fn old_masonry_shut_on_both_faces_is_worse_than_on_one() {
    let wall = |rain: &str, outer: &str, inner: f64| {
        let text = format!(
            "job mill\n  place cleveland-oh-us\n  heated 68 F 35 %\n  rain {rain}\nwall street\n  outdoors\n  {outer}brick: \
             solid-brick 12 in, existing\n  foam: xps 2 in {inner} perm, taped\n  lining: drywall 1/2 in, painted\n  indoors\n"
        );
        weight("vapor/shut-old-wall", &text)
    };
    assert_eq!([wall("normal", "", 1.0), wall("normal", "", 0.9)], [None, Some(Weight::Watch)]);
    assert_eq!(wall("severe", "", 0.9), Some(Weight::Fix));
    assert_eq!(wall("normal", "coat: bitumen-sheet, adhered\n  ", 0.9), Some(Weight::Stop));
    assert_eq!(wall("severe", "board: cedar 1/2 in\n  gap: air 1 in, open top and bottom\n  ", 0.9), None);
}

#[test]
fn a_crawlspace_open_enough_is_watched() {
    let at = |air: &str| {
        let text = format!(
            "{}room crawl\n  {air}\nfloor over\n  indoors\n  deck: plywood 3/4 in\n  joists: 2x10 at 16 in, bays glass-batt\n  \
             crawl\nslab soil\n  crawl\n  stone: crushed-stone 4 in\n  ground\n",
            job("cleveland-oh-us", "code irc-2021")
        );
        weight("vapor/crawl-sheet", &text)
    };
    assert_eq!(at("open both sides 1/150"), Some(Weight::Watch));
    assert_eq!(at("open both sides 1/151"), Some(Weight::Fix));
    assert_eq!(at("unheated"), Some(Weight::Fix));
}

#[test]
fn what_a_room_is_for_is_told_by_its_floor() {
    let at = |air: &str, floor: &str| {
        let text = format!(
            "{}room below\n  {air}\nwall footing\n  ground 3 ft\n  pour: concrete 8 in\n  foam: xps 2 in\n  below\n{floor}",
            job("cleveland-oh-us", "code irc-2021")
        );
        ["water/bare-ground-wall", "safety/bare-foam"].map(|rule| weight(rule, &text))
    };
    let soil = "slab soil\n  below\n  sheet: poly-10-mil, taped\n  ground\n";
    let pour = "slab pour\n  below\n  pour: concrete 4 in\n  sheet: poly-10-mil, taped\n  ground\n";
    assert_eq!(at("shares indoors", soil), [None, Some(Weight::Fix)]);
    assert_eq!(at("heated 60 F 40 %", soil), [None, Some(Weight::Fix)]);
    assert_eq!(at("shares indoors", pour), [Some(Weight::Stop), Some(Weight::Stop)]);
    assert_eq!(at("open both sides 1/150", ""), [None, Some(Weight::Fix)]);
    assert_eq!(at("unheated", ""), [Some(Weight::Watch), Some(Weight::Stop)]);
    assert_eq!(at("heated 60 F 40 %", ""), [Some(Weight::Stop), Some(Weight::Stop)]);
}

#[test]
fn a_service_space_has_no_room_face() {
    let at = |room: &str, floor: &str| {
        let text = format!(
            "{}room crawl\n  shares indoors\nwall footing\n  ground 3 ft, 1 ft above grade, drained\n  coat: \
             damp-proofing\n  pour: concrete 8 in\n  {room}\n{floor}",
            job("duluth-mn-us", "rain normal")
        );
        found("dew/cold-inner-face", &text).is_some()
    };
    let soil = "slab soil\n  crawl\n  sheet: poly-10-mil, taped\n  ground\n";
    assert!(at("indoors", soil));
    assert!(!at("crawl", soil));
}

#[test]
fn a_slab_deep_in_the_ground_has_no_cold_edge() {
    let rule = "heat/bare-slab-edge";
    let text = |depth: &str| {
        format!(
            "{}wall cellar\n  {depth}\n  sheet: bitumen-sheet, adhered\n  pour: concrete 8 in\n  indoors\nslab floor\n  \
             indoors\n  pour: concrete 4 in\n  sheet: poly-10-mil, taped\n  ground\njoint foot\n  joins cellar bottom, floor \
             edge\n  cellar.pour touches floor.pour\n",
            job("duluth-mn-us", "code irc-2021")
        )
    };
    assert_eq!(weight(rule, &text("ground 2 ft")), Some(Weight::Fix));
    assert_eq!(weight(rule, &text("ground 25 in")), None);
    assert!(weight(rule, &text("ground unknown")).is_none() && not_run(rule, &text("ground unknown")));
}

#[test]
fn air_in_the_bays_counts_as_the_gap_it_is() {
    let run = |layers: &str| {
        let layers = format!("deck: plywood 1/2 in\n  {layers}\n  lining: drywall 1/2 in, painted");
        let report = report(&roof("burlington-vt-us", STEEP, &layers));
        let months = report.surfaces[0].paths[0].months.iter();
        months.flat_map(|m| &m.points).map(|p| p.water.si()).fold(0.0, f64::max)
    };
    let apart = run("gap: air 2 in, open eave and ridge\n  rafters: 2x10 at 16 in, bays glass-batt");
    let within = run("rafters: 38x286 mm at 16 in, bays air 2 in + glass-batt 9-1/4 in, open eave and ridge");
    let shut = run("rafters: 38x286 mm at 16 in, bays air 2 in + glass-batt 9-1/4 in");
    assert_eq!([apart, within], [0.0, 0.0]);
    assert!(shut > 0.1, "{shut}");
}

#[test]
fn wood_shingles_want_a_quarter_inch_of_moving_air() {
    let at = |gap: &str| {
        let head = job("albany-ny-us", "code irc-2021");
        let text = format!(
            "{head}roof main\n  slope 6:12\n  outdoors\n  shingles: wood-roof-shingles\n  {gap}felt: felt\n  deck: plywood \
             1/2 in\n  rafters: 2x10 at 16 in, bays spf-closed 4 in + glass-batt\n  lining: drywall 1/2 in, painted\n  \
             indoors\n"
        );
        weight("vapor/unvented-wood-shingles", &text)
    };
    assert_eq!(at("gap: air 1/4 in, open eave and ridge\n  "), None);
    assert_eq!(at("gap: air 3/16 in, open eave and ridge\n  "), Some(Weight::Fix));
    assert_eq!(at("gap: air 1/4 in, open eave\n  "), Some(Weight::Fix));
    assert_eq!(at(""), Some(Weight::Fix));
}
