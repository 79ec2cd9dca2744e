//! Openings, cavities, exits, pans and falls: one fact is changed in a good detail, and what is told of it.

use std::collections::BTreeSet;

use dewlap::review::{Input, review};

/// What is judged here; other rules have tests of their own.
const RULES: [&str; 21] = [
    "water/backward-fall",
    "water/blind-transfer",
    "water/face-sealed-in-hard-rain",
    "water/far-weeps",
    "water/level-ledge",
    "water/low-threshold",
    "water/missing-end-dams",
    "water/missing-head-flashing",
    "water/missing-sill-pan",
    "water/missing-tray",
    "water/mortar-in-cavity",
    "water/no-drip",
    "water/no-exit",
    "water/no-overflow",
    "water/no-weep-screed",
    "water/one-sheet-behind-stucco",
    "water/open-pan-back",
    "water/pan-inside",
    "water/plugged-exit",
    "water/short-of-face",
    "water/thin-cavity",
];

const BOARDED: &str = "wall bay
  outdoors
  siding:  fiber-cement-siding 8 mm
  gap:     air 20 mm, open top and bottom
  wrap:    housewrap, lapped 150 mm -> water
  sheath:  plywood 12 mm
  studs:   38x140 mm at 400 mm, bays mineral-wool-batt
  lining:  drywall 12.5 mm
  indoors
";

const WINDOW: &str = "opening slip in bay
  frame:  vinyl-window, flanged, set in sheath
  cap:    galvanized-steel, slope 1:12 outward, end dams 25 mm, drip, at head
  tape:   butyl-tape 100 mm, at jambs
  pan:    formed-pan, slope 1:12 outward, end dams 25 mm, back dam 25 mm, at sill
  wrap laps over cap 100 mm
  cap laps over frame 25 mm
  cap runs past siding 10 mm
  tape laps over frame 25 mm
  tape laps over wrap 75 mm
  tape laps over pan 50 mm
  pan laps over wrap 100 mm
  pan drains to outdoors
  frame seals to sheath with gun-foam
";

const BRICK: &str = "wall street
  outdoors
  brick:   brick-veneer 90 mm
  gap:     air 50 mm, open top and bottom
  wrap:    housewrap, lapped 150 mm -> water
  sheath:  plywood 12 mm
  studs:   38x140 mm at 400 mm, bays mineral-wool-batt
  lining:  drywall 12.5 mm
  indoors
";

const FOOT: &str = "joint foot
  joins street bottom
  tray:   stainless-steel, slope 1:12 outward, end dams 25 mm, drip
  wrap laps over tray 200 mm
  tray runs past brick 10 mm
  tray drains to outdoors, weeps at 600 mm oc
  brick clears grade 200 mm
";

const LEAN_TO: &str = "roof lean
  slope 4:12
  outdoors
  slates:  slate
  felt:    felt, lapped 100 mm -> water
  deck:    plywood 16 mm
  indoors

joint abut
  joins street face, lean high
  base:   lead
  base laps over slates 150 mm
  upper wrap laps over base 100 mm
";

const LANDING: &str = "deck landing
  slope 1:40 to front
  outdoors
  sheet:   modified-bitumen -> water
  pour:    concrete 150 mm
  outdoors

joint step
  joins slip sill, landing back
  sheet turns up pan 150 mm, bonded
";

/// The rules of this file that speak of a text, and those that say they can't be run.
fn told(text: &str) -> (BTreeSet<&'static str>, BTreeSet<&'static str>) {
    let input = Input { name: "exits.dew".to_string(), text: text.to_string() };
    let done = review(vec![input], &mut |_, path| Err(format!("nothing to include at {path}")));
    let report = &done.reports[0];
    let broken: Vec<&str> =
        report.findings.iter().filter(|f| f.rule.starts_with("notation/")).map(|f| f.message.as_str()).collect();
    assert!(broken.is_empty(), "{broken:?}\n{text}");
    let own = |rule: &str| RULES.iter().copied().find(|r| *r == rule);
    (
        report.findings.iter().filter_map(|f| own(f.rule)).collect(),
        report.not_run.iter().filter_map(|n| own(n.rule)).collect(),
    )
}

