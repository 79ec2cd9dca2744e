//! Odd but ordinary sections, and bad ones: figures worked out by hand, and one located finding a mistake.

use dewlap::base::finding::Finding;
use dewlap::review::report::{Report, SurfaceReport};
use dewlap::review::{Input, review};

/// Outdoors 19.5 C and 50 % all year but for January at 0 C.
const CLIMATE: &str = "climate mild\n  temperature 0 19.5 19.5 19.5 19.5 19.5 19.5 19.5 19.5 19.5 19.5 19.5 C\n  \
                       humidity 80 50 50 50 50 50 50 50 50 50 50 50 %\n";
const JOB: &str = "job cooperage\n  place mild\n  heated 20 C 40 %\n  cooled 25 C 60 %\n";

fn report(text: &str) -> Report {
    let input = Input { name: "cooperage.dew".to_string(), text: format!("{CLIMATE}{JOB}{text}") };
    let done = review(vec![input], &mut |_, path| Err(format!("nothing at {path}")));
    done.reports.into_iter().next().expect("one report a text")
}

fn surface(text: &str) -> SurfaceReport {
    report(text).surfaces.into_iter().next().expect("a surface")
}

/// What the rules of the notation find.
fn mistakes(text: &str) -> Vec<Finding> {
    report(text).findings.into_iter().filter(|f| f.rule.starts_with("notation/")).collect()
}

fn near(is: f64, hand: f64, within: f64) {
    assert!((is - hand).abs() <= within, "{is} is not {hand} within {within}");
}

/// ISO 6946:2017 6.7.2 (combined method, rule read in a digest), films 0.13 and 0.04 m2.K/W (its Table 7, from memory).
#[test]
fn the_u_value_of_a_metric_frame_by_parallel_sums() {
    let wall = surface(
        "wall frame\n  framing 20 %\n  outdoors\n  board: osb 11 mm 0.13 W/(m.K)\n  studs: 38x140 mm at 400 mm, \
         bays glass-batt 0.04 W/(m.K)\n  lining: drywall 12.5 mm 0.25 W/(m.K)\n  indoors\n",
    );
    let (board, fill, lining) = (0.011 / 0.13, 0.140 / 0.04, 0.0125 / 0.25);
    let softwood = dewlap::catalog::material("softwood").found().and_then(|m| m.conductivity()).expect("softwood");
    let stud = 0.140 / softwood.si();
    // Upper limit: the two paths side by side. With 0.12 W/(m.K) for the stud: 1/(0.8/3.805 + 0.2/1.471) = 2.888.
    let films = 0.04 + 0.13;
    let bare = board + lining + films;
    let upper = 1.0 / (0.8 / (bare + fill) + 0.2 / (bare + stud));
    // Lower limit: the plane of the studs side by side, then all in a row: 0.085 + 2.500 + 0.050 + 0.17 = 2.805.
    let lower = bare + 1.0 / (0.8 / fill + 0.2 / stud);
    near(wall.u_value.expect("a U-value").si(), 2.0 / (upper + lower), 1e-4);
}

/// p_sat = 610.5 exp(17.269 t/(237.3 + t)): ISO 13788:2012 Annex E (constants read in secondary texts).
#[test]
fn the_air_of_a_room_that_is_heated_and_cooled() {
    let wall = surface("wall plain\n  outdoors\n  board: osb 11 mm\n  indoors\n");
    let months = &wall.paths[0].months;
    // January, 0 C: heated to 20 C at 40 %. 610.5 exp(345.38/257.3) = 2336.9 Pa, 40 % of it 934.8 Pa.
    near(months[0].indoor.temperature.si(), 20.0, 1e-9);
    near(months[0].indoor.vapor.si(), 934.8, 0.3);
    // From February, 19.5 C: floats 3 K above, 22.5 C, halfway from 20 to 25 C, so at 50 %.
    // 610.5 exp(388.5525/259.8) = 2724.0 Pa, half of it 1362.0 Pa.
    near(months[1].indoor.temperature.si(), 22.5, 1e-9);
    near(months[1].indoor.vapor.si(), 1362.0, 0.4);
}

