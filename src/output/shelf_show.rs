//! One detail of the shelf in full: what its head says, what the evidence bears out and why, how it is used, its notation.
//!
//! Not here: the raw text (cli). Invariant: an entry that is invented, or that speaks of another form, says so itself;
//! conditions stand in the author's own figures.

use super::clean::{clean_line, one_line};
use super::figure::count;
use super::look::{Ink, Look};
use super::shelf::sentence;
use super::wrap::{columns, hang};
use crate::base::span::{Span, Spanned};
use crate::model::detail::{Evidence, Failure, Head, Standing, Status};
use crate::syntax::ast::{Detail, Parameter, Sort};
use crate::syntax::head;
use serde::Serialize;
use std::io::{Result, Write};

/// What every detail leaves to others.
const CAUTION: &str = "Local code and licensed practice decide. What held at one place proves nothing of another: \
    `dewlap shelf carry` reviews a detail elsewhere.";

/// A detail that is shown.
#[derive(Clone, Copy, Debug)]
pub struct Shown<'a> {
    /// Its name.
    pub name: &'a str,
    /// Whose shelf it is on.
    pub whose: &'a str,
    /// Its file; none for one that comes with the program.
    pub file: Option<&'a str>,
    /// What its head says.
    pub head: &'a Head,
    /// Whether it was read without a mistake.
    pub sound: bool,
    /// The fingerprint of the form that stands in the text.
    pub form: &'a str,
    /// Its own line; none where it has none.
    pub detail: Option<&'a Detail>,
    /// All of its text.
    pub text: &'a str,
}

/// Writes a detail.
pub fn write(out: &mut dyn Write, shown: &Shown<'_>, look: &Look) -> Result<()> {
    let head = shown.head;
    let title = sentence(&one_line(&head.title.value), look);
    let name = if look.plain { format!("Detail {}.", shown.name) } else { shown.name.to_owned() };
    writeln!(out, "{}", look.paint(Ink::Head, &clean_line(&name)))?;
    hang(out, look, "  ", 2, &title)?;
    let mut page = Page { out, look };
    page.fact("what meets", &head.meets.join("; "))?;
    page.fact("shelf", if shown.file.is_some() { shown.whose } else { "shipped with dewlap" })?;
    page.fact("file", shown.file.unwrap_or_default())?;
    let standing = head.standing(shown.form);
    page.fact("status", &status(head, standing))?;
    page.fact("revision", &head.revision.value.to_string())?;
    page.fact("form", shown.form)?;
    page.fact("holds", &holds(shown))?;
    let places: Vec<&str> = head.places.iter().map(|place| place.value.as_str()).collect();
    page.fact("also reviewed at", &places.join(", "))?;
    for accept in &head.accepts {
        page.fact("accepts", &format!("{} in `{}`: {}", accept.rule.text, accept.target.text, accept.because.text))?;
    }
    head.sources.iter().try_for_each(|source| page.fact("source", source))?;
    page.fact("mind", head.mind.as_deref().unwrap_or_default())?;
    let evidence = newest_first(&head.evidence, |entry| &entry.date);
    page.list("evidence, newest first", evidence.into_iter().map(|e| entry(e, shown.form)))?;
    let failures = newest_first(&head.failures, |entry| &entry.date);
    page.list("failures, newest first", failures.into_iter().map(|f| failure(f, shown.form)))?;
    page.heading("to use it in a job")?;
    uses(out, shown, look)?;
    notation(out, shown.text, look)?;
    writeln!(out)?;
    hang(out, look, "", 0, CAUTION)
}

/// Entries with the newest first; of one day, the one that was written down last.
pub(super) fn newest_first<T>(entries: &[T], date: impl Fn(&T) -> &String) -> Vec<&T> {
    let mut all: Vec<&T> = entries.iter().rev().collect();
    all.sort_by(|a, b| date(b).cmp(date(a)));
    all
}

/// Where facts are written.
struct Page<'o> {
    out: &'o mut dyn Write,
    look: &'o Look,
}

