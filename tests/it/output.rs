//! How a report looks, from a report made by hand.

use crate::sample;
use dewlap::base::finding::{Finding, Weight};
use dewlap::base::source::{Source, Sources};
use dewlap::base::span::{FileId, Span};
use dewlap::output::look::Look;
use dewlap::output::terminal::{self, Extent};
use dewlap::output::wrap::columns;
use dewlap::output::{json, lines, plain, profile};
use dewlap::review::report::Report;

fn look(width: usize) -> Look {
    Look { width, ..Look::default() }
}

fn written(write: impl FnOnce(&mut Vec<u8>) -> std::io::Result<()>) -> String {
    let mut out = Vec::new();
    write(&mut out).unwrap();
    String::from_utf8(out).unwrap()
}

fn shown(sources: &Sources, report: &Report, look: Look) -> String {
    written(|out| terminal::write(out, sources, report, &look, Extent::default()))
}

/// A text with one finding at a range of bytes, shown.
fn marked(text: &str, start: usize, end: usize, look: Look) -> String {
    let mut sources = Sources::default();
    sources.add(Source::new("a.dew", text));
    let span = Span::new(FileId(0), start, end);
    let finding = Finding::new("air/x", Weight::Fix, span, "something is open").label("here");
    written(|out| terminal::findings(out, &sources, &[finding], &look))
}

fn profile_of(metric: bool, month: Option<u8>, look: Look) -> String {
    let report = sample::report(metric);
    written(|out| profile::write(out, &report, &report.surfaces[0], month, &look))
}

#[test]
fn review_at_60_columns() {
    insta::assert_snapshot!(shown(&sample::sources(), &sample::report(false), look(60)));
}

#[test]
fn review_at_100_columns() {
    insta::assert_snapshot!(shown(&sample::sources(), &sample::report(true), Look { ascii: true, ..look(100) }));
}

#[test]
fn review_in_sentences() {
    let look = Look { plain: true, color: true, ..look(100) };
    let extent = Extent { assumed: true, limit: None };
    let text = written(|out| plain::write(out, &sample::sources(), &sample::report(false), &look, extent));
    insta::assert_snapshot!(text);
}

#[test]
fn profile_at_60_columns() {
    insta::assert_snapshot!(profile_of(false, None, look(60)));
}

#[test]
fn one_month_at_60_columns() {
    insta::assert_snapshot!(profile_of(true, Some(1), look(60)));
}

#[test]
fn nothing_is_wider_than_asked_for() {
    for width in [40, 60, 80, 120] {
        for ascii in [false, true] {
            let look = Look { ascii, ..look(width) };
            let mut text = shown(&sample::sources(), &sample::report(true), look);
            for month in [None, Some(2)] {
                text += &profile_of(false, month, look);
                text += &profile_of(true, month, Look { plain: true, ..look });
            }
            for line in text.lines() {
                assert!(columns(line) <= width, "{} columns of {width}: {line}", columns(line));
                assert_eq!(line, line.trim_end());
            }
        }
    }
}

#[test]
fn color_adds_escapes_and_takes_no_word() {
    let plain = shown(&sample::sources(), &sample::report(false), look(80));
    assert!(!plain.contains('\u{1b}'));
    let colored = shown(&sample::sources(), &sample::report(false), Look { color: true, ..look(80) });
    assert!(colored.contains("\u{1b}["));
    assert!(!colored.contains("\u{1b}]"), "no links");
    assert_eq!(anstream::adapter::strip_str(&colored).to_string(), plain);
}

#[test]
fn columns_count_characters() {
    let text = "  5″ °C ½ 壁 e\u{301} end";
    let at = text.find("end").unwrap();
    let drawn = marked(text, at, at + 3, look(80));
    assert!(drawn.contains("a.dew:1:16"), "{drawn}");
    assert!(marked(&format!("\u{feff}{text}"), at + 3, at + 6, look(80)).contains("a.dew:1:16"));
    // The mark stands under the word: a wide character takes two columns, a combining one none.
    let (line, under) = (drawn.lines().nth(4).unwrap(), drawn.lines().nth(5).unwrap());
    let before = |l: &str, c: &str| columns(l.split(c).next().unwrap());
    assert_eq!(before(line, "end"), before(under, "─"), "{drawn}");
}

#[test]
fn labels_at_the_end_are_seen_and_never_break() {
    for text in ["", "\n", "wall a", "wall a\n", "wall a\n\n\n", "wall a\r\n  x\r\n", "  \t \n", "°\n"] {
        let end = text.len() + 3;
        for start in 0..=end {
            for stop in start..=end {
                let drawn = marked(text, start, stop, look(60));
                assert!(text.trim().is_empty() || drawn.contains("here"), "{text:?} {start}..{stop}\n{drawn}");
                assert!(!drawn.contains("Failed to read"), "{text:?} {start}..{stop}\n{drawn}");
            }
        }
    }
}

#[test]
fn line_ends_and_a_byte_order_mark_change_nothing() {
    let text = "wall a\n  outdoors\n  b: plywood 1/2 in\n";
    let at = text.find("plywood").unwrap();
    let expected = marked(text, at, at + 7, look(60));
    let windows = text.replace('\n', "\r\n");
    assert_eq!(marked(&windows, at + 2, at + 9, look(60)), expected);
    assert_eq!(marked(&format!("\u{feff}{text}"), at + 3, at + 10, look(60)), expected);
    assert_eq!(marked(text.trim_end(), at, at + 7, look(60)), expected);
}

