//! Layers in contact, work at what stands, and figures that can't be so, at the border of each rule: a job of the rule's own
//! page that passes, with one thing changed. Figures stand on the pages with their sources.

use crate::attached::Then::{Found, Quiet};
use crate::attached::{hold, judge};
use dewlap::base::finding::Weight::{Fix, Stop, Watch};
use dewlap::catalog::{ZoneBasis, ZoneRain, ZoneWeather, places, zone_from};

#[test]
fn the_age_of_concrete_and_the_damp_of_wood_turn_at_their_figure() {
    let concrete = "match/young-concrete";
    hold(&[
        (concrete, "at 28 days", "at 27 days", Found(Watch)),
        (concrete, "at 28 days", "at 7 days", Found(Watch)),
        (concrete, "at 28 days", "at 6 days", Found(Fix)),
        // Tile is set in cement; nothing said is nothing judged.
        (
            concrete,
            "vinyl-floor\n  pour:  concrete 4 in, covered at 28 days",
            "ceramic-tile\n  pour: concrete 4 in, covered at 5 days",
            Quiet,
        ),
        (concrete, ", covered at 28 days", "", Quiet),
        // What lies below was there first; only foam is sprayed on from there.
        (
            concrete,
            "covered at 28 days",
            "covered at 5 days\n  under: bitumen-sheet, adhered\n  deck: plywood 3/4 in",
            Found(Fix),
        ),
        (
            concrete,
            "  cover: vinyl-floor\n  pour:  concrete 4 in, covered at 28 days",
            "  pour: concrete 4 in, covered at 5 days\n  under: bitumen-sheet, adhered\n  deck: plywood 3/4 in",
            Quiet,
        ),
        (
            concrete,
            "  cover: vinyl-floor\n  pour:  concrete 4 in, covered at 28 days",
            "  pour: concrete 4 in, covered at 5 days\n  foam: spf-closed 2 in\n  lining: drywall 1/2 in",
            Found(Fix),
        ),
        (concrete, "covered at 28 days", "covered at 5 days, existing", Found(Fix)),
        ("match/soft-bed", "foam: xps 2 in", "fill: cellulose 4 in", Found(Fix)),
        ("match/soft-bed", "foam: xps 2 in", "fill: expanded-clay 4 in", Quiet),
        ("match/soft-bed", "foam: xps 2 in", "wool: mineral-wool-board 2 in", Quiet),
        (
            "match/soft-bed",
            "pour: concrete 2 in\n  foam: xps 2 in",
            "boards: plywood 3/4 in\n  wool: mineral-wool-batt 4 in",
            Quiet,
        ),
        ("match/tile-on-boards", "cement-board 1/2 in", "particleboard 5/8 in", Found(Fix)),
        ("match/tile-on-boards", "cement-board 1/2 in", "plywood 3/4 in", Quiet),
        ("match/nothing-to-stick-to", "sheath:   plywood 1/2 in", "gap2: air 1 in, closed", Found(Fix)),
        ("match/nothing-to-stick-to", "sheath:   plywood 1/2 in", "sheath: glass-batt 2 in", Found(Fix)),
        (
            "match/nothing-to-stick-to",
            "open-sheet, adhered  -> water\n  sheath:   plywood 1/2 in\n",
            "housewrap, lapped 6 in, taped  -> water\n",
            Quiet,
        ),
        ("match/wet-wood-glued", "at 19 %", "at 20 %", Found(Fix)),
        ("match/wet-wood-glued", "at 19 %", "at 16 %", Quiet),
        ("match/wet-wood-glued", "bitumen-sheet 40 mil, adhered", "housewrap, lapped 6 in, taped", Quiet),
        (
            "match/wet-wood-glued",
            "bitumen-sheet 40 mil, adhered  -> water\n  sheath:   plywood 1/2 in, at 19 %",
            "liquid-flashing 40 mil  -> water\n  sheath: plywood 1/2 in, at 24 %",
            Quiet,
        ),
    ]);
}

/// The job's own figure counts for new lumber, and foam in the bays sticks to the members.
#[test]
fn wet_lumber_under_spray_foam_is_told_by_the_words_of_the_job() {
    let job = |wood: &str, bays: &str| {
        format!(
            "job creamery\n  place burlington-vt-us\n  {wood}\n\nwall back\n  outdoors\n  boards: larch 3/4 in, primed\n  \
             sheath: plywood 1/2 in\n  studs: 2x6 at 16 in, bays {bays}\n  outdoors\n"
        )
    };
    let is = |wood, bays| judge("match/wet-wood-glued", &job(wood, bays));
    assert_eq!(is("wood 20 % at cover", "spf-open"), Found(Fix));
    assert_eq!(is("wood 19 % at cover", "spf-open"), Quiet);
    assert_eq!(is("wood 20 % at cover", "mineral-wool-batt"), Quiet);
    assert_eq!(is("rain normal", "spf-open"), Quiet);
}

