//! `why`: a rule's page, a family's rules, or all rules.
//!
//! Invariant: a rule can be asked for by the name a finding prints.

use super::Exit;
use super::args::WhyArgs;
use super::streams::Streams;
use crate::base::near::{nearest, one_of};
use crate::output::look::Ink;
use crate::output::markdown;
use crate::output::wrap::{columns, hang};
use crate::rules::{self, FAMILIES, Rule};
use std::io::{Result, Write};

/// Runs the command.
pub fn run(options: &WhyArgs, streams: &mut Streams) -> Result<Exit> {
    let Some(word) = options.rule.as_deref() else {
        for family in FAMILIES {
            list(family, streams)?;
        }
        return Ok(Exit::Clean);
    };
    let word = word.trim().to_lowercase();
    if FAMILIES.contains(&word.as_str()) {
        list(&word, streams)?;
        return Ok(Exit::Clean);
    }
    let Some(rule) = find(&word) else {
        let known = rules::all().flat_map(|r| [r.id, short(r)]).chain(FAMILIES);
        let near = nearest(&word, known);
        let way_out = if near.is_empty() {
            "`dewlap why` lists all rules".to_owned()
        } else {
            format!("did you mean {}? `dewlap why` lists all rules", one_of(&near))
        };
        streams.trouble(&format!("no rule or family is called `{word}`"), &way_out)?;
        return Ok(Exit::Failed);
    };
    let look = streams.looks.out;
    let weight = look.paint(Ink::Weight(rule.weight), rule.weight.word());
    writeln!(streams.out, "{}  {weight} at most\n", look.paint(Ink::Head, rule.id))?;
    markdown::write(&mut streams.out, rule.page, &look)?;
    Ok(Exit::Clean)
}

/// By its whole name, or by its short name where only one rule has it.
fn find(word: &str) -> Option<&'static Rule> {
    rules::find(word).or_else(|| {
        let mut named = rules::all().filter(|r| short(r) == word);
        named.next().filter(|_| named.next().is_none())
    })
}

fn short(rule: &Rule) -> &'static str {
    rule.id.split_once('/').map_or(rule.id, |(_, name)| name)
}

fn list(family: &str, streams: &mut Streams) -> Result<()> {
    let rules: Vec<&Rule> = rules::all().filter(|r| r.id.split('/').next() == Some(family)).collect();
    if rules.is_empty() {
        return Ok(());
    }
    let look = streams.looks.out;
    writeln!(streams.out, "{}", look.paint(Ink::Head, family))?;
    let widest = rules.iter().map(|r| columns(r.id)).max().unwrap_or(0);
    for rule in rules {
        let weight = look.paint(Ink::Weight(rule.weight), &format!("{:<5}", rule.weight.word()));
        if look.width >= widest + 45 {
            let lead = format!("  {weight} {:<widest$}  ", rule.id);
            hang(&mut streams.out, &look, &lead, widest + 10, rule.summary)?;
        } else {
            writeln!(streams.out, "  {weight} {}", rule.id)?;
            hang(&mut streams.out, &look, "        ", 8, rule.summary)?;
        }
    }
    writeln!(streams.out)
}
