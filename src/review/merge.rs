//! Puts what one rule says of one place under several draws together: found, found for some stand-ins, or not decided.
//!
//! Invariant: what every draw shows is found with its lightest weight; where it turns is tried, not guessed.

use super::ensemble::{MIXED, Mends, SurfaceRun};
use super::solve;
use crate::base::finding::{Finding, Weight};
use crate::base::near;
use crate::base::show::Show;
use crate::base::source::Sources;
use crate::base::span::Span;
use crate::model::Job;
use crate::model::surface::Surface;
use crate::model::value::{Axis, AxisId, Draw, Reach};
use crate::rules::facts::Look;
use crate::rules::{NOT_DECIDED, Sink};

/// Halvings with which the turning point of an axis is found.
const HALVINGS: usize = 12;

/// Puts the answers of one rule at one place together.
pub(super) struct Merge<'l, 'a> {
    pub job: &'a Job,
    pub surface: &'a Surface,
    pub sources: &'l Sources,
    pub looks: &'l [Look<'a>],
    pub run: SurfaceRun,
    /// Rules beside which this one is silent.
    pub over: Vec<SurfaceRun>,
    /// The draws under which it is silent for one of those.
    pub silenced: Vec<usize>,
    pub mends: Mends,
}

impl Merge<'_, '_> {
    /// What is found there under all draws together; none where it is silent.
    pub fn merge(&self, mut answers: Vec<(usize, Finding)>) -> Option<Finding> {
        answers.retain(|(index, _)| !self.silenced.contains(index));
        let found: Vec<usize> = answers.iter().map(|(i, _)| *i).collect();
        // Where a heavier rule speaks this one would have found something too.
        let under: Vec<usize> =
            (0..self.looks.len()).filter(|i| found.contains(i) || self.silenced.contains(i)).collect();
        let lightest = answers.iter().map(|(_, f)| f.weight).min()?;
        answers.sort_by_key(|(index, f)| (std::cmp::Reverse(f.weight), *index));
        let (at, first) = answers.into_iter().next()?;
        if under.len() == self.looks.len() {
            let finding = Finding { weight: lightest, ..self.in_full(at, first) };
            return Some(self.whatever(finding, at));
        }
        match self.by_name(&under) {
            Some(names) => {
                let first = self.in_full(at, first);
                let text = format!("only as {}", near::one_of(&names));
                let detail = format!("{} It holds for {} only.", first.detail, near::one_of(&names));
                Some(Finding { detail, ..first }.label(text))
            }
            None => Some(self.not_decided(first, &under)),
        }
    }

    /// The same finding with its mend: the draws are only probed.
    fn in_full(&self, look: usize, probed: Finding) -> Finding {
        let draw = self.looks.get(look).map(|l| l.draw.clone());
        let Some(draw) = draw.filter(|_| self.mends == Mends::Sought) else { return probed };
        let mut sink = Sink::default();
        let look = Look::new(self.job, self.surface, draw);
        (self.run)(&look, &mut sink);
        let found = sink.findings.into_iter().find(|f| f.primary.span == probed.primary.span).unwrap_or(probed);
        solve::answer(&look, found)
    }

    /// Says that the answer does not hang on what is open.
    fn whatever(&self, mut finding: Finding, look: usize) -> Finding {
        let figures = if look == 0 { "those midway" } else { "those of the worst case" };
        let open: Vec<&str> = self.open_axes().map(|(_, axis)| axis.what.as_str()).collect();
        let many = open.len();
        if let [what] = open.as_slice() {
            finding.detail = format!("{} This holds whatever the {what}; the figures are {figures}.", finding.detail)
                .trim()
                .to_string();
        } else if many > 1 {
            let alone = if many > MIXED { ", each tried with the others midway" } else { "" };
            finding.detail = format!(
                "{} This holds whatever the {many} things not decided{alone}; the figures are {figures}.",
                finding.detail
            )
            .trim()
            .to_string();
        }
        finding
    }

    fn open_axes(&self) -> impl Iterator<Item = (AxisId, &Axis)> {
        self.surface.axes.iter().filter_map(|id| Some((*id, self.job.axes.get(*id)?)))
    }

