//! Places a detail in a job: its stanzas under the job's names, its parameters bound to what the job says.
//!
//! A surface or room that the job puts in the place of a drawn one takes the drawn one's name in every sentence. What is
//! not replaced comes along as `NAME-own`, or as `NAME` where it is the only one.
//! Not here: finding the detail's text. Invariant: a detail that can't be bound is not placed at all, and says why.

use std::collections::BTreeMap;

use super::form::fingerprint;
use super::head;
use super::names::{Drawn, of_job};
use crate::base::finding::{Finding, Weight};
use crate::base::near;
use crate::base::span::FileId;
use crate::catalog::{self, Lookup};
use crate::model::detail::{Head, Placed, Used};
use crate::model::{CONTRADICTION, UNKNOWN_NAME};
use crate::syntax::ast::{Argument, Detail, Name, Parameter, Sort, Stanza, Tree, Use};
use crate::syntax::{self, UNREADABLE};

/// A detail, placed.
#[derive(Debug, Default)]
pub struct Placing {
    /// Its stanzas, as the job has them.
    pub tree: Tree,
    /// What its head says, and where it stands; none without a head that can be read.
    pub placed: Option<Placed>,
    /// What is wrong with the detail, its head or the use.
    pub problems: Vec<Finding>,
}

/// Places the detail of a text (`file`) where a job (`job`: its trees) uses it. `newest` is the head on the shelf, where an
/// earlier revision was fetched.
pub fn place(file: FileId, text: &str, uses: &Use, job: &[Tree], newest: Option<&Head>) -> Placing {
    let mut problems = Vec::new();
    let reading = head::read(file, text);
    let mut head = None;
    match reading {
        Some(reading) => {
            problems.extend(reading.problems);
            head = reading.head;
        }
        None => {
            let message = format!("`{}` has no head: it is no detail of a shelf", short(&uses.detail));
            let help = "begin it with a head between two lines `---`, or `include` it";
            problems.push(Finding::new(UNREADABLE, Weight::Stop, uses.detail.span, message).help(help));
        }
    }
    let bound = Binding::of(file, text, uses, job, &mut problems);
    let parsed = syntax::parse_with(file, text, &bound.blanks);
    problems.extend(parsed.problems);
    let mut tree = parsed.tree;
    if let Some(head) = &head {
        tree.stanzas.extend(head.accepts.iter().cloned().map(Stanza::Accept));
    }
    let surfaces = bound.rename(&mut tree);
    let used = Used {
        name: uses.name.text.clone(),
        detail: uses.detail.span,
        revision: uses.revision,
        newest: newest.cloned().map(Box::new),
    };
    let placed = head.map(|head| Placed {
        name: uses.detail.text.clone(),
        used: Some(used),
        form: Some(fingerprint(text, &bound.blanks)).filter(|_| bound.surfaces.is_empty()).unwrap_or_default(),
        form_on_shelf: fingerprint(text, &[]),
        surfaces,
        head,
    });
    if bound.failed {
        tree.stanzas.clear();
    }
    Placing { tree, placed, problems }
}

/// What a use puts in the place of a detail's own.
pub(super) struct Binding<'a> {
    pub uses: &'a Use,
    pub drawn: Drawn,
    pub job: Drawn,
    /// Drawn surface to the job's.
    pub surfaces: BTreeMap<&'a str, &'a str>,
    /// Drawn room to the job's.
    pub rooms: BTreeMap<&'a str, &'a str>,
    /// Blanks.
    blanks: Vec<(&'a str, &'a str)>,
    /// Drawn surface and layer to the layer of the job's surface.
    pub layers: BTreeMap<(&'a str, &'a str), &'a Name>,
    failed: bool,
}

