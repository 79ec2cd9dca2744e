//! Answers: the smallest change of each kind that takes a finding away, found by trying it.
//!
//! A step is worked into a copy of the section, and the rules are run on that copy. The smallest step that does is found
//! by halving; a step is told only if the finding is gone and no rule on vapor, dew or heat finds anything that has to be
//! put right and was not there before.
//! Invariant: nothing is told that was not run.

mod change;
mod ladder;
mod words;

use crate::base::finding::{Answer, Finding, Weight};
use crate::base::span::Span;
use crate::model::layer::Layer;
use crate::rules::facts::Look;
use crate::rules::{self, Run, Sink};
use change::Change;
use ladder::Ladder;

/// The families whose findings are answered and whose rules have a say.
const FAMILIES: [&str; 3] = ["vapor/", "dew/", "heat/"];

type SurfaceRun = fn(&Look<'_>, &mut Sink);

/// Gives a finding about a section its answers, and the smallest of them as its order where the rule gave none.
pub(super) fn answer(look: &Look<'_>, finding: Finding) -> Finding {
    let Some(trial) = Trial::of(look, &finding) else { return finding };
    let layer = look.surface.layers.iter().position(|l| holds(l, finding.primary.span));
    let mut found: Vec<(Option<Step>, Ladder)> = Vec::new();
    // Nothing in the rules on heat hangs on vapor.
    let heat = finding.rule.starts_with("heat/");
    for ladder in ladder::all(look, layer).into_iter().filter(|l| !heat || l.warms()) {
        let done = |f: &(Option<Step>, Ladder)| f.1.kind == ladder.kind && f.0.is_some();
        if found.iter().any(done) {
            continue;
        }
        let step = trial.least(&ladder.steps);
        found.retain(|f| f.1.kind != ladder.kind);
        found.push((step, ladder));
    }
    found.sort_by_key(|(step, _)| step.as_ref().map_or((u8::MAX, 0), |s| words::effort(look, &s.change)));
    let answers: Vec<Answer> = found.iter().map(|(step, ladder)| words::answer(look, ladder, step.as_ref())).collect();
    let help = match answers.first() {
        _ if !finding.help.is_empty() => finding.help.clone(),
        Some(first) if first.does => first.words.clone(),
        _ => "draw this section anew: no single layer, insulation or humidity tried does it".to_string(),
    };
    Finding { answers, help, ..finding }
}

fn holds(layer: &Layer, span: Span) -> bool {
    layer.line.file == span.file && layer.line.start <= span.start && span.end <= layer.line.end
}

/// The step of a ladder that does.
#[derive(Clone, Copy, Debug)]
struct Step {
    change: Change,
    /// The last of the steps from there on that do, where more of the change brings the finding back, or another.
    last: Option<Change>,
}

/// What is raised on a section: rule, place, weight.
type Raised = Vec<(&'static str, Span, Weight)>;

/// A section with one finding to be rid of.
struct Trial<'l, 'a> {
    look: &'l Look<'a>,
    rule: &'static str,
    run: SurfaceRun,
    before: std::cell::OnceCell<Raised>,
}

impl<'l, 'a> Trial<'l, 'a> {
    /// None for a finding of another family or of a joint, and while it is only asked whether something shows.
    fn of(look: &'l Look<'a>, finding: &Finding) -> Option<Self> {
        let ours = FAMILIES.iter().any(|f| finding.rule.starts_with(f));
        let Run::Surface(run) = rules::find(finding.rule)?.run else { return None };
        let done = look.probing || finding.joint.is_some();
        (ours && !done).then(|| Self { look, rule: finding.rule, run, before: std::cell::OnceCell::new() })
    }

    /// The first step of a ladder that does. Halving takes effect for rising; the step told was run, whether that holds
    /// or not.
    fn least(&self, steps: &[Change]) -> Option<Step> {
        let does = |c: &Change| self.gone(c) && self.sound(c);
        let mut at = self.first(steps, 0, &|c| self.gone(c))?;
        if !self.sound(steps.get(at)?) {
            at = self.first(steps, at + 1, &does)?;
        }
        let change = *steps.get(at)?;
        let further = steps.get(at + 1..).unwrap_or_default();
        if !change.bounds() || further.first().into_iter().chain(further.last()).all(does) {
            return Some(Step { change, last: None });
        }
        Some(Step { change, last: Some(further.iter().take_while(|c| does(c)).last().copied().unwrap_or(change)) })
    }

    fn first(&self, steps: &[Change], from: usize, does: &dyn Fn(&Change) -> bool) -> Option<usize> {
        let (mut low, mut high) = (from, steps.len().checked_sub(1)?);
        if low > high || !does(steps.get(high)?) {
            return None;
        }
        while low < high {
            let middle = (low + high) / 2;
            if steps.get(middle).is_some_and(does) { high = middle } else { low = middle + 1 }
        }
        Some(high)
    }

    /// Whether the rule is silent once the change is made.
    fn gone(&self, change: &Change) -> bool {
        self.on(change, |look| {
            let mut sink = Sink::default();
            (self.run)(look, &mut sink);
            sink.findings.is_empty() && sink.missing.is_empty()
        })
    }

    /// Whether no rule finds anything new that would have to be put right.
    fn sound(&self, change: &Change) -> bool {
        let before =
            self.before.get_or_init(|| raised(&Look::probe(self.look.job, self.look.surface, self.look.draw.clone())));
        let known = |(rule, span, weight): &(&'static str, Span, Weight)| {
            *rule != self.rule && before.iter().any(|b| b.0 == *rule && b.1 == *span && b.2 >= *weight)
        };
        self.on(change, |look| raised(look).iter().all(known))
    }

    fn on<T>(&self, change: &Change, see: impl Fn(&Look<'_>) -> T) -> T {
        let surface = change::surface(self.look.surface, change);
        let job = change::job(self.look.job, change);
        see(&Look::probe(job.as_ref().unwrap_or(self.look.job), &surface, self.look.draw.clone()))
    }
}

/// What the rules of these families say has to be put right.
fn raised(look: &Look<'_>) -> Raised {
    let mut sink = Sink::default();
    for rule in rules::all().filter(|r| FAMILIES.iter().any(|f| r.id.starts_with(f))) {
        if let Run::Surface(run) = rule.run {
            run(look, &mut sink);
        }
    }
    let heavy = sink.findings.into_iter().filter(|f| f.weight > Weight::Watch);
    heavy.map(|f| (f.rule, f.primary.span, f.weight)).collect()
}
