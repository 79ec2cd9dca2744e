//! Details placed in a job: names, parameters, and what is told where one can't be placed.

mod judged;
mod spoilt;

use std::collections::BTreeMap;

use dewlap::base::finding::Finding;
use dewlap::review::report::Report;
use dewlap::review::{Ask, Input, Review, review};

/// A wall and its foot on a stem, with a blank, a parameter of each sort, and a room of its own.
const STEM: &str = "---
title: Boards over wool on a concrete stem
meets: [framed wall, concrete stem]
status: reviewed
revision: 3
holds:
  zones: [4A]
  heated: up to 45 %
source: our own drawing
accepts:
  - finding: water/cladding-near-ground
    in: foot
    because: gravel below, in the open
---
detail stem(wall front, wall stem, length lap = 4 in, material cover = osb)

job creamery
  place philadelphia-pa-us
  heated 66 F 40 %

wall front
  continues top and left and right \"elsewhere\"
  outdoors
  boards: wood-lap-siding, primed
  gap:    air 3/4 in, open top and bottom
  wool:   mineral-wool-board 2 in
  wrap:   housewrap, lapped 6 in, taped -> water
  sheath: plywood 1/2 in, taped, edges sealed, holes sealed -> air
  studs:  2x6 at 16 in, bays mineral-wool-batt
  lining: drywall 1/2 in, edges sealed, painted
  indoors

wall stem
  continues top and left and right and bottom \"elsewhere\"
  outdoors
  concrete: concrete 8 in -> water air
  foam:     xps 2 in
  board:    <cover> 1/2 in
  indoors

joint foot
  joins front bottom, stem face
  apron: sheet-steel, drip
  strip: bitumen-sheet 40 mil
  wrap laps over apron <lap>
  strip laps over sheath 4 in, primed, rolled
  strip laps over concrete 4 in, primed, rolled
";

const JOB: &str = "job boathouse
  place philadelphia-pa-us
  heated 66 F 40 %
  rain normal

";

/// A wall of the job whose layers are called otherwise.
const GABLE: &str = "wall gable
  continues top and left and right \"elsewhere\"
  outdoors
  boards: wood-lap-siding, primed
  gap:    air 3/4 in, open top and bottom
  sheet:  housewrap, lapped 6 in, taped -> water
  sheath: plywood 1/2 in, taped, edges sealed, holes sealed -> air
  studs:  2x6 at 16 in, bays mineral-wool-batt
  lining: drywall 1/2 in, edges sealed, painted
  indoors

";

fn done(text: &str, shelf: &[(&str, &str)]) -> Review {
    let shelf: BTreeMap<String, String> = shelf.iter().map(|(n, t)| ((*n).to_owned(), (*t).to_owned())).collect();
    let input = Input { name: "job.dew".to_owned(), text: text.to_owned() };
    review(vec![input], &mut |_, ask| {
        let key = match ask {
            Ask::Detail(name) => name.to_owned(),
            Ask::Revision(name, revision) => format!("{name}.r{revision}"),
            Ask::File(path) => path.to_owned(),
        };
        let text = shelf.get(&key).ok_or_else(|| format!("no {ask}"))?;
        Ok(Input { name: format!("details/{key}.dew"), text: text.clone() })
    })
}

fn report(line: &str) -> (Review, Report) {
    let mut all = done(&format!("{JOB}{GABLE}{line}\n"), &[("stem", STEM)]);
    let report = all.reports.remove(0);
    (all, report)
}

/// Rule, written text and message of what is found with this line.
fn found(line: &str) -> Vec<(&'static str, String, String)> {
    let (all, report) = report(line);
    let one = |f: &Finding| (f.rule, all.sources.text(f.primary.span).to_owned(), f.message.clone());
    report.findings.iter().map(one).collect()
}

#[test]
fn a_detail_comes_whole_under_the_jobs_names() {
    let (_, report) = report("use stem revision 3 as lake");
    let names: Vec<&str> = report.surfaces.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["gable", "lake-front", "lake-stem"]);
    let detail = &report.details[0];
    assert_eq!((detail.name.as_str(), detail.used_as.as_deref(), detail.revision), ("stem", Some("lake"), 3));
    assert!(detail.form.is_some(), "placed as drawn, it is the form that its evidence speaks of");
}

