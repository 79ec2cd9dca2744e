//! Published cases, drawn in the notation: known failures are found for the right reason, known good details stay quiet.
//!
//! Cases, what is expected of them and how they were drawn: `tests/corpus/README.md`. What is asserted is what the drawing
//! of a joint decides: continuity, drainage and exits, and materials that do not go together. Of sections (assemblies), most
//! of which turn on a sum of heat and vapor, what is found today is a floor that may not fall.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use dewlap::base::finding::Weight;
use dewlap::review::{Input, review};
use dewlap::rules;
use serde::Deserialize;

#[derive(Deserialize)]
struct Expected {
    cases: Vec<Case>,
    pairs: Vec<Pair>,
}

#[derive(Deserialize)]
struct Case {
    id: String,
    kind: String,
    family: String,
    verdict: String,
    confidence: String,
    primary: Option<String>,
    #[serde(default)]
    mechanisms: Vec<String>,
    #[serde(default)]
    quiet: Vec<String>,
}

#[derive(Deserialize)]
struct Pair {
    id: String,
    kind: String,
    family: String,
    confidence: String,
    bad: Vec<String>,
}

#[derive(Deserialize)]
struct Words {
    mechanisms: Vec<Mechanism>,
    other: Vec<String>,
}

#[derive(Deserialize)]
struct Mechanism {
    id: String,
    family: String,
    near: Vec<String>,
    rules: Vec<String>,
}

/// What came of one file: the rules that count (a watch does not), and what could not be read.
struct Raised {
    rules: BTreeSet<&'static str>,
    unread: Vec<String>,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/corpus")
}

fn read<T: for<'a> Deserialize<'a>>(name: &str) -> T {
    let text = std::fs::read_to_string(folder().join(name)).expect(name);
    serde_yaml::from_str(&text).expect(name)
}

fn raised(path: &str) -> Raised {
    let text = std::fs::read_to_string(folder().join(path)).expect(path);
    let done =
        review(vec![Input { name: path.to_string(), text }], &mut |_, p| Err(format!("nothing to include at {p}")));
    let findings: Vec<_> = done.reports.into_iter().flat_map(|r| r.findings).collect();
    let unread = |r: &str| r.starts_with("notation/");
    Raised {
        unread: findings.iter().filter(|f| unread(f.rule)).map(|f| format!("{path}: {}", f.message)).collect(),
        rules: findings.iter().filter(|f| f.weight != Weight::Watch && !unread(f.rule)).map(|f| f.rule).collect(),
    }
}

impl Case {
    fn path(&self) -> String {
        let folder = match self.kind.as_str() {
            "assembly" => "assemblies",
            "job" => "jobs",
            _ => "junctions",
        };
        format!("{folder}/{}.dew", self.id)
    }

    fn bad(&self) -> bool {
        self.verdict == "bad"
    }
}

impl Words {
    /// The mechanisms that these rules speak of.
    fn of(&self, rules: &BTreeSet<&'static str>) -> BTreeSet<&str> {
        let speaks = |m: &&Mechanism| m.rules.iter().any(|r| rules.contains(r.as_str()));
        self.mechanisms.iter().filter(speaks).map(|m| m.id.as_str()).collect()
    }

    fn get(&self, id: &str) -> &Mechanism {
        self.mechanisms.iter().find(|m| m.id == id).expect(id)
    }

    /// Whether the drawing of a joint decides a mechanism: families a, d, e.
    fn drawn(&self, id: &str) -> bool {
        matches!(self.get(id).family.as_str(), "a" | "d" | "e")
    }
}

/// How one case came out.
struct Scored<'a> {
    case: &'a Case,
    rules: BTreeSet<&'static str>,
    /// Of a bad case: the primary mechanism was raised.
    strict: bool,
    /// Of a bad case: that or one near to it.
    lenient: bool,
    /// Of a bad case: something was raised, and none of it is listed or near.
    wrong_reason: bool,
    /// Of a good case: what must stay quiet and did not.
    hard: Vec<&'a str>,
    /// Of a good case: something else was raised.
    soft: bool,
    /// Of a bad case: what is listed and was not raised.
    missing: Vec<&'a str>,
}