impl<'a> Binding<'a> {
    fn of(file: FileId, text: &str, uses: &'a Use, job: &[Tree], problems: &mut Vec<Finding>) -> Self {
        let own = syntax::parse(file, text).tree;
        let detail = own.detail();
        let mut bound = Self {
            uses,
            drawn: of_job(std::slice::from_ref(&own)),
            job: of_job(job),
            surfaces: BTreeMap::new(),
            rooms: BTreeMap::new(),
            blanks: Vec::new(),
            layers: BTreeMap::new(),
            failed: false,
        };
        for argument in &uses.with {
            if let Err(problem) = bound.bind(argument, detail) {
                problems.push(*problem);
                bound.failed = true;
            }
        }
        bound.check_layers(problems);
        bound.check_names(problems);
        let lacks = super::alone::lacks(file, text, &own);
        bound.failed |= !lacks.is_empty();
        problems.extend(lacks);
        bound
    }

    fn bind(&mut self, argument: &'a Argument, detail: Option<&Detail>) -> Result<(), Box<Finding>> {
        let (name, value) = (&argument.name, &argument.value);
        let parameters = detail.map_or(&[][..], |d| &d.parameters);
        if let Some((surface, layer)) = name.text.split_once('.') {
            return self.bind_layer(surface, layer, argument, parameters);
        }
        let Some(parameter) = parameters.iter().find(|p| p.name.text == name.text) else {
            return Err(self.no_parameter(name, parameters));
        };
        match parameter.sort {
            Sort::Surface(kind) => {
                let Some(found) = self.job.surfaces.get(value.text.as_str()) else {
                    let fitting = self.job.surfaces.iter().filter(|(_, s)| s.kind == kind).map(|(name, _)| name);
                    return Err(unknown(value, &format!("the job has no {}", parameter.sort.word()), fitting));
                };
                if found.kind != kind {
                    let message = format!("`{}` stands for a {}", short(name), parameter.sort.word());
                    let help = format!("name a {} of the job", parameter.sort.word());
                    return Err(wrong(value, message, help));
                }
                self.surfaces.insert(&name.text, &value.text);
            }
            Sort::Room => {
                let mut known = self.job.rooms.iter().map(String::as_str).chain(["indoors", "outdoors"]);
                if !known.clone().any(|room| room == value.text) {
                    return Err(unknown(value, "the job has no room", known.by_ref()));
                }
                self.rooms.insert(&name.text, &value.text);
            }
            Sort::Material => {
                let own = self.job.materials.contains(&value.text) || value.text == "unknown";
                if let (false, Lookup::Unknown { near }) = (own, catalog::material(&value.text)) {
                    let message = format!("there is no material `{}`", short(value));
                    let help = if near.is_empty() {
                        "name one material, or `unknown`; `dewlap materials WORD` lists those known".to_owned()
                    } else {
                        format!("did you mean {}?", near::one_of(&near))
                    };
                    return Err(Box::new(Finding::new(UNKNOWN_NAME, Weight::Stop, value.span, message).help(help)));
                }
                self.blanks.push((&name.text, &value.text));
            }
            Sort::Figure(dimension) => {
                if let Some((why, help)) = syntax::amount_fault(&value.text, dimension) {
                    return Err(wrong(value, why, help));
                }
                self.blanks.push((&name.text, &value.text));
            }
        }
        Ok(())
    }

    fn bind_layer(
        &mut self,
        surface: &'a str,
        layer: &'a str,
        argument: &'a Argument,
        parameters: &[Parameter],
    ) -> Result<(), Box<Finding>> {
        let name = &argument.name;
        let Some(drawn) = self.drawn.surfaces.get(surface) else {
            return Err(self.no_parameter(name, parameters));
        };
        if !drawn.has(layer) {
            let label = Name { text: layer.to_owned(), span: name.span };
            return Err(unknown(
                &label,
                &format!("`{}` of the detail has no layer", shorten(surface)),
                drawn.order.iter(),
            ));
        }
        if !self.uses.with.iter().any(|a| a.name.text == surface) {
            let message = format!("`{}` stays as drawn, and so do its layers", shorten(surface));
            let help = format!("say what takes its place: `{surface} = NAME`, or leave this out");
            return Err(wrong(name, message, help));
        }
        self.layers.insert((surface, layer), &argument.value);
        Ok(())
    }

