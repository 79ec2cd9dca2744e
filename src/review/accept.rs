//! Acceptances: the author takes a finding on himself, with a reason.
//!
//! Invariant: an acceptance names one rule and one surface or joint; one that matches nothing is itself found. What could
//! not be read can't be accepted.

use std::collections::HashMap;

use super::report::Accepted;
use crate::base::finding::{Finding, Weight};
use crate::base::near;
use crate::base::source::Sources;
use crate::base::span::Span;
use crate::model::Job;
use crate::model::joint::{Joint, Thing};
use crate::model::surface::Surface;
use crate::rules::{self, IDLE_ACCEPTANCE};
use crate::syntax::ast::Accept;

/// Parts findings from accepted ones, and adds what is wrong with the acceptances.
pub(super) fn accept(job: &Job, sources: &Sources, findings: Vec<Finding>) -> (Vec<Finding>, Vec<Accepted>) {
    let mut open = Vec::with_capacity(findings.len());
    let mut accepted = Vec::new();
    let mut used = vec![false; job.accepts.len()];
    let places = places(job);
    let mut of_target: HashMap<(&str, &str), Vec<usize>> = HashMap::new();
    for (index, acceptance) in job.accepts.iter().enumerate() {
        of_target.entry((&acceptance.rule.text, target(acceptance).0)).or_default().push(index);
    }
    for finding in findings {
        let by = taken_by(job, &finding, &places, &of_target);
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
    open.extend(unused.filter_map(|(a, _)| idle(a, job, &places, sources)));
    accepted.sort_by_key(|a| (rules::family_rank(a.finding.rule), a.finding.primary.span));
    (open, accepted)
}

/// The first acceptance that takes a finding: of its rule, and of its joint or surface.
fn taken_by(
    job: &Job,
    finding: &Finding,
    places: &Places<'_>,
    of_target: &HashMap<(&str, &str), Vec<usize>>,
) -> Option<usize> {
    let names = [finding.joint.as_deref(), finding.surface.as_deref()].into_iter().flatten();
    let mut fitting = names.filter_map(|name| of_target.get(&(finding.rule, name))).flatten().copied();
    fitting.find(|i| job.accepts.get(*i).is_some_and(|a| matches(a, finding, places)))
}

/// What an acceptance can be for.
#[derive(Clone, Copy)]
enum Place<'a> {
    Surface(&'a Surface),
    Joint(&'a Joint),
}

/// Surfaces and joints by name, the first of each.
type Places<'a> = HashMap<&'a str, Place<'a>>;

fn places(job: &Job) -> Places<'_> {
    // The first of a name comes last here, so it stands; a joint can't take the name of a surface.
    let joints = job.joints.iter().rev().map(|j| (j.name.as_str(), Place::Joint(j)));
    joints.chain(job.surfaces.iter().rev().map(|s| (s.name.as_str(), Place::Surface(s)))).collect()
}

impl<'a> Place<'a> {
    /// The lines that speak of a layer, or of a piece: its own, and the sentences that name it. None: there is no such.
    fn lines(self, part: &str) -> Option<Vec<Span>> {
        match self {
            Self::Surface(surface) => surface.layers.iter().find(|l| l.label == part).map(|l| vec![l.line]),
            Self::Joint(joint) => {
                let (index, piece) = joint.pieces.iter().enumerate().find(|(_, p)| p.name == part)?;
                Some(joint.links_of(Thing::Piece(index)).map(|l| l.span).chain([piece.line]).collect())
            }
        }
    }

    /// The names of its layers or pieces.
    fn parts(self) -> Vec<&'a str> {
        match self {
            Self::Surface(surface) => surface.layers.iter().map(|l| l.label.as_str()).collect(),
            Self::Joint(joint) => joint.pieces.iter().map(|p| p.name.as_str()).collect(),
        }
    }

    /// Whether it could be judged whole.
    fn whole(self) -> bool {
        match self {
            Self::Surface(surface) => surface.broken.is_none(),
            Self::Joint(joint) => joint.incomplete().is_none(),
        }
    }
}

/// Whether an acceptance of this finding's rule and place takes it.
fn matches(accept: &Accept, finding: &Finding, places: &Places<'_>) -> bool {
    if finding.rule.starts_with("notation/") {
        return false;
    }
    match target(accept) {
        (_, None) => true,
        (place, Some(part)) => {
            let lines = places.get(place).and_then(|p| p.lines(part)).unwrap_or_default();
            lines.iter().any(|line| within(finding.primary.span, *line))
        }
    }
}