#[test]
fn rooms_by_class_by_months_and_with_a_dehumidifier() {
    let rooms = "room vat\n  heated 20 C class 3 iso-13788\nroom cave\n  temperature 10 11 12 13 14 15 15 14 13 12 11 10 \
                 C\n  humidity 80 80 80 80 80 80 80 80 80 80 80 80 %\nroom press\n  always 20 C 70 %\n  dehumidified 50 %\n";
    let air = |room: &str, month: usize| {
        let wall = surface(&format!("{rooms}wall side\n  outdoors\n  board: osb 11 mm\n  {room}\n"));
        wall.paths[0].months[month].indoor
    };
    // Class 3 at 0 C: 810 Pa over the outdoor 80 % of 610.5 Pa (ISO 13788:2012 Annex A, from memory).
    near(air("vat", 0).vapor.si(), 0.8 * 610.5 + 810.0, 0.5);
    near(air("cave", 2).temperature.si(), 12.0, 1e-9);
    // 610.5 exp(17.269*12/249.3) = 1401.9 Pa, 80 % of it.
    near(air("cave", 2).vapor.si(), 1121.5, 0.4);
    near(air("press", 0).vapor.si(), 2336.9 / 2.0, 0.4);
}

#[test]
fn the_part_above_grade_is_judged_in_outdoor_air() {
    let wall = |ground: &str| {
        format!(
            "wall cellar\n  {ground}\n  pour: concrete 8 in\n  foam: xps 1/2 in, taped\n  board: osb 11 mm\n  indoors\n"
        )
    };
    let both = surface(&wall("ground 6 ft, 2 ft above grade, drained"));
    let names: Vec<&str> = both.paths.iter().map(|p| p.name).collect();
    assert_eq!(names, ["through the section", "above grade"]);
    // Soil in January lies between the air's 0 C and the year's mean, (0 + 11 * 19.5)/12 = 17.875 C.
    let soil = both.paths[0].months[0].outdoor.temperature.si();
    assert!(soil > 10.0 && soil < 17.875, "{soil}");
    near(both.paths[1].months[0].outdoor.temperature.si(), 0.0, 1e-9);
    assert_eq!(surface(&wall("ground 6 ft, drained")).paths.len(), 1);
    // Bare concrete is warm enough in this soil and too cold in January's air: only the part above is found.
    let cold = |ground: &str| {
        let found = report(&format!("wall cellar\n  {ground}\n  pour: concrete 8 in\n  indoors\n")).findings;
        found.into_iter().filter(|f| f.rule == "dew/cold-inner-face").collect::<Vec<_>>()
    };
    assert!(cold("ground 6 ft, drained").is_empty());
    let above = cold("ground 6 ft, 2 ft above grade, drained");
    assert_eq!(above.len(), 1);
    assert!(above[0].detail.starts_with("This is the part above grade."), "{}", above[0].detail);
}

#[test]
fn a_vapor_factor_follows_the_thickness_in_any_order() {
    let wall = |layer: &str| {
        let text = format!(
            "material pour-mix: concrete 6 in mu 80\nwall w\n  outdoors\n  foam: xps 2 in, sd 10 m\n  \
             pour: {layer}\n  indoors\n"
        );
        assert!(mistakes(&text).is_empty(), "{layer}");
        let wall = surface(&text);
        wall.paths[0].months.iter().flat_map(|m| m.points.iter().map(|p| p.vapor.si())).collect::<Vec<_>>()
    };
    // sd = 80 * 0.2032 m = 16.256 m.
    let hand = wall("concrete 8 in sd 16.256 m");
    for layer in ["concrete 8 in mu 80", "concrete mu 80 8 in", "pour-mix 8 in", "concrete 8 in, mu 80, sd 16.256 m"] {
        for (is, hand) in wall(layer).iter().zip(&hand) {
            near(*is, *hand, 1e-6);
        }
    }
    let thinner = wall("pour-mix");
    assert!(thinner.iter().zip(&hand).any(|(a, b)| (a - b).abs() > 1.0), "6 in are not 8 in");
}

