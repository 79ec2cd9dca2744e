//! What is told of a used detail beside its drawing: its revision, its failures, the conditions it holds for.

use dewlap::base::finding::Finding;

use super::{GABLE, JOB, STEM, done};

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
    let unsaid = "watch which revision of `stem` is not said".to_owned();
    assert_eq!(told("use stem as lake", &[("stem", STEM)]), [(unsaid, 3)]);
    let gone = "fix revision 2 of `stem` is not kept, there is 3".to_owned();
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
fn a_withdrawn_or_failed_detail_is_told_whatever_revision_is_used() {
    let failed = |line: &str, shelf: &[(&str, &str)]| -> Vec<(&'static str, String)> {
        let report = done(&format!("{JOB}{GABLE}{line}\n"), shelf).reports.remove(0);
        let of = |f: &&Finding| f.rule == "record/failed-detail";
        report.findings.iter().filter(of).map(|f| (f.weight.word(), f.message.clone())).collect()
    };
    let old = STEM.replace("revision: 3", "revision: 2");
    let withdrawn = STEM.replace("status: reviewed", "status: withdrawn");
    let gone = [("stop", "`stem` was withdrawn".to_owned())];
    assert_eq!(failed("use stem revision 2 as lake", &[("stem", &withdrawn), ("stem.r2", &old)]), gone);
    let form = dewlap::shelf::form::fingerprint(STEM, &[]);
    let failure = |form: &str, cure: &str| {
        let entry = format!(
            "failures:\n  - date: 2026-03-14\n    what: it leaked\n    cause: dust\n{form}{cure}---\ndetail stem"
        );
        STEM.replace("---\ndetail stem", &entry)
    };
    let told = [("fix", "`stem` failed where it was built".to_owned())];
    let of_form = failure(&format!("    form: {form}\n"), "    cure: vacuumed\n");
    // In any shape that the job gives it, and in the revision before the failure was written down.
    for with in ["", " with lap = 5 in", " with front = gable, front.wrap = sheet"] {
        assert_eq!(failed(&format!("use stem revision 3 as lake{with}"), &[("stem", &of_form)]), told, "{with}");
    }
    assert_eq!(failed("use stem revision 2 as lake", &[("stem", &of_form), ("stem.r2", &old)]), told);
    let cured = failure("    form: 0123456789ab\n", "    cure: vacuumed\n");
    assert_eq!(failed("use stem revision 3 as lake", &[("stem", &cured)]), []);
    assert_eq!(failed("use stem revision 3 as lake", &[("stem", &failure("", ""))]), told);
}

#[test]
fn conditions_of_rooms_and_of_a_surfaces_own_rain() {
    // What the head holds for, the job's air, and what is told.
    let table: &[(&str, &str, &str)] = &[
        ("heated: up to 45 %", "always 66 F 50 %", "50 % while heated is damper than this detail holds for"),
        ("heated: up to 45 %", "heated 66 F 60 %\n  dehumidified 40 %", ""),
        ("cooled: down to 60 F", "always 50 F 50 %", "cooling to 50 F is more than this detail holds for"),
        ("cooled: down to 40 F", "always 50 F 50 %", ""),
    ];
    for (holds, air, message) in table {
        let text = STEM.replace("  zones: [4A]\n  heated: up to 45 %\n", &format!("  {holds}\n"));
        let job = JOB.replace("heated 66 F 40 %", air);
        let report = done(&format!("{job}use stem revision 3 as lake\n"), &[("stem", &text)]).reports.remove(0);
        let of = |f: &&Finding| f.rule == "record/outside-conditions";
        let told: Vec<&str> = report.findings.iter().filter(of).map(|f| f.message.as_str()).collect();
        let wanted: Vec<&str> = if message.is_empty() { vec![] } else { vec![message] };
        assert_eq!(told, wanted, "{holds}: {air}");
    }
    let text = STEM
        .replace("  zones: [4A]\n", "  rain: up to normal\n")
        .replace("wall front\n", "wall front\n  rain severe\n");
    let all = done(&format!("{JOB}use stem revision 3 as lake\n"), &[("stem", &text)]);
    assert!(all.reports[0].findings.iter().any(|f| f.message == "`rain severe` is more than this detail holds for"));
}
