//! What is read, and what is said of what cannot be read.

use std::time::{Duration, Instant};

use dewlap::base::span::FileId;
use dewlap::base::unit::{Dimension, INCH};
use dewlap::syntax::ast::{Amount, Row, Stanza, Stuff, Word};
use dewlap::syntax::{INCOMPLETE, LIMIT, limits, parse};

use super::{layer, problems, told};

const CREAMERY: &str = include_str!("../../fixtures/syntax/creamery.dew");
const BOATHOUSE: &str = include_str!("../../fixtures/syntax/boathouse.dew");
const MISTAKES: &str = include_str!("../../fixtures/syntax/mistakes.dew");

#[test]
fn whole_jobs_read_without_a_problem() {
    assert_eq!(told(CREAMERY), []);
    assert_eq!(told(BOATHOUSE), []);
}

#[test]
fn twenty_mistakes_are_twenty_reports_at_their_words() {
    let expected = [
        ("heatd", "`heatd` is not known in a `job`"),
        ("1,5", "`1,5` has a decimal comma"),
        ("cold:", "a stanza's name takes no colon"),
        ("slope:", "no colon after `slope`"),
        ("WW", "`WW` is no direction"),
        ("brick", "`brick` is not understood here"),
        ("gap:air", "a space is missing after the colon"),
        ("6", "`6` has no unit"),
        ("tapd", "`tapd` is not a layer word"),
        ("im", "`im` is not a unit"),
        ("2x7", "`2x7` is no lumber size"),
        ("vapour", "`vapour` is not a control"),
        ("\"two coats", "this note is not closed"),
        ("wal", "`wal` opens no stanza"),
        ("heat", "`heat` is never written as a control"),
        ("inf", "`inf` is no figure"),
        ("+", "parts joined by `+` belong in a `material` line"),
        ("air gap:", "a label is one word"),
        ("slope 6:12", "statements stand above the section"),
        ("front.sheath", "an acceptance needs its reason"),
    ];
    let all = told(MISTAKES);
    for (found, wanted) in all.iter().zip(expected) {
        assert_eq!((found.0, found.1.as_str()), wanted);
    }
    assert_eq!(all.len(), 20);
    for problem in problems(MISTAKES) {
        assert!(problem.message.chars().count() <= 80 && !problem.help.is_empty(), "{problem:?}");
    }
}

#[test]
fn a_head_that_begins_too_low_is_told_as_such() {
    for above in ["\n", "# the side to the river\n", "dewlap 1\n"] {
        let told = problems(&format!("{above}---\ntitle: a\n---\nwall a\n"));
        assert!(told[0].message == "`---` opens no stanza" && told[0].help.contains("first line"), "{told:?}");
        // What a head says is not told line by line.
        assert_eq!(told.len(), 2, "{told:?}");
    }
}

#[test]
fn a_mistake_leaves_the_rest_of_the_text_read() {
    let tree = parse(FileId(0), MISTAKES).tree;
    let surfaces: Vec<_> =
        tree.stanzas.iter().filter_map(|s| if let Stanza::Surface(s) = s { Some(s) } else { None }).collect();
    assert_eq!(surfaces.len(), 2, "`wal` is a hole");
    let labels = |rows: &[Row]| -> Vec<String> {
        rows.iter().filter_map(|r| if let Row::Layer(l) = r { Some(l.label.text.clone()) } else { None }).collect()
    };
    assert_eq!(labels(&surfaces[0].rows), ["wrap", "sheath", "studs", "kraft", "lining"]);
    assert_eq!(labels(&surfaces[1].rows), ["metal", "deck", "foam"]);
}

#[test]
fn amounts_carry_si_and_the_place_they_stand_at() {
    let text = "wall porch\n  outdoors\n  foam: xps 2″ R-10, lapped 5½\" -> air\n  indoors\n";
    let parsed = parse(FileId(0), text);
    assert!(parsed.problems.is_empty());
    let Stanza::Surface(wall) = &parsed.tree.stanzas[0] else { panic!("a wall") };
    let Row::Layer(foam) = &wall.rows[1] else { panic!("a layer") };
    let Stuff::One(build) = &foam.stuff else { panic!("one material") };
    let [Amount::Known(thick), Amount::Known(r)] = build.amounts[..] else { panic!("two figures") };
    assert!((thick.si - 2.0 * INCH).abs() < 1e-12 && thick.dimension == Dimension::Length);
    // NIST SP 811, Appendix B: 1 h ft2 F/Btu = 0.176 110 2 m2 K/W.
    assert!((r.si - 1.761_102).abs() < 1e-6);
    assert_eq!((&text[thick.span.range()], &text[r.span.range()]), ("2″", "R-10"));
    let Word::Lapped(Some(Amount::Known(lap))) = foam.words[0].value else { panic!("a lap") };
    assert!((lap.si - 5.5 * INCH).abs() < 1e-12);
    assert_eq!(&text[foam.words[0].span.range()], "lapped 5½\"");
}