/// A detail with lines changed: each pair is what stands there and what takes its place.
fn changed(parts: &[&str], changes: &[(&str, &str)]) -> String {
    let mut text = parts.join("\n");
    for (from, to) in changes {
        assert!(text.contains(from), "`{from}` is not in\n{text}");
        text = text.replace(from, to);
    }
    text
}

fn finds(parts: &[&str], changes: &[(&str, &str)], wanted: &[&str]) {
    let text = changed(parts, changes);
    let (found, _) = told(&text);
    assert_eq!(found, wanted.iter().copied().collect(), "{changes:?}\n{text}");
}

fn cannot(parts: &[&str], changes: &[(&str, &str)], wanted: &str) {
    let text = changed(parts, changes);
    let (found, not_run) = told(&text);
    assert!(found.is_empty() && not_run.contains(wanted), "{changes:?}: {found:?}, not run {not_run:?}\n{text}");
}

#[test]
fn good_details_are_passed() {
    finds(&[BOARDED, WINDOW], &[], &[]);
    finds(&[BRICK, FOOT], &[], &[]);
    finds(&[BOARDED, WINDOW, LANDING], &[], &[]);
}

#[test]
fn a_cavity_has_a_way_out_at_its_foot() {
    let shut = "joint foot\n  joins bay bottom\n  rail: plastic-trim 20 mm\n  siding seals to rail with urethane\n";
    let bare = "joint foot\n  joins bay bottom\n  siding touches paving\n";
    let clear = "joint foot\n  joins bay bottom\n  siding clears grade 200 mm\n";
    finds(&[BOARDED, shut], &[(", open top and bottom", "")], &["water/no-exit"]);
    finds(&[BOARDED, bare], &[("open top and bottom", "closed")], &["water/no-exit"]);
    finds(&[BOARDED, bare], &[("open top and bottom", "open top")], &["water/no-exit"]);
    finds(&[BOARDED, clear], &[(", open top and bottom", "")], &[]);
    finds(&[BOARDED, clear], &[], &[]);
    let nothing = "joint foot\n  joins bay bottom\n  sill: treated-wood 38 mm\n  sill touches studs\n";
    cannot(&[BOARDED, nothing], &[(", open top and bottom", "")], "water/no-exit");
    cannot(
        &[BOARDED, bare],
        &[("open top and bottom", "closed"), ("siding touches", "not shown\n  siding touches")],
        "water/no-exit",
    );
}

#[test]
fn a_tray_has_an_exit_and_reaches_the_face() {
    let stuck = ("tray runs past brick 10 mm\n  tray drains to outdoors, weeps at 600 mm oc", "tray touches brick");
    finds(&[BRICK, FOOT], &[stuck], &["water/no-exit"]);
    let short = ("tray runs past brick 10 mm", "tray stops short of brick 15 mm");
    finds(&[BRICK, FOOT], &[short], &["water/short-of-face"]);
    let edged = (
        "tray:   stainless-steel, slope 1:12 outward, end dams 25 mm, drip",
        "tray:   bitumen-sheet, end dams 25 mm\n  edge:   stainless-steel, drip",
    );
    let over = (
        "tray runs past brick 10 mm",
        "tray stops short of brick 15 mm\n  tray laps over edge 75 mm\n  edge runs past brick 10 mm",
    );
    finds(&[BRICK, FOOT], &[edged, over], &[]);
    let none = (
        "  tray:   stainless-steel, slope 1:12 outward, end dams 25 mm, drip\n  wrap laps over tray 200 mm\n  tray runs past brick 10 mm\n  tray drains to outdoors, weeps at 600 mm oc\n",
        "",
    );
    finds(&[BRICK, FOOT], &[none], &["water/missing-tray"]);
    cannot(&[BRICK, FOOT], &[none, ("joins street", "not shown\n  joins street")], "water/missing-tray");
}

