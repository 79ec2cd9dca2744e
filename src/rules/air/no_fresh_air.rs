//! A house so tight that it needs fans for fresh air, and the job names none.

use crate::base::finding::{Finding, Weight};
use crate::base::show;
use crate::model::Job;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "air/no-fresh-air",
    summary: "a tight house with no fans for fresh air",
    weight: Weight::Watch,
    page: include_str!("no_fresh_air.md"),
    run: Run::Job(run),
};

/// With less leakage than this, air changes an hour at 50 Pa, a dwelling is ventilated by fans (IRC R303.4, from memory).
const TIGHT: f64 = 5.0;

fn run(job: &Job, sink: &mut Sink) {
    let (Some(leaks), Some(code), None) = (&job.airtight, &job.code, &job.ventilated) else { return };
    if leaks.value >= TIGHT {
        return;
    }
    let has = show::fixed(leaks.value, 1);
    let flow = if job.metric { "28 L/s" } else { "60 cfm" };
    sink.found(
        Finding::new(RULE.id, Weight::Watch, leaks.span, format!("at {has} ach50 the house needs fans for fresh air"))
            .label("tight, and no fan is named")
            .also(code.span, "of this code")
            .detail(format!(
                "Below {} air changes an hour at 50 Pa the code asks for ventilation by fans (IRC R303.4, from memory; how \
                 much, M1507.3). Without it the air of the rooms gets more humid than written here, and burners that draw \
                 their air from the room may spill: have them tested after the house is closed. Local code decides.",
                show::fixed(TIGHT, 0)
            ))
            .help(format!("plan fans for the whole house and write what they move: `ventilated {flow}`"))
            .number("air_changes", leaks.value, "1/h")
            .number("air_changes_tight", TIGHT, "1/h"),
    );
}
