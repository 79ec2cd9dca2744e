//! Sound drawings that must stay quiet, each with the real fault beside it that must still be told.
//!
//! All of them are of our own invention; the figures in them are those of the rules' own pages.

use dewlap::base::finding::Weight;
use dewlap::graph::plane::Agent;
use dewlap::review::order::{Work, order};
use dewlap::review::report::Report;
use dewlap::review::trace::{Verdict, trace};
use dewlap::review::{Input, review};

const JOB: &str = "job forge\n  place burlington-vt-us\n  code irc-2021\n  heated 68 F 40 %\n\n";

const BAY: &str = "wall bay
  outdoors
  siding:   fiber-cement-siding
  gap:      air 3/4 in, open top and bottom
  membrane: open-sheet, adhered                  -> water air
  sheath:   plywood 1/2 in
  studs:    2x6 at 16 in, bays mineral-wool-batt
  lining:   drywall 1/2 in, painted
  indoors

";

const BRICK: &str = "wall front
  outdoors
  brick:    brick-veneer 3-5/8 in, ties 16x16 in
  gap:      air 2 in, open top and bottom
  membrane: open-sheet, adhered  -> water air
  sheath:   plywood 1/2 in
  studs:    2x6 at 16 in, bays mineral-wool-batt
  lining:   drywall 1/2 in, painted
  indoors

";

const STUCCO: &str = "wall mill
  outdoors
  plaster: stucco 7/8 in, edges sealed, holes sealed  -> water
  block:   block-grouted 8 in                         -> air
  foam:    xps 2 in, taped
  lining:  drywall 1/2 in, painted
  indoors

";

fn input(text: String) -> Input {
    Input { name: "quiet.dew".to_string(), text }
}

fn reviewed(text: &str) -> Report {
    let done = review(vec![input(format!("{JOB}{text}"))], &mut |_, path| Err(path.to_string()));
    let report = done.reports.into_iter().next().expect("a report");
    let broken: Vec<_> = report.findings.iter().filter(|f| f.rule.starts_with("notation/")).collect();
    assert!(broken.is_empty(), "{broken:#?}\n{text}");
    report
}

fn tells(text: &str, rule: &str) -> bool {
    reviewed(text).findings.iter().any(|f| f.rule == rule)
}

fn changed(text: &str, changes: &[(&str, &str)]) -> String {
    changes.iter().fold(text.to_string(), |text, (from, to)| {
        assert!(text.contains(from), "no `{from}` in\n{text}");
        text.replace(from, to)
    })
}

/// The rule is silent on the text and speaks when these words of it are others.
fn hold(text: &str, rule: &str, changes: &[(&str, &str)]) {
    let report = reviewed(text);
    assert!(!report.findings.iter().any(|f| f.rule == rule), "{rule} speaks of\n{text}");
    assert!(!report.not_run.iter().any(|n| n.rule == rule), "{rule} is not run on\n{text}");
    let spoiled = changed(text, changes);
    assert!(tells(&spoiled, rule), "{rule} is silent on\n{spoiled}");
}

fn eave() -> String {
    format!(
        "{BAY}roof main
  slope 8:12
  overhang 18 in
  drains to gutter
  outdoors
  shingles: asphalt-shingles
  underlay: synthetic-underlay, lapped 6 in      -> water
  deck:     plywood 5/8 in
  space:    air 2 in, open eave and ridge
  baffle:   wood-fiber-sheathing 1/2 in
  rafters:  2x12 at 24 in, bays cellulose
  inner:    smart-membrane, taped, edges sealed  -> air vapor
  ceiling:  drywall 1/2 in, painted
  indoors

joint eave
  joins bay top, main eave
  tie:   sheathing-tape 6 in
  block: plywood 1/2 in
  strip: sheathing-tape 4 in
  ice:   ice-barrier
  edge:  sheet-steel, drip, hemmed
  tie laps over inner 2 in, rolled
  tie laps over lining 2 in, rolled
  strip laps over membrane 2 in, rolled
  strip laps over block 2 in, rolled
  block seals to rafters with urethane
  ice laps over deck 54 in, rolled
  ice laps over edge 3 in, rolled
  underlay laps over ice 6 in
  edge runs past siding 18 in
  edge drains to gutter
"
    )
}