#[test]
fn long_lines_are_cut_round_the_label() {
    let text = format!("{} target {}\n", "left ".repeat(200), "right ".repeat(200));
    let at = text.find("target").unwrap();
    let drawn = marked(&text, at, at + 6, look(60));
    assert!(drawn.contains(" target ") && drawn.contains(&format!("a.dew:1:{}", at + 1)), "{drawn}");
    assert!(drawn.lines().all(|l| columns(l) <= 60), "{drawn}");
}

#[test]
fn nothing_of_the_input_steers_the_terminal() {
    let bad = "wall \u{1b}[31ma\u{202e}b\u{7}\u{9b}c\u{200b}\r\n";
    let mut sources = Sources::default();
    sources.add(Source::new("a\u{1b}]0;x\u{7}.dew", bad));
    let mut report = sample::report(false);
    report.findings = vec![
        Finding::new("air/x", Weight::Fix, Span::new(FileId(0), 5, 14), bad)
            .label(bad)
            .detail(bad)
            .help(bad)
            .surface(bad),
    ];
    report.accepted.clear();
    report.assumed.clear();
    report.surfaces[0].name = bad.into();
    report.surfaces[0].notes = vec![bad.into()];
    report.not_run[0].why = bad.into();
    let job = report.job.as_mut().unwrap();
    (job.name, job.place, job.title) = (bad.into(), bad.into(), Some(bad.into()));
    for plain in [false, true] {
        let look = Look { plain, ..look(60) };
        let mut text = written(|out| match plain {
            true => plain::write(out, &sources, &report, &look, Extent::default()),
            false => terminal::write(out, &sources, &report, &look, Extent::default()),
        });
        text += &written(|out| lines::write(out, &sources, &report));
        text += &written(|out| profile::write(out, &report, &report.surfaces[0], None, &look));
        let odd = text.chars().find(|c| (c.is_control() && *c != '\n') || "\u{202e}\u{200b}".contains(*c));
        assert_eq!(odd, None, "{text}");
    }
}

#[test]
fn twenty_thousand_findings_are_all_printed() {
    let text = "  layer: plywood 1/2 in, sealed -> water air\n".repeat(20_000);
    let mut sources = Sources::default();
    sources.add(Source::new("big.dew", text.as_str()));
    let length = text.len() / 20_000;
    let findings: Vec<Finding> = (0..20_000)
        .map(|i| {
            let span = |from: usize, to: usize| Span::new(FileId(0), i * length + from, i * length + to);
            Finding::new("air/x", Weight::Fix, span(9, 16), "something is open")
                .label("here")
                .also(span(2, 7), "and here")
        })
        .collect();
    let report = Report { findings, ..Report::default() };
    let drawn = shown(&sources, &report, look(80));
    assert!(drawn.contains("big.dew:20000:10"));
    assert_eq!(drawn.matches("air/x").count(), 20_000);
}

#[test]
fn one_line_form() {
    let text = written(|out| lines::write(out, &sample::sources(), &sample::report(false)));
    assert_eq!(
        text,
        "jobs/press-room.dew:12:3: fix: air/open-edge: `sheathing` is relied on for air, its edge is open\n\
         jobs/press-room.dew:11:3: stop: dew/wet-interface: water lies between `membrane` and `sheathing`\n\
         jobs/press-room.dew:11:62: watch: match/sun-days: cover `membrane` within 60 days\n"
    );
}

fn document(report: Report) -> serde_json::Value {
    let unreadable = [json::Unreadable { file: "jobs/odd.dew".into(), why: "no such file".into() }];
    let text = written(|out| json::write(out, &sample::sources(), &[report], &unreadable));
    assert!(text.ends_with("}\n") && !text.ends_with("\n\n"));
    serde_json::from_str(&text).unwrap()
}

#[test]
fn json_says_all_of_it() {
    let value = document(sample::report(false));
    assert_eq!(value["version"], 1);
    assert_eq!(value["complete"], false);
    let finding = &value["findings"][1];
    assert_eq!((finding["weight"].as_str(), finding["line"].as_u64()), (Some("stop"), Some(11)));
    assert_eq!((finding["column"].as_u64(), finding["end_column"].as_u64()), (Some(3), Some(11)));
    assert_eq!(finding["numbers"][0]["value"], 0.21);
    assert_eq!(finding["labels"][1]["text"], "takes it up");
    assert_eq!(value["surfaces"][0]["u_value"], 0.25);
    assert_eq!(value["surfaces"][0]["paths"][0]["months"][1]["points"][2]["water"], 0.21);
    assert_eq!(value["surfaces"][1]["no_profile"], "the air of room `barn` is not described");
    assert_eq!(value["accepted"][0]["finding"]["rule"], "water/one-line");
    assert_eq!(value["not_run"][1]["line"], serde_json::Value::Null);
}

#[test]
fn json_has_no_figure_that_is_none() {
    let mut report = sample::report(false);
    report.findings[1].numbers[0].value = f64::INFINITY;
    report.surfaces[0].u_value = Some(dewlap::base::quantity::Transmittance::new(f64::NAN));
    let value = document(report);
    assert!(value["findings"][1]["numbers"][0]["value"].is_null());
    assert!(value["surfaces"][0]["u_value"].is_null());
}

#[test]
fn json_keeps_to_its_schema() {
    let schema = crate::schema::of_review();
    let value = document(sample::report(true));
    assert_eq!(crate::schema::faults(&schema, &value), Vec::<String>::new());
    let mut broken = value;
    broken["findings"][0]["weight"] = "heavy".into();
    broken["surfaces"][0]["extra"] = 1.into();
    broken.as_object_mut().unwrap().remove("unknown");
    assert_eq!(crate::schema::faults(&schema, &broken).len(), 3);
}
