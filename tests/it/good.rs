//! Joints as the trade draws them, in both systems of units: complete, and so nothing is told of them but what is listed.

use dewlap::review::{Input, review};

/// The texts, each a file of `tests/data/good`, with the findings that stay: each a watch that is right.
const GOOD: &[(&str, &str, &[&str])] = &[
    ("balcony-thermal-break", include_str!("../data/good/balcony-thermal-break.dew"), &[]),
    (
        "brick-head-and-base",
        include_str!("../data/good/brick-head-and-base.dew"),
        &["heat/gap-at-joint", "safety/loose-veneer"],
    ),
    ("canopy-on-brackets", include_str!("../data/good/canopy-on-brackets.dew"), &[]),
    ("cellar-to-frame", include_str!("../data/good/cellar-to-frame.dew"), &[]),
    ("chimney-narrow", include_str!("../data/good/chimney-narrow.dew"), &[]),
    ("chimney-wide", include_str!("../data/good/chimney-wide.dew"), &[]),
    ("concrete-base-under-brick-dpc", include_str!("../data/good/concrete-base-under-brick-dpc.dew"), &[]),
    ("concrete-overlap", include_str!("../data/good/concrete-overlap.dew"), &[]),
    ("deck-ledger", include_str!("../data/good/deck-ledger.dew"), &[]),
    ("deck-on-posts", include_str!("../data/good/deck-on-posts.dew"), &[]),
    ("door-on-balcony", include_str!("../data/good/door-on-balcony.dew"), &[]),
    ("door-on-roof-terrace", include_str!("../data/good/door-on-roof-terrace.dew"), &[]),
    ("door-on-slab", include_str!("../data/good/door-on-slab.dew"), &[]),
    ("eave-flush-no-overhang", include_str!("../data/good/eave-flush-no-overhang.dew"), &[]),
    ("eave-ice-belt", include_str!("../data/good/eave-ice-belt.dew"), &[]),
    ("expansion-joint-roof", include_str!("../data/good/expansion-joint-roof.dew"), &[]),
    ("expansion-joint-wall", include_str!("../data/good/expansion-joint-wall.dew"), &[]),
    ("flat-roof-edge-metal", include_str!("../data/good/flat-roof-edge-metal.dew"), &[]),
    ("floor-line", include_str!("../data/good/floor-line.dew"), &[]),
    ("high-edge-of-mono-roof", include_str!("../data/good/high-edge-of-mono-roof.dew"), &[]),
    ("insulated-reveal", include_str!("../data/good/insulated-reveal.dew"), &["dew/frost-in-masonry"]),
    ("metal-sill-on-rendered-insulation", include_str!("../data/good/metal-sill-on-rendered-insulation.dew"), &[]),
    (
        "old-brick-reglet",
        include_str!("../data/good/old-brick-reglet.dew"),
        &["air/leaky-material", "safety/cut-in-old-wall"],
    ),
    ("old-stone-bar", include_str!("../data/good/old-stone-bar.dew"), &[]),
    ("outside-corner", include_str!("../data/good/outside-corner.dew"), &[]),
    ("panel-ridge", include_str!("../data/good/panel-ridge.dew"), &[]),
    (
        "partition-top",
        include_str!("../data/good/partition-top.dew"),
        &["match/sagging-ceiling", "match/sagging-ceiling"],
    ),
    ("pipe-through-roof", include_str!("../data/good/pipe-through-roof.dew"), &[]),
    ("pipe-through-wall", include_str!("../data/good/pipe-through-wall.dew"), &["water/reversed-lap"]),
    ("planks-through-wall", include_str!("../data/good/planks-through-wall.dew"), &[]),
    ("pole-through-wall-beam", include_str!("../data/good/pole-through-wall-beam.dew"), &[]),
    ("porch-roof-under-brick", include_str!("../data/good/porch-roof-under-brick.dew"), &[]),
    ("post-through-flat-roof", include_str!("../data/good/post-through-flat-roof.dew"), &[]),
    ("rake-with-kick-out", include_str!("../data/good/rake-with-kick-out.dew"), &[]),
    ("retained-soil-wall", include_str!("../data/good/retained-soil-wall.dew"), &[]),
    ("ridge-two-slopes", include_str!("../data/good/ridge-two-slopes.dew"), &[]),
    ("shelf-angle", include_str!("../data/good/shelf-angle.dew"), &[]),
    ("skylight-on-tiles", include_str!("../data/good/skylight-on-tiles.dew"), &[]),
    ("slab-edge-inside", include_str!("../data/good/slab-edge-inside.dew"), &[]),
    ("slab-edge-outside", include_str!("../data/good/slab-edge-outside.dew"), &[]),
    ("slab-porch-at-frame-door-wall", include_str!("../data/good/slab-porch-at-frame-door-wall.dew"), &[]),
    ("stair-of-walls-inside-corner", include_str!("../data/good/stair-of-walls-inside-corner.dew"), &[]),
    ("steel-deck-over-wall", include_str!("../data/good/steel-deck-over-wall.dew"), &[]),
    ("stepped-tray-abutment", include_str!("../data/good/stepped-tray-abutment.dew"), &[]),
    ("stone-coped-parapet", include_str!("../data/good/stone-coped-parapet.dew"), &[]),
    ("stucco-base", include_str!("../data/good/stucco-base.dew"), &[]),
    ("two-claddings-level", include_str!("../data/good/two-claddings-level.dew"), &[]),
    ("two-claddings-upright", include_str!("../data/good/two-claddings-upright.dew"), &[]),
    ("vertical-dpc", include_str!("../data/good/vertical-dpc.dew"), &["safety/cut-in-old-wall"]),
    ("warm-roof-to-cavity-wall", include_str!("../data/good/warm-roof-to-cavity-wall.dew"), &[]),
    ("window-boxed-in-stone", include_str!("../data/good/window-boxed-in-stone.dew"), &["safety/unit-in-old-wall"]),
    ("window-flanged", include_str!("../data/good/window-flanged.dew"), &[]),
    ("window-in-outboard-insulation", include_str!("../data/good/window-in-outboard-insulation.dew"), &[]),
    ("wrapped-parapet", include_str!("../data/good/wrapped-parapet.dew"), &[]),
];

