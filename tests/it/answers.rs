//! Answers: what is told takes the finding away when it is written into the text, the step before does not, and nothing is
//! told that a table or another rule speaks against.

use dewlap::base::finding::{Answer, Finding, Weight};
use dewlap::base::unit::{PERM, R_VALUE};
use dewlap::review::{Input, review};

fn findings(text: &str) -> Vec<Finding> {
    let input = Input { name: "job.dew".to_string(), text: text.to_string() };
    review(vec![input], &mut |_, path| Err(format!("no {path} here"))).reports.remove(0).findings
}

fn one(rule: &str, text: &str) -> Finding {
    let all = findings(text);
    let of: Vec<&Finding> = all.iter().filter(|f| f.rule == rule).collect();
    assert_eq!(of.len(), 1, "{rule}: {:?}", all.iter().map(|f| f.rule).collect::<Vec<_>>());
    of[0].clone()
}

fn answer<'f>(finding: &'f Finding, change: &str) -> &'f Answer {
    let found = finding.answers.iter().find(|a| a.change == change);
    found.unwrap_or_else(|| panic!("{change} was not tried: {:?}", finding.answers))
}

fn frame(place: &str, studs: &str, outboard: &str) -> String {
    format!(
        "job bakery\n  place {place}\n  code irc-2021\n  heated 66 F 30 %\nwall street\n  outdoors\n  boards: \
         wood-lap-siding 3/4 in\n{outboard}  sheath: gypsum-sheathing 1/2 in, taped -> air\n  studs: {studs}, bays \
         mineral-wool-batt\n  lining: drywall 1/2 in, painted\n  indoors\n"
    )
}

/// IRC 2021 Table R702.7(3), by a transcription: in zone 5, R-7.5 and in zone 6. The ladder has whole
/// figures, so the answer is the table's figure rounded up.
#[test]
fn the_insulation_told_is_that_of_the_table() {
    let wanted = [
        ("albany-ny-us", "2x4 at 16 in", 5.0),
        ("albany-ny-us", "2x6 at 16 in", 8.0),
        ("burlington-vt-us", "2x4 at 16 in", 8.0),
        ("burlington-vt-us", "2x6 at 16 in", 12.0),
    ];
    for (place, studs, least) in wanted {
        let found = one("vapor/class-three-unearned", &frame(place, studs, ""));
        let told = answer(&found, "insulation_resistance_at_least");
        assert!(told.does && (told.value.unwrap() / R_VALUE - least).abs() < 1e-9, "{place} {studs}: {told:?}");
    }
}

/// The room may be as humid as told and not a percent more.
#[test]
fn the_humidity_told_does_and_a_percent_more_does_not() {
    let wall = |percent: f64| {
        format!(
            "job dairy\n  place asheville-nc-us\n  heated 62 F {percent} %\nwall north\n  outdoors\n  sheet: bitumen-sheet 40 mil, adhered -> water\n  \
             sheath: osb 7/16 in\n  studs: 2x4 at 16 in, bays glass-batt\n  lining: drywall 1/2 in, painted\n  indoors\n"
        )
    };
    let wet = |percent: f64| findings(&wall(percent)).into_iter().find(|f| f.rule == "dew/peak-condensate");
    let drawn = wet(58.0).expect("the wall as drawn is too wet");
    let most = answer(&drawn, "room_humidity_at_most");
    let percent = (most.value.unwrap() * 100.0).round();
    assert!(most.does && most.words.contains(&format!("{percent:.0} %")), "{most:?}");
    assert!(wet(percent).is_none() && wet(percent + 1.0).is_some(), "{percent}");
}