#[test]
fn the_ice_barrier_is_the_sheet_on_the_deck_whatever_is_written_first() {
    hold(&eave(), "water/no-ice-barrier", &[("deck 54 in", "deck 24 in")]);
    let none = [("  ice laps over deck 54 in, rolled\n", ""), ("  underlay laps over ice 6 in\n", "")];
    hold(&eave(), "water/no-ice-barrier", &none);
}

#[test]
fn a_strip_bonded_up_on_a_block_has_its_upper_edge_held() {
    hold(&eave(), "water/bare-top-edge", &[("  strip laps over block 2 in, rolled\n", "")]);
}

#[test]
fn rain_does_not_get_to_a_wall_top_under_a_loft() {
    let text = format!(
        "room attic\n  open eave and ridge 1/150\n\n{BAY}ceiling over
  attic
  fill:  glass-blown 14 in
  ties:  2x6 at 24 in, bays glass-blown
  board: drywall 5/8 in, edges sealed, holes sealed, painted  -> air
  indoors

joint top
  joins bay top, over edge
  plate: softwood 1-1/2 in
  strip: open-sheet
  strip laps over membrane 4 in, rolled
  strip laps over plate 3 in, rolled
  plate seals to board with acoustical-sealant
"
    );
    // A top that stands free is rained on.
    let free = [
        ("joins bay top, over edge", "joins bay top"),
        ("plate seals to board with acoustical-sealant", "plate touches studs"),
        ("  strip laps over membrane 4 in, rolled\n", ""),
    ];
    hold(&text, "water/layer-not-joined", &free);
}

#[test]
fn what_sits_on_a_curb_caps_what_is_turned_up_it() {
    let text = "roof flat
  slope 2 %
  drains to outlet, overflow
  outdoors
  roofing:  rubber-membrane 60 mil, adhered, welded  -> water
  boards:   mineral-wool-roof-board 8 in, in 2 layers
  retarder: bitumen-sheet 40 mil, adhered            -> air vapor
  deck:     plywood 3/4 in
  joists:   2x10 at 16 in, bays air 9-1/4 in
  indoors

penetration light through flat
  curb:  softwood 1-1/2 in, solid, 24 in wide
  frame: aluminum-window, thermal break
  roofing turns up curb 10 in
  frame laps over roofing 3 in
  frame seals to curb with rubber-gasket
";
    hold(text, "water/reversed-lap", &[("  roofing turns up curb 10 in\n", "")]);
}

fn shelf(between: &str) -> String {
    let bed = if between.contains("bed") { "  bed: self-adhered-asphalt\n" } else { "" };
    format!(
        "{BRICK}joint shelf
  joins front face
  angle: sheet-steel 3/8 in
  tray:  stainless-steel, end dams 1 in, drip, slope 1:12 outward, seams sealed
{bed}  upper membrane laps over tray 8 in
{between}  tray runs past brick 1/4 in
  tray drains to outdoors, weeps at 24 in oc
  angle fastens through membrane at 32 in oc, sealed
"
    )
}

#[test]
fn steel_under_the_bed_of_a_tray_stays_dry() {
    let text = shelf("  bed laps over angle 3 in\n  tray laps over bed 3 in\n");
    let dripless = [("  tray runs past brick 1/4 in\n", ""), ("  tray drains to outdoors, weeps at 24 in oc\n", "")];
    hold(&text, "water/stranded-flashing", &dripless);
}

#[test]
fn a_tape_or_sheet_between_two_metals_parts_them() {
    let taped = shelf("  tray seals to angle with butyl-tape\n");
    hold(&taped, "match/galvanic-pair", &[("seals to angle with butyl-tape", "touches angle")]);
    let bedded = shelf("  bed laps over angle 3 in\n  tray laps over bed 3 in\n  tray touches angle\n");
    hold(&bedded, "match/galvanic-pair", &[("  bed laps over angle 3 in\n", "")]);
}

