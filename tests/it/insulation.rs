//! Air and heat rules of one section at their borders, and their figures by a second route.

use dewlap::base::finding::{Finding, Weight};
use dewlap::base::quantity::{Fraction, ThermalResistance};
use dewlap::base::unit::R_VALUE;
use dewlap::catalog::codes::{Part, edition};
use dewlap::catalog::{Zone, ZoneBasis};
use dewlap::physics::heat::{Section, parallel_path};
use dewlap::review::{Input, review};

const JOB: &str = "job boathouse\n  place portland-or-us\n  heated 66 F 40 %\n";

fn all(text: &str) -> Vec<Finding> {
    let input = Input { name: "boathouse.dew".to_string(), text: text.to_string() };
    let done = review(vec![input], &mut |_, path| Err(format!("nothing at {path}")));
    let findings: Vec<Finding> = done.reports.into_iter().flat_map(|r| r.findings).collect();
    let broken: Vec<&Finding> = findings.iter().filter(|f| f.rule.starts_with("notation/")).collect();
    assert!(broken.is_empty(), "{text}\n{broken:?}");
    findings
}

/// The finding of a rule.
fn one(rule: &str, text: &str) -> Option<Finding> {
    all(text).into_iter().find(|f| f.rule == rule)
}

fn weight(rule: &str, text: &str) -> Option<Weight> {
    one(rule, text).map(|f| f.weight)
}

fn number(finding: &Finding, name: &str) -> f64 {
    finding.numbers.iter().find(|n| n.name == name).map(|n| n.value).expect("a figure of this name")
}

/// A section of the boathouse, from its second line to the last but one.
fn wall(layers: &[&str]) -> String {
    format!("{JOB}wall quay\n  outdoors\n  {}\n  indoors\n", layers.join("\n  "))
}

const RAIN: &str = "siding: fiber-cement-siding\n  vent: air 3/4 in, open top and bottom";
const TIGHT: &str = "coat: liquid-membrane-tight -> water air\n  pour: concrete 8 in";

fn near(is: f64, hand: f64, within: f64) {
    assert!((is - hand).abs() <= within, "{is} is not {hand} within {within}");
}

#[test]
fn foam_is_an_air_layer_from_its_least_depth_on() {
    let foam = |fill: &str| {
        wall(&[RAIN, "board: gypsum-sheathing 1/2 in", &format!("studs: 38x140 mm at 400 mm, bays {fill} -> air")])
    };
    let told = |fill: &str| one("air/thin-foam", &foam(fill)).is_some();
    assert!(told("spf-closed 37 mm + mineral-wool-batt"));
    assert!(!told("spf-closed 38 mm + mineral-wool-batt"));
    assert!(!told("spf-closed 1-1/2 in + mineral-wool-batt"));
    assert!(told("spf-open 75 mm + mineral-wool-batt"));
    assert!(!told("spf-open 3 in + mineral-wool-batt"));
}

#[test]
fn leakage_is_judged_by_edition_and_zone() {
    let house = |place: &str, code: &str, leaks: &str| {
        format!("job bakery\n  place {place}\n  {code}\n  airtight {leaks} ach50\n  heated 68 F 35 %\n")
    };
    let of = |place: &str, code: &str, leaks: &str| weight("air/leakage-over-limit", &house(place, code, leaks));
    // IECC R402.4.1.2, quoted by trade articles: 5.0 in zones 0 to 2, 3.0 in zones 3 to 8.
    assert_eq!(of("burlington-vt-us", "code irc-2021", "3.0"), None);
    assert_eq!(of("burlington-vt-us", "code irc-2021", "3.1"), Some(Weight::Fix));
    assert_eq!(of("houston-tx-us", "code irc-2012", "5.0"), None);
    assert_eq!(of("houston-tx-us", "code irc-2012", "5.1"), Some(Weight::Fix));
    // IECC 2024 R402.5 (from memory): 2.5 in zone 6.
    assert_eq!(of("burlington-vt-us", "code irc-2024", "2.6"), Some(Weight::Watch));
    assert_eq!(of("burlington-vt-us", "units inch", "9.0"), None);
}

