//! Rules on vapor in walls at the borders of their figures. Where a rule says how much would do, that much is tried.

use dewlap::base::finding::{Finding, Weight};
use dewlap::review::{Input, review};

/// The job before its wall, and the layers of the wall.
fn look(job: &str, layers: &[&str]) -> (Vec<Finding>, Vec<String>) {
    let text = format!("job creamery\n  {job}\n\nwall yard\n  outdoors\n  {}\n  indoors\n", layers.join("\n  "));
    let done =
        review(vec![Input { name: "creamery.dew".to_string(), text: text.clone() }], &mut |_, _| Err(String::new()));
    let report = done.reports.into_iter().next().unwrap();
    assert!(report.findings.iter().all(|f| !f.rule.starts_with("notation/")), "{text}\n{:?}", report.findings);
    let not_run = report.not_run.iter().map(|n| format!("{}: {}", n.rule, n.why)).collect();
    (report.findings, not_run)
}

/// The finding of a rule.
fn found(rule: &str, job: &str, layers: &[&str]) -> Option<Finding> {
    look(job, layers).0.into_iter().find(|f| f.rule == rule)
}

fn weight(rule: &str, job: &str, layers: &[&str]) -> Option<Weight> {
    found(rule, job, layers).map(|f| f.weight)
}

fn number(finding: &Finding, name: &str) -> f64 {
    finding.numbers.iter().find(|n| n.name == name).unwrap().value
}

const DRIVE: &str = "vapor/wet-cladding-drive";
const COOLED: &str = "place philadelphia-pa-us\n  heated 68 F 30 %\n  cooled 75 F 50 %";

/// Brick, a gap, a board that passes so much, batts and a film that passes so much.
fn brick(job: &str, gap: &str, board: &str, film: &str) -> Option<Weight> {
    let board = format!("sheath: gypsum-sheathing 1/2 in, {board}");
    let film = format!("film: poly 6 mil, {film}");
    let studs = "studs: 2x4 at 16 in, bays mineral-wool-batt";
    weight(DRIVE, job, &["brick: brick-veneer 3-1/2 in", gap, &board, studs, &film, "lining: drywall 1/2 in"])
}

#[test]
fn a_wet_cladding_drives_through_what_is_open_to_what_is_tight() {
    let drained = "gap: air 1 in, open bottom";
    let of = |board: &str, film: &str| brick(COOLED, drained, board, film);
    // Gap and batts hold nothing off.
    assert_eq!(of("10.1 perm", "0.1 perm"), Some(Weight::Stop));
    assert_eq!(of("10 perm", "0.1 perm"), Some(Weight::Fix));
    assert_eq!(of("1.1 perm", "0.1 perm"), Some(Weight::Fix));
    assert_eq!(of("1 perm", "0.1 perm"), None);
    // Class II is lighter by one for itself and by one for the gap.
    assert_eq!(of("30 perm", "0.11 perm"), Some(Weight::Watch));
    assert_eq!(of("30 perm", "1 perm"), Some(Weight::Watch));
    assert_eq!(of("30 perm", "1.01 perm"), None);
    assert_eq!(of("5 perm", "0.5 perm"), None);
}

#[test]
fn a_wet_cladding_drives_only_where_it_is_wet_and_coupled_and_the_room_is_cooled() {
    let of = |job: &str, gap: &str| brick(job, gap, "30 perm", "0.06 perm");
    assert_eq!(of(COOLED, "gap: air 1 in, closed"), Some(Weight::Stop));
    assert_eq!(of(COOLED, "gap: air 1 in, open top and bottom"), None);
    assert_eq!(of(&format!("{COOLED}\n  rain sheltered"), "gap: air 1 in, closed"), None);
    assert_eq!(of("place philadelphia-pa-us\n  heated 68 F 30 %", "gap: air 1 in, closed"), None);
    // Las Vegas has some 100 mm of rain in a year.
    assert_eq!(of(&COOLED.replace("philadelphia-pa-us", "las-vegas-nv-us"), "gap: air 1 in, closed"), None);
    let layers = [
        "brick: brick-veneer 3-1/2 in",
        "gap: air 1 in",
        "sheath: gypsum-sheathing 1/2 in",
        "studs: 2x4 at 16 in, bays mineral-wool-batt",
        "film: poly 6 mil",
        "lining: drywall 1/2 in",
    ];
    let (findings, not_run) = look(COOLED, &layers);
    assert!(findings.iter().all(|f| f.rule != DRIVE));
    assert!(not_run.iter().any(|n| n.starts_with(DRIVE) && n.contains("`gap` is open low and high")), "{not_run:?}");
}