#[test]
fn upright_trim_hands_its_water_down_to_its_foot() {
    let text = format!(
        "{BAY}wall quay
  outdoors
  pour: concrete 10 in
  indoors

joint tie
  joins bay left, quay face
  strip: open-sheet, slack 1 in
  bar:   termination-bar
  trim:  stainless-steel, hemmed
  cover: stainless-steel, drip, at top end
  strip laps over membrane 4 in, rolled
  strip laps over pour 6 in, primed, rolled, edge under bar
  bar fastens to pour at 8 in oc
  trim laps over seam 4 in
  trim tucks into pour 1 in, sealed with urethane
  cover tucks into pour 1 in, sealed with urethane
  cover laps over trim 4 in
  trim clears grade 8 in, at bottom end
"
    );
    hold(&text, "water/stranded-flashing", &[("trim clears grade 8 in", "trim touches strip")]);
}

fn window_in_brick() -> String {
    format!(
        "{BRICK}opening window in front
  frame: fiberglass-window, flanged, set in sheath
  tray:  stainless-steel, end dams 1 in, drip, slope 1:12 outward, seams sealed, at head
  net:   drainage-mat 3/8 in, at head
  tape:  butyl-tape 4 in, at jambs
  pan:   formed-pan, slope 1:12 outward, end dams, back dam 1 in, at sill
  apron: stainless-steel, slope 1:6 outward, end dams 1 in, drip, at sill
  membrane laps over tray 6 in
  net fills gap
  tray laps over frame 1 in
  tray runs past brick 1/4 in
  tray drains to outdoors, weeps at 24 in oc
  tape laps over frame 1 in
  tape laps over membrane 2 in
  tape laps over pan 2 in
  pan laps over membrane 3 in
  pan laps over apron 2 in
  apron laps over brick 3 in
  apron runs past brick 3/4 in
  frame seals to studs with gun-foam
"
    )
}

#[test]
fn a_mat_needs_no_end_dams_and_a_sill_no_weeps() {
    let tray = "tray:  stainless-steel, end dams 1 in,";
    hold(&window_in_brick(), "water/missing-end-dams", &[(tray, "tray:  stainless-steel,")]);
    let weepless = [("  tray drains to outdoors, weeps at 24 in oc\n", "")];
    hold(&window_in_brick(), "water/far-weeps", &weepless);
}

fn window_in_block(coat: &str, more: &str) -> String {
    format!(
        "{STUCCO}opening window in mill
  frame: vinyl-window, set in block
  coat:  {coat}, at jambs
  cap:   stainless-steel, end dams 1 in, drip, slope 1:12 outward, at head
  pan:   stainless-steel, slope 1:12 outward, end dams 1 in, back dam 1 in, seams welded, at sill
  plaster laps over cap 2 in
  cap laps over frame 1 in
  cap runs past plaster 1/4 in
  coat laps over block 6 in, primed, rolled
  coat laps over frame 1 in
  coat laps over pan 2 in
  pan runs past plaster 1 in
  pan drains to outdoors
  frame seals to pan with butyl-tape, at sill
  frame seals to block with gun-foam
{more}"
    )
}

#[test]
fn a_liquid_coat_has_no_edge_to_lift_and_plaster_presses_a_sheet() {
    let liquid = window_in_block("liquid-flashing", "");
    hold(&liquid, "water/raw-masonry-edge", &[("liquid-flashing", "bitumen-sheet 40 mil")]);
    let covered = window_in_block("bitumen-sheet 40 mil", "  plaster laps over coat 6 in, bonded\n");
    hold(&covered, "water/raw-masonry-edge", &[("  plaster laps over coat 6 in, bonded\n", "")]);
}

#[test]
fn a_frame_in_masonry_has_no_lower_flange_to_shut() {
    let text = window_in_block("liquid-flashing", "");
    hold(&text, "water/plugged-exit", &[("vinyl-window, set", "vinyl-window, flanged, set")]);
}

#[test]
fn plaster_is_drawn_up_under_a_sill_that_is_set_before() {
    let more = "  pan laps over lower plaster 1 in\n  plaster laps over coat 6 in, bonded\n";
    let text = window_in_block("liquid-flashing", more);
    let wrong =
        [("  pan laps over lower", "  frame laps over pan 1 in\n  pan laps over cap 1 in\n  pan laps over lower")];
    hold(&text, "record/cannot-be-built", &wrong);
}