#[test]
fn a_surface_of_the_job_takes_the_place_of_a_drawn_one() {
    let line = "use stem revision 3 as lake with front = gable, front.wrap = sheet, lap = 1/4 in";
    let (all, report) = report(line);
    let names: Vec<&str> = report.surfaces.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["gable", "lake-stem"]);
    assert!(report.details[0].form.is_none(), "with another wall it is another form");
    let lap = report.findings.iter().find(|f| f.rule == "water/short-lap").expect("a quarter inch is short");
    // The finding stands at the blank of the detail, and at the line that filled it.
    let (name, at) = all.sources.place(lap.primary.span);
    assert_eq!((name, all.sources.text(lap.primary.span)), ("details/stem.dew", "<lap>"));
    assert!(at.line > 40 && lap.message.contains("`sheet`"), "{lap:?}");
    let used = lap.others.iter().find(|l| l.text == "used here").expect("the use is shown");
    assert_eq!(all.sources.text(used.span), line);
}

#[test]
fn two_uses_of_one_detail_are_two() {
    let (all, report) =
        report("use stem revision 3 as lake with lap = 1/4 in\nuse stem revision 3 as yard with lap = 1/4 in");
    let short: Vec<&Finding> = report.findings.iter().filter(|f| f.rule == "water/short-lap").collect();
    assert_eq!(short.len(), 2, "{:?}", report.findings);
    let used = |f: &Finding| all.sources.text(f.others.last().unwrap().span).to_owned();
    assert!(used(short[0]).contains("as lake") && used(short[1]).contains("as yard"));
}

#[test]
fn a_used_surface_can_be_joined_by_the_job() {
    let corner = "use stem revision 3 as lake\njoint corner\n  joins gable left, lake-front right\n  post: wood-trim\n";
    let (_, report) = report(corner);
    assert!(!report.findings.iter().any(|f| f.rule == "notation/unknown-name"), "{:?}", report.findings);
}

#[test]
fn what_the_head_accepts_is_accepted_in_the_job() {
    let near = STEM.replace("  apron: sheet-steel, drip\n", "  apron: sheet-steel, drip\n  boards clears grade 2 in\n");
    let all = done(&format!("{JOB}use stem revision 3 as lake\n"), &[("stem", &near)]);
    let rules: Vec<&str> = all.reports[0].accepted.iter().map(|a| a.finding.rule).collect();
    assert!(rules.contains(&"water/cladding-near-ground"), "{:?} {:?}", rules, all.reports[0].findings);
    let quiet = STEM.split("accepts:").next().unwrap().to_owned() + "---" + STEM.split("\n---").nth(1).unwrap();
    let quiet =
        quiet.replace("  apron: sheet-steel, drip\n", "  apron: sheet-steel, drip\n  boards clears grade 2 in\n");
    let all = done(&format!("{JOB}use stem revision 3 as lake\n"), &[("stem", &quiet)]);
    assert!(all.reports[0].findings.iter().any(|f| f.rule == "water/cladding-near-ground"));
}

#[test]
fn what_can_not_be_placed_is_told_at_the_use() {
    // The line, the text it is told at, the message.
    let table = [
        ("use stm revision 3 as lake", "stm", "the shelf gives no detail `stm`"),
        ("use stem revision 3 as lake with frnt = gable", "frnt", "`stem` has no parameter `frnt`"),
        ("use stem revision 3 as lake with front = gabel", "gabel", "the job has no wall `gabel`"),
        ("use stem revision 3 as lake with lap = 4 F", "4 F", "a temperature does not fit here"),
        ("use stem revision 3 as lake with lap = four", "four", "`four` is not understood here"),
        ("use stem revision 3 as lake with cover = oosb", "oosb", "there is no material `oosb`"),
        (
            "use stem revision 3 as lake with front = gable, front.warp = sheet",
            "front.warp",
            "`front` of the detail has no layer `warp`",
        ),
        ("use stem revision 3 as gable-x with front = gable", "use stem", "`gable` has no layer `wrap`"),
        ("use stem revision 3 as lake with front = gable, front.wrap = shet", "shet", "`gable` has no layer `shet`"),
    ];
    for (line, at, message) in table {
        let found = found(line);
        let hit = found.iter().find(|(rule, _, m)| rule.starts_with("notation/") && m == message);
        let (_, text, _) = hit.unwrap_or_else(|| panic!("{line}: {found:?}"));
        assert!(text.starts_with(at), "{line}: told at {text}");
    }
}

#[test]
fn a_surface_of_another_kind_does_not_fit() {
    let roof = "roof low\n  slope 6:12\n  outdoors\n  shingles: asphalt-shingles\n  deck: plywood 5/8 in\n  outdoors\n";
    let found = found(&format!("{roof}use stem revision 3 as lake with front = low"));
    assert!(found.iter().any(|(_, at, m)| at == "low" && m == "`front` stands for a wall"), "{found:?}");
}