#[test]
fn a_tight_house_wants_fans() {
    let house = |rest: &str| format!("job bakery\n  place burlington-vt-us\n  heated 68 F 35 %\n{rest}");
    let told = |rest: &str| one("air/no-fresh-air", &house(rest)).is_some();
    assert!(told("  code irc-2012\n  airtight 4.9 ach50\n"));
    assert!(!told("  code irc-2012\n  airtight 5.0 ach50\n"));
    assert!(!told("  code irc-2012\n  airtight 1.5 ach50\n  ventilated 28 L/s\n"));
    assert!(!told("  airtight 1.5 ach50\n"));
}

#[test]
fn laps_of_an_adhered_sheet_are_closed_whatever_their_length() {
    let of = |words: &str| {
        wall(&[RAIN, &format!("sheet: housewrap-laminated, {words} -> water air"), "board: wood-fiber-sheathing 35 mm"])
    };
    assert!(one("air/open-seams", &of("lapped 6 in")).is_some());
    assert!(one("air/open-seams", &of("lapped 6 in, adhered")).is_none());
    assert!(one("air/open-seams", &of("adhered, lapped 6 in")).is_none());
}

#[test]
fn a_sheet_is_held_by_a_board_or_by_members_on_both_sides() {
    let of = |outside: &str, inside: &str| {
        let sheet = "sheet: housewrap-laminated, lapped 6 in, taped -> water air";
        weight("air/loose-sheet", &wall(&["siding: fiber-cement-siding", outside, sheet, inside]))
    };
    let (studs, open) = ("studs: 2x6 at 16 in, bays mineral-wool-batt", "gap: air 1 in, open top and bottom");
    assert_eq!(of(open, studs), Some(Weight::Fix));
    assert_eq!(of("gap: air 1 in, closed", studs), Some(Weight::Watch));
    assert_eq!(of("strips: 1x3 at 16 in, bays air, open top and bottom", studs), None);
    assert_eq!(of(open, "board: gypsum-sheathing 1/2 in"), None);
    assert_eq!(of(open, "second: vapor-open-sheet, lapped 6 in\n  board: osb 7/16 in"), None);
    assert_eq!(of(open, "studs: 2x6 at 16 in, bays spf-closed 2 in + mineral-wool-batt"), None);
}

#[test]
fn what_is_bonded_to_a_leaky_layer_makes_it_tight() {
    let told = |layers: &[&str]| one("air/leaky-material", &wall(layers)).is_some();
    let block = "block: concrete-block 8 in -> air";
    assert!(told(&[RAIN, block, "lining: drywall 1/2 in"]));
    assert!(!told(&[RAIN, block, "plaster: gypsum-plaster 13 mm"]));
    assert!(!told(&[RAIN, "render: cement-plaster 15 mm", block]));
    assert!(!told(&[RAIN, "block: concrete-block 8 in, painted -> air"]));
    // Grouted solid it is tight by itself (IECC 2021 C402.5.1.3, from memory).
    assert!(!told(&[RAIN, "block: block-grouted 8 in -> air", "lining: drywall 1/2 in"]));
    assert!(one("air/open-section", &wall(&[RAIN, "block: block-grouted 8 in"])).is_none());
    // A coat with a gap between is bonded to something else.
    assert!(told(&[RAIN, block, "gap: air 1 in, closed", "plaster: gypsum-plaster 13 mm"]));
    // Render sticks to no loose felt; felt mopped on concrete has no laps.
    assert!(told(&["render: stucco 22 mm", "felt: felt, lapped 6 in -> air", "board: wood-fiber-sheathing 35 mm"]));
    assert!(!told(&[RAIN, "felt: felt, adhered -> water air", "pour: concrete 8 in"]));
    // Solid wood is tight, its joints are not.
    assert!(told(&["logs: log 8 in -> air"]));
    assert!(!told(&["logs: log 8 in, sealed -> air"]));
    assert!(one("air/open-section", &wall(&["logs: log 8 in, sealed"])).is_none());
}

