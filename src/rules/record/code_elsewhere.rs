//! A code edition of one country on a job in another.

use crate::base::finding::{Finding, Weight};
use crate::model::Job;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/code-elsewhere",
    summary: "a code edition of another country than the place",
    weight: Weight::Watch,
    page: include_str!("code_elsewhere.md"),
    run: Run::Job(run),
};

/// Where the model code of the US is the one that is adopted: the US and its territories. Every edition in the tables is
/// of it.
const UNDER_US_CODE: [&str; 6] = ["US", "PR", "GU", "VI", "AS", "MP"];

fn run(job: &Job, sink: &mut Sink) {
    let (Some(code), Some(climate)) = (&job.code, &job.climate) else { return };
    let Some(country) = climate.country.filter(|c| !UNDER_US_CODE.contains(c)) else { return };
    let title = code.value.title();
    let mut finding = Finding::new(
        RULE.id,
        Weight::Watch,
        code.span,
        format!("{} is a US code, and this place is not", code.value.key()),
    )
    .detail(format!(
        "{title} is written for the climates and the way of building of the US; {} lies in {country}. Its tables of \
         vapor retarders and roof foam are applied here as the job asks, and decide nothing where another code is \
         law (by reasoning).",
        climate.title
    ))
    .help("leave the `code` line out and let the physics decide, or keep it where the contract asks for that code");
    if let Some(place) = job.place_span {
        finding = finding.also(place, "not in the US");
    }
    sink.found(finding);
}
