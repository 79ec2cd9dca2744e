//! The edges that meet at a joint, and the host of an opening or penetration.
//!
//! Invariant: an end that can't be told stays as a hole; the same edge stands only once.

use std::collections::HashSet;

use super::climate::short;
use super::context::Context;
use super::edges;
use super::names::Scope;
use crate::base::near;
use crate::model::joint::{End, EndOf};
use crate::syntax::ast::{self, Edge, EndRef, JointKind, JointLine, Name};

impl<'a> Context<'a> {
    /// Fills in what meets at a joint.
    pub fn ends(&mut self, scope: &mut Scope<'_, 'a>) {
        let stanza = scope.stanza;
        match stanza.kind.value {
            // The reader asks for one line of edges, and for no more.
            JointKind::Joint => {
                for line in &stanza.lines {
                    if let JointLine::Joins(ends, _) = line {
                        self.joined(scope, ends);
                    }
                }
            }
            JointKind::Opening | JointKind::Penetration => self.host(scope),
        }
        let mut seen = HashSet::new();
        for end in &scope.ends {
            if let EndOf::Surface(index) = end.of
                && seen.insert(index)
            {
                scope.surfaces.push(index);
            }
        }
    }

    fn host(&mut self, scope: &mut Scope<'_, 'a>) {
        let (of, span) = match &scope.stanza.host {
            // Reported where it is missing.
            None => (EndOf::Hole, scope.stanza.head),
            Some(name) => match scope.known.surfaces.get(name.text.as_str()) {
                Some(index) => (EndOf::Surface(*index), name.span),
                None => {
                    self.unknown_end(scope, name, false);
                    (EndOf::Hole, name.span)
                }
            },
        };
        self.end(scope, End { of, edge: None, span });
    }

    fn joined(&mut self, scope: &mut Scope<'_, 'a>, written: &[EndRef]) {
        let mut seen: HashSet<(&str, Edge)> = HashSet::new();
        for end in written {
            let (name, edge) = (&end.surface, end.edge.value);
            if !seen.insert((name.text.as_str(), edge)) {
                let first = scope.ends.iter().find(|e| e.edge == Some(edge)).map(|e| e.span);
                let span = name.span.to(end.edge.span);
                self.contradiction(span, "this edge is named twice", first, "name each edge that meets here once");
                continue;
            }
            let of = self.end_of(scope, end);
            let edge = (of != EndOf::Hole).then_some(edge);
            self.end(scope, End { of, edge, span: name.span.to(end.edge.span) });
        }
    }

    fn end(&mut self, scope: &mut Scope<'_, 'a>, end: End) {
        if end.of == EndOf::Hole {
            scope.holes.push(end.span);
        }
        scope.ends.push(end);
    }

    fn end_of(&mut self, scope: &Scope<'_, 'a>, end: &EndRef) -> EndOf {
        let word = end.surface.text.as_str();
        if let Some(index) = scope.known.surfaces.get(word) {
            let Some(surface) = self.job.surfaces.get(*index) else { return EndOf::Hole };
            let (kind, has) = (surface.kind, edges::of_surface(surface));
            return if self.has_edge(kind, has, end.edge) { EndOf::Surface(*index) } else { EndOf::Hole };
        }
        let Some(index) = scope.known.joints.get(word) else {
            self.unknown_end(scope, &end.surface, true);
            return EndOf::Hole;
        };
        let kind = scope.known.stanzas.get(*index).map(|s| s.kind.value);
        if kind != Some(JointKind::Opening) {
            let message = format!("`{}` has no edges", short(word));
            self.contradiction(
                end.surface.span,
                message,
                None,
                "only a surface or an opening has edges that meet others",
            );
            return EndOf::Hole;
        }
        if !edges::OPENING.contains(&end.edge.value) {
            let message = format!("an opening has no edge `{}`", end.edge.value.word());
            self.contradiction(end.edge.span, message, None, format!("it has {}", edges::list(edges::OPENING)));
            return EndOf::Hole;
        }
        EndOf::Opening(*index)
    }

    fn unknown_end(&mut self, scope: &Scope<'_, 'a>, name: &Name, openings: bool) {
        let surfaces = self.job.surfaces.iter().map(|s| s.name.as_str());
        let named = |s: &&'a ast::Joint| s.kind.value == JointKind::Opening && openings;
        let others = scope.known.stanzas.iter().filter(|s| named(s)).filter_map(|s| s.name.as_ref());
        let known = surfaces.take(near::AMONG).chain(others.take(near::AMONG).map(|n| n.text.as_str()));
        let near: Vec<String> = near::nearest(&name.text, known).into_iter().map(str::to_string).collect();
        // It may be the one whose head line could not be read.
        if near.is_empty() && scope.known.lost {
            return;
        }
        let near: Vec<&str> = near.iter().map(String::as_str).collect();
        let what = if openings { "surface or opening" } else { "surface" };
        let message = format!("there is no {what} `{}`", short(&name.text));
        self.unknown(name.span, message, &near, "add its stanza, or name one that is there");
    }
}