    /// The stand-ins that an answer hangs on, when it hangs on nothing else.
    fn by_name(&self, under: &[usize]) -> Option<Vec<String>> {
        let names: Vec<(AxisId, &Vec<String>)> = self
            .open_axes()
            .filter_map(|(id, axis)| if let Reach::OneOf(names) = &axis.reach { Some((id, names)) } else { None })
            .collect();
        let [(id, names)] = names.as_slice() else { return None };
        let fires = |choice: usize| {
            let of: Vec<usize> = (0..self.looks.len()).filter(|i| self.choice(*i, *id) == Some(choice)).collect();
            let count = of.iter().filter(|i| under.contains(i)).count();
            (count == 0 || count == of.len()).then_some(count > 0)
        };
        let verdicts: Option<Vec<bool>> = (0..names.len()).map(fires).collect();
        Some(names.iter().zip(verdicts?).filter(|(_, fires)| *fires).map(|(n, _)| n.clone()).collect())
    }

    fn choice(&self, look: usize, axis: AxisId) -> Option<usize> {
        self.looks.get(look).map(|l| l.draw.choice(axis))
    }

    /// One `watch` in place of a finding that comes and goes, with the figure where it turns.
    fn not_decided(&self, first: Finding, under: &[usize]) -> Finding {
        let show = Show { metric: self.job.metric };
        let mut turns: Vec<String> = Vec::new();
        let mut spans: Vec<(Span, String)> = Vec::new();
        for (id, axis) in self.open_axes() {
            if let Some((turn, above)) = self.turning_point(id, axis, &first) {
                let side = if above { "below" } else { "above" };
                let figure = match &axis.reach {
                    Reach::Between { dimension: Some(d), .. } => show.figure(*d, turn),
                    _ => format!("{:.0} % of the way from outdoors to indoors", turn * 100.0),
                };
                turns.push(format!("{}: it shows {side} {figure}, else not", axis.what));
                spans.push((axis.span, axis.what.clone()));
            }
        }
        let message = format!("`{}` is not decided: {} of {} cases show it", first.rule, under.len(), self.looks.len());
        let span = spans.first().map_or(first.primary.span, |(s, _)| *s);
        let detail = if turns.is_empty() {
            format!("It hangs on several things at once that are not decided. Where it shows: {}.", first.message)
        } else {
            format!("With all else midway, {}. Where it shows: {}.", turns.join("; "), first.message)
        };
        let help = match spans.first().map(|(s, _)| self.sources.text(*s)) {
            Some(words) => format!("find out what `{words}` is (a look, a maker's sheet or a test), and write it down"),
            None => "write down what is not decided, and review again".to_string(),
        };
        let mut finding = Finding::new(NOT_DECIDED, Weight::Watch, span, message).detail(detail).help(help);
        if first.primary.span != span {
            finding = finding.also(first.primary.span, "what it would be about");
        }
        finding.numbers = first.numbers;
        finding
    }

    /// Where, along one axis with the others midway, the finding comes or goes: the SI figure, and whether the safe
    /// side lies above it.
    fn turning_point(&self, id: AxisId, axis: &Axis, finding: &Finding) -> Option<(f64, bool)> {
        if self.mends == Mends::Left {
            return None;
        }
        let Reach::Between { low, high, by_factor, .. } = axis.reach else { return None };
        let middle = Draw::middle();
        let shows = |t: f64| {
            let mut sink = Sink::default();
            (self.run)(&Look::probe(self.job, self.surface, middle.clone().with(id, t)), &mut sink);
            let own = sink.findings.iter().any(|f| f.primary.span == finding.primary.span);
            own || self.over.iter().any(|run| {
                let mut sink = Sink::default();
                run(&Look::probe(self.job, self.surface, middle.clone().with(id, t)), &mut sink);
                !sink.findings.is_empty()
            })
        };
        let ends = [shows(0.0), shows(0.5), shows(1.0)];
        let (mut a, mut b) = match ends {
            [x, y, _] if x != y => (0.0, 0.5),
            [_, y, z] if y != z => (0.5, 1.0),
            _ => return None,
        };
        let at_low = shows(a);
        for _ in 0..HALVINGS {
            let t = (a + b) / 2.0;
            if shows(t) == at_low { a = t } else { b = t }
        }
        let t = (a + b) / 2.0;
        let si =
            if by_factor && low > 0.0 { low * crate::base::math::pow(high / low, t) } else { low + (high - low) * t };
        Some((si, at_low))
    }
}