fn score<'a>(case: &'a Case, words: &Words) -> Scored<'a> {
    let rules = raised(&case.path()).rules;
    let said = words.of(&rules);
    let has = |m: &String| said.contains(m.as_str());
    let strict = case.primary.as_ref().is_some_and(has);
    let near = case.primary.as_ref().is_some_and(|p| words.get(p).near.iter().any(has));
    let missing: Vec<&str> = case.mechanisms.iter().filter(|m| !has(m)).map(String::as_str).collect();
    let listed = missing.len() < case.mechanisms.len();
    let hard: Vec<&str> = case.quiet.iter().filter(|m| has(m)).map(String::as_str).collect();
    Scored {
        strict,
        lenient: strict || near,
        wrong_reason: case.bad() && !rules.is_empty() && !listed && !near,
        soft: !case.bad() && hard.is_empty() && !rules.is_empty(),
        case,
        rules,
        hard,
        missing,
    }
}

/// How one pair came out.
struct PairScored<'a> {
    pair: &'a Pair,
    good: BTreeSet<&'static str>,
    bad: BTreeSet<&'static str>,
    passed: bool,
    strict: bool,
}

fn score_pair<'a>(pair: &'a Pair, words: &Words) -> PairScored<'a> {
    let side = |side: &str| raised(&format!("pairs/{}-{side}.dew", pair.id)).rules;
    let (good, bad) = (side("good"), side("bad"));
    let quiet = !pair.bad.iter().any(|m| words.of(&good).contains(m.as_str()));
    let said = words.of(&bad);
    let first = pair.bad.first().is_some_and(|m| said.contains(m.as_str()));
    let any = pair.bad.iter().any(|m| said.contains(m.as_str()));
    PairScored { passed: quiet && any, strict: quiet && first, pair, good, bad }
}

/// Counts of one group of cases.
#[derive(Default)]
struct Tally {
    bad: usize,
    strict: usize,
    lenient: usize,
    listed: usize,
    found: usize,
    wrong: usize,
    good: usize,
    hard: usize,
    soft: usize,
}

impl Tally {
    fn of<'a>(scored: impl Iterator<Item = &'a Scored<'a>>) -> Self {
        let mut tally = Self::default();
        for s in scored {
            if s.case.bad() {
                tally.bad += 1;
                tally.strict += usize::from(s.strict);
                tally.lenient += usize::from(s.lenient);
                tally.listed += s.case.mechanisms.len();
                tally.found += s.case.mechanisms.len() - s.missing.len();
                tally.wrong += usize::from(s.wrong_reason);
            } else {
                tally.good += 1;
                tally.hard += usize::from(!s.hard.is_empty());
                tally.soft += usize::from(s.soft);
            }
        }
        tally
    }

    fn row(&self, name: &str) -> String {
        let part = |n: usize, of: usize| if of == 0 { "-".to_string() } else { format!("{n}/{of}") };
        format!(
            "{name:<28} {:>8} {:>8} {:>9} {:>8} {:>8} {:>8}",
            part(self.strict, self.bad),
            part(self.lenient, self.bad),
            part(self.found, self.listed),
            part(self.wrong, self.bad),
            part(self.hard, self.good),
            part(self.soft, self.good),
        )
    }
}

fn list<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    words.into_iter().collect::<Vec<_>>().join(" ")
}

