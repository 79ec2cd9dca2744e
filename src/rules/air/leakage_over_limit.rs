//! The measured or planned leakage of the whole is over what the code allows.

use crate::base::finding::{Finding, Weight};
use crate::base::show;
use crate::catalog::Access;
use crate::model::Job;
use crate::rules::facts::Missing;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "air/leakage-over-limit",
    summary: "more air leakage of the whole than the code allows",
    weight: Weight::Fix,
    page: include_str!("leakage_over_limit.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    let (Some(leaks), Some(code)) = (&job.airtight, &job.code) else { return };
    let Some(zone) = job.climate.as_ref().and_then(|c| c.zone) else {
        let at = job.place_span.or(job.head).unwrap_or(code.span);
        return sink.cannot(&Missing::new(at, "the climate zone of the place is not known"));
    };
    let Some(limit) = code.value.leakage_limit(zone) else {
        let why = format!("{} has no limit of air leakage for zone {zone} here", code.value.title());
        return sink.cannot(&Missing::new(code.span, why));
    };
    // A hair of room, so that a figure written as the limit passes.
    if leaks.value <= limit.ach50 + 1e-9 {
        return;
    }
    let (has, most) = (show::fixed(leaks.value, 1), show::fixed(limit.ach50, 1));
    // A limit that was not read may not hold up a house.
    let weight = if limit.citation.access == Access::Memory { Weight::Watch } else { Weight::Fix };
    sink.found(
        Finding::new(RULE.id, weight, leaks.span, format!("{has} air changes at 50 Pa, and zone {zone} allows {most}"))
            .label("over the limit")
            .also(code.span, "of this code")
            .detail(format!(
                "{} allows {most} in zone {zone} ({}; {}). A trade of this figure against insulation, where the code has \
                 one, is not looked at. Local amendments govern.",
                code.value.title(),
                limit.citation.source,
                limit.citation.access.words()
            ))
            .help(format!(
                "find the leaks with smoke while the fan runs, joints first, close them and test again: at most {most} ach50"
            ))
            .number("air_changes", leaks.value, "1/h")
            .number("air_changes_limit", limit.ach50, "1/h"),
    );
}