#[test]
fn weeps_that_are_sealed_are_no_weeps() {
    let sealed = ("weeps at 600 mm oc", "weeps at 600 mm oc, sealed with urethane");
    finds(&[BRICK, FOOT], &[sealed], &["water/plugged-exit"]);
}

#[test]
fn weeps_are_close_enough() {
    for (spacing, wanted) in [("600 mm oc", 0), ("610 mm oc", 0), ("24 in oc", 0), ("700 mm oc", 1), ("900 mm oc", 1)] {
        let rule = ["water/far-weeps"];
        finds(&[BRICK, FOOT], &[("600 mm oc", spacing)], &rule[..wanted]);
    }
}

#[test]
fn the_ends_of_pans_and_trays_are_turned_up() {
    finds(&[BRICK, FOOT], &[(", end dams 25 mm, drip", ", drip")], &["water/missing-end-dams"]);
    finds(&[BRICK, FOOT], &[("end dams 25 mm, drip", "end dams 10 mm, drip")], &["water/missing-end-dams"]);
    cannot(&[BRICK, FOOT], &[("end dams 25 mm, drip", "drip, ends not shown")], "water/missing-end-dams");
    finds(&[BOARDED, WINDOW], &[("end dams 25 mm, back", "back")], &["water/missing-end-dams"]);
    let soft = (
        "formed-pan, slope 1:12 outward, end dams 25 mm, back dam 25 mm, at sill",
        "liquid-flashing, slope 1:12 outward, at sill and jambs",
    );
    finds(&[BOARDED, WINDOW], &[soft], &[]);
}

#[test]
fn the_lower_flange_stays_open() {
    let seal = |with: &str| ("frame seals to sheath with gun-foam".to_string(), with.to_string());
    let all_round = seal("frame seals to sheath with gun-foam\n  frame seals to wrap with butyl-sealant");
    let sides =
        seal("frame seals to sheath with gun-foam\n  frame seals to wrap with butyl-sealant, at head and jambs");
    let two = seal("frame seals to sheath with gun-foam\n  frame seals to pan with butyl-sealant, at sill");
    let back = seal(
        "frame seals to sheath with gun-foam, at head and jambs\n  frame seals to pan with butyl-sealant, at sill",
    );
    for (change, wanted) in [(all_round, 1), (sides, 0), (two, 1), (back, 0)] {
        let rule = ["water/plugged-exit"];
        finds(&[BOARDED, WINDOW], &[(&change.0, &change.1)], &rule[..wanted]);
    }
    finds(
        &[BOARDED, WINDOW],
        &[
            ("tape laps over frame 25 mm", "tape laps over frame 25 mm\n  skirt laps over frame 25 mm"),
            ("  wrap laps over cap", "  skirt: butyl-tape 100 mm, at sill\n  wrap laps over cap"),
        ],
        &["water/plugged-exit"],
    );
    finds(
        &[BOARDED, WINDOW],
        &[("pan drains to outdoors", "pan drains to outdoors\n  siding touches frame, at sill")],
        &["water/plugged-exit"],
    );
    finds(
        &[BOARDED, WINDOW],
        &[("pan drains to outdoors", "pan drains to outdoors\n  siding clears frame 6 mm, at sill")],
        &[],
    );
}

#[test]
fn a_foot_is_not_sealed_or_filled() {
    finds(
        &[BRICK, FOOT],
        &[("brick clears", "brick seals to tray with urethane\n  brick clears")],
        &["water/plugged-exit"],
    );
    let fill = |what: &str| format!("fill:   {what}\n  wrap laps over tray 200 mm\n  fill fills gap");
    finds(&[BRICK, FOOT], &[("wrap laps over tray 200 mm", &fill("mortar"))], &["water/plugged-exit"]);
    finds(&[BRICK, FOOT], &[("wrap laps over tray 200 mm", &fill("drainage-mat"))], &[]);
}

