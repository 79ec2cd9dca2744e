//! Reads the entries of a head on what was seen of a detail where it was built, and where it failed.
//!
//! Not here: what the evidence bears out (model); whether a date lies ahead (the clock is elsewhere). Invariant: total; an
//! entry is there only where all that it needs could be read.

use super::keys::{Form, one_of, unknown, whole_number};
use super::yaml::{Part, short};
use crate::base::finding::Finding;
use crate::model::detail::{Evidence, Failure, Look, Outcome};
use jiff::civil::Date;

/// The keys of an entry of evidence.
const EVIDENCE: &[&str] =
    &["date", "kind", "result", "by", "form", "season", "winters", "reading", "note", "photo", "example"];
/// The keys of a failure.
const FAILURE: &[&str] = &["date", "what", "cause", "cure", "form"];
/// Seasons: those of the year, and those of places that have but two.
const SEASONS: &[&str] = &["spring", "summer", "autumn", "winter", "wet", "dry"];
/// Most winters that are believed; own choice.
const MOST_WINTERS: u32 = 200;
/// Letters of a fingerprint.
const FORM: usize = 12;

/// Reads what stands under `evidence`.
pub(super) fn evidence(part: &Part, problems: &mut Vec<Finding>) -> Vec<Evidence> {
    let items = part.records(problems);
    items.iter().filter_map(|item| entry(item, problems)).collect()
}

fn entry(item: &Part, problems: &mut Vec<Finding>) -> Option<Evidence> {
    let mut form = Form::new(item, *item, EVIDENCE, problems);
    let date = form.needed_read("date", "2026-04-02", date);
    let kind = form.needed_read("kind", "hose test", |part| one_of(part, "kind", &Look::ALL, Look::words));
    let result = form.needed_read("result", "passed", |part| one_of(part, "result", &Outcome::ALL, Outcome::word));
    let by = form.needed_words("by", "the site carpenter");
    let winters = form.read("winters", |part| whole_number(part, 0, MOST_WINTERS));
    if kind == Some(Look::OpenedUp) && !form.has("winters") {
        let help = "write after how many: `winters: 2`";
        form.problems.push(*item.missing("an opening up without the winters it had seen", help));
    }
    let (form_seen, season) = (form.read("form", fingerprint), form.read("season", season));
    let (reading, note) = (form.words("reading"), form.words("note"));
    let (photo, example) = (form.read("photo", photo), form.read("example", yes));
    Some(Evidence {
        date: date?,
        kind: kind?,
        result: result?,
        by: by?,
        form: form_seen,
        season,
        winters,
        reading,
        note,
        photo,
        example: example.unwrap_or(false),
    })
}

/// Reads what stands under `failures`.
pub(super) fn failures(part: &Part, problems: &mut Vec<Finding>) -> Vec<Failure> {
    let items = part.records(problems);
    items.iter().filter_map(|item| failure(item, problems)).collect()
}

fn failure(item: &Part, problems: &mut Vec<Finding>) -> Option<Failure> {
    let mut form = Form::new(item, *item, FAILURE, problems);
    let date = form.needed_read("date", "2026-04-02", date);
    let what = form.needed_words("what", "the seal let go of the stone");
    let cause = form.needed_words("cause", "dust under the primer");
    let (cure, form_seen) = (form.words("cure"), form.read("form", fingerprint));
    Some(Failure { date: date?, what: what?, cause: cause?, cure, form: form_seen })
}

/// A day that there is, as `2026-04-02`.
fn date(part: &Part) -> Result<String, Box<Finding>> {
    let said = part.words()?;
    let formed = said.len() == 10
        && said.bytes().enumerate().all(|(at, b)| match at {
            4 | 7 => b == b'-',
            _ => b.is_ascii_digit(),
        });
    if !formed {
        let help = "year, month, day: `2026-04-02`";
        return Err(part.wrong(format!("`{}` is no date", short(&said)), help));
    }
    let real: Result<Date, _> = said.parse();
    match real {
        Ok(_) => Ok(said),
        Err(_) => Err(part.wrong(format!("there is no day `{said}`"), "mend the month or the day")),
    }
}

/// The fingerprint of a form, in lower case.
fn fingerprint(part: &Part) -> Result<String, Box<Finding>> {
    let said = part.words()?.to_lowercase();
    if said.len() != FORM || !said.bytes().all(|b| b.is_ascii_hexdigit()) {
        let help = "take the 12 digits that `dewlap shelf show NAME` prints as `form`, or leave it out";
        return Err(part.wrong(format!("`{}` is no fingerprint", short(&said)), help));
    }
    Ok(said)
}

fn season(part: &Part) -> Result<String, Box<Finding>> {
    let said = part.words()?;
    let found = SEASONS.iter().find(|known| known.eq_ignore_ascii_case(&said));
    found.map(|known| (*known).to_owned()).ok_or_else(|| unknown(part, "season", &said, SEASONS))
}

/// A path below the folder of the detail.
fn photo(part: &Part) -> Result<String, Box<Finding>> {
    let said = part.words()?;
    let leaves = said.starts_with('/') || said.contains(['\\', ':', '\n']);
    let steps = |step: &str| step.is_empty() || step == "..";
    if leaves || said.split('/').any(steps) {
        let message = format!("`{}` is no path below this detail", short(&said));
        return Err(part.wrong(message, "put the photo beside the detail: `photos/tie-1.jpg`"));
    }
    Ok(said)
}

fn yes(part: &Part) -> Result<bool, Box<Finding>> {
    let said = part.words()?;
    let found =
        [("true", true), ("false", false)].iter().find(|(word, _)| word.eq_ignore_ascii_case(&said)).map(|f| f.1);
    found.ok_or_else(|| {
        part.wrong(format!("`{}` is neither `true` nor `false`", short(&said)), "write `true`, or leave it out")
    })
}
