//! What a report says of the weather it rests on: what sort of year, what was made of it, what height does.
//!
//! Invariant: unless a design year is judged, it is said that harder years come.

use crate::base::quantity::STILL_AIR;
use crate::base::unit::INCH;
use crate::model::Job;
use crate::model::climate::{Climate, YearKind};
use crate::rules::facts::air::{DESIGN_COLDER, DESIGN_DAMPER, still_air};

/// Height from which the thinner air is spoken of, m. Our own choice: diffusion is an eighth faster there.
const HIGH: f64 = 1000.0;

/// The year that is judged.
pub(super) fn kind(job: &Job, climate: &Climate) -> YearKind {
    if job.design_year.is_some() { YearKind::Design } else { climate.year }
}

/// "mean year of 2003 to 2021", and what a job that asks for a design year makes of it.
pub(super) fn year(job: &Job, climate: &Climate) -> String {
    if job.design_year.is_none() || climate.year == YearKind::Design {
        return climate.note.clone();
    }
    format!(
        "design year: {}, each month {:.0} K colder and {:.0} points of humidity damper",
        climate.note,
        DESIGN_COLDER.si(),
        DESIGN_DAMPER * 100.0,
    )
}

/// What a reader has to know of the place's weather.
pub(super) fn notes(job: &Job, climate: &Climate) -> Vec<String> {
    let mut notes = Vec::new();
    if kind(job, climate) != YearKind::Design {
        let text = "no design year: one in ten is colder and damper (`design year` in the job judges one)";
        notes.push(text.to_string());
    }
    if climate.elevation.si() > HIGH
        && let Ok(here) = still_air(job)
    {
        let faster = (here.si() / STILL_AIR.si() - 1.0) * 100.0;
        let meters = climate.elevation.si();
        let height = if job.metric { format!("{meters:.0} m") } else { format!("{:.0} ft", meters / (12.0 * INCH)) };
        notes.push(format!("the air at {height} is thin: vapor moves {faster:.0} % faster than by the sea"));
    }
    notes
}