#[test]
fn metals_and_woods_that_touch_are_told_by_what_they_are() {
    hold(&[
        ("match/acid-wood", "oak 3/4 in, primed", "cedar 3/4 in", Found(Fix)),
        ("match/acid-wood", "oak 3/4 in, primed", "larch 3/4 in", Quiet),
        (
            "match/acid-wood",
            "oak 3/4 in, primed\n  skin:      zinc 0.7 mm",
            "oak 3/4 in\n  skin: galvanized-steel",
            Found(Watch),
        ),
        (
            "match/acid-wood",
            "oak 3/4 in, primed\n  skin:      zinc 0.7 mm",
            "oak 3/4 in\n  skin: stainless-steel",
            Quiet,
        ),
        ("match/zinc-without-air", "mat:   drainage-mat 5/16 in", "gap: air 1-1/2 in, open eave and ridge", Quiet),
        ("match/zinc-without-air", "mat:   drainage-mat 5/16 in", "mat: felt-heavy", Found(Fix)),
        ("match/light-metal-on-concrete", "film:   poly 10 mil, lapped 6 in, taped", "gap: air 1 in, closed", Quiet),
        ("match/light-metal-on-concrete", "aluminum 1/16 in", "foil-kraft", Quiet),
    ]);
}

/// Published index (read): 0.15 V outdoors, 0.25 V in ordinary rooms, 0.50 V between rooms kept dry.
#[test]
fn steel_on_zinc_passes_between_dry_rooms_only() {
    let job = |room: &str, side: &str, skin: &str| {
        format!(
            "job creamery\n  place burlington-vt-us\n  {room}\n\nwall shop\n  {side}\n  skin: {skin}\n  \
             rails: steel-stud 3-5/8 in 20 ga at 24 in, bays air\n  board: cement-board 1/2 in\n  indoors\n"
        )
    };
    let is = |room, side, skin| judge("match/galvanic-pair", &job(room, side, skin));
    let dry = "heated 68 F 35 %";
    assert_eq!(is(dry, "indoors", "steel"), Quiet);
    assert_eq!(is(dry, "outdoors", "steel"), Found(Fix));
    assert_eq!(is(dry, "indoors, splashed", "steel"), Found(Fix));
    assert_eq!(is("always 54 F 85 %, held", "indoors", "steel"), Found(Fix));
    // On the warm side of all insulation it is dry, on the cold side it is not.
    let wall = |layers: &str| {
        judge(
            "match/galvanic-pair",
            &format!(
                "job creamery\n  place burlington-vt-us\n  {dry}\n\nwall shop\n  outdoors\n  boards: larch 3/4 in\n{layers}  indoors\n"
            ),
        )
    };
    let (studs, skin) = ("  studs: steel-stud 3-5/8 in 20 ga at 24 in, bays glass-batt\n", "  skin: steel\n");
    assert_eq!(wall(&format!("{studs}{skin}")), Quiet);
    assert_eq!(wall(&format!("{skin}{studs}")), Found(Fix));
    // A factory panel shows paint over zinc; copper is too far off even where it is dry.
    assert_eq!(is(dry, "outdoors", "metal-skin-panel 3 in"), Quiet);
    assert_eq!(is(dry, "indoors", "copper"), Found(Stop));
}

