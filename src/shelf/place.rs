//! Places a detail in a job: its stanzas under the job's names, its parameters bound to what the job says.
//!
//! A surface or room that the job puts in the place of a drawn one takes the drawn one's name in every sentence. What is
//! not replaced comes along as `NAME-own`, or as `NAME` where it is the only one.
//! Not here: finding the detail's text. Invariant: a detail that can't be bound is not placed at all, and says why.

use std::collections::{BTreeMap, BTreeSet};

use super::form::fingerprint;
use super::head;
use super::names::{Drawn, of_job};
use crate::base::finding::{Finding, Weight};
use crate::base::near;
use crate::base::span::FileId;
use crate::catalog::{self, Lookup};
use crate::model::detail::{Placed, Used};
use crate::model::{CONTRADICTION, UNKNOWN_NAME};
use crate::syntax::ast::{Argument, Detail, Name, Parameter, Sort, Stanza, Tree, Use};
use crate::syntax::names::{self, Role};
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

/// Places the detail of a text (`file`) where a job (`job`: its trees) uses it. `newest` is the revision on the shelf, where
/// an older one was fetched.
pub fn place(file: FileId, text: &str, uses: &Use, job: &[Tree], newest: Option<u32>) -> Placing {
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
    let values = bound.values();
    let parsed = syntax::parse_with(file, text, &values);
    problems.extend(parsed.problems);
    let mut tree = parsed.tree;
    if let Some(head) = &head {
        tree.stanzas.extend(head.accepts.iter().cloned().map(Stanza::Accept));
    }
    let surfaces = bound.rename(&mut tree, &mut problems);
    let form = if bound.surfaces.is_empty() { fingerprint(text, &values) } else { String::new() };
    let used = |revision: u32| Used {
        name: uses.name.text.clone(),
        span: uses.span,
        detail: uses.detail.span,
        revision: uses.revision,
        newest: newest.unwrap_or(revision),
    };
    let placed = head.map(|head| Placed {
        name: uses.detail.text.clone(),
        used: Some(used(head.revision.value)),
        form,
        surfaces,
        head,
    });
    if bound.failed {
        tree.stanzas.clear();
    }
    Placing { tree, placed, problems }
}

/// What a use puts in the place of a detail's own.
struct Binding<'a> {
    uses: &'a Use,
    drawn: Drawn,
    job: Drawn,
    /// Drawn surface to the job's.
    surfaces: BTreeMap<&'a str, &'a str>,
    /// Drawn room to the job's.
    rooms: BTreeMap<&'a str, &'a str>,
    /// Blanks.
    blanks: Vec<(&'a str, &'a str)>,
    /// Drawn surface and layer to the layer of the job's surface.
    layers: BTreeMap<(&'a str, &'a str), &'a Name>,
    failed: bool,
}