/// A foam that is there is told its thickness. Half an inch less leaves the finding, or something else to be put right.
#[test]
fn the_thickness_told_does_and_half_an_inch_less_does_not() {
    let foam = |inches: f64| format!("  foam: xps {inches} in, taped\n");
    let wall = |inches: f64| frame("burlington-vt-us", "2x6 at 16 in", &foam(inches));
    let rule = "vapor/class-three-unearned";
    let found = one(rule, &wall(1.0));
    let heavy = |inches: f64| -> Vec<&'static str> {
        let all = findings(&wall(inches)).into_iter().filter(|f| f.weight > Weight::Watch);
        all.map(|f| f.rule).filter(|r| ["vapor/", "dew/", "heat/"].iter().any(|family| r.starts_with(family))).collect()
    };
    let told = answer(&found, "layer_thickness_at_least");
    let inches = told.value.unwrap() / 0.0254;
    assert!(told.does && heavy(inches).is_empty(), "{told:?}: {:?}", heavy(inches));
    assert!(!heavy(inches - 0.5).is_empty(), "{told:?}");
}

/// The coat that would dry a wall in winter is barred where the code bars it; then it is no answer.
#[test]
fn no_answer_trades_one_finding_for_another() {
    let wall = |code: &str| {
        format!(
            "job dairy\n  place atlanta-ga-us\n{code}  heated 72 F 60 %\nwall north\n  outdoors\n  panel: polyiso-foil 1/2 in, taped\n  \
             studs: 2x6 at 16 in, bays glass-batt\n  lining: drywall 1/2 in, edges sealed -> air\n  indoors\n"
        )
    };
    for code in ["", "  code irc-2021\n"] {
        let text = wall(code);
        for finding in findings(&text).iter().filter(|f| f.rule.starts_with("dew/")) {
            for told in finding.answers.iter().filter(|a| a.does && a.change == "room_face_permeance_at_most") {
                let perm = told.value.unwrap() / PERM;
                let coated = text.replace("-> air\n", &format!("-> air\n  coat: kraft {perm} perm\n"));
                let before: Vec<&str> =
                    findings(&text).iter().filter(|f| f.weight > Weight::Watch).map(|f| f.rule).collect();
                let after = findings(&coated);
                let new: Vec<&str> = after
                    .iter()
                    .filter(|f| f.weight > Weight::Watch && !before.contains(&f.rule))
                    .map(|f| f.rule)
                    .collect();
                assert!(new.is_empty(), "{told:?} brings {new:?}");
            }
        }
    }
}

/// Where nothing does, that is told, and with it what was tried.
#[test]
fn what_no_change_mends_says_so() {
    let text = "job dairy\n  place duluth-mn-us\n  always 75 F 80 %, held\nwall north\n  existing\n  outdoors\n  skin: \
                sheet-steel 1 mm\n  studs: 2x6 at 16 in, bays glass-batt\n  lining: drywall 1/2 in\n  indoors\n";
    let all = findings(text);
    let found = all.iter().find(|f| f.rule.starts_with("dew/") && f.answers.iter().all(|a| !a.does)).expect("hopeless");
    assert!(!found.answers.is_empty() && !found.answers.iter().any(|a| a.change == "room_humidity_at_most"));
    assert!(found.answers.iter().all(|a| a.value.is_none() && !a.words.is_empty()));
}