#[test]
fn nothing_outside_of_a_vented_gap_stops_air() {
    let section = |claim: &str, sheath: &str| {
        wall(&[
            &format!("panel: fiber-cement-panel 8 mm, sealed {claim}"),
            "gap: air 1 in, open top and bottom",
            &format!("sheath: gypsum-sheathing 1/2 in{sheath}"),
            "studs: 2x6 at 16 in, bays mineral-wool-batt",
        ])
    };
    assert_eq!(weight("air/outside-vented-gap", &section("-> air", "")), Some(Weight::Stop));
    assert_eq!(weight("air/outside-vented-gap", &section("-> air", ", taped")), Some(Weight::Fix));
    assert_eq!(weight("air/outside-vented-gap", &section("-> air", ", taped -> air")), None);
    let open = one("air/open-section", &section("", "")).expect("an open section");
    assert!(open.detail.contains("room side of the vented gap"), "{}", open.detail);
    assert!(one("air/open-section", &section("", ", taped")).is_none());
}

/// ISO 6946 Annex F (from memory): dU = 0.8 (50 x 18e-6 n/d)(R1/R)^2.
#[test]
fn fasteners_cost_what_the_standard_says_and_are_told_from_a_tenth_on() {
    let text =
        |spacing: &str| wall(&[RAIN, &format!("foam: eps 100 mm 0.04 W/(m.K), in 2 layers, screws {spacing}"), TIGHT]);
    let found = one("heat/fastener-bridge", &text("400x300 mm")).expect("told");
    let u = number(&found, "transmittance");
    let hand = 0.8 * 50.0 * 18.0e-6 / (0.4 * 0.3) / 0.1 * (2.5 * u) * (2.5 * u);
    near(number(&found, "transmittance_added"), hand, 1e-9);
    // A published study of attachments: 2 to 16 % for fasteners (read).
    assert!((0.02..0.16).contains(&(hand / u)), "{}", hand / u);
    // The share falls with their number: 0.1 at n = 0.1 u / (hand n / 8.33).
    let least = 0.1 * u / (hand / (1.0 / 0.12));
    let side = |n: f64| (1e6 / n / 400.0).round();
    assert!(one("heat/fastener-bridge", &text(&format!("400x{} mm", side(least) - 5.0))).is_some());
    assert!(one("heat/fastener-bridge", &text(&format!("400x{} mm", side(least) + 5.0))).is_none());
}

#[test]
fn screws_stop_at_what_holds_them() {
    let told = |layers: &[&str]| one("heat/fastener-bridge", &wall(layers)).is_some();
    assert!(told(&[
        "siding: fiber-cement-siding",
        "strips: 1x3 at 16 in, bays air, open top and bottom, screws 8x16 in",
        "foam: eps 4 in, in 2 layers",
        TIGHT
    ]));
    assert!(!told(&[
        "siding: fiber-cement-siding, screws 8x16 in",
        "strips: 1x3 at 16 in, bays air, open top and bottom",
        "foam: eps 4 in, in 2 layers",
        TIGHT
    ]));
}

/// ISO 6946 Annex F (from memory): 0.01 (R1/R)^2 is a tenth of U where R1^2/R is 10.
#[test]
fn board_joints_are_told_where_boards_are_nearly_all() {
    let told = |boards: &str| one("heat/board-gaps", &wall(&[RAIN, boards, TIGHT])).is_some();
    let rest = 0.13 + 0.13 + 0.2032 / 1.65;
    let border = (10.0 + (100.0_f64 + 40.0 * rest).sqrt()) / 2.0;
    let board = |r: f64, words: &str| format!("foam: eps 150 mm RSI {r:.3}{words}");
    assert!(told(&board(border + 0.05, "")));
    assert!(!told(&board(border - 0.05, "")));
    for words in [", taped", ", in 2 layers", ", adhered"] {
        assert!(!told(&board(border + 0.05, words)), "{words}");
    }
}

