//! Roofs, ground and attachments at the border of each rule: a job of the rule's own page that passes, with one thing
//! changed.
//!
//! Figures stand on the rules' pages with their sources; here only that both sides of each are told apart.

use dewlap::base::finding::Weight;
use dewlap::review::{Input, review};
use dewlap::rules;

/// What a change has to come to for the rule it is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Then {
    Found(Weight),
    /// Told that it could not be judged.
    Open,
    Quiet,
}

use Then::{Found, Open, Quiet};
use Weight::{Fix, Stop, Watch};

/// The first job that passes on a rule's page.
fn good(id: &str) -> String {
    let page = rules::find(id).unwrap_or_else(|| panic!("{id}")).page;
    let passes = page.split("## Passes").nth(1).expect("a part of the page");
    passes.split("```dew\n").nth(1).and_then(|s| s.split("```").next()).expect("a job").to_string()
}

pub(crate) fn judge(id: &str, text: &str) -> Then {
    let input = Input { name: "border.dew".to_string(), text: text.to_string() };
    let done = review(vec![input], &mut |_, path| Err(format!("nothing to include at {path}")));
    let report = done.reports.first().expect("a report");
    let broken: Vec<_> = report.findings.iter().filter(|f| f.rule.starts_with("notation/")).collect();
    assert!(broken.is_empty(), "{id}: {broken:#?}\n{text}");
    match report.findings.iter().filter(|f| f.rule == id).map(|f| f.weight).max() {
        Some(weight) => Found(weight),
        None if report.not_run.iter().any(|n| n.rule == id) => Open,
        None => Quiet,
    }
}