#[test]
fn a_pan_has_a_back_and_lands_outside() {
    finds(
        &[BOARDED, WINDOW],
        &[("formed-pan, slope 1:12 outward, end dams 25 mm, back dam 25 mm", "formed-pan, end dams 25 mm")],
        &["water/open-pan-back"],
    );
    finds(&[BOARDED, WINDOW], &[("formed-pan, slope 1:12 outward, ", "formed-pan, ")], &[]);
    finds(
        &[BOARDED, WINDOW],
        &[("formed-pan, slope 1:12 outward, end", "formed-pan, slope 1:12 inward, end")],
        &["water/backward-fall"],
    );
    finds(&[BOARDED, WINDOW], &[("pan laps over wrap 100 mm", "pan laps over sheath 100 mm")], &["water/pan-inside"]);
    finds(
        &[BOARDED, WINDOW],
        &[(
            "pan laps over wrap 100 mm",
            "apron:  bitumen-sheet, at sill\n  pan laps over apron 100 mm\n  apron laps over wrap 100 mm",
        )],
        &[],
    );
}

#[test]
fn falls_are_steep_enough_and_outward() {
    finds(&[BOARDED, WINDOW], &[("steel, slope 1:12 outward", "steel, level")], &["water/level-ledge"]);
    finds(&[BOARDED, WINDOW], &[("steel, slope 1:12 outward", "steel, slope 3 % outward")], &["water/level-ledge"]);
    finds(&[BOARDED, WINDOW], &[("steel, slope 1:12 outward", "steel, slope 7 % outward")], &[]);
    let bay = "joint landing-bay\n  joins bay bottom, landing back\n  sheet turns up wrap 200 mm, bonded\n";
    finds(
        &[BOARDED, LANDING.split("\njoint").next().unwrap(), bay],
        &[("to front", "to back")],
        &["water/backward-fall"],
    );
    let coping = "joint top\n  joins street top\n  coping: granite 60 mm, slope 1:20 inward, drip\n  dpc:    plastic-dpc\n  coping laps over dpc 90 mm\n  coping runs past brick 40 mm\n";
    finds(&[BRICK, coping], &[], &[]);
    finds(&[BRICK, coping], &[("slope 1:20 inward", "level")], &["water/level-ledge"]);
    finds(&[BRICK, coping], &[(", drip", "")], &["water/no-drip"]);
    finds(&[BRICK, coping], &[("past brick 40 mm", "past brick 3 mm")], &["water/no-drip"]);
}

#[test]
fn a_room_under_a_brick_cavity_needs_a_tray() {
    finds(&[BRICK, LEAN_TO], &[], &["water/missing-tray"]);
    let tray = (
        "base:   lead",
        "base:   lead\n  tray:   lead, end dams 40 mm, drip, slope 1:12 outward\n  upper wrap laps over tray 100 mm\n  tray runs past brick 25 mm\n  tray drains to outdoors, weeps at 600 mm oc\n  tray laps over base 75 mm",
    );
    finds(&[BRICK, LEAN_TO], &[tray], &[]);
    finds(&[BRICK, LEAN_TO], &[("plywood 16 mm\n  indoors", "plywood 16 mm\n  outdoors")], &[]);
    finds(
        &[BRICK, WINDOW],
        &[
            ("in bay", "in street"),
            ("past siding 10 mm", "past brick 10 mm\n  cap drains to outdoors, weeps at 600 mm oc"),
        ],
        &[],
    );
    finds(
        &[BRICK, WINDOW],
        &[("in bay", "in street"), ("  cap runs past siding 10 mm\n", "")],
        &["water/missing-tray"],
    );
}