/// Heat side by side through a pinched blanket, by the parallel paths of the section in `physics`.
#[test]
fn a_pinched_blanket_is_worth_what_parallel_paths_say() {
    let roof = |between: &str| {
        format!(
            "{JOB}roof loft\n  slope 3:12\n  outdoors\n  metal: standing-seam-steel\n  blanket: glass-batt 4 in RSI 2.5, \
             pinched 0.4 in\n{between}  purlins: steel-stud 8 in at 48 in, bays air\n  indoors\n"
        )
    };
    let found = one("heat/pinched-at-steel", &roof("")).expect("told");
    let of = |share: f64, r: f64| Section {
        share: Fraction::new(share),
        resistances: [0.10, r, 0.04].map(ThermalResistance::new).to_vec(),
        metal: false,
    };
    let flange = 1.625 / 48.0;
    let whole = parallel_path(&[of(flange, 0.25), of(1.0 - flange, 2.5)]).expect("a resistance");
    near(number(&found, "resistance_worth"), whole.si() - 0.14, 1e-6);
    assert_eq!(found.weight, Weight::Fix);
    assert!(all(&roof("")).iter().all(|f| f.rule != "heat/squeezed-batt"));
    let blocked = all(&roof("  blocks: polyiso-foil 1 in\n"));
    assert!(blocked.iter().all(|f| !matches!(f.rule, "heat/pinched-at-steel" | "heat/squeezed-batt")), "{blocked:?}");
}

#[test]
fn girts_keep_at_most_half_and_steel_framing_counts_that() {
    let quay = |behind: &str| wall(&[RAIN, "girts: steel-stud 4 in at 24 in, bays mineral-wool-board RSI 3", behind]);
    let found = one("heat/metal-girts", &quay(TIGHT)).expect("told");
    near(number(&found, "resistance_worth_least"), 0.6, 1e-9);
    near(number(&found, "resistance_worth_most"), 1.5, 1e-9);
    assert!(one("heat/steel-framing", &quay(TIGHT)).is_none());
    // R-13 between studs at 16 in is worth R-6 (ASHRAE 90.1-2010 Table A9.2B, from memory): R-7 across makes up for it,
    // RSI 1.5 between girts counts for that.
    let studs = "sheath: gypsum-sheathing 1/2 in\n  studs: steel-stud 3-5/8 in at 16 in, bays glass-batt R-13";
    assert!(one("heat/steel-framing", &quay(studs)).is_none());
    let bare = wall(&[RAIN, studs]);
    assert!(one("heat/steel-framing", &bare).is_some() && one("heat/metal-girts", &bare).is_none());
}

#[test]
fn foam_in_the_ground_is_told_by_state_wood_and_place() {
    let job = |place: &str, slab: &str, studs: &str| {
        format!(
            "job bakery\n  place {place}\n  code irc-2018\n  heated 68 F 45 %\n  cooled 75 F 55 %\nslab floor\n  indoors\n  \
             {slab}\n  ground\nwall street\n  outdoors\n  siding: fiber-cement-siding\n  studs: 2x4 at 16 in, bays \
             mineral-wool-batt{studs}\n  indoors\n"
        )
    };
    let told = |place, slab, studs| one("heat/foam-in-termite-ground", &job(place, slab, studs)).is_some();
    let (under, over) = ("pour: concrete 4 in\n  foam: xps 1 in", "foam: xps 1 in\n  pour: concrete 4 in");
    assert!(told("tampa-fl-us", under, ""));
    assert!(!told("tampa-fl-us", over, ""));
    assert!(!told("tampa-fl-us", under, ", treated"));
    assert!(!told("burlington-vt-us", under, ""));
    let like = job("shore", under, "").replacen("job", "climate shore\n  like tampa-fl-us\njob", 1);
    assert!(one("heat/foam-in-termite-ground", &like).is_none(), "weather like Tampa's is not Florida");
}

#[test]
fn wind_gaps_and_hanging_batts_at_their_borders() {
    let roof = |deep: &str| {
        format!(
            "{JOB}roof loft\n  slope 8:12\n  outdoors\n  deck: plywood 5/8 in\n  gap: air 2 in, open eave and ridge\n  \
             rafters: {deep} at 600 mm, bays mineral-wool-batt\n  film: smart-membrane, taped -> air\n  lining: drywall 1/2 \
             in\n  indoors\n"
        )
    };
    assert_eq!(weight("heat/wind-wash", &roof("50x100 mm")), None);
    assert_eq!(weight("heat/wind-wash", &roof("50x105 mm")), Some(Weight::Watch));
    let channel = |words: &str| {
        format!(
            "{JOB}roof loft\n  slope 8:12\n  outdoors\n  deck: plywood 5/8 in\n  rafters: 2x12 at 24 in, bays air 2 in + \
             mineral-wool-batt{words}\n  film: smart-membrane, taped -> air\n  lining: drywall 1/2 in\n  indoors\n"
        )
    };
    assert_eq!(weight("heat/wind-wash", &channel(", open eave and ridge")), Some(Weight::Watch));
    assert_eq!(weight("heat/wind-wash", &channel("")), None);
    let floor = |air: &str, under: &str| {
        format!(
            "{JOB}floor main\n  indoors\n  boards: plywood 3/4 in, taped -> air\n  joists: 50x240 mm at 400 mm, bays air {air} + \
             mineral-wool-batt\n{under}  outdoors\n"
        )
    };
    assert_eq!(weight("heat/dropped-batt", &floor("12 mm", "")), None);
    assert_eq!(weight("heat/dropped-batt", &floor("13 mm", "")), Some(Weight::Fix));
    assert_eq!(weight("heat/dropped-batt", &floor("100 mm", "  wrap: vapor-open-sheet, lapped 6 in\n")), None);
}