impl Page<'_> {
    /// A fact with its label; nothing where it says nothing.
    fn fact(&mut self, label: &str, text: &str) -> Result<()> {
        if text.is_empty() {
            return Ok(());
        }
        let text = sentence(&format!("{label}: {}", one_line(text)), self.look);
        hang(self.out, self.look, "  ", 4, &text)
    }

    fn heading(&mut self, text: &str) -> Result<()> {
        writeln!(self.out)?;
        let text = sentence(text, self.look);
        writeln!(self.out, "{}", self.look.paint(Ink::Head, &text))
    }

    fn list(&mut self, heading: &str, items: impl Iterator<Item = String>) -> Result<()> {
        let mut items = items.peekable();
        if items.peek().is_none() {
            return Ok(());
        }
        self.heading(heading)?;
        let lead = if self.look.plain { "  " } else { "  - " };
        items.try_for_each(|item| hang(self.out, self.look, lead, 4, &sentence(&one_line(&item), self.look)))
    }
}

/// The status as borne out, as claimed where that is more, and why.
fn status(head: &Head, standing: Standing) -> String {
    let (status, claimed) = (standing.status.word(), head.status.value.word());
    let why = reason(head, standing);
    if standing.status == head.status.value {
        format!("{status}; {why}")
    } else {
        format!("{status}; its head says {claimed}, which is not borne out: {why}")
    }
}

/// Why the evidence bears out no more.
pub(super) fn reason(head: &Head, standing: Standing) -> String {
    if standing.failed {
        return "this form failed".to_owned();
    }
    match standing.borne {
        Status::Proven => "a look after a winter found this form dry".to_owned(),
        Status::Built => "this form was built and looked at, but not found dry after a winter yet".to_owned(),
        _ if standing.other_forms > 0 => {
            let entries = count(standing.other_forms, "entry speaks", "entries speak");
            format!("no evidence is of this form ({entries} of another)")
        }
        _ if head.evidence.iter().any(|entry| entry.example) => "examples prove nothing".to_owned(),
        _ => "there is no evidence yet".to_owned(),
    }
}

/// The conditions, those with a bound as they are written.
#[derive(Serialize)]
pub(super) struct Conditions<'a> {
    zones: Vec<String>,
    rain: Option<&'a str>,
    heated: Option<&'a str>,
    cooled: Option<&'a str>,
    height: Option<&'a str>,
    faces: Vec<&'a str>,
}

impl<'a> Conditions<'a> {
    /// Those of a head.
    pub fn of(shown: &Shown<'a>) -> Self {
        let holds = &shown.head.holds;
        let written = |span: Span| shown.text.get(span.range()).unwrap_or("");
        Self {
            zones: holds.zones.iter().map(|zone| zone.value.to_string()).collect(),
            rain: holds.rain.as_ref().map(span).map(written),
            heated: holds.heated.as_ref().map(span).map(written),
            cooled: holds.cooled.as_ref().map(span).map(written),
            height: holds.height.as_ref().map(span).map(written),
            faces: holds.faces.iter().map(|face| face.value.as_str()).collect(),
        }
    }
}

/// The conditions in a line.
fn holds(shown: &Shown<'_>) -> String {
    let Conditions { zones, rain, heated, cooled, height, faces } = Conditions::of(shown);
    let one = |label: &str, written: Option<&str>| written.map(|written| format!("{label} {written}"));
    let all = [
        (!zones.is_empty()).then(|| super::shelf::zones(&zones)),
        one("rain", rain),
        one("rooms heated", heated),
        one("rooms cooled", cooled),
        one("buildings", height),
        (!faces.is_empty()).then(|| format!("facing {}", faces.join(", "))),
    ];
    let said: Vec<String> = all.into_iter().flatten().collect();
    match (said.is_empty(), shown.sound) {
        (true, true) => "anywhere: no condition is named".to_owned(),
        (true, false) => "not known: a mistake in the head may hide a condition".to_owned(),
        (false, true) => said.join("; "),
        (false, false) => format!("{}; a mistake in the head may hide more", said.join("; ")),
    }
}

fn span<T>(of: &Spanned<T>) -> Span {
    of.span
}

