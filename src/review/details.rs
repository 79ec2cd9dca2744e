//! The details in a job: heads of its own texts, and those of the shelf that it uses.
//!
//! Invariant: what can't be placed leaves nothing half placed; every use is told in the report.

use super::gather::{Gathered, MOST_TEXTS, name_of};
use super::{Ask, Input, Loader};
use crate::base::finding::{Finding, Weight};
use crate::base::source::{Source, Sources};
use crate::base::span::FileId;
use crate::model::UNKNOWN_NAME;
use crate::model::detail::Placed;
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
            tree.stanzas.extend(head.accepts.iter().cloned().map(Stanza::Accept));
            let surface =
                |s: &Stanza| if let Stanza::Surface(s) = s { s.name.as_ref().map(|n| n.text.clone()) } else { None };
            self.details.push(Placed {
                name: detail_name(tree, source.name()),
                form: shelf::form::fingerprint(source.text(), &[]),
                surfaces: tree.stanzas.iter().filter_map(surface).collect(),
                used: None,
                head,
            });
        }
    }

    /// Places the details that its texts use.
    pub fn place(&mut self, sources: &mut Sources, load: &mut Loader<'_>) {
        let of_tree = |t: &Tree| {
            let uses =
                t.stanzas.iter().filter_map(|s| if let Stanza::Use(u) = s { Some((t.file, u.clone())) } else { None });
            uses.collect::<Vec<_>>()
        };
        let uses: Vec<(FileId, Use)> = self.trees.iter().flat_map(of_tree).collect();
        for (count, (from, uses)) in uses.iter().enumerate() {
            if count >= MOST_TEXTS {
                let message = format!("a job may use {MOST_TEXTS} details at most");
                let help = "draw a part of it as a job of its own";
                self.problems.push(Finding::new(LIMIT, Weight::Stop, uses.span, message).help(help));
                break;
            }
            let name = name_of(sources, *from);
            match fetch(&name, uses, load) {
                Ok((input, newest)) => self.place_one(uses, input, newest, sources),
                Err(problem) => self.problems.push(*problem),
            }
        }
    }

    fn place_one(&mut self, uses: &Use, input: Input, newest: Option<u32>, sources: &mut Sources) {
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

/// The text of the detail that is used: the revision it was drawn with where the shelf has it still (the newest is then
/// told beside it), else the newest.
fn fetch(from: &str, uses: &Use, load: &mut Loader<'_>) -> Result<(Input, Option<u32>), Box<Finding>> {
    let name = &uses.detail.text;
    let newest = load(from, Ask::Detail(name)).map_err(|why| {
        let message = format!("there is no detail `{}` on the shelf", name.chars().take(40).collect::<String>());
        Box::new(Finding::new(UNKNOWN_NAME, Weight::Stop, uses.detail.span, message).help(why))
    })?;
    let Some(wanted) = uses.revision else { return Ok((newest, None)) };
    let head = shelf::read(FileId::default(), &newest.text).and_then(|r| r.head);
    let Some(has) = head.map(|h| h.revision.value).filter(|has| *has != wanted.value) else {
        return Ok((newest, None));
    };
    Ok(load(from, Ask::Revision(name, wanted.value)).map_or((newest, None), |earlier| (earlier, Some(has))))
}

/// What a detail is called: as its own line says, else as its file.
fn detail_name(tree: &Tree, file: &str) -> String {
    let said =
        tree.stanzas.iter().find_map(|s| if let Stanza::Detail(d) = s { Some(d.name.text.clone()) } else { None });
    said.unwrap_or_else(|| {
        let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
        name.strip_suffix(".dew").unwrap_or(name).to_owned()
    })
}