/// A bound that is told holds on both sides of its figure: what is told does, and so does what lies well beyond it; where
/// only a range does, the words give both ends of it.
#[test]
fn a_bound_that_is_told_holds_beyond_its_figure() {
    let walls = [
        "job dairy\n  place burlington-vt-us\n  code irc-2021\n  heated 66 F 35 %\nwall a\n  outdoors\n  b: larch 3/4 in\n  s: osb 1/2 in, \
         taped -> air\n  w: mineral-wool-board 3 in\n  l: drywall 1/2 in, painted\n  indoors\n",
        "job dairy\n  place asheville-nc-us\n  heated 62 F 58 %\nwall north\n  outdoors\n  sheet: bitumen-sheet 40 mil, adhered -> water\n  \
         sheath: osb 7/16 in\n  studs: 2x4 at 16 in, bays glass-batt\n  lining: drywall 1/2 in, painted\n  indoors\n",
        "job gym\n  place houston-tx-us\n  heated 68 F 45 %\n  cooled 72 F 55 %\nwall south\n  outdoors\n  siding: vinyl-siding\n  sheath: \
         plywood 1/2 in\n  studs: 2x4 at 16 in, bays glass-batt\n  sheet: poly 6 mil\n  lining: drywall 1/2 in, painted\n  indoors\n",
        "job dairy\n  place duluth-mn-us\n  heated 70 F 45 %\nwall north\n  outdoors\n  siding: vinyl-siding\n  sheath: osb 7/16 in\n  studs: \
         2x6 at 16 in, bays glass-batt\n  lining: drywall 1/2 in, taped, edges sealed, holes sealed -> air\n  indoors\n",
        "job mill\n  place hamburg-de\n  heated 20 C 50 %\nwall street\n  outdoors\n  siding: vinyl-siding\n  sheath: osb-3 15 mm\n  studs: \
         45x145 mm at 600 mm, bays mineral-wool-batt\n  lining: drywall 12.5 mm, painted\n  indoors\n",
    ];
    let heavy = |text: &str, rule: &str| -> Vec<&'static str> {
        let families = ["vapor/", "dew/", "heat/"];
        let all = findings(text).into_iter().filter(|f| f.weight > Weight::Watch || f.rule == rule).map(|f| f.rule);
        all.filter(|r| families.iter().any(|family| r.starts_with(family))).collect()
    };
    let mut asked = 0;
    for text in walls {
        for finding in findings(text).iter().filter(|f| !f.answers.is_empty()) {
            for told in finding.answers.iter().filter(|a| a.does && a.words.contains(" perm")) {
                let perm = told.value.unwrap() / PERM;
                let factors = match (told.words.contains("at least"), told.words.contains("at most")) {
                    (true, false) => [1.0, 2.0, 4.0],
                    (false, true) => [1.0, 0.5, 0.25],
                    _ => [1.0; 3],
                };
                for perm in factors.map(|by| perm * by).into_iter().filter(|p| *p >= 0.1) {
                    let Some(changed) = with(text, told, perm) else { continue };
                    let after = heavy(&changed, finding.rule);
                    assert!(!after.contains(&finding.rule), "{} at {perm} perm: {after:?}\n{changed}", told.words);
                    asked += 1;
                }
            }
        }
    }
    assert!(asked >= 12, "{asked}");
}

/// A text with a layer of that permeance, or with a coat on its room face.
fn with(text: &str, told: &Answer, perm: f64) -> Option<String> {
    if told.change == "room_face_permeance_at_most" {
        let bare = text.replace(", painted", "");
        return Some(bare.replace("  indoors\n", &format!("  coat: kraft {perm} perm\n  indoors\n")));
    }
    let label = told.words.split('`').nth(1).filter(|_| told.change == "layer_permeance_at_least")?;
    let line = text.lines().find(|l| l.trim_start().starts_with(&format!("{label}: ")))?;
    let (layer, rest) = line.split_once(',').unwrap_or((line, ""));
    let rest = if rest.is_empty() { String::new() } else { format!(",{}", rest.replace(" painted", " holes sealed")) };
    Some(text.replace(line, &format!("{layer}, {perm} perm{rest}")))
}

/// A wall that needs something tighter on its room side is not told to put something more open there, and no step of "at
/// least" is tighter than what is drawn.
#[test]
fn a_more_open_layer_is_more_open_than_what_is_drawn() {
    let text = "job dairy\n  place burlington-vt-us\n  code irc-2021\n  heated 66 F 35 %\nwall a\n  outdoors\n  b: larch 3/4 in\n  s: osb \
                1/2 in, taped -> air\n  w: mineral-wool-board 3 in\n  l: drywall 1/2 in, painted\n  indoors\n";
    let found = one("vapor/no-room-retarder", text);
    let told = answer(&found, "layer_permeance_at_least");
    assert!(!told.words.contains("`l`"), "{told:?}");
    assert!(answer(&found, "room_face_permeance_at_most").words.contains("coat or sheet of at most"));
}