/// A tight board of so much resistance outside of 2x4 studs.
fn cold(job: &str, resistance: f64, inner: &str) -> Option<Finding> {
    let foam = format!("foam: polyiso-foil 1 in, R-{resistance:.3}, taped");
    let studs = "studs: 2x4 at 16 in, bays glass-batt R-13";
    let gap = "gap: air 3/4 in, open top and bottom";
    found("vapor/cold-side-tight", job, &["boards: cedar 3/4 in", gap, &foam, studs, inner, "lining: drywall 1/2 in"])
}

#[test]
fn canada_asks_for_a_share_by_degree_days() {
    // NBC of Canada 9.25.5.2, from memory: 0.20 below 5000 degree days, 0.30 below 6000. Its own table of climates gives
    // Toronto some 3500 and Winnipeg some 5700.
    for (place, ratio) in [("toronto-on-ca", 0.20), ("winnipeg-mb-ca", 0.30)] {
        let job = format!("place {place}\n  heated 20 C 25 %");
        let none = cold(&job, 0.5, "kraft: kraft").unwrap();
        let least = number(&none, "outside_resistance_least");
        assert!((least / number(&none, "inside_resistance") - ratio).abs() < 1e-9, "{place}");
        let r = least / dewlap::base::unit::R_VALUE;
        assert!(cold(&job, r * 1.001, "kraft: kraft").is_none(), "{place}");
        assert!(cold(&job, r * 0.99, "kraft: kraft").is_some(), "{place}");
    }
}

#[test]
fn without_a_code_the_dew_point_of_the_room_decides() {
    let job = "place burlington-vt-us\n  heated 70 F 40 %";
    let open = "inner: gypsum-fiber-board 1/2 in";
    let none = cold(job, 0.5, open).unwrap();
    let r = number(&none, "outside_resistance_least") / dewlap::base::unit::R_VALUE;
    assert!(r > 1.0);
    assert!(cold(job, r * 1.001, open).is_none());
    assert!(cold(job, r * 0.99, open).is_some());
    assert!(cold(job, 0.5, "kraft: kraft").is_none());
    // A drier room needs less.
    let dry = cold("place burlington-vt-us\n  heated 70 F 30 %", 0.5, open);
    assert!(dry.is_none_or(|f| number(&f, "outside_resistance_least") < number(&none, "outside_resistance_least")));
}

#[test]
fn a_code_counts_what_its_table_asks_and_no_vented_cladding() {
    let job = "place albany-ny-us\n  code irc-2021\n  heated 64 F 15 %";
    let of = |foam: &str| {
        let layers = [
            "boards: cedar 3/4 in",
            "gap: air 3/4 in, open top and bottom",
            foam,
            "sheet: bitumen-sheet 40 mil, adhered",
            "sheath: gypsum-sheathing 1/2 in",
            "studs: 2x4 at 16 in, bays mineral-wool-batt",
            "lining: drywall 1/2 in, painted",
        ];
        weight("vapor/cold-side-tight", job, &layers)
    };
    // IRC 2021 Table R702.7(3), by a transcription: R-5 over 2x4 in zone 5.
    assert_eq!(of("wool: mineral-wool-board 1 in, R-4.9"), Some(Weight::Fix));
    assert_eq!(of("wool: mineral-wool-board 1 in, R-5"), None);
}