#[test]
fn a_saddle_is_the_roof_that_siding_stays_clear_of() {
    let text = format!(
        "{BAY}roof low
  slope 4:12
  outdoors
  shingles: asphalt-shingles
  felt:     synthetic-underlay, lapped 6 in  -> water
  deck:     plywood 5/8 in
  outdoors

joint back
  joins bay face, low eave
  lining-sheet: ice-barrier
  saddle:       sheet-steel, slope 1:4 both ways, seams sealed
  upper membrane laps over lining-sheet 8 in
  upper membrane laps over saddle 4 in
  saddle laps over lining-sheet 8 in
  shingles lap over saddle 6 in
  felt laps over lining-sheet 6 in
  saddle drains to gutter
  siding clears saddle 2 in
"
    );
    hold(&text, "water/cladding-near-roof", &[("siding clears saddle 2 in", "siding clears saddle 1/4 in")]);
}

#[test]
fn shingles_go_up_course_by_course_round_a_collar() {
    let text = "roof main
  slope 6:12
  outdoors
  shingles: asphalt-shingles
  felt:     synthetic-underlay, lapped 6 in  -> water
  deck:     plywood 5/8 in
  rafters:  2x10 at 16 in, bays mineral-wool-batt
  indoors

penetration vent through main
  pipe: cast-iron, 3 in wide
  boot: pipe-boot
  upper shingles lap over boot 6 in
  shingles lap over boot 4 in, at sides
  boot laps over lower shingles 4 in
  boot seals to pipe with rubber-gasket
";
    let round =
        [("  upper shingles lap", "  boot laps over felt 4 in\n  felt laps over shingles 4 in\n  upper shingles lap")];
    hold(text, "record/cannot-be-built", &round);
}

#[test]
fn a_gap_inside_of_all_that_counts_opens_to_the_room() {
    let steam = "wall steam
  outdoors
  siding:   larch 7/8 in, primed
  gap:      air 1 in, open top and bottom
  membrane: open-sheet, adhered, edges sealed, holes sealed  -> water
  sheath:   plywood 1/2 in
  studs:    2x6 at 16 in, bays mineral-wool-batt
  foil:     foil-kraft, taped, edges sealed, holes sealed    -> air vapor
  battens:  1x3 at 16 in, bays air, open top and bottom
  boards:   softwood 5/8 in
  indoors
";
    // Behind a wall that carries the house the same gap is the weather's.
    let outside = [("boards:   softwood 5/8 in", "boards:   solid-brick 8 in")];
    for rule in ["air/outside-vented-gap", "heat/outside-vented-gap"] {
        hold(steam, rule, &outside);
    }
}

#[test]
fn a_room_held_over_the_limit_is_not_told_to_be_dry() {
    let cellar = |air: &str, wool: &str| {
        format!(
            "room cellar\n  always 12 C {air}, held\n\nwall side\n  outdoors\n  pour: concrete 8 in\n  boards: xps {wool}\n  \
             cellar\n"
        )
    };
    let rule = "dew/cold-inner-face";
    assert!(!tells(&cellar("85 %", "6 in"), rule));
    assert!(!tells(&cellar("70 %", "6 in"), rule) && tells(&cellar("70 %", "1/4 in"), rule));
}

#[test]
fn block_that_is_full_of_grout_stops_air_and_hollow_block_does_not() {
    let wall = "wall side\n  outdoors\n  block: block-grouted 8 in -> air\n  wool: mineral-wool-board 3 in\n  lining: drywall \
                1/2 in\n  indoors\n";
    hold(wall, "air/leaky-material", &[("block-grouted", "block")]);
}

#[test]
fn winter_water_behind_vinyl_siding_is_aired_as_it_is_over_furring() {
    let wall = |siding: &str| {
        format!(
            "job dairy\n  place duluth-mn-us\n  heated 70 F 45 %\n\nwall side\n  outdoors\n  siding: {siding}\n  sheath: osb \
             7/16 in\n  studs: 2x6 at 16 in, bays glass-batt\n  lining: drywall 1/2 in, taped, edges sealed, holes sealed -> \
             air\n  coat: kraft 2 perm\n  indoors\n"
        )
    };
    let weight = |siding: &str, rule: &str| {
        let done = review(vec![input(wall(siding))], &mut |_, path| Err(path.to_string()));
        done.reports[0].findings.iter().find(|f| f.rule == rule).map(|f| f.weight)
    };
    for rule in ["vapor/no-room-retarder", "dew/peak-condensate"] {
        let furred = weight("fiber-cement-siding\n  gap: air 3/4 in, open top and bottom", rule);
        assert_eq!((weight("vinyl-siding", rule), furred), (Some(Weight::Watch), Some(Weight::Watch)), "{rule}");
    }
    assert_eq!(weight("fiber-cement-siding", "vapor/no-room-retarder"), Some(Weight::Fix));
}

