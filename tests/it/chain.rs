//! The chain as a whole: text in, report out.

use dewlap::base::finding::Weight;
use dewlap::review::report::Report;
use dewlap::review::{Ask, Input, Review, review};
use proptest::prelude::*;

const JOB: &str = "job smithy\n  place albany-ny-us\n  code irc-2021\n  heated 70 F 40 %\n";

fn run(text: &str) -> Review {
    let input = Input { name: "smithy.dew".to_string(), text: text.to_string() };
    review(vec![input], &mut |_, path| Err(format!("nothing to include at {path}")))
}

fn report(text: &str) -> Report {
    run(text).reports.into_iter().next().expect("one report a text")
}

/// Rule, line and the underlined words of every finding.
fn found(text: &str) -> Vec<(String, usize, String)> {
    let done = run(text);
    let all = done.reports.iter().flat_map(|r| &r.findings);
    all.map(|f| {
        let (_, at) = done.sources.place(f.primary.span);
        (f.rule.to_string(), at.line, done.sources.text(f.primary.span).to_string())
    })
    .collect()
}

fn of_rule<'a>(report: &'a Report, rule: &str) -> Vec<&'a dewlap::base::finding::Finding> {
    report.findings.iter().filter(|f| f.rule == rule).collect()
}

/// A wall whose cold sheet is too tight: it wets in winter, and never dries with a film inside too.
fn wall(inside: &str, sheet: &str) -> String {
    format!(
        "{JOB}wall north\n  outdoors\n  boards: wood-lap-siding 3/4 in\n  sheet: {sheet}\n  deck: osb 7/16 in\n  \
         studs: 2x6 at 16 in, bays glass-batt\n  lining: drywall 1/2 in, edges sealed, {inside} -> air\n  indoors\n"
    )
}

/// A wall of open stuff and dry air, in which only the sheet can be too tight.
fn open_wall(sheet: &str) -> String {
    wall("painted", sheet)
        .replace("  code irc-2021\n", "")
        .replace("40 %", "30 %")
        .replace("osb 7/16 in", "fiberboard 1/2 in")
}

#[test]
fn a_tight_cold_sheet_wets_the_wall() {
    let done = report(&wall("painted", "bitumen-sheet 40 mil, adhered"));
    let wet = done.surfaces.first().and_then(|s| s.paths.first()).expect("a path between members");
    assert!(wet.peak.si() > 0.1, "peak {:?}", wet.peak);
    assert!(done.findings.iter().any(|f| f.rule.starts_with("dew/")), "{:?}", done.findings);
}

#[test]
fn one_mistake_in_a_section_is_one_finding_and_the_rest_is_not_guessed() {
    let text = wall("painted", "bitumen-shet 40 mil, adhered");
    let all = found(&text);
    let notation: Vec<_> = all.iter().filter(|(r, ..)| r.starts_with("notation/")).collect();
    assert_eq!(notation.len(), 1, "{all:?}");
    assert_eq!(notation[0].2, "bitumen-shet");
    let done = report(&text);
    assert!(!done.findings.iter().any(|f| f.rule.starts_with("dew/")), "a hole is no layer");
    assert!(done.not_run.iter().any(|n| n.rule.starts_with("dew/") && n.why.contains("sheet")), "{:?}", done.not_run);
    assert!(done.surfaces[0].no_profile.is_some());
}

#[test]
fn an_unknown_that_decides_becomes_one_watch_with_the_turning_point() {
    let done = report(&open_wall("unknown membrane"));
    let open = of_rule(&done, "record/not-decided");
    assert!(!open.is_empty(), "{:?}", done.findings);
    for finding in &open {
        assert_eq!(finding.weight, Weight::Watch);
        assert!(finding.detail.contains("it shows below") && finding.detail.contains("perm"), "{}", finding.detail);
    }
    let firm = done.findings.iter().filter(|f| f.rule.starts_with("dew/") && f.weight > Weight::Watch);
    assert_eq!(firm.count(), 0, "no firm dew verdict may rest on an unknown: {:?}", done.findings);
}

#[test]
fn stand_ins_are_judged_by_name() {
    let named = report(&open_wall("bitumen-sheet 40 mil or housewrap, adhered"));
    let dew: Vec<_> = named.findings.iter().filter(|f| f.rule.starts_with("dew/")).collect();
    assert!(!dew.is_empty(), "{:?}", named.findings);
    assert!(dew.iter().all(|f| f.primary.text == "only as `bitumen-sheet`"), "{dew:?}");
    assert!(report(&open_wall("housewrap, lapped 6 in")).findings.is_empty());
}