#[test]
fn a_joint_as_the_trade_draws_it_raises_nothing_but_what_is_listed() {
    for (name, text, listed) in GOOD {
        let input = Input { name: format!("{name}.dew"), text: (*text).to_string() };
        let done = review(vec![input], &mut |_, path| Err(format!("nothing to include at {path}")));
        let report = &done.reports[0];
        let told: Vec<String> =
            report.findings.iter().map(|f| format!("{} {:?} {}", f.rule, f.weight, f.message)).collect();
        let rules: Vec<&str> = report.findings.iter().map(|f| f.rule).collect();
        assert_eq!(rules, *listed, "{name}: {told:#?}");
        assert!(report.findings.iter().all(|f| f.weight == dewlap::base::finding::Weight::Watch), "{name}: {told:#?}");
    }
}

/// A good joint, what is spoiled in it, and the rule that has to tell of it: what keeps quiet above is not blind.
const SPOILED: [(&str, &str, &str, &str); 9] = [
    ("shelf-angle", "seals to lower brick", "seals to upper brick", "water/plugged-exit"),
    ("door-on-roof-terrace", "  door.pan laps over upstand 100 mm, bonded\n", "", "water/pan-inside"),
    ("stone-coped-parapet", "slope 1:6 outward, end dams 75 mm", "slope 1:6 outward", "water/missing-end-dams"),
    ("stone-coped-parapet", "sheet turns up block 150 mm", "sheet turns up block 60 mm", "water/raw-masonry-edge"),
    (
        "flat-roof-edge-metal",
        "cover laps over rubber 4 in, bonded",
        "cover laps over rubber 4 in",
        "water/reversed-lap",
    ),
    ("eave-ice-belt", "overhang 24 in", "overhang 4 in", "water/layer-not-joined"),
    ("two-claddings-level", "  zee laps over cap 3 in\n  zee runs past cap 3/8 in\n", "", "water/level-unlike-joint"),
    (
        "stepped-tray-abutment",
        "soakers turn up brick 75 mm",
        "soakers turn up brick 60 mm",
        "water/small-step-flashing",
    ),
    ("stepped-tray-abutment", "weeps at 900 mm oc", "weeps at 1500 mm oc", "water/far-weeps"),
];

#[test]
fn what_is_spoiled_in_a_good_joint_is_told() {
    for (name, from, to, rule) in SPOILED {
        let (_, text, _) = GOOD.iter().find(|(n, ..)| *n == name).unwrap();
        assert!(text.contains(from), "{name}: {from}");
        let input = Input { name: format!("{name}.dew"), text: text.replace(from, to) };
        let done = review(vec![input], &mut |_, path| Err(format!("nothing to include at {path}")));
        let rules: Vec<&str> = done.reports[0].findings.iter().map(|f| f.rule).collect();
        assert!(rules.contains(&rule), "{name}, `{to}` for `{from}`: {rules:?}");
    }
}
