//! Tree and catalog to model.
//!
//! Not here: reading text (syntax), verdicts (rules). Invariant: one mistake in the text gives one problem here, and
//! none where the parser has reported it already.

mod amount;
mod climate;
mod context;
mod job;
mod layer;
mod members;
mod room;
mod seams;
mod stuff;
mod surface;

use super::job::Job;
use crate::base::finding::Finding;
use crate::syntax::ast::{Stanza, Tree};
use context::Context;

/// A name that nothing answers to.
pub const UNKNOWN_NAME: &str = "notation/unknown-name";

/// Two things said that can't both be.
pub const CONTRADICTION: &str = "notation/contradiction";

/// A job and the problems met on the way.
#[derive(Debug, Default)]
pub struct Lowered {
    /// The job, with holes where something could not be resolved.
    pub job: Job,
    /// What could not be resolved.
    pub problems: Vec<Finding>,
}

/// Lowers a root text and what it includes (the root first) to one job. Total: never fails.
pub fn lower(trees: &[Tree]) -> Lowered {
    let mut context = Context::default();
    let stanzas = || trees.iter().flat_map(|t| &t.stanzas);
    for stanza in stanzas() {
        if let Stanza::Material(line) = stanza {
            context.define_material(line);
        }
    }
    let climates = || stanzas().filter_map(|s| if let Stanza::Climate(b) = s { Some(b) } else { None });
    context.lower_climates(climates());
    context.lower_job(stanzas().filter_map(|s| if let Stanza::Job(b) = s { Some(b) } else { None }));
    context.idle_climates(climates());
    context.lower_rooms(stanzas().filter_map(|s| if let Stanza::Room(b) = s { Some(b) } else { None }));
    for stanza in stanzas() {
        match stanza {
            Stanza::Surface(surface) => context.lower_surface(surface),
            Stanza::Accept(accept) => context.job.accepts.push(accept.clone()),
            Stanza::Unread(unread) => context.job.unread.push(unread.clone()),
            _ => {}
        }
    }
    for stanza in stanzas() {
        if let Stanza::Material(line) = stanza {
            context.idle_material(line);
        }
    }
    context.finish()
}