#[test]
fn what_lies_in_rain_soil_and_splash_is_told_by_what_it_is() {
    hold(&[
        ("match/left-in-daylight", "  siding: fiber-cement-siding\n", "  siding: osb 7/16 in\n", Found(Fix)),
        ("match/left-in-daylight", "  siding: fiber-cement-siding\n", "  siding: plywood 5/8 in, primed\n", Quiet),
        (
            "match/left-in-daylight",
            "  siding: fiber-cement-siding\n",
            "  siding: osb 7/16 in, existing\n",
            Found(Watch),
        ),
        ("match/soaking-insulation", "foam:  xps 2 in", "foam:  mineral-wool-board 2 in", Quiet),
        ("match/soaking-insulation", "foam:  xps 2 in", "foam:  glass-batt 3-1/2 in", Found(Fix)),
        ("match/soaking-insulation", "board:  xps 100 mm", "board:  wood-fiber-board 100 mm", Found(Fix)),
        // Inside of the sheet, or of the wall itself, it does not stand in water.
        (
            "match/soaking-insulation",
            "pour:  concrete 8 in",
            "pour:  concrete 8 in\n  batt: glass-batt 3-1/2 in",
            Quiet,
        ),
        ("match/indoor-board-outdoors", "board:  fiber-cement-panel 5/16 in", "board: drywall 1/2 in", Found(Fix)),
        ("match/indoor-board-outdoors", "board:  fiber-cement-panel 5/16 in", "board: cement-board 1/2 in", Quiet),
        ("match/paper-board-in-splash", "cement-board 1/2 in", "gypsum-sheathing 1/2 in", Quiet),
        ("match/paper-board-in-splash", "cement-board 1/2 in", "gypsum-plaster 1/2 in", Found(Fix)),
        ("match/paper-board-in-splash", "indoors, splashed", "indoors", Quiet),
        ("match/wood-on-concrete", ", treated", "", Found(Fix)),
        (
            "match/wood-on-concrete",
            "coat:   damp-proofing\n  pour:   concrete 8 in\n  studs:  2x3 at 16 in, bays air, treated",
            "coat: bitumen-sheet 60 mil, adhered -> water\n  pour: concrete 8 in\n  studs: 2x3 at 16 in, bays air",
            Quiet,
        ),
        ("match/hard-coat-on-soft-wall", "lime-render 3/4 in", "cement-lime-render 3/4 in", Found(Fix)),
        (
            "match/hard-coat-on-soft-wall",
            "lime-render 20 mm\n  brick: soft-brick 330 mm",
            "cement-plaster 20 mm\n  brick: solid-brick 330 mm",
            Quiet,
        ),
        ("match/hard-coat-on-soft-wall", "lime-render 20 mm", "cement-lime-render 20 mm", Quiet),
    ]);
}

/// ASTM C840 (from memory): 1.3 psf on 1/2 in at 24 in, 2.2 psf else. Told from a tenth
/// over. Cellulose is 1.6 lb/ft3 at most: 10.7 in is 1.43 psf, 18.2 in is 2.42 psf.
#[test]
fn a_ceiling_carries_what_its_board_and_spacing_say() {
    let job = |depth: &str, spacing: &str, board: &str| {
        format!(
            "room attic\n  open eave and ridge 1/150\n\nceiling hall\n  attic\n  fill: cellulose-blown {depth}\n  \
             joists: 2x4 at {spacing}, bays air\n  board: drywall {board}, taped, edges sealed, painted -> air\n  indoors\n"
        )
    };
    let is = |depth, spacing, board| judge("match/sagging-ceiling", &job(depth, spacing, board));
    assert_eq!(is("10-1/2 in", "24 in", "1/2 in"), Quiet);
    assert_eq!(is("11 in", "24 in", "1/2 in"), Found(Watch));
    assert_eq!(is("18 in", "24 in", "5/8 in"), Quiet);
    assert_eq!(is("18 in", "16 in", "1/2 in"), Quiet);
    assert_eq!(is("18-1/2 in", "16 in", "1/2 in"), Found(Watch));
    assert_eq!(is("270 mm", "600 mm", "12.5 mm"), Quiet);
    assert_eq!(is("280 mm", "600 mm", "12.5 mm"), Found(Watch));
}

#[test]
fn what_can_hurt_is_told_at_its_figure() {
    hold(&[
        ("safety/loose-veneer", "ties 16x24 in", "ties 400x600 mm", Quiet),
        ("safety/loose-veneer", "ties 16x24 in", "ties 12x32 in", Quiet),
        ("safety/loose-veneer", "ties 16x24 in", "ties 24x24 in", Found(Fix)),
        ("safety/loose-veneer", "ties 16x24 in", "ties 8x36 in", Found(Fix)),
        ("safety/deep-trench", "ground 3 ft", "ground 5 ft", Found(Watch)),
        ("safety/deep-trench", "ground 3 ft", "ground 1.5 m", Quiet),
        ("safety/deep-trench", "ground 3 ft, drained", "ground unknown", Quiet),
        ("safety/tight-house-burner", "5 ach50", "4.9 ach50", Found(Watch)),
        (
            "safety/tight-house-burner",
            "5 ach50\n\nwall old \"Stone wall of a bakery\"\n  existing",
            "1 ach50\n\nwall old",
            Quiet,
        ),
        ("safety/foam-from-above", "plywood 1/4 in", "mineral-wool-board 1-1/2 in", Quiet),
        ("safety/foam-from-above", "  attic\n  cover:  plywood 1/4 in\n", "  indoors\n", Found(Stop)),
        ("safety/hot-on-wood", "bitumen-base-sheet", "gypsum-sheathing 1/2 in", Quiet),
        ("safety/hot-on-wood", "base:  bitumen-base-sheet\n  deck:  plywood 3/4 in", "deck: concrete 6 in", Quiet),
        ("safety/unit-in-old-wall", "wood-window, existing", "vinyl-window", Found(Watch)),
        ("safety/unit-in-old-wall", "  existing\n  outdoors", "  outdoors", Quiet),
        ("safety/hole-in-old-wall", "4 in wide, existing", "4 in wide", Found(Watch)),
        ("safety/old-fibers", "sheath: board", "fill: vermiculite-fill 4 in, existing\n  sheath: board", Found(Watch)),
        ("safety/drift-on-low-roof", "charleston-sc-us", "burlington-vt-us", Found(Watch)),
    ]);
}

