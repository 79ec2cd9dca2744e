//! Counts what reviews said, and words the closing line.
//!
//! Invariant: counts are complete, whatever is shown.

use super::figure::count;
use crate::base::finding::{Finding, Weight};
use crate::review::report::Report;

/// How much was found.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Findings of weight stop.
    pub stop: usize,
    /// Findings of weight fix.
    pub fix: usize,
    /// Findings of weight watch.
    pub watch: usize,
    /// Findings that the author accepted.
    pub accepted: usize,
    /// Rules that could not run, surface by surface.
    pub not_run: usize,
    /// The text could not be read in full, so the review is not complete.
    pub incomplete: bool,
}

impl Tally {
    /// The counts of some reports.
    pub fn of<'a>(reports: impl IntoIterator<Item = &'a Report>) -> Self {
        let mut tally = Self::default();
        for report in reports {
            for finding in &report.findings {
                match finding.weight {
                    Weight::Stop => tally.stop += 1,
                    Weight::Fix => tally.fix += 1,
                    Weight::Watch => tally.watch += 1,
                }
                tally.incomplete |= finding.weight == Weight::Stop && finding.rule.starts_with("notation/");
            }
            tally.accepted += report.accepted.len();
            tally.not_run += report.not_run.len();
        }
        tally
    }

    /// All findings.
    pub fn found(&self) -> usize {
        self.stop + self.fix + self.watch
    }

    /// How many findings weigh `weight` or more.
    pub fn at_least(&self, weight: Weight) -> usize {
        match weight {
            Weight::Stop => self.stop,
            Weight::Fix => self.stop + self.fix,
            Weight::Watch => self.found(),
        }
    }

    /// The closing line: counts by weight, what was accepted, not judged or not shown.
    pub fn closing(&self, hidden: usize) -> String {
        let mut parts: Vec<String> = [(self.stop, Weight::Stop), (self.fix, Weight::Fix), (self.watch, Weight::Watch)]
            .iter()
            .filter(|(n, _)| *n > 0)
            .map(|(n, weight)| format!("{n} {}", weight.word()))
            .collect();
        if parts.is_empty() {
            parts.push("nothing found".to_owned());
        }
        if self.accepted > 0 {
            parts.push(format!("{} accepted", self.accepted));
        }
        if self.not_run > 0 {
            parts.push(format!("{} not run", count(self.not_run, "check", "checks")));
        }
        if hidden > 0 {
            parts.push(format!("{hidden} not shown (`--all` shows them)"));
        }
        parts.join(", ")
    }
}

/// The findings to show with their numbers (from 1), at most `limit`: the heaviest, in the order of the report.
pub fn shown(findings: &[Finding], limit: Option<usize>) -> Vec<(usize, &Finding)> {
    let mut chosen: Vec<(usize, &Finding)> = findings.iter().enumerate().map(|(i, f)| (i + 1, f)).collect();
    if let Some(limit) = limit.filter(|l| *l < chosen.len()) {
        chosen.sort_by_key(|(number, f)| (std::cmp::Reverse(f.weight), *number));
        chosen.truncate(limit);
        chosen.sort_by_key(|(number, _)| *number);
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::span::Span;

    #[test]
    fn counts_and_cuts() {
        let find = |rule, weight| Finding::new(rule, weight, Span::default(), "x");
        let findings = vec![find("air/a", Weight::Watch), find("dew/b", Weight::Stop), find("notation/c", Weight::Fix)];
        let kept: Vec<usize> = shown(&findings, Some(2)).iter().map(|(n, _)| *n).collect();
        assert_eq!(kept, [2, 3]);
        let mut report = Report { findings, ..Report::default() };
        let tally = Tally::of([&report]);
        assert_eq!((tally.at_least(Weight::Fix), tally.found(), tally.incomplete), (2, 3, false));
        assert_eq!(tally.closing(1), "1 stop, 1 fix, 1 watch, 1 not shown (`--all` shows them)");
        report.findings.push(find("notation/d", Weight::Stop));
        assert!(Tally::of([&report]).incomplete);
        assert_eq!(Tally::default().closing(0), "nothing found");
    }
}
