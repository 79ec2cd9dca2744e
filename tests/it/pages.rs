//! The page of every rule: in shape, and true. What stands under Fails raises the rule and no other, what stands under
//! Passes raises nothing.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use dewlap::base::finding::Finding;
use dewlap::review::{Ask, Input, review};
use dewlap::rules::{self, Rule};

const SECTIONS: [&str; 7] = [
    "## What it reports",
    "## Why it matters",
    "## How it decides",
    "## Fails",
    "## Passes",
    "## When to accept it",
    "## Sources",
];

/// A job of a page.
struct Block {
    /// The heading it stands under.
    under: String,
    /// The line of the page on which it opens.
    line: usize,
    text: String,
}

/// The jobs of a page. A fence "dew" holds a job as it stands; "dew-lines N" stands for one whose first line is there N
/// times, so that a page can show what is too large.
fn blocks(page: &str) -> Vec<Block> {
    let mut all: Vec<Block> = Vec::new();
    let mut under = String::new();
    let mut open: Option<(usize, Block)> = None;
    for (index, line) in page.lines().enumerate() {
        if let Some((times, mut block)) = open.take() {
            if line == "```" {
                let first = block.text.lines().next().unwrap_or_default().to_string() + "\n";
                block.text.insert_str(0, &first.repeat(times - 1));
                all.push(block);
            } else {
                block.text.push_str(line);
                block.text.push('\n');
                open = Some((times, block));
            }
            continue;
        }
        if line.starts_with("## ") {
            under = line.to_string();
        }
        let times = match line.strip_prefix("```dew") {
            Some("") => Some(1),
            Some(rest) => rest.strip_prefix("-lines ").and_then(|n| n.parse().ok()),
            None => None,
        };
        if let Some(times) = times {
            open = Some((times, Block { under: under.clone(), line: index + 1, text: String::new() }));
        }
    }
    assert!(open.is_none(), "a block is not closed");
    all
}

/// The details of a page: a fence "dew-shelf NAME" holds one that stands on the shelf for the page's jobs.
fn shelf(page: &str) -> BTreeMap<&str, String> {
    let mut all = BTreeMap::new();
    for part in page.split("```dew-shelf ").skip(1) {
        let (name, rest) = part.split_once('\n').unwrap();
        all.insert(name, rest.split_once("```").unwrap().0.to_string());
    }
    all
}

fn findings(text: &str, shelf: &BTreeMap<&str, String>) -> Vec<Finding> {
    let input = Input { name: "page.dew".to_string(), text: text.to_string() };
    let done = review(vec![input], &mut |_, ask| match ask {
        Ask::Detail(name) if shelf.contains_key(name) => {
            Ok(Input { name: format!("details/{name}.dew"), text: shelf[name].clone() })
        }
        _ => Err(format!("no {ask} on this page")),
    });
    done.reports.into_iter().flat_map(|r| r.findings).collect()
}

/// What is wrong with the words of a finding.
fn wording(finding: &Finding) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut say = |what: String| wrong.push(format!("{}: {what}", finding.rule));
    let message = &finding.message;
    if message.chars().count() > 80 {
        say(format!("over 80 characters: {message}"));
    }
    let start = message.chars().next();
    // A figure may come with its unit in front.
    let figure = message.starts_with("R-") || message.starts_with("RSI ");
    if !figure && !start.is_some_and(|c| c.is_lowercase() || c.is_ascii_digit() || c == '`') {
        say(format!("starts with {start:?}: {message}"));
    }
    if message.ends_with('.') {
        say(format!("ends in a full stop: {message}"));
    }
    if !finding.rule.starts_with("notation/") && (finding.detail.is_empty() || finding.help.is_empty()) {
        say(format!("says not why or not what to do: {message}"));
    }
    wrong
}

/// What is wrong with the blocks of a rule's page.
fn untrue(rule: &Rule) -> Vec<String> {
    let mut wrong = Vec::new();
    for block in blocks(rule.page) {
        let found = findings(&block.text, &shelf(rule.page));
        wrong.extend(found.iter().flat_map(wording));
        let raised: BTreeSet<&str> = found.iter().map(|f| f.rule).collect();
        let wanted: BTreeSet<&str> = if block.under == "## Fails" { [rule.id].into() } else { BTreeSet::new() };
        if raised != wanted {
            let said: Vec<String> =
                found.iter().map(|f| format!("    {}: {} {}", f.rule, f.message, f.detail)).collect();
            wrong.push(format!("{} line {}, {}:\n{}", rule.id, block.line, block.under, said.join("\n")));
        }
    }
    wrong
}

#[test]
fn what_a_page_shows_is_true() {
    let wrong: Vec<String> = rules::all().flat_map(untrue).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_page_has_its_parts_in_order() {
    for rule in rules::all() {
        assert_eq!(rule.page.lines().next(), Some(format!("# {}", rule.id).as_str()));
        let heads: Vec<&str> = rule.page.lines().filter(|l| l.starts_with("## ")).collect();
        assert_eq!(heads, SECTIONS, "{}", rule.id);
        for under in ["## Fails", "## Passes"] {
            assert!(blocks(rule.page).iter().any(|b| b.under == under), "{}: no job under {under}", rule.id);
        }
        assert!(blocks(rule.page).iter().all(|b| b.under == "## Fails" || b.under == "## Passes"), "{}", rule.id);
        for section in rule.page.split("\n## ").skip(1) {
            assert!(section.lines().skip(1).any(|l| !l.trim().is_empty()), "{}: an empty section", rule.id);
        }
    }
}

#[test]
fn every_rule_file_has_its_page_and_its_place() {
    let mut files = Vec::new();
    for family in std::fs::read_dir(root().join("src/rules")).expect("the rules").flatten() {
        if family.path().is_dir() {
            files.extend(std::fs::read_dir(family.path()).expect("a family").flatten().map(|f| f.path()));
        }
    }
    let mut counted = 0;
    for file in files.iter().filter(|f| f.extension().is_some_and(|e| e == "rs")) {
        let text = std::fs::read_to_string(file).expect("a rule");
        if !text.contains("const RULE: Rule") {
            continue;
        }
        counted += 1;
        let page = std::fs::read_to_string(file.with_extension("md")).expect("its page");
        let id = page.lines().next().and_then(|l| l.strip_prefix("# ")).unwrap_or_default().to_string();
        assert!(rules::find(&id).is_some(), "{} is in no family", file.display());
        let stem = file.file_stem().map(|s| s.to_string_lossy().replace('_', "-"));
        assert_eq!(id.split('/').nth(1).map(str::to_string), stem, "{}", file.display());
    }
    assert_eq!(counted, rules::all().count());
}

#[test]
fn ids_are_unique_and_of_a_known_family() {
    let ids: BTreeSet<&str> = rules::all().map(|r| r.id).collect();
    assert_eq!(ids.len(), rules::all().count());
    for rule in rules::all() {
        assert!(rules::family_rank(rule.id) < rules::FAMILIES.len(), "{}", rule.id);
        assert!(!rule.summary.ends_with('.') && !rule.summary.is_empty(), "{}", rule.id);
    }
}

#[test]
fn the_list_of_rules_is_whole() {
    let list = std::fs::read_to_string(root().join("docs/rules.md")).expect("docs/rules.md");
    let rows: Vec<&str> = list.lines().filter(|l| l.starts_with("| `")).collect();
    let row = |r: &Rule| format!("| `{}` | {} | {} |", r.id, r.weight.word(), r.summary);
    let wanted: Vec<String> = rules::all().map(row).collect();
    assert_eq!(rows, wanted, "the table should read:\n{}", wanted.join("\n"));
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf()
}
