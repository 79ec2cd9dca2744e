//! Rain at joints: the figures of the codes to the last step of a rule, and silence where nothing can be told.
//!
//! Each text is what stands under Passes on the page of a rule, with one thing changed.

use dewlap::base::finding::Finding;
use dewlap::review::report::Report;
use dewlap::review::{Input, review};
use dewlap::rules;

/// The first job under Passes.
fn passes(id: &str) -> String {
    let page = rules::find(id).expect("a rule").page;
    let (_, rest) = page.split_once("## Passes").expect("its jobs");
    let (_, job) = rest.split_once("```dew\n").expect("a job");
    job.split_once("```").expect("closed").0.to_string()
}

fn changed(id: &str, from: &str, to: &str) -> Report {
    let text = passes(id);
    assert!(text.contains(from), "{id}: no {from}");
    reviewed(text.replace(from, to))
}

fn reviewed(text: String) -> Report {
    let input = Input { name: "rain.dew".to_string(), text };
    let done = review(vec![input], &mut |_, path| Err(format!("nothing to include at {path}")));
    done.reports.into_iter().next().expect("a report")
}

fn raised(report: &Report) -> Vec<&'static str> {
    report.findings.iter().map(|f: &Finding| f.rule).collect()
}

/// IRC 2015 section R703.2: 2 in level, 6 in upright. Their metric round figures pass, a little less fails.
#[test]
fn laps_of_sheets_fail_just_below_the_figure_of_the_code() {
    let level = |lap: &str| {
        raised(&changed("water/short-lap", "wrap laps over flashing 4 in", &format!("wrap laps over flashing {lap}")))
    };
    assert!(level("2 in").is_empty() && level("50 mm").is_empty());
    assert_eq!(level("1-15/16 in"), ["water/short-lap"]);
    let upright = |lap: &str| {
        raised(&changed(
            "water/short-upright-lap",
            "wrap laps over paper 6 in, taped",
            &format!("wrap laps over paper {lap}"),
        ))
    };
    assert!(upright("6 in").is_empty() && upright("150 mm").is_empty());
    assert_eq!(upright("5-3/4 in"), ["water/short-upright-lap"]);
}

/// NHBC Standards 6.2.13: 100 mm level in the United Kingdom, where the American 2 in are not enough.
#[test]
fn the_figure_is_that_of_the_place() {
    let at = |place: &str, lap: &str| {
        let job = format!("job loft\n  place {place}\n  units metric\n\n");
        let joint = passes("water/short-lap")
            .replace("wrap laps over flashing 4 in", &format!("wrap laps over flashing {lap}"));
        raised(&reviewed(job + &joint)).contains(&"water/short-lap")
    };
    assert!(at("london-gb", "75 mm") && !at("london-gb", "100 mm"));
    assert!(!at("portland-me-us", "75 mm"));
}

/// A slot counts from 1 in, a band on masonry from 3 in, a bar up to 8 in.
#[test]
fn edges_on_masonry_fail_just_beside_their_figures() {
    let slot = |depth: &str| raised(&changed("water/shallow-slot", "into pour 1 in", &format!("into pour {depth}")));
    assert!(slot("1 in").is_empty());
    assert_eq!(slot("15/16 in"), ["water/shallow-slot"]);
    let band =
        |width: &str| raised(&changed("water/narrow-masonry-lap", "over pour 6 in", &format!("over pour {width}")));
    assert!(band("3 in").is_empty() && band("75 mm").is_empty());
    assert_eq!(band("2-7/8 in"), ["water/narrow-masonry-lap"]);
    let bar = |pitch: &str| raised(&changed("water/loose-bar", "at 8 in oc", &format!("at {pitch} oc")));
    assert!(bar("8 in").is_empty());
    assert_eq!(bar("8-1/4 in"), ["water/loose-bar"]);
}

/// Of a joint that is not shown whole nothing is missing; of a length that nobody knows nothing is wrong. Both are told.
#[test]
fn what_is_not_known_is_neither_passed_nor_found_at_fault() {
    let unknown = changed("water/short-lap", "wrap laps over flashing 4 in", "wrap laps over flashing unknown");
    assert!(raised(&unknown).is_empty());
    assert!(unknown.not_run.iter().any(|n| n.rule == "water/short-lap"));
    let cover = "  return laps over seam 4 in\n";
    let hidden = changed("water/cover-stops-at-seam", cover, "  not shown\n");
    assert!(!raised(&hidden).contains(&"water/cover-stops-at-seam"));
    assert!(hidden.not_run.iter().any(|n| n.rule == "water/cover-stops-at-seam"));
}

/// Every lap that sheds is found when it is turned round.
#[test]
fn a_lap_turned_round_catches_water() {
    for (over, under) in [("wrap", "flashing"), ("flashing", "brick"), ("wrap", "sheet")] {
        let text = passes("water/reversed-lap");
        let line = text.lines().find(|l| l.starts_with(&format!("  {over} laps over {under}"))).expect("the lap");
        let turned = line.replace(&format!("{over} laps over {under}"), &format!("{under} laps over {over}"));
        let report = reviewed(text.replace(line, &turned));
        assert!(raised(&report).contains(&"water/reversed-lap"), "{turned}: {:?}", raised(&report));
    }
}
