//! Tree and catalog to model.
//!
//! Not here: reading text (syntax), verdicts (rules). Invariant: one mistake in the text gives one problem here, and
//! none where the parser has reported it already.

mod amount;
mod clash;
mod climate;
mod context;
mod edges;
mod ends;
mod item;
mod job;
mod joint;
mod layer;
mod link;
mod members;
mod names;
mod piece;
mod room;
mod seams;
mod stuff;
mod surface;

use super::job::Job;
use crate::base::finding::Finding;
use crate::base::span::Span;
use crate::syntax::ast::{Stanza, Tree};
use crate::weather::Weather;
use context::Context;
use std::collections::BTreeMap;

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

/// Weather files that were read, by where their paths stand.
pub type WeatherFiles = BTreeMap<Span, Weather>;

/// Lowers a root text and what it includes (the root first) to one job, without weather files. Total: never fails.
pub fn lower(trees: &[Tree]) -> Lowered {
    lower_with(trees, &WeatherFiles::new())
}

/// [`lower`] with the weather files its climates name. A `file` that is not among them has been reported by whoever
/// fetched them, and leaves its climate unknown.
pub fn lower_with(trees: &[Tree], weather: &WeatherFiles) -> Lowered {
    let mut context = Context { weather: Some(weather), ..Context::default() };
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
            _ => {}
        }
    }
    let joints = stanzas().filter_map(|s| if let Stanza::Joint(j) = s { Some(j) } else { None });
    let surfaces = stanzas().filter_map(|s| if let Stanza::Surface(s) = s { Some(s) } else { None });
    context.lower_joints(joints.collect(), surfaces, stanzas().any(|s| matches!(s, Stanza::Hole(_))));
    for stanza in stanzas() {
        if let Stanza::Material(line) = stanza {
            context.idle_material(line);
        }
    }
    context.finish()
}