    fn no_parameter(&self, name: &Name, parameters: &[Parameter]) -> Box<Finding> {
        let known: Vec<&str> = parameters.iter().map(|p| p.name.text.as_str()).collect();
        let message = format!("`{}` has no parameter", short(&self.uses.detail));
        if known.is_empty() {
            return wrong(name, format!("{message} `{}`", short(name)), "it has none at all: leave out `with`".into());
        }
        unknown(name, &message, known.iter())
    }

    /// Layers that are said, or that a sentence of the detail speaks of, and that the job's surface does not have.
    fn check_layers(&mut self, problems: &mut Vec<Finding>) {
        for (drawn, own) in &self.surfaces {
            let (Some(here), Some(there)) = (self.drawn.surfaces.get(*drawn), self.job.surfaces.get(*own)) else {
                continue;
            };
            for layer in &here.order {
                let said = self.layers.get(&(*drawn, layer.as_str()));
                let spoken = self.drawn.spoken_of(drawn, layer);
                let wanted = said.map_or(layer.as_str(), |name| &name.text);
                let span = said.map_or(self.uses.span, |name| name.span);
                let mut tell = |rule, message: String, help: String| {
                    problems.push(Finding::new(rule, Weight::Stop, span, message).help(help));
                    self.failed = true;
                };
                let lacks = !there.has(wanted) && (spoken || said.is_some());
                if lacks {
                    let has = near::all_of(&there.order);
                    let message = format!("`{}` has no layer `{}`", shorten(own), shorten(wanted));
                    let help = format!("say which it is: `{drawn}.{layer} = LAYER`; `{own}` has {has}");
                    tell(UNKNOWN_NAME, message, help);
                } else if spoken
                    && here.water.contains(layer)
                    && !there.water.is_empty()
                    && !there.water.contains(wanted)
                {
                    let those: Vec<&String> = there.water.iter().collect();
                    let message = format!("`{}` of `{}` is not relied on for water", shorten(wanted), shorten(own));
                    let help = format!(
                        "the detail joins its water layer here: `{drawn}.{layer} = LAYER`, of {}",
                        near::one_of(&those)
                    );
                    tell(CONTRADICTION, message, help);
                }
            }
        }
    }

    /// Names that the detail would have in the job, and that are taken.
    fn check_names(&mut self, problems: &mut Vec<Finding>) {
        if let Some(taken) = self.own_names().values().find(|name| self.job.has(name)) {
            let message = format!("the job has a `{}` already", shorten(taken));
            let help = "place the detail under another name: `as NAME`";
            problems.push(Finding::new(CONTRADICTION, Weight::Stop, self.uses.name.span, message).help(help));
            self.failed = true;
        }
    }
}

fn short(name: &Name) -> String {
    shorten(&name.text)
}

fn shorten(text: &str) -> String {
    super::yaml::short(text)
}

fn wrong(at: &Name, message: String, help: String) -> Box<Finding> {
    Box::new(Finding::new(UNREADABLE, Weight::Stop, at.span, message).help(help))
}

/// A name that nothing answers to.
fn unknown<S: AsRef<str>>(name: &Name, what: &str, known: impl Iterator<Item = S>) -> Box<Finding> {
    let known: Vec<S> = known.take(near::AMONG).collect();
    let near = near::nearest(&name.text, known.iter().map(AsRef::as_ref));
    let help = match (near.is_empty(), known.is_empty()) {
        (false, _) => format!("did you mean {}?", near::one_of(&near)),
        (true, true) => "there is none".to_owned(),
        (true, false) => format!("there is {}", near::all_of(known.get(..known.len().min(12)).unwrap_or(&[]))),
    };
    Box::new(Finding::new(UNKNOWN_NAME, Weight::Stop, name.span, format!("{what} `{}`", short(name))).help(help))
}
