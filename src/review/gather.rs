//! Reads a root text and everything it includes.
//!
//! Invariant: each text is read once for a job; a circle of includes ends in one finding.

use super::Loader;
use crate::base::finding::{Finding, Weight};
use crate::base::source::{Source, Sources};
use crate::base::span::FileId;
use crate::syntax::ast::{Name, Stanza, Tree};
use crate::syntax::{self, LIMIT};

/// Most texts that one job may be made of.
const MOST_TEXTS: usize = 200;

/// Include statement that can't be followed.
pub const UNREADABLE_INCLUDE: &str = syntax::UNREADABLE;

/// The trees of a job, the root first, and the problems met on the way.
pub(super) fn gather(root: FileId, sources: &mut Sources, load: &mut Loader<'_>) -> (Vec<Tree>, Vec<Finding>) {
    let mut trees = Vec::new();
    let mut findings = Vec::new();
    let mut names = vec![name_of(sources, root)];
    let mut queue = vec![root];
    while let Some(file) = queue.pop() {
        let Some(source) = sources.get(file) else { continue };
        let parsed = syntax::parse(file, source.text());
        findings.extend(parsed.problems);
        let includes: Vec<Name> = parsed
            .tree
            .stanzas
            .iter()
            .filter_map(|s| if let Stanza::Include(n) = s { Some(n.clone()) } else { None })
            .collect();
        trees.push(parsed.tree);
        for include in includes.into_iter().rev() {
            let from = name_of(sources, file);
            match load(&from, &include.text) {
                Ok(input) if names.contains(&input.name) => findings.extend(circle(&include, &input.name, &names)),
                Ok(_) if names.len() >= MOST_TEXTS => {
                    let message = format!("a job may be made of {MOST_TEXTS} texts at most");
                    let help = "put what belongs together into one text";
                    findings.push(Finding::new(LIMIT, Weight::Stop, include.span, message).help(help));
                }
                Ok(input) => {
                    names.push(input.name.clone());
                    queue.push(sources.add(Source::new(input.name, input.text)));
                }
                Err(why) => {
                    let message = format!("`{}` can't be included", include.text.chars().take(40).collect::<String>());
                    findings.push(Finding::new(UNREADABLE_INCLUDE, Weight::Stop, include.span, message).help(why));
                }
            }
        }
    }
    (trees, findings)
}

fn name_of(sources: &Sources, file: FileId) -> String {
    sources.get(file).map_or_else(String::new, |s| s.name().to_string())
}

/// A text that is included from two places is read once, quietly; the root can't be included at all.
fn circle(include: &Name, name: &str, names: &[String]) -> Option<Finding> {
    (names.first().map(String::as_str) == Some(name)).then(|| {
        Finding::new(syntax::UNREADABLE, Weight::Stop, include.span, "this text includes itself, in the end")
            .help("take the line out: what it names is being read already")
    })
}