/// Studs between two layers that pass so much.
fn snug(place: &str, outer: f64, inner: f64) -> Option<Weight> {
    let foam = format!("foam: eps 3 in, {outer} perm");
    let film = format!("film: retarder-paper, {inner} perm");
    let gap = "gap: air 3/4 in, open top and bottom";
    let studs = "studs: 2x4 at 16 in, bays mineral-wool-batt";
    let layers = ["boards: cedar 3/4 in", gap, &foam, "sheath: gypsum-sheathing 1/2 in", studs, &film];
    weight("vapor/snug-both-sides", &format!("place {place}\n  heated 62 F 35 %"), &layers)
}

#[test]
fn what_dries_at_a_perm_to_one_side_is_let_be() {
    let albany = |outer, inner| snug("albany-ny-us", outer, inner);
    assert_eq!(albany(0.9, 0.9), Some(Weight::Fix));
    assert_eq!(albany(1.05, 0.2), None);
    assert_eq!(albany(0.2, 1.0), None);
    assert_eq!(albany(0.4, 0.9), Some(Weight::Fix));
    // Under half a perm both ways the year decides: summers of Albany dry 100 g/m2, those of Duluth do not.
    assert_eq!(albany(0.02, 0.101), Some(Weight::Fix));
    assert_eq!(snug("duluth-mn-us", 0.02, 0.101), Some(Weight::Stop));
    // Both of class I: told by the rule on barriers.
    assert_eq!(albany(0.09, 0.09), None);
}

/// A sheet with such seams in a room of this air.
fn seams(air: &str, words: &str) -> Option<Weight> {
    let film = format!("film: poly 6 mil, {words} -> vapor");
    let layers = [
        "boards: cedar 3/4 in",
        "gap: air 3/4 in, open top and bottom",
        "wool: mineral-wool-board 4 in",
        "sheath: gypsum-sheathing 1/2 in, taped -> air",
        "studs: 2x4 at 16 in, bays mineral-wool-batt",
        &film,
        "lining: drywall 1/2 in",
    ];
    weight("vapor/open-seams", &format!("place albany-ny-us\n  heated {air}"), &layers)
}

#[test]
fn open_seams_count_in_humid_rooms() {
    assert_eq!(seams("66 F 51 %", "lapped 6 in"), Some(Weight::Fix));
    assert_eq!(seams("66 F 50 %", "lapped 6 in"), None);
    assert_eq!(seams("66 F 50 %, held", "lapped 6 in"), Some(Weight::Fix));
    // 80 F at 45 % has a dew point of 13 C.
    assert_eq!(seams("80 F 45 %", "lapped 6 in"), Some(Weight::Fix));
    assert_eq!(seams("66 F 60 %", "partly taped"), Some(Weight::Fix));
    assert_eq!(seams("66 F 60 %", "lapped 6 in, taped"), None);
    assert_eq!(seams("66 F 60 %", "lapped 6 in, taped, edges open"), Some(Weight::Fix));
}

#[test]
fn a_vapor_layer_passes_no_more_than_class_two() {
    let of = |job: &str, perms: &str| {
        let sheet = format!("sheet: housewrap, {perms} perm, lapped 6 in, taped -> vapor");
        let studs = "studs: 2x4 at 16 in, bays mineral-wool-batt";
        let layers = ["boards: cedar 3/4 in", "sheath: plywood 1/2 in", studs, &sheet, "lining: drywall 1/2 in"];
        weight("vapor/loose-vapor-layer", job, &layers)
    };
    let plain = "place burlington-vt-us\n  heated 66 F 30 %";
    assert_eq!(of(plain, "1"), None);
    assert_eq!(of(plain, "1.01"), Some(Weight::Watch));
    assert_eq!(of(plain, "10"), Some(Weight::Watch));
    assert_eq!(of(plain, "10.1"), Some(Weight::Fix));
    // Whether class III is enough is for the table to say.
    let code = format!("{plain}\n  code irc-2021");
    assert_eq!(of(&code, "5"), None);
    assert_eq!(of(&code, "10.1"), Some(Weight::Fix));
}