#[test]
fn steel_that_carries_brick_is_no_tray() {
    let shelf =
        "joint shelf\n  joins street face\n  angle:  steel 8 mm\n  brick touches angle\n  angle fastens to sheath\n";
    finds(&[BRICK, shelf], &[], &["water/missing-tray"]);
    let tray = (
        "  brick touches",
        "  tray:   stainless-steel, end dams 25 mm, drip, slope 1:12 outward\n  wrap laps over tray 200 mm\n  tray laps over angle 75 mm\n  tray runs past brick 10 mm\n  tray drains to outdoors, weeps at 600 mm oc\n  brick touches",
    );
    finds(&[BRICK, shelf], &[tray], &[]);
    let lintel = (
        "  cap:    galvanized-steel, slope 1:12 outward, end dams 25 mm, drip, at head\n",
        "  cap:    steel 8 mm, at head\n",
    );
    let seat = (
        "  wrap laps over cap 100 mm\n  cap laps over frame 25 mm\n  cap runs past siding 10 mm\n",
        "  brick touches cap\n  cap fastens to sheath\n",
    );
    finds(&[BRICK, WINDOW], &[lintel, seat, ("in bay", "in street")], &["water/missing-tray"]);
}

#[test]
fn a_sheet_over_a_pan_is_told_as_a_reversed_lap() {
    let text = changed(&[BOARDED, WINDOW], &[("pan laps over wrap 100 mm", "wrap laps over pan 100 mm")]);
    assert!(!told(&text).0.contains("water/pan-inside"), "{text}");
}

#[test]
fn trim_and_belts_have_a_fall() {
    let covered = "  casing: plastic-trim 25 mm, level, at head\n  cap laps over casing 25 mm\n  wrap laps over cap";
    let bare = "  casing: plastic-trim 25 mm, level, at head\n  casing butts frame\n  wrap laps over cap";
    finds(&[BOARDED, WINDOW], &[("  wrap laps over cap", covered)], &[]);
    finds(&[BOARDED, WINDOW], &[("  wrap laps over cap", bare)], &["water/level-ledge"]);
}

#[test]
fn a_boarded_cavity_ends_above_the_roof_of_a_room() {
    let lean = LEAN_TO.split("\njoint").next().unwrap();
    let seam = |more: &str| {
        format!(
            "joint abut\n  joins bay face, lean rake\n  step:   galvanized-steel\n  step laps over slates 100 mm, woven\n{more}"
        )
    };
    finds(&[BOARDED, lean, &seam("  felt seals to sheath\n")], &[], &["water/missing-tray"]);
    finds(&[BOARDED, lean, &seam("  upper wrap laps over step 100 mm\n")], &[], &[]);
    finds(&[BOARDED, lean, &seam("  felt seals to sheath\n  siding clears slates 50 mm\n")], &[], &[]);
}

#[test]
fn a_wall_hands_its_water_to_one_that_drains() {
    let lower = |layers: &str| {
        format!(
            "wall plinth\n  outdoors\n{layers}  board:   plywood 12 mm\n  posts:   38x140 mm at 400 mm, bays mineral-wool-batt\n  indoors\n"
        )
    };
    let paneled = lower("  panel:   fiber-cement-panel 8 mm -> water\n");
    let stone = lower("  stone:   adhered-stone 40 mm\n  inner:   felt, lapped 150 mm, in 2 layers -> water\n");
    let vented = lower(
        "  panel:   fiber-cement-panel 8 mm\n  void:    air 20 mm, open top and bottom\n  inner:   felt, lapped 150 mm -> water\n",
    );
    let blind = "joint band\n  joins bay bottom, plinth top\n  wrap laps over board 100 mm\n";
    let led = "joint band\n  joins bay bottom, plinth top\n  band:   zinc, slope 1:12 outward, end dams 25 mm, drip\n  wrap laps over band 100 mm\n  band runs past panel 10 mm\n";
    finds(&[BOARDED, &paneled, blind], &[], &["water/blind-transfer"]);
    finds(&[BOARDED, &stone, blind], &[], &["water/blind-transfer"]);
    finds(&[BOARDED, &vented, blind], &[], &[]);
    finds(&[BOARDED, &paneled, led], &[], &[]);
}