/// The names of the steps at the only joint of a text.
fn steps(text: &str) -> (Vec<String>, String) {
    let done = order(input(format!("{JOB}{text}")), &mut |_, path| Err(path.to_string()), None);
    let Some(Work::Steps { steps, .. }) = done.found.into_iter().next().map(|j| j.work) else { panic!("no order") };
    let made = steps.iter().flat_map(|s| &s.made).map(|(words, _)| words.clone()).collect::<Vec<_>>().join("\n");
    (steps.into_iter().map(|s| s.what).collect(), made)
}

fn in_turn(text: &str, wanted: &[&str]) {
    let (steps, _) = steps(text);
    let at: Vec<usize> =
        wanted.iter().map(|w| steps.iter().position(|s| s == w).unwrap_or_else(|| panic!("{w}"))).collect();
    assert!(at.is_sorted(), "{wanted:?} in {steps:?}");
}

#[test]
fn the_order_is_the_one_of_the_work() {
    in_turn(&window_in_brick(), &["pan", "frame", "tape", "tray", "upper brick"]);
    in_turn(&eave(), &["inner", "tie", "ceiling"]);
    assert!(steps(&eave()).1.contains("drains to gutter"));
    let foot = |surface: &str, below: &str| {
        format!(
            "{BAY}{surface}joint foot\n  joins bay bottom, {below}\n  plate: treated-wood 1-1/2 in\n  plate seals to pour with \
             sill-gasket\n  plate seals to sheath with urethane\n"
        )
    };
    let slab = "slab floor\n  indoors\n  pour: concrete 4 in\n  sheet: slab-membrane, lapped 12 in, taped\n  boards: xps 2 \
                in\n  stone: crushed-stone 4 in\n  ground, drained\n\n";
    in_turn(&foot(slab, "floor edge"), &["stone", "boards", "sheet", "pour", "plate", "studs", "sheath"]);
    let cellar = "wall cellar\n  ground 6 ft, 8 in above grade, drained\n  skin: bitumen-sheet 60 mil, adhered -> water\n  \
                  pour: concrete 8 in -> air\n  indoors\n\n";
    in_turn(&foot(cellar, "cellar top"), &["pour", "plate", "studs", "sheath"]);
}

fn verdicts(text: &str) -> Vec<Verdict> {
    let traced = trace(input(format!("{JOB}{text}")), &mut |_, path| Err(path.to_string()), &[Agent::Air], None);
    let stations = traced.layers.iter().flat_map(|l| &l.joints).flat_map(|j| &j.stations);
    stations.flat_map(|s| &s.lifts).map(|l| l.verdict).collect()
}

#[test]
fn a_trace_lifts_where_the_review_tells_of_it() {
    let tie = |ties: &str| {
        format!(
            "{BAY}wall old
  existing
  outdoors
  brick:  solid-brick 8 in
  finish: gypsum-plaster 1/2 in, edges sealed  -> air
  indoors

joint tie
  joins bay left, old face
  strip: bitumen-sheet 40 mil, slack 3/8 in
{ties}"
        )
    };
    let tied = tie("  strip laps over membrane 4 in, rolled\n  strip laps over brick 6 in, primed, rolled, sealed\n");
    assert_eq!(verdicts(&tied), [Verdict::Little]);
    let open = tie("  strip laps over membrane 4 in, rolled\n");
    assert!(verdicts(&open).contains(&Verdict::Lifts) && tells(&open, "air/layer-not-joined"));
    let accepted = format!("{open}\naccept air/layer-not-joined in tie because \"closed from inside next year\"\n");
    assert_eq!(verdicts(&accepted), [Verdict::Accepted, Verdict::Little]);
    let hidden = format!("{open}  not shown\n");
    assert_eq!(verdicts(&hidden), [Verdict::May, Verdict::Little]);
}

