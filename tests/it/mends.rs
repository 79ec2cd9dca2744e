//! A mend does what it says: the figure it names, written into the text, takes the finding away; one step less does not.

use dewlap::base::finding::{Finding, Weight};
use dewlap::review::{Input, review};

fn findings(text: &str) -> Vec<Finding> {
    let input = Input { name: "job.dew".to_string(), text: text.to_string() };
    review(vec![input], &mut |_, path| Err(format!("no {path} here"))).reports.remove(0).findings
}

fn of<'f>(rule: &str, all: &'f [Finding]) -> Option<&'f Finding> {
    all.iter().find(|f| f.rule.starts_with(rule))
}

/// The number that stands before a unit in a help text.
fn figure(help: &str, unit: &str) -> f64 {
    help.split(unit).next().unwrap().split_whitespace().last().unwrap().parse().unwrap()
}

#[test]
fn the_coat_that_is_told_takes_the_water_away() {
    let wall = |heated: &str, coat: &str| {
        format!(
            "job dairy\n  place duluth-mn-us\n  heated {heated}\nwall north\n  outdoors\n  siding: vinyl-siding\n  \
             sheath: osb 7/16 in\n  studs: 2x6 at 16 in, bays glass-batt\n  lining: drywall 1/2 in, taped, edges sealed, holes sealed -> air\n{coat}  indoors\n"
        )
    };
    let rule = "dew/";
    let drawn = findings(&wall("70 F 45 %", ""));
    let found = of(rule, &drawn).expect("the wall as drawn is too wet");
    let most = figure(&found.help, " perm");
    let coat = |perm: f64| format!("  coat: kraft {perm} perm\n");
    let heavy = |coat: &str| -> Vec<Finding> {
        findings(&wall("70 F 45 %", coat)).into_iter().filter(|f| f.weight > Weight::Watch).collect()
    };
    assert!(of(rule, &heavy(&coat(most))).is_none(), "{}", found.help);
    assert!(of(rule, &heavy(&coat(most * 2.0))).is_some(), "{}", found.help);
}

#[test]
fn the_sheet_that_is_told_to_go_takes_the_damp_away() {
    let wall = |sheet: &str| {
        format!(
            "job gym\n  place houston-tx-us\n  heated 68 F 45 %\n  cooled 72 F 55 %\nwall south\n  outdoors\n  \
             siding: vinyl-siding\n  sheath: plywood 1/2 in\n  studs: 2x4 at 16 in, bays glass-batt\n  {sheet}\n  \
             lining: drywall 1/2 in, painted\n  indoors\n"
        )
    };
    let rule = "dew/damp-layer";
    let drawn = findings(&wall("sheet: poly 6 mil"));
    let found = of(rule, &drawn).expect("a sheet on the cooled side holds vapor");
    assert_eq!(found.help, "leave `sheet` out");
    assert!(of(rule, &findings(&wall(""))).is_none());
    let swap = found.answers.iter().find(|a| a.change == "layer_permeance_at_least").unwrap();
    assert!(swap.does && swap.words.contains("in place of `sheet`"), "{swap:?}");
    let least = figure(&swap.words, " perm");
    assert!((swap.value.unwrap() - least * dewlap::base::unit::PERM).abs() < 1e-15);
    assert!(of(rule, &findings(&wall(&format!("sheet: poly 6 mil, {least} perm")))).is_none(), "{}", swap.words);
}

#[test]
fn messages_fit_their_line_however_long_a_label_is() {
    let long = "a".repeat(60);
    let text = format!(
        "job mill\n  place duluth-mn-us\n  heated 70 F 50 %\nwall one\n  outdoors\n  {long}: granite 20 in\n  \
         wool: mineral-wool-board 4 in\n  indoors\nwall two\n  outdoors\n  siding: vinyl-siding\n  {long}: osb 7/16 in\n  \
         studs: 2x6 at 16 in, bays glass-batt\n  kraft: kraft\n  lining: drywall 1/2 in, painted\n  indoors\nwall three\n  \
         outdoors\n  siding: vinyl-siding\n  {long}: steel-stud 3-5/8 in at 16 in, bays glass-batt R-30\n  \
         lining: drywall 1/2 in\n  indoors\nwall four\n  outdoors\n  brick: solid-brick 8 in\n  indoors\n"
    );
    let all = findings(&text);
    for rule in [
        "dew/lasting-condensate",
        "dew/peak-condensate",
        "dew/cold-inner-face",
        "heat/steel-framing",
        "heat/squeezed-batt",
    ] {
        assert!(of(rule, &all).is_some(), "{rule}");
    }
    for finding in all.iter().filter(|f| f.rule.starts_with("dew/") || f.rule.starts_with("heat/")) {
        assert!(finding.message.chars().count() <= 80, "{}", finding.message);
        assert!(!finding.detail.is_empty() && !finding.help.is_empty() && !finding.numbers.is_empty());
    }
}
