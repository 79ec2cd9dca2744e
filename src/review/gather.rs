//! Reads a root text, everything it includes, and the weather files they name.
//!
//! Invariant: each text is read once for a job; a circle of includes ends in one finding.

use super::{Ask, Loader};
use crate::base::finding::{Finding, Weight};
use crate::base::source::{Source, Sources};
use crate::base::span::{FileId, Span};
use crate::model::detail::Placed;
use crate::model::{self, Lowered, WeatherFiles};
use crate::syntax::ast::{Fact, Name, Stanza, Tree};
use crate::syntax::{self, LIMIT};
use crate::weather::{self, Weather};
use std::collections::BTreeMap;

/// Most texts that one job may be made of.
pub(super) const MOST_TEXTS: usize = 200;
/// Most weather files that one job may name.
const MOST_WEATHER: usize = 12;

/// Include statement that can't be followed.
pub const UNREADABLE_INCLUDE: &str = syntax::UNREADABLE;

/// What a job is made of.
#[derive(Clone, Default)]
pub(super) struct Gathered {
    /// The trees, the root first.
    pub trees: Vec<Tree>,
    /// The weather files they name.
    pub weather: WeatherFiles,
    /// The problems met on the way.
    pub problems: Vec<Finding>,
    /// The details that it uses, or is.
    pub details: Vec<Placed>,
    /// The texts of used details, and the line that uses each.
    pub uses: BTreeMap<FileId, Span>,
}

impl Gathered {
    /// The job of it, with the details that stand in it.
    pub fn lower(&self) -> Lowered {
        let mut lowered = model::lower_with(&self.trees, &self.weather);
        lowered.job.details.clone_from(&self.details);
        lowered
    }
}

/// Reads a root text, what it includes and the weather files they name.
pub(super) fn gather(root: FileId, sources: &mut Sources, load: &mut Loader<'_>) -> Gathered {
    let (trees, problems) = texts(root, sources, load);
    let mut gathered = Gathered { trees, problems, ..Gathered::default() };
    gathered.heads(sources);
    gathered.place(sources, load);
    let blocks = gathered.trees.iter().flat_map(|tree| tree.stanzas.iter().map(move |s| (tree.file, s)));
    let paths = blocks.flat_map(|(file, stanza)| {
        let statements = if let Stanza::Climate(block) = stanza { block.statements.as_slice() } else { &[] };
        statements.iter().filter_map(move |s| if let Fact::File(path) = &s.fact { Some((file, path)) } else { None })
    });
    for (count, (file, path)) in paths.enumerate() {
        if count >= MOST_WEATHER {
            let message = format!("a job may name {MOST_WEATHER} weather files at most");
            let help = "a job has one place: take the climates out that it does not use";
            gathered.problems.push(Finding::new(LIMIT, Weight::Stop, path.span, message).help(help));
            break;
        }
        match weather(&name_of(sources, file), path, load) {
            Ok(read) => drop(gathered.weather.insert(path.span, read)),
            Err(problem) => gathered.problems.push(*problem),
        }
    }
    gathered
}

/// Reads the weather file that stands at a path.
fn weather(from: &str, path: &Name, load: &mut Loader<'_>) -> Result<Weather, Box<Finding>> {
    let name: String = path.text.chars().take(30).collect();
    let problem = |message: String| Finding::new(syntax::UNREADABLE, Weight::Stop, path.span, message);
    let input = load(from, Ask::File(&path.text))
        .map_err(|why| Box::new(problem(format!("the weather file `{name}` can't be read")).help(why)))?;
    weather::read(&input.text).map_err(|refusal| {
        let at = refusal.line.map_or_else(String::new, |line| format!(" line {line}"));
        Box::new(
            problem(format!("`{name}`{at} can't be read as weather")).detail(refusal.to_string()).help(refusal.help),
        )
    })
}

/// The trees of a job, the root first, and the problems met on the way.
fn texts(root: FileId, sources: &mut Sources, load: &mut Loader<'_>) -> (Vec<Tree>, Vec<Finding>) {
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
            match load(&from, Ask::File(&include.text)) {
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

pub(super) fn name_of(sources: &Sources, file: FileId) -> String {
    sources.get(file).map_or_else(String::new, |s| s.name().to_string())
}

/// A text that is included from two places is read once, quietly; the root can't be included at all.
fn circle(include: &Name, name: &str, names: &[String]) -> Option<Finding> {
    (names.first().map(String::as_str) == Some(name)).then(|| {
        Finding::new(syntax::UNREADABLE, Weight::Stop, include.span, "this text includes itself, in the end")
            .help("take the line out: what it names is being read already")
    })
}