#[test]
fn a_name_of_a_piece_and_of_a_layer_is_told() {
    let text = |piece: &str| {
        format!(
            "{JOB}{BAY}joint foot\n  joins bay bottom\n  {piece}: sheet-steel, drip\n  membrane laps over {piece} 3 in\n"
        )
    };
    let told = |piece: &str| {
        let done = review(vec![input(text(piece))], &mut |_, path| Err(path.to_string()));
        let report = done.reports.into_iter().next().expect("a report");
        report.findings.into_iter().filter(|f| f.rule.starts_with("notation/")).map(|f| f.message).collect::<Vec<_>>()
    };
    assert!(told("edge").is_empty());
    assert_eq!(told("sheath"), ["`sheath` is a piece here and a layer of `bay`"]);
}

const RAKE: &str = "roof main
  slope 5:12
  continues eave and ridge \"drawn elsewhere\"
  drains to gutter
  outdoors
  shingles: asphalt-shingles
  felt:     felt, lapped 4 in  -> water
  deck:     osb 7/16 in
  rafters:  2x10 at 16 in, bays mineral-wool-batt
  lining:   drywall 1/2 in, painted
  indoors

joint barge
  joins main rake
  board: larch 1 in, primed
  edge:  sheet-steel, drip, hemmed, seams lapped 2 in
  edge laps over felt 2 in
  edge laps over board 1-1/2 in
  shingles lap over edge 3 in
  shingles run past edge 1/2 in
";

/// Water runs along a free rake; the metal keeps in what is blown over it.
#[test]
fn a_free_rake_is_closed_by_its_metal_edge() {
    let rule = "water/layer-not-joined";
    assert!(!tells(RAKE, rule));
    assert!(tells(&changed(RAKE, &[("  edge laps over felt 2 in\n", "")]), rule));
    assert!(tells(&changed(RAKE, &[("  shingles lap over edge 3 in\n", "")]), rule));
}

/// What a pan laps over at the sill is its apron: it needs no back, and the jambs' tape comes down on the pan.
#[test]
fn an_apron_under_the_pan_is_no_pan() {
    let window = format!(
        "{BRICK}opening window in front
  frame: fiberglass-window, flanged, set in sheath
  tape:  butyl-tape 4 in, at jambs
  pan:   formed-pan, slope 1:12 outward, end dams, back dam 1 in, at sill
  apron: stainless-steel, slope 1:12 outward, end dams 1 in, drip, at sill
  tape laps over frame 1 in
  tape laps over membrane 2 in
  tape laps over pan 2 in
  pan laps over apron 2 in
  apron laps over membrane 3 in
  apron drains to outdoors
  frame seals to studs with gun-foam
  frame seals to pan with gun-foam
"
    );
    for rule in ["water/open-corner", "water/open-pan-back", "water/plugged-exit"] {
        assert!(!tells(&window, rule), "{rule}");
    }
    let corner = changed(&window, &[("  tape laps over pan 2 in\n", "")]);
    assert!(tells(&corner, "water/open-corner"));
    let shut = changed(&window, &[("frame seals to pan with gun-foam", "frame seals to pan with silicone")]);
    assert!(tells(&shut, "water/plugged-exit"));
}

/// Copper through a wall is a pipe; a steel beam is a bridge.
#[test]
fn a_copper_pipe_is_no_bridge() {
    let hose =
        format!("{BAY}penetration hose through bay\n  pipe: copper 3/4 in\n  pipe seals to membrane with gun-foam\n");
    let rule = "heat/bridge-at-joint";
    assert!(!tells(&hose, rule));
    assert!(tells(&changed(&hose, &[("copper 3/4 in", "sheet-steel 3/4 in")]), rule));
}

