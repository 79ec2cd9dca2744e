//! Details placed in a job: names, parameters, conditions, revisions; and what is told where one can't be placed.

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
        ("use stm revision 3 as lake", "stm", "there is no detail `stm` on the shelf"),
        ("use stem revision 3 as lake with frnt = gable", "frnt", "`stem` has no parameter `frnt`"),
        ("use stem revision 3 as lake with front = gabel", "gabel", "the job has no surface `gabel`"),
        ("use stem revision 3 as lake with lap = 4 F", "4 F", "`4 F` is not a length"),
        ("use stem revision 3 as lake with lap = four", "four", "`four` is not a length"),
        ("use stem revision 3 as lake with cover = oosb", "oosb", "there is no material `oosb`"),
        (
            "use stem revision 3 as lake with front.warp = sheet",
            "front.warp",
            "`front` of the detail has no layer `front.warp`",
        ),
        (
            "use stem revision 3 as gable-x with front = gable",
            "use stem",
            "`gable` has no layer `wrap`, which is spoken of here",
        ),
        (
            "use stem revision 3 as lake with front = gable, front.wrap = shet",
            "shet",
            "`gable` has no layer `shet`, which is spoken of here",
        ),
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
    for stray in ["include \"walls.dew\"\n", "use other revision 1 as x\n"] {
        let text = format!("{STEM}{stray}");
        let all = done(&format!("{JOB}use stem revision 3 as lake\n"), &[("stem", &text)]);
        let messages: Vec<&str> = all.reports[0].findings.iter().map(|f| f.message.as_str()).collect();
        assert!(messages.contains(&"`stem` needs other texts"), "{messages:?}");
    }
    let bare = STEM.split("\n---\n").nth(1).unwrap();
    let all = done(&format!("{JOB}use stem revision 3 as lake\n"), &[("stem", bare)]);
    assert!(all.reports[0].findings.iter().any(|f| f.message.contains("has no head")));
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
fn revisions_are_pinned() {
    let told = |line: &str, shelf: &[(&str, &str)]| -> Vec<(String, u32)> {
        let all = done(&format!("{JOB}{line}\n"), shelf);
        let report = &all.reports[0];
        let of = |f: &&Finding| f.rule == "record/detail-revision";
        let revision = report.details.first().map_or(0, |d| d.revision);
        report.findings.iter().filter(of).map(|f| (format!("{} {}", f.weight.word(), f.message), revision)).collect()
    };
    let old = STEM.replace("revision: 3", "revision: 2");
    assert_eq!(told("use stem revision 3 as lake", &[("stem", STEM)]), []);
    let unsaid = "watch nothing says which revision of `stem` this was drawn with".to_owned();
    assert_eq!(told("use stem as lake", &[("stem", STEM)]), [(unsaid, 3)]);
    let gone = "fix revision 2 of `stem` is not on the shelf, it has 3".to_owned();
    assert_eq!(told("use stem revision 2 as lake", &[("stem", STEM)]), [(gone, 3)]);
    // One that was kept is what is reviewed; the newer one is told.
    let kept = "watch `stem` has a newer revision: 3".to_owned();
    assert_eq!(told("use stem revision 2 as lake", &[("stem", STEM), ("stem.r2", &old)]), [(kept, 2)]);
}

#[test]
fn conditions_are_compared_with_the_job() {
    // What the head holds for, what the job says beside its usual, and what is told.
    let table: &[(&str, &str, &str)] = &[
        ("zones: [4A]", "", ""),
        ("zones: [4]", "", ""),
        ("zones: [5A, 6]", "", "zone 4A is not one that this detail holds for"),
        ("rain: up to normal", "", ""),
        ("rain: up to sheltered", "", "`rain normal` is more than this detail holds for"),
        ("heated: up to 40 %", "", ""),
        ("heated: up to 35 %", "", "40 % while heated is damper than this detail holds for"),
        ("cooled: never", "", ""),
        ("cooled: never", "  cooled 75 F 55 %\n", "cooling to 75 F is more than this detail holds for"),
        ("cooled: down to 75 F", "  cooled 75 F 55 %\n", ""),
        ("cooled: down to 77 F", "  cooled 75 F 55 %\n", "cooling to 75 F is more than this detail holds for"),
        ("height: up to 30 ft", "  height 24 ft\n", ""),
        ("height: up to 20 ft", "  height 24 ft\n", "24 ft is taller than this detail holds for"),
    ];
    for (holds, line, message) in table {
        let text = STEM.replace("  zones: [4A]\n  heated: up to 45 %\n", &format!("  {holds}\n"));
        assert_ne!(text, STEM);
        let job = JOB.replace("  rain normal\n", &format!("  rain normal\n{line}"));
        let all = done(&format!("{job}use stem revision 3 as lake\n"), &[("stem", &text)]);
        let told: Vec<&str> = all.reports[0]
            .findings
            .iter()
            .filter(|f| f.rule == "record/outside-conditions")
            .map(|f| f.message.as_str())
            .collect();
        let wanted: Vec<&str> = if message.is_empty() { vec![] } else { vec![message] };
        assert_eq!(told, wanted, "{holds} {line}");
    }
}

#[test]
fn what_the_job_does_not_say_is_told_as_not_checked() {
    for (holds, why) in
        [("height: up to 30 ft", "how tall the building is"), ("faces: [N]", "which way `lake-front` faces")]
    {
        let text = STEM.replace("  zones: [4A]\n", &format!("  {holds}\n"));
        let all = done(&format!("{JOB}use stem revision 3 as lake\n"), &[("stem", &text)]);
        let report = &all.reports[0];
        let told = report.not_run.iter().any(|n| n.rule == "record/outside-conditions" && n.why.contains(why));
        assert!(told, "{holds}: {:?}", report.not_run);
    }
    let facing =
        STEM.replace("  zones: [4A]\n", "  faces: [N, NE]\n").replace("wall front\n", "wall front\n  faces south\n");
    let all = done(&format!("{JOB}use stem revision 3 as lake\n"), &[("stem", &facing)]);
    let told: Vec<&str> = all.reports[0].findings.iter().map(|f| f.message.as_str()).collect();
    assert!(told.contains(&"S is no direction that this detail holds for"), "{told:?}");
}

#[test]
fn a_text_with_a_head_is_judged_by_its_own_conditions_and_status() {
    let text = STEM.replace("zones: [4A]", "zones: [7]").replace("status: reviewed", "status: proven");
    let all = done(&text, &[]);
    let rules: Vec<&str> = all.reports[0].findings.iter().map(|f| f.rule).collect();
    assert!(rules.contains(&"record/outside-conditions") && rules.contains(&"record/unearned-status"), "{rules:?}");
}

#[test]
fn a_piece_that_is_called_as_a_layer_of_the_job_gets_a_name_of_its_own() {
    let gable = GABLE.replace("  studs:", "  strip:  liquid-membrane-open 40 mil\n  studs:");
    let line = "use stem revision 3 as lake with front = gable, front.wrap = sheet";
    let mut all = done(&format!("{JOB}{gable}{line}\n"), &[("stem", STEM)]);
    let report = all.reports.remove(0);
    let told: Vec<&Finding> = report.findings.iter().filter(|f| f.rule.starts_with("notation/")).collect();
    assert!(told.is_empty(), "{told:?}");
}
