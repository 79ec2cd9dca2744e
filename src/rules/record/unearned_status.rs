//! A detail that claims more than its evidence bears.

use crate::base::finding::{Finding, Weight};
use crate::model::Job;
use crate::model::detail::Status;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/unearned-status",
    summary: "a detail that claims more than its evidence bears",
    weight: Weight::Fix,
    page: include_str!("unearned_status.md"),
    run: Run::Job(run),
};

/// Only the detail's own text is told: who uses it reads the lower status in the report, and can't mend it.
fn run(job: &Job, sink: &mut Sink) {
    for placed in job.details.iter().filter(|p| p.used.is_none()) {
        let standing = placed.head.standing(&placed.form);
        let claimed = placed.head.status;
        if claimed.value <= standing.borne || claimed.value == Status::Withdrawn {
            continue;
        }
        let why = match (standing.failed, standing.other_forms, standing.unnamed) {
            (true, ..) => "This form failed: what mended it is a change, and makes another form.".to_owned(),
            (false, 0, 0) => "There is no evidence but examples, or none at all.".to_owned(),
            (false, 0, n) => format!("Entries that name no form: {n}. They bear out none."),
            (false, n, _) => format!(
                "Entries of another form, from before a change: {n}. What stayed dry was not this: form {} has to show \
                 for itself.",
                placed.form
            ),
        };
        let needs = match claimed.value {
            Status::Proven => "a moisture reading or an opening up that passed after a winter at least",
            _ => "an entry that says it was built",
        };
        let (says, borne) = (claimed.value.word(), standing.borne.word());
        sink.found(
            Finding::new(RULE.id, Weight::Fix, claimed.span, format!("`{says}` is claimed, `{borne}` is borne out"))
                .detail(format!("{why} `{says}` needs {needs}."))
                .help(format!("write `status: {borne}` until there is evidence of form {}", placed.form)),
        );
    }
}