/// Oil paint on old brick keeps it from drying outward: it lies on the weather face, not under it.
#[test]
fn paint_on_the_outermost_layer_lies_outside() {
    let wall = "wall old
  outdoors
  render:  lime-render 3/4 in, painted oil-three-coats
  brick:   soft-brick 13 in, existing
  plaster: lime-plaster 3/4 in                           -> air
  indoors
";
    assert!(tells(wall, "vapor/shut-old-wall"));
    let report = reviewed(wall);
    let path = &report.surfaces[0].paths[0];
    assert_eq!(path.interfaces.first().and_then(|i| i.inside.as_deref()), Some("paint"));
}

/// The sheet of a steel deck is tight, its laps and flutes are not: a humid room under one wets the roof.
#[test]
fn a_steel_deck_is_no_vapor_retarder() {
    let roof = "room bath
  always 82 F 55 %, held

roof pool
  slope 2 %
  outdoors
  sheet: tpo-membrane 60 mil, adhered, welded -> water
  foam:  polyiso-glass 6 in, in 2 layers
  deck:  steel-deck 1-1/2 in
  bath
";
    let stops = |text: &str| {
        let wet = |f: &dewlap::base::finding::Finding| f.rule == "dew/lasting-condensate" && f.weight == Weight::Stop;
        reviewed(text).findings.iter().any(wet)
    };
    assert!(stops(roof));
    let tight =
        changed(roof, &[("  deck:  steel", "  tight: bitumen-sheet 60 mil, adhered -> air vapor\n  deck:  steel")]);
    assert!(!stops(&tight));
}

/// A boot closes the roofing round a pipe; the air layer below it is cut all the same.
#[test]
fn a_pipe_is_tied_to_the_layer_that_is_relied_on() {
    let roof = "roof flat
  slope 2 %
  drains to outlet, overflow
  outdoors
  roofing:  tpo-membrane 60 mil, adhered, welded  -> water
  foam:     polyiso-glass 6 in, in 2 layers
  retarder: bitumen-sheet 40 mil, adhered         -> air vapor
  deck:     plywood 3/4 in
  indoors

penetration vent through flat
  pipe: cast-iron 1/4 in, 4 in wide
  boot: tpo-membrane 60 mil, one piece, 8 in high
  boot laps over roofing 4 in, welded
  boot turns up pipe 8 in, clamped, sealed with urethane
  pipe seals to retarder with urethane
";
    let rule = "air/layer-not-joined";
    assert!(!tells(roof, rule));
    assert!(tells(&changed(roof, &[("  pipe seals to retarder with urethane\n", "")]), rule));
}

/// What falls outward sheds over its end; a strip stuck up under it takes none of that.
#[test]
fn a_strip_may_be_stuck_up_under_a_duct_that_falls_outward() {
    let duct = format!(
        "{BAY}penetration vent through bay
  duct: galvanized-steel 26 ga, slope 1:48 outward, seams sealed
  tape: butyl-tape 4 in, at sides and bottom
  cap:  butyl-tape 4 in, at top
  tape laps over duct 2 in
  tape laps over membrane 2 in
  cap laps over duct 2 in
  upper membrane laps over cap 3 in
"
    );
    let rule = "water/reversed-lap";
    assert!(!tells(&duct, rule));
    assert!(tells(&changed(&duct, &[(", slope 1:48 outward", ", slope 1:48 inward")]), rule));
}

/// What is said of a damper room is said of the room that is lived in, and is what that room gives.
#[test]
fn a_damper_room_is_the_one_above_the_crawlspace() {
    let floor = "room crawl
  open both sides 1/150

floor over
  indoors
  boards: plywood 3/4 in
  joists: 2x8 at 24 in, bays mineral-wool-batt
  film:   poly 6 mil, taped        -> air vapor
  board:  gypsum-sheathing 1/2 in
  crawl
";
    let at = |humidity: &str| {
        let text = format!("{}{floor}", JOB.replace("40 %", humidity));
        let done = review(vec![input(text)], &mut |_, path| Err(path.to_string()));
        done.reports.into_iter().next().expect("a report")
    };
    let note = at("40 %").surfaces[0].notes.iter().find(|n| n.contains("points damper")).cloned().expect("a note");
    let peak = at("45 %").surfaces[0].paths.iter().map(|p| p.peak.si()).fold(0.0, f64::max);
    assert!(note.contains(&format!("{:.0} g/m2 instead", peak * 1000.0)), "{note}, and {peak}");
}