fn target(accept: &Accept) -> (&str, Option<&str>) {
    match accept.target.text.split_once('.') {
        Some((surface, layer)) => (surface, Some(layer)),
        None => (&accept.target.text, None),
    }
}

fn within(inner: Span, outer: Span) -> bool {
    inner.file == outer.file && inner.start >= outer.start && inner.end <= outer.end
}

/// What is wrong with an acceptance that accepts nothing; nothing when its surface or joint could not be judged.
fn idle(accept: &Accept, job: &Job, places: &Places<'_>, sources: &Sources) -> Option<Finding> {
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
    let (name, part) = target(accept);
    let place = places.get(name).copied();
    let Some(place) = place.filter(|p| part.is_none_or(|part| p.lines(part).is_some())) else {
        let near = match (place, part) {
            (Some(place), Some(part)) => near::nearest(part, place.parts().into_iter().take(near::AMONG)),
            _ => {
                let surfaces = job.surfaces.iter().take(near::AMONG).map(|s| s.name.as_str());
                let joints = job.joints.iter().take(near::AMONG).map(|j| j.name.as_str());
                near::nearest(name, surfaces.chain(joints))
            }
        };
        let help = if near.is_empty() {
            "name a surface, a joint, `surface.layer` or `joint.piece`".to_string()
        } else {
            format!("did you mean {}?", near::one_of(&near))
        };
        let message = format!("there is no surface, layer, joint or piece `{}`", accept.target.text);
        return Some(Finding::new(IDLE_ACCEPTANCE, Weight::Fix, accept.target.span, message).help(help));
    };
    if !place.whole() {
        return None;
    }
    let message = format!("`{words}` finds nothing in `{}`", accept.target.text);
    let finding = Finding::new(IDLE_ACCEPTANCE, Weight::Watch, accept.rule.span, message)
        .detail("What was accepted is no longer there, so the acceptance would hide the next one.")
        .help("take the acceptance out");
    Some(finding)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::source::Source;

    const TEXT: &str = "wall boathouse\n  outdoors\n  stone: fieldstone 20 in\n  indoors\njoint ledge\n  joins boathouse face\n  \
                        cap: sheet-steel\n  bar: sheet-steel\n  cap touches stone\n  bar touches stone\n";

    /// What stays open and how many are accepted of a finding at `words`, with this acceptance.
    fn judged(acceptance: &str, words: &str) -> (Vec<Finding>, usize) {
        let text = format!("{TEXT}accept {acceptance} because \"dry\"\n");
        let mut sources = Sources::default();
        let file = sources.add(Source::new("boathouse.dew".to_string(), text.clone()));
        let job = crate::model::lower(&[crate::syntax::parse(file, &text).tree]).job;
        let start = text.find(words).unwrap();
        let span = Span::new(file, start, start + words.len());
        let found = Finding::new("air/open-section", Weight::Fix, span, "found");
        let found = Finding { joint: Some("ledge".to_string()), ..found };
        let (open, accepted) = accept(&job, &sources, vec![found]);
        (open, accepted.len())
    }

    #[test]
    fn a_joint_or_a_piece_of_it_is_accepted() {
        assert_eq!(judged("air/open-section in ledge", "touches"), (vec![], 1));
        // A piece is accepted on its own line and in the sentences that name it.
        assert_eq!(judged("air/open-section in ledge.cap", "cap: sheet"), (vec![], 1));
        assert_eq!(judged("air/open-section in ledge.cap", "touches"), (vec![], 1));
    }

    #[test]
    fn an_acceptance_of_another_piece_is_idle() {
        let (open, accepted) = judged("air/open-section in ledge.bar", "cap touches");
        let rules: Vec<&str> = open.iter().map(|f| f.rule).collect();
        assert_eq!((rules, accepted), (vec!["air/open-section", IDLE_ACCEPTANCE], 0));
        let (open, _) = judged("air/open-section in ledge.capp", "cap touches");
        assert_eq!(open[1].help, "did you mean `cap`?");
        let (open, _) = judged("air/open-section in ledg", "cap touches");
        assert_eq!(open[1].help, "did you mean `ledge`?");
    }
}