fn entry(entry: &Evidence, form: &str) -> String {
    let mark =
        if entry.example { ", EXAMPLE, proves nothing".to_owned() } else { of_form(entry.form.as_deref(), form) };
    let (kind, result) = (entry.kind.words(), entry.result.word());
    let mut text = format!("{}{mark}: {kind}, {result}, by {}", entry.date, entry.by);
    let winters = entry.winters.map(|winters| format!("after {}", count(winters as usize, "winter", "winters")));
    let season = entry.season.as_ref().map(|season| format!("season {season}"));
    let reading = entry.reading.as_ref().map(|reading| format!("reading {reading}"));
    let photo = entry.photo.as_ref().map(|photo| format!("photo {photo}"));
    for said in [season, winters, reading, entry.note.clone(), photo].into_iter().flatten() {
        text.push_str(&format!("; {said}"));
    }
    text
}

fn failure(failure: &Failure, form: &str) -> String {
    let cure = failure.cure.as_ref().map_or_else(|| "no cure is known yet".to_owned(), |cure| format!("cure: {cure}"));
    let mark = of_form(failure.form.as_deref(), form);
    format!("{}{mark}: {}; cause: {}; {cure}", failure.date, failure.what, failure.cause)
}

/// A mark on what does not speak of the form that stands here.
fn of_form(of: Option<&str>, form: &str) -> String {
    match of {
        None => ", of no form that is named".to_owned(),
        Some(of) if of == form => String::new(),
        Some(of) => format!(", of another form ({of})"),
    }
}

/// The line that uses it, ready to copy, and what each parameter stands for.
fn uses(out: &mut dyn Write, shown: &Shown<'_>, look: &Look) -> Result<()> {
    let parameters = shown.detail.map_or(&[][..], |detail| &detail.parameters);
    let mut line = format!("use {} revision {} as NAME", shown.name, shown.head.revision.value);
    let mut lines = Vec::new();
    for (at, parameter) in parameters.iter().enumerate() {
        let comma = if at + 1 < parameters.len() { "," } else { "" };
        let with = if at == 0 { " with" } else { "" };
        let more = format!("{with} {} = {}{comma}", parameter.name.text, stand_in(parameter));
        // A line of the notation goes on after a comma.
        if at > 0 && columns(&line) + columns(&more) + 4 > look.width {
            lines.push(std::mem::take(&mut line));
            line = "   ".to_owned();
        }
        line.push_str(&more);
    }
    lines.push(line);
    lines.iter().try_for_each(|line| writeln!(out, "  {}", clean_line(line)))?;
    parameters.iter().try_for_each(|parameter| hang(out, look, "    ", 6, &sentence(&meaning(parameter), look)))?;
    if parameters.is_empty() {
        Ok(())
    } else {
        hang(out, look, "    ", 6, &sentence("what is left out stays as drawn", look))
    }
}

/// What stands for a parameter until a job says what: a word in capitals, or the default.
pub(super) fn stand_in(parameter: &Parameter) -> String {
    match &parameter.default {
        Some(default) => default.text.clone(),
        None => parameter.sort.word().to_uppercase(),
    }
}

fn meaning(parameter: &Parameter) -> String {
    let (name, word) = (&parameter.name.text, parameter.sort.word());
    match parameter.sort {
        Sort::Surface(_) | Sort::Room => format!("`{name}`: a {word} of the job, in place of the one drawn here"),
        Sort::Material | Sort::Figure(_) => {
            let default = parameter.default.as_ref().map_or("", |default| default.text.as_str());
            format!("`{name}`: a {word}, {default} unless the job says otherwise")
        }
    }
}

/// The notation, without the head, as it is written.
fn notation(out: &mut dyn Write, text: &str, look: &Look) -> Result<()> {
    let body = head::cut(text).map_or(text, |cut| cut.body).trim_end();
    writeln!(out, "\n{}", look.paint(Ink::Head, &sentence("its notation", look)))?;
    let lines = body.trim_start_matches(['\n', '\r']).lines();
    lines.map(|line| format!("  {}", clean_line(line))).try_for_each(|line| writeln!(out, "{}", line.trim_end()))
}