#[test]
fn a_fill_of_open_depth_leaves_the_rest_open_with_it() {
    let wall = |fill: &str| {
        let text = format!("wall w\n  outdoors\n  studs: 2x6 at 16 in, bays {fill}\n  board: osb 11 mm\n  indoors\n");
        assert!(mistakes(&text).is_empty(), "{fill}");
        surface(&text).u_value.expect("a U-value").si()
    };
    // Midway the foam is 2 in and the batt 3-1/2 in, not the 4-1/2 in that the thinnest foam would leave.
    near(wall("spf-closed 1 in to 3 in + glass-batt"), wall("spf-closed 2 in + glass-batt"), 1e-9);
}

#[test]
fn more_than_four_unknowns_are_said_to_be_tried_one_at_a_time() {
    let wall = |more: &str| {
        surface(&format!(
            "wall found\n  outdoors\n  a: unknown wood-panel 1/2 in to 1 in\n  b: unknown membrane\n  \
             studs: 2x4 at unknown, bays glass-batt\n{more}  indoors\n"
        ))
    };
    let one_at_a_time = |s: &SurfaceReport| s.notes.iter().any(|n| n.contains("judged one at a time"));
    assert!(!one_at_a_time(&wall("")));
    assert!(one_at_a_time(&wall("  c: drywall unknown\n")));
}

#[test]
fn what_is_written_of_an_unknown_is_not_open() {
    let unknown = |layer: &str| report(&format!("wall w\n  outdoors\n  a: {layer}\n  indoors\n")).unknown;
    assert_eq!(unknown("unknown wood-panel 1/2 in"), 1);
    assert_eq!(unknown("unknown wood-panel 1/2 in, 5 perm"), 0);
}

#[test]
fn where_water_stays_in_the_worst_case_it_also_peaks() {
    // Above some humidity the water never dries, and the heavier rule speaks. That is no safe side for the lighter one.
    let text = "room laundry\n  heated 68 F unknown\nwall w\n  outdoors\n  a: osb 7/16 in\n  \
                s: 38x140 mm at 400 mm, bays air 1 in + glass-batt\n  l: drywall 1/2 in\n  laundry\n";
    let text = text.to_string();
    let input = Input {
        name: "laundry.dew".to_string(),
        text: format!("job laundry\n  place albany-ny-us\n  heated 70 F 40 %\n{text}"),
    };
    let done = review(vec![input], &mut |_, _| Err(String::new()));
    let findings = &done.reports[0].findings;
    assert!(findings.iter().any(|f| f.rule == "dew/peak-condensate" && f.detail.contains("whatever")), "{findings:?}");
    assert!(!findings.iter().any(|f| f.detail.contains("humidity: safe above")), "{findings:?}");
}

/// Sections with one mistake each, and the words that its one finding must hold.
const MISTAKES: &[(&str, &str)] = &[
    ("room r\n  always 60 F 50 %\n  heated 70 F 30 %\n", "described twice"),
    ("room r\n  heated 70 F 30 %\n  heated 72 F 30 %\n", "described twice"),
    ("room r\n  unheated\n  open both sides\n", "described twice"),
    ("room r\n  dehumidified 55 %\n", "nothing is said"),
    ("room r\n  heated 70 F 130 %\n", "no air has this humidity"),
    ("room r\n  heated 75 F 40 %\n  cooled 68 F 50 %\n", "cooled below"),
    ("room r\n  humidity 1 2 3 4 5 6 7 8 9 10 11 12 %\n", "half of a room's air"),
    ("wall w\n  outdoors\n  a: concrete 8 in, mu 0\n  indoors\n", "such a vapor factor"),
    (
        "wall w\n  outdoors\n  a: steel-stud unknown 20 ga at 16 in, bays spf-closed 1 in + glass-batt\n  indoors\n",
        "members of open depth",
    ),
    ("material spare: plywod 1/2 in\n", "no material `plywod`"),
    ("climate spare\n  like albany-ny-us\n  zone 12X\n", "no climate zone"),
    ("wall w\n  framing 120 %\n  outdoors\n  a: osb 1/2 in\n  indoors\n", "all framing"),
    ("wall w\n  outdoors\n  a: concrete-block 8 in, cores perlit\n  indoors\n", "no material `perlit`"),
    ("wall w\n  outdoors\n  a: osb 1/2 in, bays glass-batt\n  indoors\n", "have bays"),
    ("wall w\n  outdoors\n  a: steel-stud 3-5/8 in 20 ga, bays glass-batt\n  indoors\n", "have bays"),
    ("wall w\n  outdoors\n  a: 2x4 at 1 in, bays glass-batt\n  indoors\n", "closer than they are wide"),
    ("wall w\n  outdoors\n  a: glass-batt R-0\n  indoors\n", "resistance of 0"),
    ("wall w\n  outdoors\n  a: concrete 8 in, mu 80, sd 2 m\n  indoors\n", "disagree"),
    ("wall w\n  outdoors\n  a: 2x4 at 16 in, bays spf-closed 3 in to 4 in + glass-batt\n  indoors\n", "deeper than"),
    ("roof r\n  slope 3:12\n  port ridge 4 in, felt\n  outdoors\n  a: osb 1/2 in\n  indoors\n", "no bays below"),
];