#[test]
fn plaster_has_a_screed_at_its_foot() {
    let plaster = BOARDED.replace(
        "fiber-cement-siding 8 mm\n  gap:     air 20 mm, open top and bottom\n  wrap:    housewrap, lapped 150 mm -> water\n",
        "stucco 20 mm\n  wrap:    felt, lapped 150 mm, in 2 layers -> water\n",
    );
    let foot = "joint foot\n  joins bay bottom\n  screed: zinc, drip\n  wrap laps over screed 90 mm\n  siding clears grade 200 mm\n";
    finds(&[&plaster, foot], &[], &[]);
    finds(
        &[&plaster, foot],
        &[("  screed: zinc, drip\n  wrap laps over screed 90 mm\n", "")],
        &["water/no-weep-screed"],
    );
    let solid = plaster.replace(
        "  sheath:  plywood 12 mm\n  studs:   38x140 mm at 400 mm, bays mineral-wool-batt\n",
        "  block:   block 200 mm\n",
    );
    finds(&[&solid, foot], &[("  screed: zinc, drip\n  wrap laps over screed 90 mm\n", "")], &[]);
}

#[test]
fn an_opening_is_flashed_above_and_below() {
    let bare = "opening slip in bay\n  frame: vinyl-window, flanged\n  tape:  butyl-tape 100 mm, at jambs\n  tape laps over frame 25 mm\n  tape laps over wrap 75 mm\n  frame seals to sheath with gun-foam\n";
    finds(&[BOARDED, bare], &[], &["water/missing-head-flashing", "water/missing-sill-pan"]);
    finds(
        &[BOARDED, bare],
        &[("tape laps over wrap", "wrap laps over frame 50 mm, at head\n  tape laps over wrap")],
        &["water/missing-sill-pan"],
    );
    finds(
        &[BOARDED, bare],
        &[
            ("plywood 12 mm", "gypsum-sheathing"),
            ("38x140 mm at 400 mm", "steel-stud 92 mm at 400 mm"),
            ("drywall 12.5 mm", "cement-board 12 mm"),
        ],
        &[],
    );
    cannot(&[BOARDED, bare], &[("  tape:", "  not shown\n  tape:")], "water/missing-sill-pan");
}

#[test]
fn thick_masonry_needs_no_sheet_to_be_flashed() {
    let stone = "wall mill\n  outdoors\n  stone:   granite 500 mm\n  studs:   38x89 mm at 400 mm, bays mineral-wool-batt\n  lining:  drywall 12.5 mm\n  indoors\n";
    let set = "opening slip in mill\n  frame: vinyl-window\n  slab:  granite 80 mm, slope 1:10 outward, drip, at sill\n  slab runs past stone 50 mm\n  frame laps over slab 30 mm\n  frame seals to stone with urethane\n";
    finds(&[stone, set], &[], &[]);
    finds(&[stone, set], &[(", drip", "")], &["water/no-drip"]);
    finds(&[stone, set], &[("1:10 outward", "1:10 inward")], &["water/backward-fall"]);
}

#[test]
fn a_listed_unit_is_not_judged() {
    cannot(&[BOARDED, "opening slip in bay\n  frame: wood-window\n"], &[], "water/missing-sill-pan");
}

#[test]
fn nothing_drips_along_an_upright_seam() {
    let seam = "joint corner\n  joins bay left, street face\n  angle:  aluminum\n  angle runs past brick 50 mm\n  angle laps over wrap 100 mm\n";
    let text = changed(&[BOARDED, &BRICK.replace("wrap:", "sheet:"), seam], &[]);
    assert!(!told(&text).0.contains("water/no-drip"), "{text}");
}