#[test]
fn a_detail_stands_by_itself() {
    let table = [
        ("include \"walls.dew\"\n", "a detail on a shelf includes no file"),
        ("use other revision 1 as x\n", "a detail on a shelf uses no other detail"),
    ];
    for (stray, message) in table {
        let text = format!("{STEM}{stray}");
        let all = done(&format!("{JOB}use stem revision 3 as lake\n"), &[("stem", &text)]);
        let messages: Vec<&str> = all.reports[0].findings.iter().map(|f| f.message.as_str()).collect();
        assert!(messages.contains(&message), "{messages:?}");
    }
    let bare = STEM.split("\n---\n").nth(1).unwrap();
    let all = done(&format!("{JOB}use stem revision 3 as lake\n"), &[("stem", bare)]);
    assert!(all.reports[0].findings.iter().any(|f| f.message.contains("has no head")));
}

#[test]
fn a_head_with_nothing_below_it_is_no_detail() {
    let head = STEM.split_once("\n---\n").unwrap().0.to_owned() + "\n---\n";
    let told = |all: &Review| all.reports[0].findings.iter().any(|f| f.message == "nothing is drawn below this head");
    assert!(told(&done(&head, &[])));
    assert!(told(&done(&format!("{JOB}use stem revision 3 as lake\n"), &[("stem", &head)])));
}

#[test]
fn a_name_that_is_taken_is_told() {
    let found = found("use stem revision 3 as lake\nwall lake-front\n  outdoors\n  a: osb 7/16 in\n  indoors\n");
    assert!(found.iter().any(|(_, at, m)| at == "lake" && m.contains("`lake-front` already")), "{found:?}");
}

#[test]
fn mistakes_in_a_used_text_are_told_at_both_places() {
    let broken =
        STEM.replace("taped, edges sealed", "tapd, edges sealed").replace("status: reviewed", "status: reviewd");
    let all = done(&format!("{JOB}use stem revision 3 as lake\n"), &[("stem", &broken)]);
    let at: Vec<(String, bool)> = all.reports[0]
        .findings
        .iter()
        .filter(|f| f.rule.starts_with("notation/"))
        .map(|f| (all.sources.text(f.primary.span).to_owned(), f.others.iter().any(|l| l.text == "used here")))
        .collect();
    assert!(at.contains(&("tapd".to_owned(), true)), "{at:?}");
    assert!(at.contains(&("reviewd".to_owned(), true)), "{at:?}");
}

#[test]
fn a_piece_that_is_called_as_a_layer_of_the_job_gets_a_name_of_its_own() {
    let gable = GABLE.replace("  studs:", "  strip:  liquid-membrane-open 40 mil\n  studs:");
    let line = "use stem revision 3 as lake with front = gable, front.wrap = sheet";
    let mut all = done(&format!("{JOB}{gable}{line}\n"), &[("stem", STEM)]);
    let report = all.reports.remove(0);
    let told: Vec<&Finding> = report.findings.iter().filter(|f| f.rule.starts_with("notation/")).collect();
    assert!(told.is_empty(), "{told:?}");
    // The layer of the job is not the strip of the detail: rolled on to a wall that has one it would be no strip.
    assert!(!report.findings.iter().any(|f| f.message.contains("`gable.strip`")), "{:?}", report.findings);
}

/// What a head accepts of a wall it draws was not said of the job's wall.
#[test]
fn what_the_head_accepts_of_a_drawn_wall_does_not_cover_the_jobs() {
    let accepts =
        "accepts:\n  - finding: air/open-seams\n    in: front.sheath\n    because: read with a fan, elsewhere\n";
    let (before, after) = STEM.split_once("accepts:").unwrap();
    let text = format!("{before}{accepts}{}", &after[after.find("---").unwrap()..]);
    let open = GABLE.replace("taped, edges sealed, holes sealed -> air", "edges sealed, holes sealed -> air");
    let line = "use stem revision 3 as lake with front = gable, front.wrap = sheet\n";
    let report = done(&format!("{JOB}{open}{line}"), &[("stem", &text)]).reports.remove(0);
    assert!(report.findings.iter().any(|f| f.rule == "air/open-seams"), "{:?}", report.findings);
    assert!(report.accepted.iter().all(|a| a.finding.rule != "air/open-seams"));
    // Nor is an acceptance that this job does not need told in it.
    assert!(!report.findings.iter().any(|f| f.rule == "record/idle-acceptance"), "{:?}", report.findings);
}

#[test]
fn a_layer_is_that_of_the_surface_it_was_drawn_in() {
    // Both walls of the job have a `wrap`; the detail speaks of the upper one's.
    let stem = "wall low\n  continues top and left and right and bottom \"elsewhere\"\n  outdoors\n  concrete: concrete 8 in \
                -> water air\n  foam: xps 2 in\n  wrap: housewrap, taped\n  board: drywall 1/2 in\n  indoors\n";
    let line = "use stem revision 3 as lake with front = gable, front.wrap = sheet, stem = low\n";
    let report = done(&format!("{JOB}{GABLE}{stem}{line}"), &[("stem", STEM)]).reports.remove(0);
    let told: Vec<&Finding> = report.findings.iter().filter(|f| f.rule.starts_with("notation/")).collect();
    assert!(told.is_empty(), "{told:?}");
}

