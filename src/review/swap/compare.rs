//! What a candidate changes: found and not found before, found before and not now, not to be told any more.
//!
//! Findings are compared by rule and by surface or joint, the heaviest with the heaviest: what was there already is not
//! new wherever on its surface it stands now, one more of its kind or a heavier one is. A rule that was silent beside
//! another for the same fault is told in its stead.
//! Invariant: depends on the two states alone.

use super::super::report::NotRun;
use super::judge::State;
use crate::base::finding::{Finding, Weight};
use crate::model::UNKNOWN_NAME;
use crate::rules::{self, NOT_DECIDED};
use crate::syntax::INCOMPLETE;

/// What a candidate changes.
#[derive(Debug, Default)]
pub(super) struct Change {
    pub new: Vec<Finding>,
    pub gone: Vec<Finding>,
    pub instead: Vec<Finding>,
    pub untold: Vec<NotRun>,
    /// The candidate itself is not written in full, or not known: it was not tried.
    pub unclear: Option<String>,
}

/// Whether one of these stops a candidate.
pub(super) fn stops(new: &[Finding]) -> bool {
    new.iter().any(is_heavy)
}

/// Whether it is to fix or stop.
pub(super) fn is_heavy(finding: &Finding) -> bool {
    finding.weight > Weight::Watch
}

/// Compares the part as drawn with the part with a candidate in it.
pub(super) fn change(drawn: &State, with: &State) -> Change {
    let known = |p: &&Finding| drawn.problems.iter().any(|d| (d.rule, &d.message) == (p.rule, &p.message));
    let problems: Vec<&Finding> = with.problems.iter().filter(|p| !known(p)).collect();
    let unclear = problems.iter().find(|p| [UNKNOWN_NAME, INCOMPLETE].contains(&p.rule));
    if let Some(problem) = unclear {
        let way_out = if problem.help.is_empty() { String::new() } else { format!("; {}", problem.help) };
        return Change { unclear: Some(format!("{}{way_out}", problem.message)), ..Change::default() };
    }
    let Apart { mut new, instead, gone } = apart(&drawn.findings, &with.findings);
    new.extend(problems.into_iter().cloned());
    new.sort_by(|a, b| b.weight.cmp(&a.weight).then_with(|| (a.rule, &a.message).cmp(&(b.rule, &b.message))));
    let same =
        |a: &NotRun, b: &NotRun| (a.rule, &a.surface, &a.joint, a.span) == (b.rule, &b.surface, &b.joint, b.span);
    let untold: Vec<NotRun> =
        with.not_run.iter().filter(|n| !drawn.not_run.iter().any(|d| same(d, n))).cloned().collect();
    // What could not be looked for is not gone.
    let looked = |f: &Finding| !untold.iter().any(|n| n.rule == f.rule && n.surface == f.surface && n.joint == f.joint);
    let gone = gone.into_iter().filter(looked).collect();
    Change { new, gone, instead, untold, unclear: None }
}

/// What two lists of findings do not share.
#[derive(Debug, Default)]
struct Apart {
    new: Vec<Finding>,
    /// Not told before, as another one told of the same fault.
    instead: Vec<Finding>,
    gone: Vec<Finding>,
}

fn apart(before: &[Finding], after: &[Finding]) -> Apart {
    let mut old: Vec<&Finding> = before.iter().collect();
    let mut rest: Vec<&Finding> = Vec::new();
    for finding in after {
        let word_for_word =
            |o: &&Finding| same_kind(o, finding) && o.message == finding.message && o.weight == finding.weight;
        match old.iter().position(word_for_word) {
            Some(at) => drop(old.swap_remove(at)),
            None => rest.push(finding),
        }
    }
    rest.sort_by_key(|f| std::cmp::Reverse(f.weight));
    let (mut new, mut instead): (Vec<Finding>, Vec<Finding>) = (Vec::new(), Vec::new());
    for finding in rest {
        // The lightest that is heavy enough, so that a heavier one is left for a heavier one.
        let heavy_enough = |(_, o): &(usize, &&Finding)| same_kind(o, finding) && o.weight >= finding.weight;
        match old.iter().enumerate().filter(heavy_enough).min_by_key(|(_, o)| o.weight).map(|(at, _)| at) {
            Some(at) => drop(old.swap_remove(at)),
            None if said_by(before, finding, |over| over.weight >= finding.weight) => instead.push(finding.clone()),
            None => new.push(finding.clone()),
        }
    }
    let gone = |o: &&&Finding| !new.iter().any(|n| same_kind(n, o)) && !said_by(after, o, |_| true);
    let gone: Vec<Finding> = old.iter().filter(gone).map(|f| (*f).clone()).collect();
    Apart { new, instead, gone }
}