#[test]
fn a_door_stands_high_enough() {
    finds(&[BOARDED, WINDOW, LANDING], &[("up pan 150 mm", "up pan 100 mm")], &["water/low-threshold"]);
    let sill =
        ("up pan 150 mm, bonded", "up pan 80 mm, bonded\n  nosing: aluminum, drip\n  nosing runs past sheet 50 mm");
    finds(&[BOARDED, WINDOW, LANDING], &[sill], &[]);
    let channel =
        ("up pan 150 mm, bonded", "up pan 50 mm, bonded\n  channel: stainless-steel\n  channel drains to outlet");
    finds(&[BOARDED, WINDOW, LANDING], &[channel], &[]);
    finds(
        &[BOARDED, WINDOW, LANDING],
        &[("turns up pan 150 mm, bonded", "seals to pan with butyl-sealant")],
        &["water/low-threshold"],
    );
    cannot(&[BOARDED, WINDOW, LANDING], &[("up pan 150 mm", "up pan unknown")], "water/low-threshold");
}

#[test]
fn a_surface_behind_upstands_has_two_ways_out() {
    let drains = ("slope 1:40 to front", "slope 1:40 to front\n  drains to outlet");
    let wall = "joint upstand\n  joins bay face, landing left\n  sheet turns up bay 200 mm, bonded\n";
    let landing = LANDING.split("\njoint").next().unwrap();
    finds(&[BOARDED, landing, wall], &[drains], &["water/no-overflow"]);
    finds(&[BOARDED, landing, wall], &[drains, ("to outlet", "to outlet, overflow")], &[]);
    finds(&[BOARDED, landing, wall], &[("to front", "to front\n  drains to gutter")], &[]);
    finds(
        &[
            BOARDED,
            landing,
            wall,
            "joint rim\n  joins landing front\n  edge: aluminum, drip\n  edge runs past pour 20 mm\n",
        ],
        &[drains],
        &[],
    );
}

#[test]
fn walls_that_cannot_drain() {
    finds(&[BRICK], &[("air 50 mm", "air 15 mm")], &["water/thin-cavity"]);
    finds(&[BRICK], &[("air 50 mm", "air 15 mm to 50 mm")], &[]);
    finds(&[BOARDED], &[("air 20 mm", "air 5 mm")], &["water/thin-cavity"]);
    finds(&[BRICK], &[("air 50 mm,", "air 50 mm, bridged,")], &["water/thin-cavity"]);
    finds(&[BRICK], &[("  gap:     air 50 mm, open top and bottom\n", "")], &["water/thin-cavity"]);
    finds(&[BRICK, FOOT], &[("air 50 mm", "air 35 mm")], &["water/mortar-in-cavity"]);
    let face = [
        ("  gap:     air 20 mm, open top and bottom\n  wrap:    housewrap, lapped 150 mm -> water\n", ""),
        ("8 mm", "8 mm -> water"),
    ];
    finds(&[BOARDED], &face, &[]);
    let severe = [face[0], face[1], ("bay\n", "bay\n  rain very-severe\n")];
    finds(&[BOARDED], &severe, &["water/face-sealed-in-hard-rain"]);
    let plaster = |between: &'static str| {
        [(
            "fiber-cement-siding 8 mm\n  gap:     air 20 mm, open top and bottom\n  wrap:    housewrap, lapped 150 mm -> water\n",
            between,
        )]
    };
    finds(
        &[BOARDED],
        &plaster("stucco 20 mm\n  wrap:    felt, lapped 150 mm -> water\n"),
        &["water/one-sheet-behind-stucco"],
    );
    finds(&[BOARDED], &plaster("adhered-stone 40 mm\n"), &["water/one-sheet-behind-stucco"]);
    finds(
        &[BOARDED],
        &plaster("stucco 20 mm\n  felt:    felt, lapped 150 mm\n  wrap:    felt, lapped 150 mm -> water\n"),
        &[],
    );
    finds(&[BOARDED], &plaster("stucco 20 mm\n  foam:    xps 25 mm\n  wrap:    felt, lapped 150 mm -> water\n"), &[]);
}