#[test]
fn a_foil_counts_with_still_air_and_a_written_worth_without_it_is_a_fault() {
    let of = |bubble: &str, inside: &str| {
        weight(
            "heat/foil-without-air",
            &wall(&[
                RAIN,
                "sheath: osb 7/16 in, taped -> air",
                "studs: 2x6 at 16 in, bays mineral-wool-batt",
                bubble,
                inside,
            ]),
        )
    };
    assert_eq!(of("bubble: reflective-bubble", "lining: drywall 1/2 in"), Some(Weight::Watch));
    assert_eq!(of("bubble: reflective-bubble R-6", "lining: drywall 1/2 in"), Some(Weight::Fix));
    assert_eq!(of("bubble: reflective-bubble R-6", "gap: air 3/4 in, closed\n  lining: drywall 1/2 in"), None);
    assert_eq!(of("foil: foil-kraft, taped -> vapor", "lining: drywall 1/2 in"), None);
}

/// The R-values that IECC 2021 allows a frame wall in a zone come to the U-value of the same table (both from memory): R-13
/// in zones 0 to 2, R-20 in zone 3, R-20 with R-5 outside of it in zone 5.
#[test]
fn walls_of_the_codes_options_meet_its_transmittance() {
    let u = |layers: &str| {
        let text = wall(&["siding: wood-lap-siding 1/2 in", layers, "lining: drywall 1/2 in, painted"]);
        let input = Input { name: "u.dew".to_string(), text };
        let done = review(vec![input], &mut |_, _| Err(String::new()));
        done.reports[0].surfaces[0].u_value.expect("a U-value").si() * R_VALUE
    };
    let most = |number: u8| {
        let code = edition("irc-2021").found().expect("an edition");
        let zone = Zone::read(&format!("{number}A"), ZoneBasis::Written).expect("a zone");
        code.most_transmittance(zone, Part::FrameWall).expect("a row").u.si() * R_VALUE
    };
    for (layers, zone) in [
        ("sheath: osb 7/16 in\n  studs: 2x4 at 16 in, bays glass-batt R-13", 2),
        ("sheath: osb 7/16 in\n  studs: 2x6 at 16 in, bays glass-batt R-20", 3),
        ("foam: eps 1 in R-5\n  sheath: osb 7/16 in\n  studs: 2x6 at 16 in, bays glass-batt R-20", 5),
    ] {
        near(u(layers) / most(zone), 1.0, 0.07);
    }
}

#[test]
fn a_surface_is_told_from_twice_its_table_on() {
    let wall = |r: f64| {
        format!(
            "job bakery\n  place burlington-vt-us\n  code irc-2021\n  heated 68 F 35 %\nwall street\n  framing 1 %\n  outdoors\n  \
             siding: wood-lap-siding 1/2 in\n  sheath: osb 7/16 in\n  studs: 2x4 at 16 in, bays glass-batt R-{r:.1}\n  \
             lining: drywall 1/2 in, painted\n  indoors\n"
        )
    };
    let found = one("heat/below-code", &wall(7.0)).expect("told");
    let times = number(&found, "transmittance") / number(&found, "transmittance_most");
    assert!(times > 2.0 && found.weight == Weight::Watch, "{times}");
    assert!(one("heat/below-code", &wall(12.0)).is_none());
    assert!(one("heat/below-code", &wall(7.0).replace("  framing", "  existing\n  framing")).is_none());
}