#[test]
fn foam_outside_of_class_two_meets_the_table() {
    let of = |job: &str, r: f64, inner: &str| {
        let foam = format!("foam: eps {} in, R-{r}, taped", r / 4.0);
        let gap = "gap: air 3/4 in, open top and bottom";
        let studs = "studs: 2x6 at 16 in, bays glass-batt";
        let layers = ["boards: cedar 3/4 in", gap, &foam, "sheath: plywood 1/2 in", studs, inner];
        weight("vapor/thin-foam-behind-kraft", job, &layers)
    };
    let job = |place: &str, code: &str| format!("place {place}\n  code {code}\n  heated 64 F 30 %");
    let kraft = "kraft: kraft";
    // IRC 2021 Table R702.7(4), from memory: over 2x6 R-5 in zones 4 to 6, R-7.5 in 7, R-10 in 8, R-2 in 3.
    let rows = [("raleigh-nc-us", 2.0), ("albany-ny-us", 5.0), ("duluth-mn-us", 7.5), ("fairbanks-ak-us", 10.0)];
    for (place, r) in rows {
        assert_eq!(of(&job(place, "irc-2021"), r, kraft), None, "{place}");
        assert_eq!(of(&job(place, "irc-2021"), r - 0.1, kraft), Some(Weight::Fix), "{place}");
        assert_eq!(of(&job(place, "irc-2018"), r - 0.1, kraft), None, "{place}");
    }
    // One that does not open is no class II for this table, however thick the foam.
    let primed = "lining: drywall 1/2 in, painted vapor-retarder-primer";
    assert_eq!(of(&job("albany-ny-us", "irc-2021"), 8.0, primed), Some(Weight::Fix));
}

#[test]
fn a_flash_coat_of_the_thickness_told_will_do() {
    let of = |thickness: f64| {
        let studs = format!("studs: 2x6 at 16 in, bays spf-closed {thickness:.4} in + mineral-wool-batt");
        let layers =
            ["boards: cedar 3/4 in", "sheath: osb 7/16 in, taped -> air", &studs, "lining: drywall 1/2 in, painted"];
        found("vapor/thin-flash-coat", "place albany-ny-us\n  code irc-2021\n  heated 64 F 25 %", &layers)
    };
    let thin = of(0.75).unwrap();
    let least = number(&thin, "thickness_least") / 0.0254;
    assert!(least > 0.75);
    assert!(of(least * 1.001).is_none());
    assert!(of(least * 0.99).is_some());
}

#[test]
fn a_bonded_sheet_on_the_splashed_side_and_a_film_behind_it_are_a_trap() {
    let of = |last: &str, film: &str, board: &str| {
        let layers = [
            "boards: cedar 3/4 in",
            "gap: air 3/4 in, open top and bottom",
            "sheath: plywood 1/2 in",
            "studs: 2x4 at 16 in, bays mineral-wool-batt",
            film,
            board,
            "seal: tile-membrane",
            "tile: ceramic-tile 3/8 in",
        ];
        let text = format!(
            "job bath\n  place albany-ny-us\n  heated 66 F 35 %\n\nwall shower\n  outdoors\n  {}\n  {last}\n",
            layers.join("\n  ")
        );
        let done = review(vec![Input { name: "bath.dew".to_string(), text }], &mut |_, _| Err(String::new()));
        done.reports.iter().any(|r| r.findings.iter().any(|f| f.rule == "vapor/double-barrier"))
    };
    let (film, board) = ("film: poly 6 mil, taped", "board: drywall 1/2 in");
    assert!(of("indoors, splashed", film, board));
    assert!(!of("indoors", film, board));
    assert!(!of("indoors, splashed", "film: smart-film, taped", board));
    // Cement board comes to no harm, and stays wet for the studs and the tile.
    assert!(of("indoors, splashed", film, "board: cement-board 1/2 in"));
}