#[test]
fn one_mistake_is_one_finding_with_a_way_out() {
    for (text, words) in MISTAKES {
        let found = mistakes(text);
        let messages: Vec<&str> = found.iter().map(|f| f.message.as_str()).collect();
        assert_eq!(found.len(), 1, "{text}: {messages:?}");
        assert!(found[0].message.contains(words), "{text}: {messages:?}");
        assert!(!found[0].help.is_empty() && !found[0].primary.span.range().is_empty(), "{text}");
    }
}

#[test]
fn studs_closer_than_the_table_knows_still_get_a_share() {
    // 1-1/2 in of wood at 3 in is half the wall, more than the table's most.
    let wall = surface("wall w\n  outdoors\n  a: 2x4 at 3 in, bays glass-batt\n  indoors\n");
    near(wall.paths[1].share.si(), 0.5, 1e-9);
}

#[test]
fn an_acceptance_may_name_a_layer() {
    let wall = "wall w\n  outdoors\n  pour: concrete 8 in\n  indoors\naccept dew/cold-inner-face in w.";
    let with = |layer: &str| report(&format!("{wall}{layer} because \"unused in winter\"\n"));
    assert_eq!(with("pour").accepted.len(), 1);
    let wrong = with("pur");
    assert!(wrong.accepted.is_empty());
    let idle = wrong.findings.iter().find(|f| f.rule == "record/idle-acceptance").expect("an idle acceptance");
    assert!(idle.help.contains("`pour`"), "{}", idle.help);
}

/// What lies outside a mat that is open low and high leaves the vapor sum, as with a gap of air; a dimpled sheet is a barrier
/// whatever its channel does.
#[test]
fn a_mat_that_is_open_low_and_high_vents_what_lies_outside_of_it() {
    let left_out = |mat: &str| {
        let text = format!(
            "job reading-room\n  place duluth-mn-us\n  heated 70 F 35 %\nwall north\n  outdoors\n  panel: sheet-steel 1 mm\n  \
             mat: {mat}\n  wool: mineral-wool-board 4 in\n  block: block 8 in\n  indoors\n"
        );
        let input = Input { name: "mat.dew".to_string(), text };
        let report = review(vec![input], &mut |_, p| Err(p.to_string())).reports.remove(0);
        assert!(!report.findings.iter().any(|f| f.rule.starts_with("notation/")), "{:?}", report.findings);
        let path = report.surfaces[0].paths[0].clone();
        path.months[0].points.len()
    };
    let inside = left_out("drainage-mat 10 mm, open top and bottom");
    assert!(inside < left_out("drainage-mat 10 mm"));
    assert_eq!(left_out("drainage-mat 10 mm, open bottom"), left_out("drainage-mat 10 mm"));
    assert_eq!(left_out("dimple-sheet 8 mm, open top and bottom"), left_out("dimple-sheet 8 mm"));
}
