//! What lowering carries along: the job so far, the names known, the problems met.
//!
//! Invariant: problems are kept in the order they were met; names are compared as written.

use std::collections::{HashMap, HashSet};

use super::{CONTRADICTION, Lowered, UNKNOWN_NAME, WeatherFiles};
use crate::base::finding::{Finding, Weight};
use crate::base::near;
use crate::base::span::Span;
use crate::catalog::Material;
use crate::model::job::{Assumption, Job};
use crate::model::room::RoomId;
use crate::model::value::{Axis, AxisId, Reach};
use crate::syntax::INCOMPLETE;
use crate::syntax::ast::{Block, LayerLine, Name};

/// The state of lowering.
#[derive(Default)]
pub(super) struct Context<'a> {
    pub job: Job,
    pub problems: Vec<Finding>,
    /// The weather files that climates name.
    pub weather: Option<&'a WeatherFiles>,
    /// The author's own materials.
    pub materials: HashMap<&'a str, &'a LayerLine>,
    /// The author's own climates, not yet lowered.
    pub climates: HashMap<&'a str, &'a Block>,
    /// Climates that have been lowered.
    pub used: HashSet<&'a str>,
    /// The author's own materials that a layer was made of.
    pub built: HashSet<&'a str>,
    /// Rooms by name.
    pub rooms: HashMap<&'a str, RoomId>,
    /// Surfaces by name, as indices into the job's.
    pub surfaces: HashMap<&'a str, usize>,
    /// The surface that is being lowered.
    pub surface: Option<usize>,
    /// Catalog materials found so far, by the name they were written with.
    pub found: HashMap<String, &'static Material>,
    /// Paints found so far, likewise.
    pub paints: HashMap<String, &'static Material>,
}

impl<'a> Context<'a> {
    /// Ends lowering.
    pub fn finish(self) -> Lowered {
        Lowered { job: self.job, problems: self.problems }
    }

    /// Something must be said and is not.
    pub fn incomplete(&mut self, span: Span, message: impl Into<String>, help: impl Into<String>) {
        self.problems.push(Finding::new(INCOMPLETE, Weight::Stop, span, message).help(help));
    }

    /// Two things can't both be; `other` is where the first stands.
    pub fn contradiction(
        &mut self,
        span: Span,
        message: impl Into<String>,
        other: Option<Span>,
        help: impl Into<String>,
    ) {
        let mut finding = Finding::new(CONTRADICTION, Weight::Stop, span, message).help(help);
        if let Some(other) = other {
            finding = finding.also(other, "and here");
        }
        self.problems.push(finding);
    }

    /// A name nothing answers to; `near` are words it may have been meant for, `otherwise` is said when there are none.
    pub fn unknown(&mut self, span: Span, message: String, near: &[&str], otherwise: &str) {
        let help =
            if near.is_empty() { otherwise.to_string() } else { format!("did you mean {}?", near::one_of(near)) };
        self.problems.push(Finding::new(UNKNOWN_NAME, Weight::Stop, span, message).help(help));
    }

    /// Notes something left out and taken by default.
    pub fn assume(&mut self, span: Span, what: &'static str) {
        self.job.assumed.push(Assumption { surface: self.surface, span, what });
    }

    /// A new axis.
    pub fn axis(&mut self, span: Span, what: String, reach: Reach) -> AxisId {
        self.job.axes.push(Axis { span, what, reach });
        self.job.axes.len() - 1
    }

    /// Registers one of the author's own materials.
    pub fn define_material(&mut self, line: &'a LayerLine) {
        if let Some(first) = self.materials.get(line.label.text.as_str()).map(|l| l.label.span) {
            self.name_taken("material", &line.label, first);
            return;
        }
        self.materials.insert(&line.label.text, line);
    }

    /// Two stanzas of one name.
    pub fn name_taken(&mut self, kind: &str, name: &Name, first: Span) {
        self.contradiction(
            name.span,
            format!("there is a {kind} `{}` already", name.text),
            Some(first),
            "give one of the two another name",
        );
    }
}