#[test]
fn tables_hold_up_to_the_humidity_they_have_in_mind() {
    let of = |place: &str, humidity: u32| {
        let layers = [
            "boards: cedar 3/4 in",
            "gap: air 3/4 in, open top and bottom",
            "wool: mineral-wool-board 4 in",
            "sheath: gypsum-sheathing 1/2 in, taped -> air",
            "studs: 2x4 at 16 in, bays mineral-wool-batt",
            "film: poly 6 mil, lapped 6 in, taped -> vapor",
            "lining: drywall 1/2 in",
        ];
        let job = format!("place {place}\n  code irc-2021\n  heated 70 F {humidity} %");
        weight("vapor/humid-room-off-table", &job, &layers)
    };
    assert_eq!(of("albany-ny-us", 35), None);
    assert_eq!(of("albany-ny-us", 50), None, "no water up to there");
    assert_eq!(of("albany-ny-us", 51), Some(Weight::Watch));
    assert_eq!(of("seattle-wa-us", 60), None);
    assert_eq!(of("seattle-wa-us", 61), Some(Weight::Watch));
    assert_eq!(of("richmond-va-us", 65), None, "asks for no retarder");
}

/// The wall of a store with such a lining, and the rules of this family and of condensate that speak.
fn store(humidity: u32, layers: &[&str]) -> Vec<&'static str> {
    let job = format!("place duluth-mn-us\n  heated 70 F {humidity} %");
    let (findings, _) = look(&job, layers);
    let told = findings.iter().map(|f| f.rule);
    told.filter(|r| r.starts_with("vapor/") || r.starts_with("dew/")).collect()
}

#[test]
fn the_missing_retarder_is_named_where_it_alone_is_missing() {
    let wall = |inner: &'static str| ["boards: plywood 3/4 in", "studs: 2x6 at 16 in, bays mineral-wool-batt", inner];
    let bare = store(45, &wall("lining: drywall 1/2 in, painted"));
    assert_eq!(bare, ["vapor/no-room-retarder", "dew/peak-condensate"]);
    // With a retarder of class II the water that is left is no matter of a missing one.
    let primed = store(60, &wall("lining: drywall 1/2 in, painted vapor-retarder-primer"));
    assert!(!primed.contains(&"vapor/no-room-retarder"), "{primed:?}");
    let dry = store(12, &wall("lining: drywall 1/2 in, painted"));
    assert!(dry.is_empty(), "{dry:?}");
}

#[test]
fn a_sheet_that_opens_is_no_retarder_for_a_room_over_half_humid() {
    let wall = [
        "boards: cedar 3/4 in",
        "gap: air 3/4 in, open top and bottom",
        "wool: mineral-wool-board 1 in",
        "sheath: osb 7/16 in, taped -> air",
        "studs: 2x4 at 16 in, bays mineral-wool-batt",
        "film: smart-membrane, lapped 6 in, taped -> vapor",
        "lining: drywall 1/2 in, painted",
    ];
    assert!(store(51, &wall).contains(&"vapor/responsive-in-humid-room"));
    assert!(!store(50, &wall).contains(&"vapor/responsive-in-humid-room"));
}

#[test]
fn britain_asks_for_five_times_inside() {
    let of = |place: &str, inside: f64| {
        let film = format!("film: retarder-paper, sd {inside} m, lapped 150 mm, taped");
        let layers = [
            "boards: cedar 19 mm",
            "gap: air 20 mm, open top and bottom",
            "sheath: breather-membrane, sd 0.5 m, lapped 150 mm, taped -> air water",
            "studs: 38x89 mm at 400 mm, bays mineral-wool-batt",
            &film,
        ];
        weight("vapor/uneven-openness", &format!("place {place}\n  heated 18 C 35 %"), &layers)
    };
    assert_eq!(of("leuchars-gb", 2.5), None);
    assert_eq!(of("leuchars-gb", 2.48), Some(Weight::Watch));
    assert_eq!(of("hamburg-de", 2.0), None, "computed there");
}

#[test]
fn siding_that_laps_is_no_tight_skin() {
    let of = |skin: &str| {
        let layers = [
            skin,
            "sheath: osb 7/16 in",
            "studs: 2x4 at 16 in, bays glass-batt",
            "lining: drywall 1/2 in, painted vapor-retarder-primer",
        ];
        weight("vapor/snug-both-sides", "place albany-ny-us\n  heated 66 F 35 %", &layers)
    };
    assert_eq!(of("siding: steel-siding"), None);
    assert_eq!(of("skin: bitumen-sheet 40 mil, adhered"), Some(Weight::Fix));
}
