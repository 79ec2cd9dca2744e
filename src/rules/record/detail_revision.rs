//! A detail of the shelf used in another revision than it has now, or in none that is said.

use crate::base::finding::{Finding, Weight};
use crate::model::Job;
use crate::rules::facts::short;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/detail-revision",
    summary: "a detail used in another revision than the shelf has",
    weight: Weight::Fix,
    page: include_str!("detail_revision.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    for placed in &job.details {
        let Some(used) = &placed.used else { continue };
        let (name, stands) = (short(&placed.name), placed.head.revision.value);
        let newest = used.newest.as_ref().map_or(stands, |head| head.revision.value);
        let found = |weight, span, message: String| Finding::new(RULE.id, weight, span, message);
        let Some(drawn) = used.revision else {
            sink.found(
                found(Weight::Watch, used.detail, format!("which revision of `{name}` is not said"))
                    .detail("Without it, a change on the shelf would change this job without a word.")
                    .help(format!("write `use {} revision {stands} as ...`", placed.name)),
            );
            continue;
        };
        let finding = if used.newest.is_some() {
            found(Weight::Watch, drawn.span, format!("`{name}` has a newer revision: {newest}")).detail(format!(
                "Revision {stands} was kept on the shelf and is what is reviewed here. What was learned since then is in \
                 revision {newest}."
            ))
        } else if drawn.value != stands {
            let message = format!("revision {} of `{name}` is not kept, there is {stands}", drawn.value);
            found(Weight::Fix, drawn.span, message).detail(format!(
                "Revision {stands} is reviewed in its place: the answers may be of something else than was drawn."
            ))
        } else {
            continue;
        };
        sink.found(finding.help(format!("read `dewlap shelf show {}`, then write `revision {newest}`", placed.name)));
    }
}
