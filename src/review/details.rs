//! The details in a job: heads of its own texts, and those of the shelf that it uses.
//!
//! Invariant: what can't be placed leaves nothing half placed; every use is told in the report.

use super::gather::{Gathered, MOST_TEXTS, name_of};
use super::{Ask, Input, Loader};
use crate::base::finding::{Finding, Weight};
use crate::base::source::{Source, Sources};
use crate::base::span::FileId;
use crate::model::UNKNOWN_NAME;
use crate::model::detail::{Head, Placed};
use crate::shelf;
use crate::syntax::LIMIT;
use crate::syntax::ast::{Stanza, Tree, Use};

impl Gathered {
    /// Takes in what the heads of its own texts say.
    pub fn heads(&mut self, sources: &Sources) {
        for tree in &mut self.trees {
            let Some(source) = sources.get(tree.file) else { continue };
            let Some(reading) = shelf::read(tree.file, source.text()) else { continue };
            self.problems.extend(reading.problems);
            let Some(head) = reading.head else { continue };
            self.problems.extend(shelf::alone::lacks(tree.file, source.text(), tree));
            tree.stanzas.extend(head.accepts.iter().cloned().map(Stanza::Accept));
            let form = shelf::form::fingerprint(source.text(), &[]);
            let surface =
                |s: &Stanza| if let Stanza::Surface(s) = s { s.name.as_ref().map(|n| n.text.clone()) } else { None };
            self.details.push(Placed {
                name: detail_name(tree, source.name()),
                form_on_shelf: form.clone(),
                form,
                surfaces: tree.stanzas.iter().filter_map(surface).collect(),
                used: None,
                head,
            });
        }
    }

    /// Places the details that its texts use.
    pub fn place(&mut self, sources: &mut Sources, load: &mut Loader<'_>) {
        let of_tree = |t: &Tree| t.uses().map(|u| (t.file, u.clone())).collect::<Vec<_>>();
        let mut waiting: Vec<(FileId, Use)> = self.trees.iter().flat_map(of_tree).collect();
        if let Some((_, beyond)) = waiting.get(MOST_TEXTS) {
            let message = format!("a job may use {MOST_TEXTS} details at most");
            let help = "draw a part of it as a job of its own";
            self.problems.push(Finding::new(LIMIT, Weight::Stop, beyond.span, message).help(help));
            waiting.truncate(MOST_TEXTS);
        }
        while !waiting.is_empty() {
            let (from, uses) = waiting.remove(next(&waiting));
            match fetch(&name_of(sources, from), &uses, load) {
                Ok((input, newest)) => self.place_one(&uses, input, newest.as_ref(), sources),
                Err(problem) => self.problems.push(*problem),
            }
        }
    }

    fn place_one(&mut self, uses: &Use, input: Input, newest: Option<&Head>, sources: &mut Sources) {
        // A text of its own for each use: the same line may be right in one place and wrong in another.
        let file = sources.add(Source::new(input.name, input.text));
        let text = sources.get(file).map_or("", Source::text);
        let placing = shelf::place::place(file, text, uses, &self.trees, newest);
        self.uses.insert(file, uses.span);
        self.problems.extend(placing.problems);
        self.details.extend(placing.placed);
        self.trees.push(placing.tree);
    }
}

/// The first that needs nothing of another that waits: a job may use a detail before the one whose wall it names.
fn next(waiting: &[(FileId, Use)]) -> usize {
    let needs = |uses: &Use, other: &Use| {
        let of = |value: &str| value == other.name.text || value.starts_with(&format!("{}-", other.name.text));
        uses.name.text != other.name.text && uses.with.iter().any(|a| of(&a.value.text))
    };
    let free = |(_, uses): &(FileId, Use)| !waiting.iter().any(|(_, other)| needs(uses, other));
    waiting.iter().position(free).unwrap_or(0)
}

/// The text of the detail that is used: the revision it was drawn with where the shelf has it still (the newest head is then
/// given beside it), else the newest.
fn fetch(from: &str, uses: &Use, load: &mut Loader<'_>) -> Result<(Input, Option<Head>), Box<Finding>> {
    let name = &uses.detail.text;
    let newest = load(from, Ask::Detail(name)).map_err(|why| {
        let message = format!("the shelf gives no detail `{}`", name.chars().take(40).collect::<String>());
        Box::new(Finding::new(UNKNOWN_NAME, Weight::Stop, uses.detail.span, message).help(why))
    })?;
    let Some(wanted) = uses.revision else { return Ok((newest, None)) };
    let head = shelf::read(FileId::default(), &newest.text).and_then(|r| r.head);
    let Some(head) = head.filter(|head| head.revision.value != wanted.value) else { return Ok((newest, None)) };
    Ok(load(from, Ask::Revision(name, wanted.value)).map_or((newest, None), |earlier| (earlier, Some(head))))
}

/// What a detail is called: as its own line says, else as its file.
fn detail_name(tree: &Tree, file: &str) -> String {
    tree.detail().map_or_else(
        || {
            let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
            name.strip_suffix(".dew").unwrap_or(name).to_owned()
        },
        |detail| detail.name.text.clone(),
    )
}