/// Whether one of these speaks of the fault beside which this one is silent.
fn said_by(all: &[Finding], finding: &Finding, heavy: impl Fn(&Finding) -> bool) -> bool {
    let over = rules::outranked_by(finding.rule);
    all.iter().any(|f| over.contains(&f.rule) && same_place(f, finding) && heavy(f))
}

fn same_place(a: &Finding, b: &Finding) -> bool {
    (&a.surface, &a.joint) == (&b.surface, &b.joint)
}

/// One rule at one surface or joint; of what is not decided, the rule that is not.
fn same_kind(a: &Finding, b: &Finding) -> bool {
    let subject = |f: &Finding| f.message.split('`').nth(1).map(str::to_string);
    a.rule == b.rule && same_place(a, b) && (a.rule != NOT_DECIDED || subject(a) == subject(b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::span::Span;

    fn found(rule: &'static str, weight: Weight, message: &str) -> Finding {
        Finding::new(rule, weight, Span::default(), message).surface("loft")
    }

    fn rules_of(findings: &[Finding]) -> Vec<(&'static str, Weight)> {
        findings.iter().map(|f| (f.rule, f.weight)).collect()
    }

    #[test]
    fn what_was_there_is_not_new_and_one_more_is() {
        let before = [found("air/a", Weight::Fix, "x"), found("dew/b", Weight::Watch, "x")];
        let Apart { new, gone, .. } =
            apart(&before, &[found("air/a", Weight::Fix, "y"), found("dew/b", Weight::Watch, "x")]);
        assert!(new.is_empty() && gone.is_empty());
        let Apart { new, gone, .. } =
            apart(&before, &[found("air/a", Weight::Fix, "x"), found("air/a", Weight::Fix, "y")]);
        assert_eq!(rules_of(&new), [("air/a", Weight::Fix)]);
        assert_eq!(new[0].message, "y");
        assert_eq!(rules_of(&gone), [("dew/b", Weight::Watch)]);
        // A heavier one is new, and the light one it grew from is no gain.
        let Apart { new, gone, .. } =
            apart(&before, &[found("air/a", Weight::Fix, "x"), found("dew/b", Weight::Stop, "x")]);
        assert_eq!((rules_of(&new), gone.len()), (vec![("dew/b", Weight::Stop)], 0));
        // At another place it is new.
        let elsewhere = found("air/a", Weight::Fix, "x").surface("porch");
        let Apart { new, gone, .. } = apart(&before, std::slice::from_ref(&elsewhere));
        assert_eq!((new.len(), gone.len()), (1, 2));
    }

    #[test]
    fn a_rule_that_was_silent_beside_another_is_told_in_its_stead() {
        let over = [found("dew/peak-condensate", Weight::Fix, "x")];
        let under = [found("dew/damp-layer", Weight::Watch, "x")];
        let Apart { new, instead, gone } = apart(&over, &under);
        assert_eq!((new.len(), rules_of(&instead)), (0, vec![("dew/damp-layer", Weight::Watch)]));
        assert_eq!(rules_of(&gone), [("dew/peak-condensate", Weight::Fix)]);
        let Apart { new, instead, gone } = apart(&under, &over);
        assert_eq!((rules_of(&new), instead.len(), gone.len()), (vec![("dew/peak-condensate", Weight::Fix)], 0, 0));
    }

    #[test]
    fn things_not_decided_are_told_apart_by_their_rule() {
        let open =
            |rule: &str| found(NOT_DECIDED, Weight::Watch, &format!("`{rule}` is not decided: 1 of 3 cases show it"));
        let Apart { new, gone, .. } = apart(&[open("dew/a")], &[open("dew/b")]);
        assert_eq!((new.len(), gone.len()), (1, 1));
    }
}