impl<'a> Binding<'a> {
    fn of(file: FileId, text: &str, uses: &'a Use, job: &[Tree], problems: &mut Vec<Finding>) -> Self {
        let own = syntax::parse(file, text).tree;
        let detail = own.stanzas.iter().find_map(|s| if let Stanza::Detail(d) = s { Some(d) } else { None });
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
        let stray = |s: &&Stanza| matches!(s, Stanza::Use(_) | Stanza::Include(_));
        if own.stanzas.iter().any(|s| stray(&s)) {
            let message = format!("`{}` needs other texts", short(&uses.detail));
            let help = "a detail on a shelf stands by itself: write what it needs into it";
            problems.push(Finding::new(UNREADABLE, Weight::Stop, uses.detail.span, message).help(help));
            bound.failed = true;
        }
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
                    return Err(unknown(value, "the job has no surface", self.job.surfaces.keys()));
                };
                if found.kind != kind {
                    let message = format!("`{}` stands for a {}", short(name), parameter.sort.word());
                    let help = format!("name a {} of the job", parameter.sort.word());
                    return Err(wrong(value, message, help));
                }
                self.surfaces.insert(&name.text, &value.text);
            }
            Sort::Room => {
                let known = ["indoors", "outdoors"].contains(&value.text.as_str());
                if !known && !self.job.rooms.contains(&value.text) {
                    return Err(unknown(value, "the job has no room", self.job.rooms.iter()));
                }
                self.rooms.insert(&name.text, &value.text);
            }
            Sort::Material => {
                let own = self.job.materials.contains(&value.text);
                if let (false, Lookup::Unknown { near }) = (own, catalog::material(&value.text)) {
                    return Err(unknown(value, "there is no material", near.iter()));
                }
                self.blanks.push((&name.text, &value.text));
            }
            Sort::Figure(dimension) => {
                if !syntax::is_amount(&value.text, dimension) {
                    let message = format!("`{}` is not {}", short(value), dimension.name());
                    let default = parameter.default.as_ref().map_or("", |d| &d.text);
                    return Err(wrong(value, message, format!("write it as the detail does: `{default}`")));
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
        if !drawn.labels.contains(layer) {
            let message = format!("`{}` of the detail has no layer", shorten(surface));
            return Err(unknown(name, &message, drawn.labels.iter()));
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

    /// Layers that a sentence of the detail speaks of, and that the job's surface does not have.
    fn check_layers(&mut self, problems: &mut Vec<Finding>) {
        for (drawn, own) in &self.surfaces {
            let (Some(here), Some(there)) = (self.drawn.surfaces.get(*drawn), self.job.surfaces.get(*own)) else {
                continue;
            };
            for layer in here.labels.iter().filter(|l| self.drawn.spoken_of(drawn, l)) {
                let said = self.layers.get(&(*drawn, layer.as_str()));
                let wanted = said.map_or(layer.as_str(), |name| &name.text);
                if there.labels.contains(wanted) {
                    continue;
                }
                let has = near::all_of(&there.order);
                let span = said.map_or(self.uses.span, |name| name.span);
                let message = format!("`{}` has no layer `{}`, which is spoken of here", shorten(own), shorten(wanted));
                let help = format!("say which it is: `{drawn}.{layer} = LAYER`; `{own}` has {has}");
                problems.push(Finding::new(UNKNOWN_NAME, Weight::Stop, span, message).help(help));
                self.failed = true;
            }
        }
    }

    fn values(&self) -> Vec<(&'a str, &'a str)> {
        self.blanks.clone()
    }

    /// Gives a detail's stanzas the job's names and takes out what the job replaces; the surfaces it has then, by name.
    fn rename(&self, tree: &mut Tree, problems: &mut Vec<Finding>) -> Vec<String> {
        let replaced = |s: &Stanza| match s {
            Stanza::Surface(s) => s.name.as_ref().is_some_and(|n| self.surfaces.contains_key(n.text.as_str())),
            Stanza::Room(r) => r.name.as_ref().is_some_and(|n| self.rooms.contains_key(n.text.as_str())),
            Stanza::Accept(_) | Stanza::Material(_) | Stanza::Joint(_) | Stanza::Hole(_) => false,
            Stanza::Job(_) | Stanza::Climate(_) | Stanza::Include(_) | Stanza::Detail(_) | Stanza::Use(_) => true,
        };
        tree.stanzas.retain(|s| !replaced(s));
        let map = self.own_names();
        for stanza in &mut tree.stanzas {
            self.part_names(stanza);
            let pieces = super::names::pieces(stanza);
            names::each(stanza, &mut |role, name| self.renamed(role, name, &map, &pieces));
        }
        let taken = map.values().find(|n| self.job.surfaces.contains_key(n.as_str()));
        if let Some(taken) = taken {
            let message = format!("the job has a surface `{}` already", shorten(taken));
            let help = "place the detail under another name: `as NAME`";
            problems.push(Finding::new(CONTRADICTION, Weight::Stop, self.uses.name.span, message).help(help));
        }
        let own = self.drawn.surfaces.keys().filter_map(|s| map.get(s.as_str()).cloned());
        own.chain(self.surfaces.values().map(ToString::to_string)).collect()
    }

    /// Gives pieces another name that are called as a layer of the job's surfaces is: in the detail nothing else was.
    fn part_names(&self, stanza: &mut Stanza) {
        let own = self.surfaces.values().filter_map(|s| self.job.surfaces.get(*s));
        let layers: BTreeSet<&str> = own.flat_map(|s| &s.labels).map(String::as_str).collect();
        let pieces = super::names::pieces(stanza);
        let taken: BTreeSet<&str> = pieces.iter().map(String::as_str).filter(|p| layers.contains(p)).collect();
        if taken.is_empty() {
            return;
        }
        let base = &self.uses.name.text;
        let part = |name: &mut Name| {
            let first = name.text.split('.').next().unwrap_or_default();
            if taken.contains(first) {
                name.text = format!("{base}-{}", name.text);
            }
        };
        names::each(stanza, &mut |role, name| {
            if role == Role::Thing {
                part(name);
            }
        });
        super::names::each_piece(stanza, part);
    }

    /// The detail's own names that stay, and what they are in the job.
    fn own_names(&self) -> BTreeMap<String, String> {
        let stays = |n: &&String| !self.surfaces.contains_key(n.as_str()) && !self.rooms.contains_key(n.as_str());
        let built: BTreeSet<&String> = self.drawn.surfaces.keys().chain(&self.drawn.joints).filter(stays).collect();
        let rest = self.drawn.rooms.iter().filter(stays).chain(&self.drawn.materials);
        let base = &self.uses.name.text;
        let one = built.len() == 1;
        let named = |n: &String| if one { base.clone() } else { format!("{base}-{n}") };
        let built_names = built.iter().map(|n| ((*n).clone(), named(n)));
        built_names.chain(rest.map(|n| (n.clone(), format!("{base}-{n}")))).collect()
    }

    fn renamed(&self, role: Role, name: &mut Name, map: &BTreeMap<String, String>, pieces: &BTreeSet<String>) {
        let text = name.text.as_str();
        let (first, rest) = text.split_once('.').map_or((text, None), |(first, rest)| (first, Some(rest)));
        if role == Role::Thing && pieces.contains(first) {
            return;
        }
        let new = match role {
            Role::Room => self.rooms.get(first).map(ToString::to_string).or_else(|| map.get(first).cloned()),
            Role::Material => map.get(first).filter(|_| self.drawn.materials.contains(first)).cloned(),
            Role::Own | Role::Surface | Role::Thing => {
                let bound = self.surfaces.get(first).or_else(|| self.rooms.get(first));
                bound.map(ToString::to_string).or_else(|| map.get(first).cloned())
            }
        };
        match (new, rest) {
            (Some(new), None) => name.text = new,
            (Some(new), Some(rest)) => name.text = format!("{new}.{}", self.layer_of(first, rest)),
            (None, None) if role == Role::Thing => {
                if let Some((own, layer)) = self.moved(text) {
                    name.text = format!("{own}.{layer}");
                }
            }
            (None, _) => {}
        }
    }

    /// What a layer of a drawn surface is called in the job's.
    fn layer_of<'n>(&'n self, surface: &str, layer: &'n str) -> &'n str {
        self.layers.iter().find(|((s, l), _)| *s == surface && *l == layer).map_or(layer, |(_, name)| &name.text)
    }

    /// The job's surface and layer for a bare name of a drawn layer that has been said.
    fn moved(&self, layer: &str) -> Option<(&str, &str)> {
        let ((surface, _), name) = self.layers.iter().find(|((_, l), _)| *l == layer)?;
        Some((self.surfaces.get(surface)?, &name.text))
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
