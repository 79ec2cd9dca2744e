//! Acceptances: the author takes a finding on himself, with a reason.
//!
//! Invariant: an acceptance names one rule and one surface; one that matches nothing is itself found. What could not be
//! read can't be accepted.

use std::collections::HashMap;

use super::report::Accepted;
use crate::base::finding::{Finding, Weight};
use crate::base::near;
use crate::base::source::Sources;
use crate::base::span::Span;
use crate::model::Job;
use crate::model::surface::Surface;
use crate::rules::{self, IDLE_ACCEPTANCE};
use crate::syntax::ast::Accept;

/// Parts findings from accepted ones, and adds what is wrong with the acceptances.
pub(super) fn accept(job: &Job, sources: &Sources, findings: Vec<Finding>) -> (Vec<Finding>, Vec<Accepted>) {
    let mut open = Vec::with_capacity(findings.len());
    let mut accepted = Vec::new();
    let mut used = vec![false; job.accepts.len()];
    let surfaces = by_name(job);
    let mut of_target: HashMap<(&str, &str), Vec<usize>> = HashMap::new();
    for (index, acceptance) in job.accepts.iter().enumerate() {
        of_target.entry((&acceptance.rule.text, target(acceptance).0)).or_default().push(index);
    }
    for finding in findings {
        let fitting = finding.surface.as_deref().and_then(|surface| of_target.get(&(finding.rule, surface)));
        let matching = |i: &&usize| job.accepts.get(**i).is_some_and(|a| matches(a, &finding, &surfaces));
        let by = fitting.and_then(|all| all.iter().find(matching)).copied();
        match by.and_then(|i| job.accepts.get(i)) {
            Some(acceptance) => {
                if let Some(slot) = by.and_then(|i| used.get_mut(i)) {
                    *slot = true;
                }
                accepted.push(Accepted { finding, because: acceptance.because.text.clone(), span: acceptance.span });
            }
            None => open.push(finding),
        }
    }
    let unused = job.accepts.iter().zip(used).filter(|(_, used)| !used);
    open.extend(unused.filter_map(|(a, _)| idle(a, job, &surfaces, sources)));
    accepted.sort_by_key(|a| (rules::family_rank(a.finding.rule), a.finding.primary.span));
    (open, accepted)
}

/// Surfaces by name, the first of each.
type Surfaces<'a> = HashMap<&'a str, &'a Surface>;

fn by_name(job: &Job) -> Surfaces<'_> {
    // The first of a name comes last here, so it stands.
    job.surfaces.iter().rev().map(|s| (s.name.as_str(), s)).collect()
}

/// Whether an acceptance of this finding's rule and surface takes it.
fn matches(accept: &Accept, finding: &Finding, surfaces: &Surfaces<'_>) -> bool {
    if finding.rule.starts_with("notation/") {
        return false;
    }
    match target(accept) {
        (_, None) => true,
        (surface, Some(layer)) => {
            layer_line(surfaces, surface, layer).is_some_and(|line| within(finding.primary.span, line))
        }
    }
}

fn target(accept: &Accept) -> (&str, Option<&str>) {
    match accept.target.text.split_once('.') {
        Some((surface, layer)) => (surface, Some(layer)),
        None => (&accept.target.text, None),
    }
}

fn layer_line(surfaces: &Surfaces<'_>, surface: &str, layer: &str) -> Option<Span> {
    surfaces.get(surface)?.layers.iter().find(|l| l.label == layer).map(|l| l.line)
}

fn within(inner: Span, outer: Span) -> bool {
    inner.file == outer.file && inner.start >= outer.start && inner.end <= outer.end
}

/// What is wrong with an acceptance that accepts nothing; nothing when its surface could not be judged.
fn idle(accept: &Accept, job: &Job, surfaces: &Surfaces<'_>, sources: &Sources) -> Option<Finding> {
    let words = sources.text(accept.rule.span);
    if rules::find(&accept.rule.text).is_none() {
        let near = near::nearest(&accept.rule.text, rules::all().map(|r| r.id));
        let help = if near.is_empty() {
            "`dewlap why` lists the rules".to_string()
        } else {
            format!("did you mean {}?", near::one_of(&near))
        };
        let message = format!("there is no rule `{words}`");
        return Some(Finding::new(IDLE_ACCEPTANCE, Weight::Fix, accept.rule.span, message).help(help));
    }
    let (surface, layer) = target(accept);
    let known = surfaces.contains_key(surface) && layer.is_none_or(|l| layer_line(surfaces, surface, l).is_some());
    if !known {
        let near = match (surfaces.get(surface), layer) {
            (Some(s), Some(layer)) => near::nearest(layer, s.layers.iter().map(|l| l.label.as_str())),
            _ => near::nearest(surface, job.surfaces.iter().take(near::AMONG).map(|s| s.name.as_str())),
        };
        let help = if near.is_empty() {
            "name a surface, or `surface.layer`".to_string()
        } else {
            format!("did you mean {}?", near::one_of(&near))
        };
        let message = format!("there is no surface or layer `{}`", accept.target.text);
        return Some(Finding::new(IDLE_ACCEPTANCE, Weight::Fix, accept.target.span, message).help(help));
    }
    if surfaces.get(surface).is_some_and(|s| s.broken.is_some()) {
        return None;
    }
    let message = format!("`{words}` finds nothing in `{}`", accept.target.text);
    let finding = Finding::new(IDLE_ACCEPTANCE, Weight::Watch, accept.rule.span, message)
        .detail("What was accepted is no longer there, so the acceptance would hide the next one.")
        .help("take the acceptance out");
    Some(finding)
}