#[test]
fn figures_without_a_meaning_are_told() {
    let text = "wall porch\n  outdoors\n  foam: xps 2, taped\n  indoors\n";
    assert_eq!(problems(text)[0].rule, INCOMPLETE);
    for (line, at, message, help) in [
        ("foam: xps 2,5 in", "2,5", "`2,5` has a decimal comma", "`2.5`"),
        ("foam: xps 1,250 mm", "1,250", "`1,250` has a decimal comma", "`1250` if thousands"),
        ("foam: xps 2, taped", "2", "`2` has no unit", "units that fit"),
        ("foam: xps 2 inn", "inn", "`inn` is not a unit", "`in`"),
        ("foam: xps 2 cubits", "2", "`2` has no unit", "units that fit"),
        ("foam: xps 2cubits", "2cubits", "`cubits` in `2cubits` is not a unit", "units: `in`"),
        ("foam: xps 1e2 mm", "1e2", "`1e2` has an exponent", "write the figure out"),
        ("foam: xps inf in", "inf", "`inf` is no figure", "`unknown`"),
        ("foam: xps 1/0 in", "1/0", "`1/0` divides by 0", "`1/2`"),
        ("foam: xps -2 in", "-2 in", "a length cannot be below 0", "minus"),
        ("foam: xps 2 in to 1 in", "2 in to 1 in", "this range runs from high to low", "lower end first"),
        ("foam: xps 70 F", "70 F", "a temperature does not fit here", "what fits"),
        ("studs: 2x6 at 16, bays air", "16", "`16` has no unit", "units that fit"),
    ] {
        let (found_at, found_message, found_help) = layer(line);
        assert_eq!(found_at, at, "{line}: {found_message}");
        assert!(found_message.contains(message) && found_help.contains(help), "{line}: {found_message} {found_help}");
    }
}

#[test]
fn look_alikes_read_like_the_plain_signs() {
    let plain = "wall porch\n  slope 5:12\n  outdoors\n  foam: xps 2 in, lapped 1/2 in -> air\n  studs: 2x6 at 16 in, \
                 bays air\n  water 50 F\n";
    let fancy = "wall porch\n  slope 5:12\n  outdoors\n  foam:\u{a0}xps 2″, lapped ½\u{a0}in → air\n  studs: 2×6 at \
                 16”, bays air\n  water 50 °F\n";
    let figures = |text: &str| format!("{:?}", dewlap::syntax::tidy(text).unwrap());
    assert_eq!(figures(plain), figures(fancy));
    assert_eq!(told("job a\n  heated −5 °C 35 %\n  cooled 75°F 55%\n"), []);
}

#[test]
fn line_ends_and_the_byte_order_mark_change_no_report() {
    let crlf = MISTAKES.replace('\n', "\r\n");
    let marked = format!("\u{feff}{MISTAKES}");
    let both = format!("\u{feff}{crlf}");
    for text in [&crlf, &marked, &both] {
        assert_eq!(told(text), told(MISTAKES));
    }
    // A lone carriage return cannot be seen: told, never taken for a line end.
    let old = told("job a\r  place b\n");
    assert_eq!(old.len(), 1);
    assert!(old[0].1.contains("U+000D"));
}

#[test]
fn what_cannot_be_seen_is_told_once() {
    for hidden in ['\u{200b}', '\u{202e}', '\u{0}', '\u{ad}', '\u{feff}'] {
        let text = format!("wall porch\n  outdoors\n  foam: x{hidden}ps 2 in, nonsense\n  indoors\n");
        let all = told(&text);
        assert_eq!(all.len(), 1, "{hidden:?}");
        assert!(all[0].0.contains(hidden) && all[0].1.contains("cannot be seen"));
    }
}

#[test]
fn more_than_is_read_ends_in_one_report_soon() {
    let huge = "  a: osb 1/2 in\n".repeat(limits::BYTES / 16 + 1);
    let tall = format!("wall porch\n{}", "  a: osb\n".repeat(limits::LINES + 5));
    let wide = format!("wall porch\n  outdoors\n  a: osb {}\n  indoors\n", "x".repeat(1_000_000));
    let wordy = format!("wall porch\n  outdoors\n  a: osb{}\n  indoors\n", ", a".repeat(limits::WORDS));
    let joined = format!("wall porch\n  outdoors\n  a: osb{}\n  indoors\n", ",\n existing".repeat(limits::JOINED + 5));
    let wild = "wall porch\n  a: b c d\n".repeat(limits::PROBLEMS + 1);
    for (text, words) in [
        (&huge, "more than 5 MB"),
        (&tall, "more than 100000 lines"),
        (&wide, "more than 4000 characters"),
        (&wordy, "more than 500 words"),
        (&joined, "more than 50 lines"),
        (&wild, "after 1000 problems"),
    ] {
        let start = Instant::now();
        let limits: Vec<_> = problems(text).into_iter().filter(|p| p.rule == LIMIT).collect();
        assert_eq!(limits.len(), 1, "{words}");
        assert!(limits[0].message.contains(words), "{}", limits[0].message);
        // A generous bound for a machine under load without optimization; a hang or a square law passes it by far.
        assert!(start.elapsed() < Duration::from_secs(20), "{words}");
    }
    for text in [&huge, &tall, &wide, &wordy] {
        assert_eq!(problems(text).len(), 1);
    }
}

#[test]
fn a_minus_before_a_fraction_is_no_mixed_number() {
    let text = "wall a\n  outdoors\n  b: brick-veneer 3 -1/2 in\n  indoors\n";
    let read = parse(FileId(0), text);
    assert_eq!(read.problems.len(), 1);
    assert_eq!(read.problems[0].message, "`3` has no unit");
    assert!(dewlap::syntax::tidy(text).is_err());
}
