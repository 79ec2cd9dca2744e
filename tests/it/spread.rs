//! How often an answer turns when figures vary: reproducible, and the same answers as the review's.

use assert_cmd::Command;
use dewlap::base::math;
use dewlap::output::look::Look;
use dewlap::output::{json_spread, spread as shown};
use dewlap::review::spread::{Asked, Spread, spread};
use dewlap::review::{Input, review};
use rayon::ThreadPoolBuilder;
use std::fs;
use std::path::Path;

const DEMO: &str = include_str!("../../docs/demo/press-room.dew");

fn input(text: &str) -> Input {
    Input { name: "kiln.dew".to_string(), text: text.to_string() }
}

fn sampled(text: &str, asked: Asked<'_>) -> Spread {
    spread(input(text), &mut |_, path| Err(format!("no {path}")), &asked, &|_, _| {})
}

fn asked(samples: usize, seed: u64) -> Asked<'static> {
    Asked { surface: None, samples, seed, width: 1.0 }
}

fn figures(of: &Spread) -> String {
    let mut out = Vec::new();
    json_spread::write(&mut out, std::slice::from_ref(of)).unwrap();
    format!("{} {:?}", String::from_utf8(out).unwrap(), of.surfaces)
}

#[test]
fn a_seed_gives_the_same_answer_and_another_seed_another() {
    let south = |seed| figures(&sampled(DEMO, Asked { surface: Some("south"), ..asked(400, seed) }));
    assert_eq!(south(1), south(1));
    assert_ne!(south(1), south(2));
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let with = |threads| {
        let pool = ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| figures(&sampled(DEMO, Asked { surface: Some("south"), ..asked(1100, 3) })))
    };
    assert_eq!(with(1), with(2));
    assert_eq!(with(1), with(5));
}

/// Every text of our own with no spread at all: each sample is the review's profile, and each answer its finding.
#[test]
fn no_spread_gives_the_answers_of_the_review() {
    let details = Path::new(env!("CARGO_MANIFEST_DIR")).join("details");
    let mut texts = vec![DEMO.to_string()];
    for skin in ["0.05 perm", "0.5 perm", "2 perm", "20 perm"] {
        texts.push(wall(skin));
        texts.push(wall(skin).replace("class 3 iso-13788", "50 %"));
        texts.push(wall(skin).replace("outdoors", "ground 6 ft, 8 in above grade, drained"));
    }
    let files = fs::read_dir(details).unwrap().flatten().map(|e| e.path());
    texts.extend(files.filter(|p| p.extension().is_some_and(|e| e == "dew")).map(|p| fs::read_to_string(p).unwrap()));
    let (mut met, mut not) = (0, 0);
    for text in texts {
        let done = review(vec![input(&text)], &mut |_, path| Err(format!("no {path}")));
        let report = &done.reports[0];
        let of = sampled(&text, Asked { width: 0.0, ..asked(3, 1) });
        for surface in &of.surfaces {
            let open = surface.inputs.iter().any(|i| i.source == "left open in the text");
            let Ok(answers) = &surface.answers else { continue };
            assert_eq!((surface.samples, surface.same), (3, 1.0), "{}", surface.name);
            let mut told_already = false;
            for answer in answers {
                assert_eq!(answer.share, if answer.drawn { 1.0 } else { 0.0 });
                let all = report.findings.iter().chain(report.accepted.iter().map(|a| &a.finding));
                let found =
                    all.clone().any(|f| f.rule == answer.rule && f.surface.as_deref() == Some(surface.name.as_str()));
                // A rule is silent beside a heavier one, and what is open is told of otherwise.
                if !open && !told_already {
                    assert_eq!(answer.drawn, found, "{} {}", surface.name, answer.rule);
                    if found { met += 1 } else { not += 1 }
                }
                told_already |= answer.drawn;
            }
        }
    }
    assert!(met > 4 && not > 40, "{met} met, {not} not");
}

/// A frame wall whose skin passes little; the other layers are written, so they vary by a tenth only.
fn wall(skin: &str) -> String {
    format!(
        "dewlap 1\njob kiln\n  place duluth-mn-us\n  heated 70 F class 3 iso-13788\nwall north\n  outdoors\n  skin: \
         board-sheathing 3/4 in, {skin}\n  fill: glass-batt 5-1/2 in, R-19, 100 perm\n  lining: drywall 1/2 in, 10 \
         perm\n  indoors\n"
    )
}

fn left_by_review(perm: f64) -> bool {
    let done = review(vec![input(&wall(&format!("{perm:.4} perm")))], &mut |_, _| Err(String::new()));
    done.reports[0].findings.iter().any(|f| f.rule == "dew/lasting-condensate")
}

/// By hand: the skin's permeance runs by equal factors from 0.05 to 20 perm, and the review finds water left below some
/// permeance `turn`, so the share of samples with water left is about `ln(turn / 0.05) / ln(20 / 0.05)`.
#[test]
fn a_skin_across_its_turning_point_turns_in_the_share_its_range_says() {
    let (low, high) = (0.05_f64, 20.0_f64);
    assert!(left_by_review(low) && !left_by_review(high));
    let (mut wet, mut dry) = (low, high);
    for _ in 0..12 {
        let middle = (wet * dry).sqrt();
        if left_by_review(middle) { wet = middle } else { dry = middle }
    }
    let expected = math::ln(wet / low) / math::ln(high / low);
    let of = sampled(&wall("0.05 perm to 20 perm"), asked(2000, 5));
    let surface = &of.surfaces[0];
    let lasting = &surface.answers.as_ref().unwrap()[0];
    assert!(expected > 0.1 && expected < 0.9, "{expected}");
    assert!((lasting.share - expected).abs() < 0.02, "{} is not {expected}", lasting.share);
    let (index, lean) = lasting.leans[0];
    assert_eq!(surface.inputs[index].what, "permeance of `skin`");
    assert!(lean < -0.95, "{lean}");
}