/// One line a case: how it came out, what was raised, what is missing.
fn print_cases(scored: &[Scored<'_>]) {
    for s in scored {
        let mark = match (s.case.bad(), s.strict, s.lenient) {
            (true, true, _) => "found",
            (true, false, true) => "near",
            (true, false, false) => "MISSED",
            (false, ..) if !s.hard.is_empty() => "ALARM",
            (false, ..) if s.soft => "alarm",
            (false, ..) => "quiet",
        };
        eprintln!("{:<8} {:<4} {mark:<7} {}", s.case.id, s.case.verdict, list(s.rules.iter().copied()));
        if s.case.bad() && !s.strict {
            eprintln!("{:22}primary  {}", "", s.case.primary.as_deref().unwrap_or_default());
        }
        if !s.missing.is_empty() {
            eprintln!("{:22}missing  {}", "", list(s.missing.iter().copied()));
        }
        if !s.hard.is_empty() {
            eprintln!("{:22}must stay quiet  {}", "", list(s.hard.iter().copied()));
        }
    }
}

fn print_pairs(pairs: &[PairScored<'_>]) {
    for p in pairs {
        let mark = match (p.strict, p.passed) {
            (true, _) => "passed",
            (false, true) => "near",
            (false, false) => "FAILED",
        };
        let (id, kind) = (&p.pair.id, &p.pair.kind);
        eprintln!("{id:<8} {kind:<8} {mark:<7} good: {}", list(p.good.iter().copied()));
        eprintln!("{:26}bad: {}  (wanted: {})", "", list(p.bad.iter().copied()), p.pair.bad.join(" "));
    }
}

fn print_tallies(scored: &[Scored<'_>], pairs: &[PairScored<'_>]) {
    eprintln!(
        "\n{:<28} {:>8} {:>8} {:>9} {:>8} {:>8} {:>8}",
        "", "strict", "lenient", "listed", "wrong", "hard", "soft"
    );
    for (name, sure) in [("", false), (" without low confidence", true)] {
        let kept = || scored.iter().filter(move |s| !sure || s.case.confidence != "low");
        eprintln!("{}", Tally::of(kept()).row(&format!("all{name}")));
        for kind in ["assembly", "junction", "job"] {
            let of = || kept().filter(move |s| s.case.kind == kind);
            eprintln!("{}", Tally::of(of()).row(&format!("  kind {kind}")));
            for family in ["a", "b", "c", "d", "e"] {
                let part = || of().filter(move |s| s.case.family == family);
                if part().next().is_some() {
                    eprintln!("{}", Tally::of(part()).row(&format!("    family {family}")));
                }
            }
        }
        for family in ["a", "b", "c", "d", "e"] {
            eprintln!("{}", Tally::of(kept().filter(|s| s.case.family == family)).row(&format!("  family {family}")));
        }
        let sides = |f: &dyn Fn(&PairScored<'_>) -> bool| {
            pairs.iter().filter(|p| !sure || p.pair.confidence != "low").filter(|p| f(p)).count()
        };
        let (all, passed, strict) = (sides(&|_| true), sides(&|p| p.passed), sides(&|p| p.strict));
        eprintln!("pairs{name}: {passed} of {all} passed, {strict} for the first reason");
        for family in ["a", "b", "c", "d", "e"] {
            let of = sides(&|p| p.pair.family == family);
            let passed = sides(&|p| p.pair.family == family && p.passed);
            eprintln!("  family {family}: {passed} of {of}");
        }
    }
}

/// What the whole is held to: of known failures 88 in 100 for their reason and 96 for it or one near to it, of known good
/// details 4 in 100 with something that must stay quiet, of the pairs all but one.
fn assert_whole(scored: &[Scored<'_>], pairs: &[PairScored<'_>]) {
    let tally = Tally::of(scored.iter());
    eprintln!("{}", tally.row("asserted: all"));
    assert_eq!((tally.bad, tally.good, pairs.len()), (60, 56, 14));
    assert!(tally.strict * 100 >= tally.bad * 88, "strict recall {} of {}", tally.strict, tally.bad);
    assert!(tally.lenient * 100 >= tally.bad * 96, "lenient recall {} of {}", tally.lenient, tally.bad);
    assert!(tally.hard * 100 <= tally.good * 4, "hard false alarms on {} of {}", tally.hard, tally.good);
    let failed: Vec<&str> = pairs.iter().filter(|p| !p.passed).map(|p| p.pair.id.as_str()).collect();
    assert!(failed.len() <= 1, "pairs that fail: {failed:?}");
}

#[test]
fn known_failures_are_found_and_known_good_stays_quiet() {
    let (expected, words): (Expected, Words) = (read("expected.yaml"), read("mechanisms.yaml"));
    let scored: Vec<Scored<'_>> = expected.cases.iter().map(|c| score(c, &words)).collect();
    let pairs: Vec<PairScored<'_>> = expected.pairs.iter().map(|p| score_pair(p, &words)).collect();
    print_cases(&scored);
    print_pairs(&pairs);
    print_tallies(&scored, &pairs);

    assert_whole(&scored, &pairs);
    // What the drawing of a joint decides is held by itself.
    let scored: Vec<Scored<'_>> = scored.into_iter().filter(|s| s.case.kind != "assembly").collect();
    let drawn = |s: &&Scored<'_>| !s.case.bad() || s.case.primary.as_ref().is_some_and(|p| words.drawn(p));
    let tally = Tally::of(scored.iter().filter(drawn));
    eprintln!("{}", tally.row("asserted: families a, d, e"));
    let hard = scored.iter().filter(|s| s.hard.iter().any(|m| words.drawn(m))).count();
    let failed: Vec<&str> =
        pairs.iter().filter(|p| p.pair.kind == "junction" && !p.passed).map(|p| p.pair.id.as_str()).collect();
    assert!(tally.strict * 100 >= tally.bad * 85, "strict recall {} of {}", tally.strict, tally.bad);
    assert!(tally.lenient * 100 >= tally.bad * 95, "lenient recall {} of {}", tally.lenient, tally.bad);
    assert!(hard * 100 <= tally.good * 5, "hard false alarms on {hard} of {}", tally.good);
    assert!(failed.is_empty(), "pairs on joints that fail: {failed:?}");
}

#[test]
fn every_case_reads() {
    let expected: Expected = read("expected.yaml");
    let cases = expected.cases.iter().map(Case::path);
    let pairs = expected.pairs.iter().flat_map(|p| ["good", "bad"].map(|side| format!("pairs/{}-{side}.dew", p.id)));
    let paths: Vec<String> = cases.chain(pairs).collect();
    let unread: Vec<String> = paths.iter().flat_map(|p| raised(p).unread).collect();
    assert!(unread.is_empty(), "{}", unread.join("\n"));
    let drawn =
        ["assemblies", "junctions", "jobs", "pairs"].map(|f| std::fs::read_dir(folder().join(f)).expect(f).count());
    assert_eq!(drawn.iter().sum::<usize>(), paths.len(), "each drawing has its expectations, and the other way round");
}

#[test]
fn mechanisms_and_rules_know_each_other() {
    let (expected, words): (Expected, Words) = (read("expected.yaml"), read("mechanisms.yaml"));
    let known: BTreeSet<&str> = words.mechanisms.iter().map(|m| m.id.as_str()).collect();
    let named = expected.cases.iter().flat_map(|c| c.primary.iter().chain(&c.mechanisms).chain(&c.quiet));
    let near = words.mechanisms.iter().flat_map(|m| &m.near);
    for name in named.chain(near).chain(expected.pairs.iter().flat_map(|p| &p.bad)) {
        assert!(known.contains(name.as_str()), "{name}");
    }
    let mapped: BTreeSet<&str> =
        words.mechanisms.iter().flat_map(|m| &m.rules).chain(&words.other).map(String::as_str).collect();
    let strange: Vec<&&str> = mapped.iter().filter(|r| rules::find(r).is_none()).collect();
    assert!(strange.is_empty(), "no rules of ours: {strange:?}");
    let left: Vec<&str> = rules::all().map(|r| r.id).filter(|r| !r.starts_with("notation/")).collect();
    let left: Vec<&&str> = left.iter().filter(|r| !mapped.contains(**r)).collect();
    assert!(left.is_empty(), "in mechanisms.yaml under no mechanism and not under `other`: {left:?}");
}
