//! Reads the head of a detail: its keys, what each may say, and where it does not.
//!
//! Not here: entries of evidence, conditions (files of their own); whether a rule or a surface that is accepted exists, and
//! dates that lie ahead (floors above). Invariant: total; one located problem for each mistake, in the order of the text.

use super::conditions::holds;
use super::evidence::{evidence, failures};
use super::keys::{Form, one_of, whole_number};
use super::yaml::{Part, short};
use crate::base::finding::Finding;
use crate::base::near;
use crate::base::span::{FileId, Spanned};
use crate::catalog::{self, Lookup};
use crate::model::UNKNOWN_NAME;
use crate::model::detail::{Head, Status};
use crate::syntax;
use crate::syntax::ast::{Accept, Name};

/// The keys of a head.
const KEYS: &[&str] =
    &["title", "meets", "status", "revision", "places", "holds", "accepts", "source", "mind", "evidence", "failures"];

/// A head as far as it could be read.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// What it says; there as soon as title, meets, status and revision are.
    pub head: Option<Head>,
    /// One for each mistake.
    pub problems: Vec<Finding>,
}

/// Reads the head of a text; none where it has none. A lower fence that is missing is told by the reader of the notation.
pub fn read(file: FileId, text: &str) -> Option<Reading> {
    let cut = syntax::head::cut(text)?;
    let mut problems: Vec<Finding> = cut.yaml.lines().filter_map(|line| syntax::hidden(file, text, line)).collect();
    let opening = Part::new(file, text, cut.opening);
    let head = match Part::whole(file, text, cut.yaml) {
        Ok(part) if part.is_empty() => {
            let help = "write `title`, `meets`, `status`, `revision` and `source`, or take the two lines `---` out";
            problems.push(*opening.missing("this head says nothing", help));
            None
        }
        Ok(part) => head(&part, opening, &mut problems),
        // A character that cannot be seen is no YAML either: told once.
        Err(_) if !problems.is_empty() => None,
        Err(problem) => {
            problems.push(*problem);
            None
        }
    };
    problems.sort_by_key(|problem| problem.primary.span.start);
    Some(Reading { head, problems })
}

/// What to do where a text has a head that begins below its first line, which makes it none; none where it has no such.
pub fn begun_late(text: &str) -> Option<&'static str> {
    let idle = |line: &str| line.trim().is_empty() || line.trim_start().starts_with('#');
    let first = text.trim_start_matches('\u{feff}').lines().find(|line| !idle(line))?;
    let begins = syntax::head::cut(text).is_none() && first.trim() == "---";
    begins.then_some("a head begins on the first line: take out what stands above its upper `---`")
}

/// What the head in `part` says; a key that is missing is told at the line above it.
fn head<'t>(part: &Part<'t>, opening: Part<'t>, problems: &mut Vec<Finding>) -> Option<Head> {
    let mut form = Form::new(part, opening, KEYS, problems);
    let title = form.needed_read("title", "A frame wall on a stone plinth", title);
    let meets = form.needed("meets", "[frame wall, stone plinth]").map(|part| form.list(&part));
    let status = form.needed_read("status", "drawn", |part| {
        Ok(Spanned::new(one_of(part, "status", &Status::ALL, Status::word)?, part.inner().span()))
    });
    let revision = form
        .needed_read("revision", "1", |part| Ok(Spanned::new(whole_number(part, 1, u32::MAX)?, part.inner().span())));
    let sources = form.needed("source", "our own drawing").map(|part| form.list(&part));
    let places = form.once("places", place);
    let holds = form.value("holds").map(|part| holds(&part, form.problems));
    let accepts = form.value("accepts").map(|part| accepts(&part, form.problems));
    let mind = form.words("mind");
    let evidence = form.growing("evidence").map(|part| evidence(&part, form.problems));
    let failures = form.growing("failures").map(|part| failures(&part, form.problems));
    Some(Head {
        title: title?,
        meets: meets.filter(|meets| !meets.is_empty())?,
        status: status?,
        revision: revision?,
        places,
        holds: holds.unwrap_or_default(),
        accepts: accepts.unwrap_or_default(),
        sources: sources.unwrap_or_default(),
        mind,
        evidence: evidence.unwrap_or_default(),
        failures: failures.unwrap_or_default(),
    })
}

fn title(part: &Part) -> Result<Spanned<String>, Box<Finding>> {
    let said = part.words()?;
    if said.contains('\n') {
        return Err(part.wrong("a title is one line", "say the rest in `mind` or in a comment"));
    }
    Ok(Spanned::new(said, part.inner().span()))
}

fn place(part: &Part) -> Result<Spanned<String>, Box<Finding>> {
    let said = part.words()?;
    let near = match catalog::place(&said) {
        Lookup::Found(place) => return Ok(Spanned::new(place.key.to_owned(), part.inner().span())),
        Lookup::Ambiguous { choices, .. } => choices,
        Lookup::Unknown { near } => near,
    };
    let help = if near.is_empty() {
        "`dewlap places WORD` lists those known".to_owned()
    } else {
        format!("did you mean {}?", near::one_of(&near))
    };
    Err(part.problem(UNKNOWN_NAME, format!("there is no place `{}`", short(&said)), help))
}

fn accepts(part: &Part, problems: &mut Vec<Finding>) -> Vec<Accept> {
    let items = part.records(problems);
    items.iter().filter_map(|item| accept(item, problems)).collect()
}

fn accept(item: &Part, problems: &mut Vec<Finding>) -> Option<Accept> {
    let mut form = Form::new(item, *item, &["finding", "in", "because"], problems);
    let rule = form.needed_read("finding", "dew/damp-layer", word);
    let target = form.needed_read("in", "plinth", word);
    let because = form.needed_read("because", "a dry room, measured", |part| {
        Ok(Name { text: part.words()?, span: part.inner().span() })
    });
    let mut rule = rule?;
    rule.text = rule.text.to_lowercase();
    Some(Accept { rule, target: target?, because: because?, span: item.reach() })
}

/// A name: one word.
fn word(part: &Part) -> Result<Name, Box<Finding>> {
    let text = part.words()?;
    if text.contains(char::is_whitespace) {
        return Err(part.wrong(format!("`{}` is not one word", short(&text)), "write one name; one entry for each"));
    }
    Ok(Name { text, span: part.inner().span() })
}