/// 3 psf is 14.6 kg/m2: gravel of 1800 kg/m3 reaches it at 8.1 mm. The sheet is weighed too (1.5 mm of rubber).
#[test]
fn new_weight_on_an_old_deck_turns_at_three_pounds() {
    let job = |gravel: &str, deck: &str| {
        format!(
            "roof flat\n  slope 2 %\n  outdoors\n  gravel: roof-gravel {gravel}\n  sheet: rubber-membrane 1.5 mm, welded -> water\n  \
             deck: concrete 150 mm{deck}\n  outdoors\n"
        )
    };
    let is = |gravel, deck| judge("safety/load-on-old-roof", &job(gravel, deck));
    assert_eq!(is("6 mm", ", existing"), Quiet);
    assert_eq!(is("9 mm", ", existing"), Found(Watch));
    assert_eq!(is("50 mm", ""), Quiet);
}

#[test]
fn figures_that_cannot_be_so_are_told_and_odd_ones_are_not() {
    let (r, t) = ("record/unlikely-insulation", "record/unlikely-thickness");
    hold(&[
        (r, "R-5", "R-7", Quiet),
        (r, "R-5", "R-7.5", Found(Watch)),
        (r, "R-5", "R-3.2", Quiet),
        (r, "R-5", "R-3", Found(Watch)),
        (r, "xps 1 in R-5", "xps R-40", Quiet),
        (r, "xps 1 in R-5", "xps 1 in 0.015 W/(m.K)", Found(Watch)),
        (t, "plywood 12 mm", "plywood 3 in", Quiet),
        (t, "plywood 12 mm", "plywood 4 in", Found(Watch)),
        (t, "plywood 12 mm", "plywood 4 in, in 2 layers", Quiet),
        (t, "plywood 12 mm", "plywood 0.5 mm", Found(Watch)),
        ("record/unlikely-permeance", "0.06 perm", "2.5 perm", Found(Watch)),
        ("record/unlikely-permeance", "0.06 perm", "2.3 perm", Quiet),
        ("record/unlikely-permeance", "0.06 perm", "0.06 ng/(s.m2.Pa)", Found(Watch)),
        ("record/unlikely-permeance", "0.06 perm", "3.4 ng/(s.m2.Pa)", Quiet),
        ("record/unlikely-air", "heated 70 F 35 %\n  cooled 75 F 50 %", "heated 45 C 35 %", Quiet),
        ("record/unlikely-air", "heated 70 F 35 %\n  cooled 75 F 50 %", "heated 46 C 35 %", Found(Watch)),
        ("record/unlikely-air", "heated 70 F", "heated 36 F", Quiet),
        ("record/unlikely-air", "heated 70 F", "heated 35 F", Found(Watch)),
        ("record/unlikely-air", "heated 70 F 35 %\n  cooled 75 F 50 %", "always 130 F 20 %", Quiet),
        ("record/unlikely-air", "heated 70 F 35 %\n  cooled 75 F 50 %", "cooled 75 C 50 %", Found(Watch)),
        ("record/code-elsewhere", "place oslo-no", "place oslo-no\n  code irc-2018", Found(Watch)),
        ("record/new-between-old", "brick:  brick-veneer", "brick:  brick-veneer, existing", Found(Fix)),
        (
            "record/new-between-old",
            "brick:  brick-veneer\n  gap:    air 1 in, open top and bottom\n  wrap:   housewrap, lapped 6 in, taped  -> water",
            "brick: brick-veneer, existing\n  gap: cellulose 4 in",
            Quiet,
        ),
        ("record/zone-unlike-climate", "zone 4A", "zone 5A", Quiet),
        ("record/zone-unlike-climate", "zone 4A", "zone 6A", Found(Watch)),
        ("record/zone-unlike-climate", "zone 4A", "zone 2A", Found(Watch)),
    ]);
}

/// The zone of no county of the list is told as wrong for its own station's months.
#[test]
fn the_zone_of_every_county_lies_next_to_its_weather() {
    let weather =
        |temperatures| ZoneWeather { temperatures, rain: ZoneRain::Unknown, degree_days: None, southern: false };
    let counties: Vec<_> = places().filter(|p| p.zone.basis == ZoneBasis::County).collect();
    assert!(counties.len() > 60, "{}", counties.len());
    for place in counties {
        let number = zone_from(&weather(place.zone_weather().temperatures)).number;
        assert!(number.abs_diff(place.zone.number) <= 1, "{}: {} by its months {number}", place.key, place.zone);
    }
}