/// What lies outside of the gap of the east wall is not in the sum, so it is not varied; no two inputs share a name.
#[test]
fn what_counts_is_varied_once() {
    let seasons = wall("2 perm").replace("class 3 iso-13788", "30 % to 45 %\n  cooled 75 F 50 %");
    let kiln = sampled(&seasons, asked(100, 1));
    let words = |of: &Spread, at: usize| of.surfaces[at].inputs.iter().map(|i| i.what.clone()).collect::<Vec<_>>();
    let inputs = words(&kiln, 0);
    assert_eq!(inputs[..2], ["indoor humidity", "indoor humidity while cooled"]);
    let demo = sampled(DEMO, asked(100, 1));
    assert_eq!(demo.surfaces[0].name, "east");
    let east = words(&demo, 0);
    assert!(
        !east.contains(&"permeance of `boards`".to_string()) && east.contains(&"permeance of `lining`".to_string())
    );
    for at in 0..demo.surfaces.len() {
        let mut names = words(&demo, at);
        names.sort();
        let all = names.len();
        names.dedup();
        assert_eq!(names.len(), all, "{names:?}");
    }
}

#[test]
fn the_south_wall_of_the_demo_at_60_columns() {
    let of = sampled(DEMO, Asked { surface: Some("south"), ..asked(1000, 1) });
    let mut out = Vec::new();
    shown::write(&mut out, &of.surfaces[0], &Look { width: 60, ..Look::default() }).unwrap();
    insta::assert_snapshot!(String::from_utf8(out).unwrap());
}

#[test]
fn no_line_is_wider_than_asked_for() {
    let of = sampled(DEMO, asked(200, 1));
    for (width, plain) in [(40, false), (60, false), (60, true)] {
        for surface in &of.surfaces {
            let mut out = Vec::new();
            shown::write(&mut out, surface, &Look { width, plain, ..Look::default() }).unwrap();
            let text = String::from_utf8(out).unwrap();
            assert!(text.lines().all(|l| l.chars().count() <= width), "{width}:\n{text}");
        }
    }
}

fn run(words: &[&str], text: &str) -> (i32, String, String) {
    let done = Command::cargo_bin("dewlap").unwrap().args(words).write_stdin(text).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    (done.status.code().unwrap(), text(done.stdout), text(done.stderr))
}

#[test]
fn the_command_prints_and_complains() {
    let text = wall("2 perm");
    let (code, out, err) = run(&["profile", "-", "north", "--spread", "100", "--seed", "4"], &text);
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    assert!(
        out.contains("100 samples (Latin hypercube, seed 4)") && out.contains("common practice, no source"),
        "{out}"
    );
    for number in ["0", "99", "100001", "-5", "many", "1e3"] {
        let (code, _, err) = run(&["profile", "-", &format!("--spread={number}")], &text);
        assert!(code == 2 && err.contains("a number of samples is 100 to 100000"), "{number}: {err}");
    }
    let (code, _, err) = run(&["profile", "-", "norht", "--spread", "100"], &text);
    assert_eq!((code, err.as_str()), (2, "dewlap: no surface is called `norht` did you mean `north`?"));
    let (code, _, _) = run(&["profile", "-", "--seed", "1"], &text);
    assert_eq!(code, 2);
}

#[test]
fn a_surface_without_anything_to_vary_is_told() {
    let steel = "dewlap 1\njob kiln\n  place duluth-mn-us\n  heated 70 F class 3 iso-13788\nwall north\n  outdoors\n  \
                 skin: sheet-steel 1 mm\n  indoors\n";
    let (code, out, err) = run(&["profile", "-", "--spread", "100"], steel);
    assert!(code == 2 && out.contains("not sampled: there is nothing to vary"), "{out}");
    assert_eq!(err, "nothing could be sampled");
    let hole = steel.replace("sheet-steel 1 mm", "2x4 at 16 in, bays unknown");
    let (code, out, _) = run(&["profile", "-", "--spread", "100"], &hole);
    assert!(code == 2 && out.contains("not sampled: "), "{out}");
}

#[test]
fn json_has_the_shares_and_what_they_lean_on() {
    let (code, out, _) = run(&["profile", "-", "--spread", "500", "--json"], &wall("0.05 perm to 20 perm"));
    let value: serde_json::Value = serde_json::from_str(&out).unwrap();
    let surface = &value["surfaces"][0];
    assert_eq!((code, &surface["samples"], &surface["sampling"]), (0, &500.into(), &"latin hypercube".into()));
    let lasting = &surface["answers"][0];
    assert_eq!(lasting["rule"], "dew/lasting-condensate");
    assert_eq!(lasting["leans"][0]["input"], "permeance of `skin`");
    assert!(lasting["share"].as_f64().is_some_and(|s| s > 0.1 && s < 0.9));
}