#[test]
fn what_is_accepted_is_listed_with_its_reason() {
    let text = wall("painted", "bitumen-sheet 40 mil, adhered");
    let before = report(&text);
    let rule = before.findings.iter().find(|f| f.rule.starts_with("dew/")).expect("a dew finding").rule;
    let with = format!("{text}accept {rule} in north because \"opened up every spring\"\n");
    let after = report(&with);
    assert!(of_rule(&after, rule).is_empty());
    assert_eq!(after.accepted.first().map(|a| a.because.as_str()), Some("opened up every spring"));
    let idle = report(&format!("{text}accept heat/squeezed-batt in north because \"so it was\"\n"));
    assert!(idle.findings.iter().any(|f| f.rule == "record/idle-acceptance"), "{:?}", idle.findings);
}

#[test]
fn includes_are_read_once_and_circles_end() {
    let root =
        Input { name: "a.dew".to_string(), text: format!("{JOB}include \"walls.dew\"\ninclude \"walls.dew\"\n") };
    let walls = "wall north\n  outdoors\n  deck: osb 7/16 in\n  indoors\ninclude \"a.dew\"\n";
    let mut asked = 0;
    let done = review(vec![root], &mut |from, path| {
        asked += 1;
        let text = if path == Ask::File("a.dew") { String::new() } else { walls.to_string() };
        assert!(from == "a.dew" || from == "walls.dew");
        Ok(Input { name: path.to_string(), text })
    });
    assert!(asked <= 3, "asked {asked} times");
    assert_eq!(done.reports[0].surfaces.len(), 1);
    let circles = done.reports[0].findings.iter().filter(|f| f.message.contains("includes itself")).count();
    assert_eq!(circles, 1, "{:?}", done.reports[0].findings);
}

#[test]
fn the_report_is_the_same_every_time() {
    let text = wall("painted", "unknown membrane");
    let print = || format!("{:?}", run(&text));
    assert_eq!(print(), print());
}

#[test]
fn line_ends_and_a_mark_change_nothing() {
    let text =
        wall("painted", "bitumen-sheet 40 mil, adhered") + "wall south\n  outdoors\n  x: plywod 1/2\n  indoors\n";
    let plain = found(&text);
    assert!(plain.len() > 2);
    assert_eq!(plain, found(&text.replace('\n', "\r\n")));
    assert_eq!(plain, found(&format!("\u{feff}{text}")));
}

/// Words and figures of the notation, thrown together.
fn jumble() -> impl Strategy<Value = String> {
    let word = prop_oneof![
        Just("wall"),
        Just("roof"),
        Just("slab"),
        Just("room"),
        Just("job"),
        Just("material"),
        Just("accept"),
        Just("outdoors"),
        Just("indoors"),
        Just("ground"),
        Just("6 ft"),
        Just("studs:"),
        Just("2x6 at 16 in"),
        Just("bays"),
        Just("glass-batt R-19"),
        Just("air 1 in"),
        Just("open top and bottom"),
        Just("osb 7/16 in"),
        Just("unknown wood-panel"),
        Just("poly"),
        Just("painted"),
        Just("taped"),
        Just("-> air"),
        Just("place albany-ny-us"),
        Just("heated 70 F 40 %"),
        Just("slope 3:12"),
        Just("unheated"),
        Just("shares indoors"),
        Just("water 40 F to 70 F"),
        Just("+"),
        Just("or"),
        Just(","),
        Just("\"note\""),
        Just("30 % to 45 %"),
        Just("at"),
        Just("unknown"),
        Just("framing 23 %"),
        Just("always 82 F 60 %"),
        Just("in"),
        Just("because"),
    ];
    let line = (prop_oneof![Just(""), Just("  ")], prop::collection::vec(word, 1..5))
        .prop_map(|(i, w)| format!("{i}{}\n", w.join(" ")));
    prop::collection::vec(line, 0..30).prop_map(|lines| lines.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_makes_the_review_fail(text in jumble()) {
        let done = run(&text);
        for finding in done.reports.iter().flat_map(|r| &r.findings) {
            let source = done.sources.get(finding.primary.span.file).expect("a text of this review");
            prop_assert!(source.text().get(finding.primary.span.range()).is_some(), "{finding:?}");
        }
    }

    #[test]
    fn a_wall_with_a_line_lost_or_doubled_still_gets_a_report(at in 0usize..11, twice in any::<bool>()) {
        let text = wall("painted", "bitumen-sheet 40 mil, adhered");
        let mut lines: Vec<&str> = text.lines().collect();
        let at = at.min(lines.len() - 1);
        if twice { lines.insert(at, lines[at]) } else { lines.remove(at); }
        let done = run(&(lines.join("\n") + "\n"));
        prop_assert_eq!(done.reports.len(), 1);
    }
}

#[test]
fn felt_may_be_named_by_its_weight() {
    let done = report(&open_wall("#15 felt, lapped 2 in"));
    assert!(!done.findings.iter().any(|f| f.rule.starts_with("notation/")), "{:?}", done.findings);
    assert_eq!(done.surfaces[0].no_profile, None);
}