/// Each: the rule, the words of its page's job, what stands there instead, what comes of it.
pub(crate) fn hold(cases: &[(&str, &str, &str, Then)]) {
    let mut wrong = Vec::new();
    for (id, from, to, then) in cases {
        let job = good(id);
        assert!(job.contains(from), "{id}: no `{from}` in\n{job}");
        let is = judge(id, &job.replace(from, to));
        if is != *then {
            wrong.push(format!("{id}: `{from}` -> `{to}`: {is:?}, wanted {then:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_kick_out_is_one_piece_high_and_drained() {
    hold(&[
        ("water/missing-kick-out", "4 in high", "100 mm high", Quiet),
        ("water/missing-kick-out", "4 in high", "90 mm high", Found(Fix)),
        ("water/missing-kick-out", ", 4 in high", "", Open),
        ("water/missing-kick-out", "one piece", "seams sealed", Found(Fix)),
        ("water/missing-kick-out", "  kick drains to gutter\n", "", Found(Fix)),
        ("water/missing-kick-out", "one piece, 4 in high, at low end", "drip", Found(Stop)),
        ("water/missing-kick-out", "one piece, 4 in high, at low end", "drip\n  not shown", Open),
        ("water/missing-kick-out", "  house runs past porch eave\n", "", Quiet),
    ]);
}

#[test]
fn a_low_slope_turns_up() {
    hold(&[
        ("water/low-upturn", "house 8 in", "house 150 mm", Quiet),
        ("water/low-upturn", "house 8 in", "house 5 in", Found(Fix)),
        ("water/low-upturn", "house 8 in", "house 100 mm", Found(Fix)),
        ("water/low-upturn", "house 8 in", "house 3-1/2 in", Found(Stop)),
        ("water/low-upturn", "house 8 in", "house unknown", Open),
        // The highest of what turns up is the edge; a metal leg behind it is none.
        ("water/low-upturn", "house 8 in", "house 8 in\n  counter turns up house 3 in", Quiet),
        ("water/low-upturn", "slope 1:40", "slope 4:12", Quiet),
    ]);
}

#[test]
fn flashings_reach_far_enough() {
    hold(&[
        ("water/short-counterflashing", "roofing 4 in", "roofing 100 mm", Quiet),
        ("water/short-counterflashing", "roofing 4 in", "roofing 3 in", Found(Watch)),
        ("water/short-counterflashing", "roofing 4 in", "roofing 2 in", Found(Fix)),
        ("water/short-counterflashing", "roofing 4 in", "roofing unknown", Open),
        ("water/small-step-flashing", "shingles 4 in", "shingles 100 mm", Quiet),
        ("water/small-step-flashing", "shingles 4 in", "shingles 3-1/2 in", Found(Fix)),
        ("water/small-step-flashing", "step:  galvanized-steel", "step:  galvanized-steel, 3 in high", Found(Fix)),
    ]);
}

#[test]
fn a_roof_is_as_steep_as_its_covering_asks() {
    hold(&[
        ("water/flat-roof", "slope 1:40", "slope 2 %", Quiet),
        ("water/flat-roof", "slope 1:40", "slope 1:60", Found(Fix)),
        ("water/flat-roof", "slope 1:40", "slope 1:100", Found(Stop)),
        ("water/flat-roof", "slope 1:40", "slope unknown", Open),
        ("water/flat-roof", "slope 1:40", "slope 1:100\n  existing", Found(Watch)),
        ("water/flat-roof", "modified-bitumen, welded", "slate", Found(Stop)),
        ("water/flat-roof", "modified-bitumen, welded", "standing-seam-steel", Quiet),
        ("water/flat-roof", "modified-bitumen, welded", "corrugated-steel", Found(Stop)),
        ("water/flat-roof", "  roofing:", "  stones: roof-gravel 2 in\n  roofing:", Quiet),
    ]);
}

#[test]
fn water_finds_a_way_round_and_off() {
    hold(&[
        ("water/no-saddle", "slope 1:2 both ways, at top", "level, at top", Found(Stop)),
        ("water/no-saddle", "36 in wide", "30 in wide", Quiet),
        ("water/no-saddle", "slope 1:2 both ways, at top", "slope 1:12 outward, at top", Found(Stop)),
        ("water/no-saddle", "solid-brick, 36 in wide", "solid-brick", Open),
        ("water/bare-eave", "galvanized-steel, drip, hemmed", "cedar", Found(Fix)),
        ("water/bare-eave", "joins porch eave", "joins porch eave\n  not shown", Quiet),
        ("water/no-ice-barrier", "deck 54 in", "deck 18 in", Found(Fix)),
        ("water/no-ice-barrier", "slope 8:12", "slope 8:12\n  overhang 36 in", Found(Fix)),
        ("water/no-ice-barrier", "duluth-mn-us", "portland-or-us", Quiet),
        ("water/no-ice-barrier", "  code     irc-2021\n", "", Quiet),
    ]);
}

#[test]
fn attachments_are_flashed() {
    hold(&[
        ("water/bare-ledger", "  upper wrap laps over cap 3 in\n", "", Found(Fix)),
        ("water/bare-ledger", "oc, sealed", "oc", Found(Fix)),
        ("water/bare-ledger", "  cap laps over ledger 1 in\n", "", Found(Stop)),
        ("water/bare-ledger", "treated-wood 1-1/2 in", "larch-trim", Quiet),
        ("water/bare-ledger", "treated-wood 1-1/2 in", "softwood 3/4 in", Quiet),
        ("water/no-saddle", "solid-brick, 36 in wide", "glass, 36 in wide", Quiet),
        ("water/bare-penetration", "upper wrap laps over boot", "boot laps over upper wrap", Found(Fix)),
        (
            "water/bare-penetration",
            "vent through house \"Vent pipe of the milk cooler\"\n",
            "vent through house\n  not shown\n",
            Quiet,
        ),
        ("water/unsealed-fastener", "fastens to siding", "fastens through sheet at 16 in oc", Found(Fix)),
        ("water/unsealed-fastener", "fastens to siding", "fastens through sheet at 16 in oc, sealed", Quiet),
        ("water/unsealed-fastener", "fastens to siding", "fastens through siding at 16 in oc", Quiet),
    ]);
}

#[test]
fn claddings_stay_clear() {
    hold(&[
        ("water/cladding-near-roof", "shingles 2 in", "shingles 1 in", Quiet),
        ("water/cladding-near-roof", "shingles 2 in", "shingles 3/4 in", Found(Fix)),
        ("water/cladding-near-roof", "clears shingles 2 in", "touches shingles", Found(Fix)),
        ("water/cladding-near-roof", "  siding clears shingles 2 in\n", "", Open),
        ("water/cladding-near-ground", "clears grade 8 in", "clears grade 150 mm", Quiet),
        ("water/cladding-near-ground", "clears grade 8 in", "clears grade 5 in", Found(Fix)),
        ("water/cladding-near-ground", "clears grade 8 in", "clears grade 5 in\n  existing", Found(Watch)),
        ("water/cladding-near-paving", "terrace 2 in", "terrace 50 mm", Quiet),
        ("water/cladding-near-paving", "clears terrace 2 in", "touches paving", Found(Stop)),
    ]);
}

#[test]
fn what_draws_water_is_parted_from_what_holds_it() {
    let post = "post clears pour 1/4 in";
    hold(&[
        ("water/wick", post, "post touches pour", Found(Stop)),
        ("water/wick", post, "post fastens to pour", Found(Stop)),
        ("water/wick", post, "post seals to pour with sill-gasket\n  post fastens to pour", Quiet),
        (
            "water/wick",
            "softwood 3-1/2 in\n  post clears pour 1/4 in",
            "treated-wood\n  post touches pour",
            Found(Watch),
        ),
        ("water/wick", "softwood 3-1/2 in\n  post clears pour 1/4 in", "xps 2 in\n  post touches pour", Quiet),
        ("water/wick", "softwood 3-1/2 in\n  post clears pour 1/4 in", "drywall\n  post touches pour", Found(Stop)),
        ("water/embedded-wood", "  beam clears brick 1/2 in\n", "", Found(Fix)),
        (
            "water/embedded-wood",
            "  brick:",
            "  siding: fiber-cement-siding\n  gap: air 1 in, open top and bottom\n  brick:",
            Quiet,
        ),
    ]);
}

#[test]
fn the_ground_is_kept_out() {
    hold(&[
        ("water/open-grade-line", "8 in above grade", "150 mm above grade", Quiet),
        ("water/open-grade-line", "8 in above grade", "4 in above grade", Found(Fix)),
        ("water/open-grade-line", ", 8 in above grade", "", Open),
        (
            "water/bare-ground-wall",
            "  mat:      dimple-sheet\n  sheet:    bitumen-sheet, adhered         -> water\n",
            "",
            Found(Stop),
        ),
        ("water/bare-ground-wall", "7 ft, drained", "7 ft", Quiet),
        ("water/bare-ground-wall", "bitumen-sheet, adhered", "damp-proofing", Quiet),
        ("water/bare-ground-wall", "bitumen-sheet, adhered", "unknown", Open),
        ("water/flat-paving", "slope 2 % to front", "slope 1:60 to front", Quiet),
        ("water/flat-paving", "slope 2 % to front", "slope 1 % to front", Found(Watch)),
        ("water/flat-paving", "slope 2 % to front", "slope 0 %", Found(Fix)),
        (
            "water/damp-course-bypassed",
            "  course: plastic-dpc\n",
            "  tray: plastic-dpc\n  course: plastic-dpc\n  tray tucks into brick 4 in\n",
            Quiet,
        ),
        ("water/damp-course-bypassed", "plaster stops short of pour 1/2 in", "plaster touches pour", Found(Fix)),
        ("water/damp-course-bypassed", "  sheet laps over course 6 in, sealed with butyl-sealant\n", "", Found(Fix)),
        ("water/mass-bypass", "strip laps over pour 6 in", "strip laps over seam 6 in", Quiet),
    ]);
}
