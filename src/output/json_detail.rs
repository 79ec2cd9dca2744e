//! One detail of the shelf in full as a JSON document. `docs/outputs.md` describes it.
//!
//! Not here: details that are listed (json_shelf). Invariant: as for people: an entry of another form, and one that is
//! invented, says so itself; conditions stand in the author's own figures.

use super::json::{VERSION, finish};
use super::json_shelf::{ErrorJson, Wrong, errors};
use super::shelf_show::{Conditions, Shown, newest_first, reason, stand_in};
use crate::model::detail::{Evidence, Failure};
use crate::syntax::ast::{Accept, Parameter};
use serde::Serialize;
use std::io::{Result, Write};

#[derive(Serialize)]
struct Document<'a> {
    version: u32,
    complete: bool,
    errors: Vec<ErrorJson<'a>>,
    detail: DetailJson<'a>,
}

#[derive(Serialize)]
struct DetailJson<'a> {
    name: &'a str,
    shelf: &'a str,
    file: Option<&'a str>,
    title: &'a str,
    meets: &'a [String],
    claimed: &'static str,
    status: &'static str,
    why: String,
    failed: bool,
    revision: u32,
    form: &'a str,
    places: Vec<&'a str>,
    holds: Conditions<'a>,
    accepts: Vec<AcceptJson<'a>>,
    sources: &'a [String],
    mind: Option<&'a str>,
    evidence: Vec<EvidenceJson<'a>>,
    failures: Vec<FailureJson<'a>>,
    r#use: String,
    parameters: Vec<ParameterJson<'a>>,
    text: &'a str,
}

#[derive(Serialize)]
struct AcceptJson<'a> {
    finding: &'a str,
    r#in: &'a str,
    because: &'a str,
}

#[derive(Serialize)]
struct EvidenceJson<'a> {
    date: &'a str,
    kind: &'static str,
    result: &'static str,
    by: &'a str,
    form: Option<&'a str>,
    this_form: bool,
    winters: Option<u32>,
    season: Option<&'a str>,
    reading: Option<&'a str>,
    note: Option<&'a str>,
    photo: Option<&'a str>,
    example: bool,
}

#[derive(Serialize)]
struct FailureJson<'a> {
    date: &'a str,
    what: &'a str,
    cause: &'a str,
    cure: Option<&'a str>,
    form: Option<&'a str>,
    this_form: bool,
}

#[derive(Serialize)]
struct ParameterJson<'a> {
    name: &'a str,
    r#type: &'static str,
    default: Option<&'a str>,
}

/// Writes a detail, and what can't be read of it.
pub fn write(out: &mut dyn Write, shown: &Shown<'_>, wrong: &[Wrong]) -> Result<()> {
    let document =
        Document { version: VERSION, complete: wrong.is_empty(), errors: errors(wrong), detail: detail(shown) };
    finish(out, &document)
}

fn detail<'a>(shown: &Shown<'a>) -> DetailJson<'a> {
    let (head, standing) = (shown.head, shown.head.standing(shown.form));
    let parameters = shown.detail.map_or(&[][..], |detail| &detail.parameters);
    DetailJson {
        name: shown.name,
        shelf: shown.whose,
        file: shown.file,
        title: &head.title.value,
        meets: &head.meets,
        claimed: head.status.value.word(),
        status: standing.status.word(),
        why: reason(head, standing),
        failed: standing.failed,
        revision: head.revision.value,
        form: shown.form,
        places: head.places.iter().map(|place| place.value.as_str()).collect(),
        holds: Conditions::of(shown),
        accepts: head.accepts.iter().map(accept).collect(),
        sources: &head.sources,
        mind: head.mind.as_deref(),
        evidence: newest_first(&head.evidence, |e| &e.date).into_iter().map(|e| evidence(e, shown.form)).collect(),
        failures: newest_first(&head.failures, |f| &f.date).into_iter().map(|f| failure(f, shown.form)).collect(),
        r#use: uses(shown, parameters),
        parameters: parameters.iter().map(parameter).collect(),
        text: shown.text,
    }
}

/// The line that uses it.
fn uses(shown: &Shown<'_>, parameters: &[Parameter]) -> String {
    let with: Vec<String> = parameters.iter().map(|p| format!("{} = {}", p.name.text, stand_in(p))).collect();
    let with = if with.is_empty() { String::new() } else { format!(" with {}", with.join(", ")) };
    format!("use {} revision {} as NAME{with}", shown.name, shown.head.revision.value)
}

fn accept(accept: &Accept) -> AcceptJson<'_> {
    AcceptJson { finding: &accept.rule.text, r#in: &accept.target.text, because: &accept.because.text }
}

fn parameter(parameter: &Parameter) -> ParameterJson<'_> {
    let default = parameter.default.as_ref().map(|default| default.text.as_str());
    ParameterJson { name: &parameter.name.text, r#type: parameter.sort.word(), default }
}

fn evidence<'a>(e: &'a Evidence, own: &str) -> EvidenceJson<'a> {
    EvidenceJson {
        date: &e.date,
        kind: e.kind.words(),
        result: e.result.word(),
        by: &e.by,
        form: e.form.as_deref(),
        this_form: e.form.as_deref() == Some(own),
        winters: e.winters,
        season: e.season.as_deref(),
        reading: e.reading.as_deref(),
        note: e.note.as_deref(),
        photo: e.photo.as_deref(),
        example: e.example,
    }
}

fn failure<'a>(f: &'a Failure, own: &str) -> FailureJson<'a> {
    FailureJson {
        date: &f.date,
        what: &f.what,
        cause: &f.cause,
        cure: f.cure.as_deref(),
        form: f.form.as_deref(),
        this_form: f.form.as_deref() == Some(own),
    }
}