#[test]
fn the_water_layer_of_a_detail_is_joined_to_the_water_layer_of_the_job() {
    let found = found("use stem revision 3 as lake with front = gable, front.wrap = lining");
    let told = found.iter().any(|(_, at, m)| at == "lining" && m == "`lining` of `gable` is not relied on for water");
    assert!(told, "{found:?}");
}

#[test]
fn a_use_may_name_what_a_later_one_brings() {
    let lines = "use stem revision 3 as lake with front = yard-front, front.wrap = wrap\nuse stem revision 3 as yard\n";
    let (_, report) = report(lines);
    let names: Vec<&str> = report.surfaces.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["gable", "yard-front", "yard-stem", "lake-stem"]);
    let twice = found("use stem revision 3 as lake\nuse stem revision 3 as lake\n");
    let told: Vec<&(&str, String, String)> = twice.iter().filter(|(rule, ..)| rule.starts_with("notation/")).collect();
    assert_eq!(told.len(), 1, "one mistake, told once: {told:?}");
}

/// A room of the detail for which outdoors or the house takes the place.
#[test]
fn a_room_can_be_outdoors_or_the_house() {
    let loft = STEM
        .replace("detail stem(", "detail stem(room loft, ")
        .replace("wall front\n", "room loft\n  unheated\n\nwall front\n");
    let loft = loft.replacen("  indoors\n", "  loft\n", 1);
    for place in ["outdoors", "indoors", "barn"] {
        let line = format!("room barn\n  heated 50 F 50 %\nuse stem revision 3 as lake with loft = {place}\n");
        let report = done(&format!("{JOB}{line}"), &[("stem", &loft)]).reports.remove(0);
        let told: Vec<&Finding> = report.findings.iter().filter(|f| f.rule.starts_with("notation/")).collect();
        assert!(told.is_empty(), "{place}: {told:?}");
    }
}

#[test]
fn what_a_detail_line_says_is_checked() {
    // The line of the detail, the text it is told at, the message.
    let table = [
        ("detail stem(wall front, wall zz)", "zz", "no wall `zz` is drawn here"),
        ("detail stem(roof front)", "front", "no roof `front` is drawn here"),
        ("detail stem(length lip = 2 in)", "lip", "nothing in the detail asks for `lip`"),
        ("detail stem(length lap = 4)", "4", "`4` is no length"),
        ("detail stem(material cover = osb 1/2 in)", "osb 1/2 in", "`osb 1/2 in` is no material"),
        ("detail stem(depth lap = 4 in)", "depth", "`depth` is no type of a parameter"),
        ("detail st.em", "st.em", "`st.em` can't be a name here"),
        ("detail outdoors", "outdoors", "`outdoors` can't be a name here"),
    ];
    let body = STEM.split_once("\n---\n").unwrap().1.replace("<lap>", "4 in").replace("<cover>", "osb");
    let rest = body.split_once('\n').unwrap().1;
    for (line, at, message) in table {
        let all = done(&format!("{line}\n{rest}"), &[]);
        let found = &all.reports[0].findings;
        let hit = found.iter().find(|f| f.message == message).unwrap_or_else(|| panic!("{line}: {found:?}"));
        assert_eq!(all.sources.text(hit.primary.span), at, "{line}");
    }
    let all = done(&format!("detail stem \"south (by the lake)\"\n{rest}"), &[]);
    assert!(all.reports[0].findings.iter().all(|f| !f.rule.starts_with("notation/")));
    let job = rest.replacen("66 F", "<air>", 1);
    let all = done(&format!("detail stem(temperature air = 66 F)\n{job}"), &[]);
    assert!(all.reports[0].findings.iter().any(|f| f.message.starts_with("only the job asks for `air`")));
    let comment = rest.replacen("wall front", "# see <drawing>\nwall front", 1);
    let all = done(&format!("detail stem\n{comment}"), &[]);
    assert!(all.reports[0].findings.iter().all(|f| !f.rule.starts_with("notation/")));
    // Several mistakes are told, and blanks of those that could not be read are not told again.
    let all = done(
        &format!("detail stem(deep a = 1 in, length b, length lap = 4 F)\n{}", rest.replace("apron 4 in", "apron <a>")),
        &[],
    );
    let told: Vec<&str> = all.reports[0]
        .findings
        .iter()
        .filter(|f| f.rule.starts_with("notation/"))
        .map(|f| f.message.as_str())
        .collect();
    assert_eq!(told.len(), 3, "{told:?}");
}
