//! Every detail of `details/`: its head can be read and claims no more than was seen, and the detail is quiet where the
//! head says that it was reviewed: at the place of its job and at each further one. What a detail accepts, it accepts of
//! old walls only, and says why. Nothing is left unjudged but what an old wall's own water cannot be judged by.
//!
//! Details in a job: `used.rs`, and `bound.rs` for those round a job's own surfaces.

mod bound;
mod coverage;
pub mod drawn;
mod used;

use std::fs;
use std::path::PathBuf;

use dewlap::base::span::FileId;
use dewlap::catalog::{self, Lookup};
use dewlap::model::detail::{Cooling, Head, Status};
use dewlap::review::report::{NotRun, Report};
use dewlap::review::{Ask, Input, review};
use dewlap::shelf;
use dewlap::syntax::ast::Detail;
use drawn::line;

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/details");

/// A detail of the folder.
struct OnShelf {
    /// The name of its file, without the ending.
    name: String,
    text: String,
    head: Head,
    line: Detail,
}

/// All of them, sorted by name; each head can be read.
fn details() -> Vec<OnShelf> {
    let mut paths: Vec<PathBuf> = fs::read_dir(FOLDER).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "dew"));
    paths.sort();
    let read = |path: PathBuf| {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).unwrap();
        let reading = shelf::read(FileId(0), &text).unwrap_or_else(|| panic!("{name} has no head"));
        assert!(reading.problems.is_empty(), "{name}: {:#?}", reading.problems);
        OnShelf { line: line(&text).unwrap_or_else(|| panic!("{name}")), head: reading.head.unwrap(), name, text }
    };
    paths.into_iter().map(read).collect()
}

impl OnShelf {
    /// The place that its job names.
    fn own_place(&self) -> &str {
        let line = self.text.lines().find(|l| l.starts_with("  place ")).unwrap();
        line["  place ".len()..].trim()
    }

    /// All places that it is reviewed at.
    fn places(&self) -> Vec<&str> {
        let further = self.head.places.iter().map(|p| p.value.as_str());
        std::iter::once(self.own_place()).chain(further).collect()
    }

    /// A text that has its job, at one of the places.
    fn at(&self, text: &str, place: &str) -> String {
        let own = text.lines().find(|l| l.starts_with("  place ")).unwrap();
        text.replacen(own, &format!("  place {place}"), 1)
    }

    /// The review of a text that has its job at a place: what the head accepts is accepted, no more is found.
    fn is_quiet(&self, told: &str, text: &str, place: &str) -> Report {
        let report = reviewed(told, self.at(text, place));
        // The code a job is held to stays its own: a place of another country than the code's is told, and is true.
        let elsewhere = place != self.own_place();
        let stray = report.findings.iter().find(|f| !(elsewhere && f.rule == "record/code-elsewhere"));
        assert!(stray.is_none(), "{told} at {place}: {stray:#?}");
        let accepted: Vec<&str> = report.accepted.iter().map(|a| a.finding.rule).collect();
        let declared: Vec<&str> = self.head.accepts.iter().map(|a| a.rule.text.as_str()).collect();
        assert_eq!(accepted, declared, "{told} at {place}");
        assert!(declared.iter().all(|rule| *rule == "safety/cut-in-old-wall"), "{told}");
        report
    }
}

/// The report of one text, which may use the details of the folder.
fn reviewed(name: &str, text: String) -> Report {
    let input = Input { name: format!("{name}.dew"), text };
    let mut done = review(vec![input], &mut |_, asked| match asked {
        Ask::Detail(name) => {
            let text = fs::read_to_string(format!("{FOLDER}/{name}.dew")).map_err(|e| e.to_string())?;
            Ok(Input { name: format!("{name}.dew"), text })
        }
        Ask::File(_) | Ask::Revision(..) => Err(format!("no {asked} here")),
    });
    let report = done.reports.remove(0);
    // Masonry that takes up rain and gives it to the room is beyond a steady sum, and the tool says so.
    let beyond = |n: &NotRun| n.why.contains("draws water back to the room");
    assert!(report.not_run.iter().all(beyond), "{name}: {:#?}", report.not_run);
    report
}

#[test]
fn details_are_quiet_where_they_were_reviewed() {
    let details = details();
    assert!(details.len() >= 73);
    for detail in details {
        for place in detail.places() {
            let report = detail.is_quiet(&detail.name, &detail.text, place);
            // A deck or a porch roof has outdoors on both sides: no figure. Every detail has a side that keeps heat.
            assert!(report.surfaces.iter().any(|s| s.u_value.is_some()), "{}", detail.name);
        }
    }
}

/// A head that says how far its rooms may be cooled, though its job cools none, was tried with that too.
#[test]
fn details_hold_for_the_cooling_that_they_name() {
    let mut tried = 0;
    for detail in details() {
        let job: Vec<&str> = detail.text.lines().skip_while(|l| !l.starts_with("job ")).collect();
        let rest = job[1..].iter().position(|l| !l.starts_with("  ")).unwrap();
        let said = job[1..=rest].iter().any(|l| l.starts_with("  cooled") || l.starts_with("  always"));
        let heated = job[1..=rest].iter().find(|l| l.starts_with("  heated"));
        let (Some(Cooling::DownTo(least)), Some(heated), false) =
            (detail.head.holds.cooled.map(|c| c.value), heated, said)
        else {
            continue;
        };
        assert!((least.si() - 23.9).abs() < 0.05, "{}", detail.name);
        let text = detail.text.replacen(heated, &format!("{heated}\n  cooled  75 F 55 %"), 1);
        for place in detail.places() {
            detail.is_quiet(&format!("{}, cooled", detail.name), &text, place);
        }
        tried += 1;
    }
    assert!(tried >= 20, "{tried}");
}

#[test]
fn heads_claim_what_was_seen() {
    for detail in details() {
        let (name, head) = (&detail.name, &detail.head);
        assert_eq!(detail.line.name.text, *name);
        assert_eq!(head.status.value, Status::Reviewed, "{name}");
        assert!(head.evidence.iter().all(|e| e.example) && head.failures.is_empty(), "{name}");
        assert!(!head.sources.is_empty() && head.mind.is_some(), "{name}");
        let form = shelf::form::fingerprint(&detail.text, &[]);
        for entry in &head.evidence {
            assert_eq!(entry.form.as_deref(), Some(form.as_str()), "{name}");
        }
    }
}

/// The conditions are those of the places it was reviewed at: none that nobody looked at.
#[test]
fn heads_hold_for_the_places_they_were_reviewed_at() {
    for detail in details() {
        let name = &detail.name;
        let zone = |place: &str| match catalog::place(place) {
            Lookup::Found(place) => (place.zone.number, place.zone.letter),
            _ => panic!("{name}: {place}"),
        };
        let places = detail.places();
        assert!(!detail.head.places.is_empty() && !places[1..].contains(&places[0]), "{name} names another place");
        let zones: Vec<_> = places.iter().map(|p| zone(p)).collect();
        let held = &detail.head.holds.zones;
        assert!(!held.is_empty(), "{name}");
        for mask in held {
            assert!(
                zones.contains(&(mask.value.number, mask.value.letter)),
                "{name} was not reviewed in {:?}",
                mask.value
            );
        }
    }
}
