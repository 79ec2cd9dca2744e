//! The layer that is asked for: where it stands in the trees, and how another material is put there.
//!
//! Invariant: only the material and its figures are replaced; spacing, words, controls and all other lines stay.

use super::Refusal;
use crate::base::near;
use crate::base::span::Span;
use crate::base::unit::Dimension;
use crate::catalog::{Material, Seams};
use crate::model::Job;
use crate::model::layer::Body;
use crate::model::value::Draw;
use crate::rules::facts::{self, short};
use crate::syntax::ast::{Amount, Build, LayerLine, Row, Stanza, Stuff, Tree};

/// A slot.
#[derive(Debug)]
pub(super) struct Place {
    /// Indices of the tree, its stanza and the row in it.
    at: (usize, usize, usize),
    /// The surface and the layer, as indices into the job's.
    pub surface: usize,
    pub layer: usize,
    /// Their names, and what sort of surface it is.
    pub names: (String, String),
    pub kind: &'static str,
    /// The line of the layer.
    pub line: Span,
    /// Where its material is written: there the candidates stand.
    pub stuff: Span,
    /// The catalog's material that is drawn there, of stand-ins the first.
    pub material: Option<&'static Material>,
    /// The written thickness.
    pub written: Option<Amount>,
    /// Whether members stand there.
    pub members: bool,
    /// Whether loose stuff lies there: batts or a fill.
    pub loose: bool,
    spacing: Option<Amount>,
}

/// Finds `SURFACE.LAYER`.
pub(super) fn find(trees: &[Tree], job: &Job, target: &str) -> Result<Place, Refusal> {
    let names = || job.surfaces.iter().map(|s| s.name.as_str());
    // A name that a detail is placed under may have a dot of its own.
    let split = target.rsplit_once('.').filter(|_| !names().any(|n| n == target));
    let (name, label) = split.map_or((target, None), |(surface, layer)| (surface, Some(layer)));
    let Some(surface) = names().position(|n| n == name) else { return Err(nothing("surface", name, names())) };
    let drawn = job.surfaces.get(surface).ok_or_else(|| nothing("surface", name, names()))?;
    let labels = || drawn.layers.iter().map(|l| l.label.as_str());
    let Some(label) = label.filter(|l| !l.is_empty()) else {
        let all: Vec<String> = labels().take(SHOWN).map(|l| format!("{name}.{l}")).collect();
        return Err(refuse("name a layer too", format!("there is {}", near::one_of(&all))));
    };
    facts::whole(drawn).map_err(|missing| {
        let way_out = "put the text right first: `dewlap review` shows where".to_string();
        Refusal { what: format!("`{}` can't be judged: {}", short(name), missing.why), way_out }
    })?;
    let Some(layer) = labels().position(|l| l == label) else {
        return Err(nothing(&format!("layer of `{}`", short(name)), label, labels()));
    };
    let found = drawn.layers.get(layer).zip(line(trees, name, label));
    let Some((layer_drawn, (at, row))) = found else {
        return Err(refuse(&format!("`{}` can't be swapped", short(label)), String::new()));
    };
    let (written, spacing) = written(row);
    let material = facts::material(layer_drawn, &Draw::middle());
    match &layer_drawn.body {
        Body::Gap(_) => Err(refuse(&format!("`{}` is air: there is nothing to swap", short(label)), String::new())),
        body => Ok(Place {
            at,
            surface,
            layer,
            names: (name.to_string(), label.to_string()),
            kind: drawn.kind_word(),
            line: layer_drawn.line,
            stuff: layer_drawn.stuff_span,
            written,
            members: matches!(body, Body::Members(_)),
            material,
            loose: material.is_some_and(loose),
            spacing,
        }),
    }
}

/// The thickness and the spacing that are written; of stand-ins those of the one drawn.
fn written(row: &LayerLine) -> (Option<Amount>, Option<Amount>) {
    let builds = match &row.stuff {
        Stuff::One(build) => std::slice::from_ref(build),
        Stuff::Choices(builds) => builds.as_slice(),
        Stuff::Parts(_) | Stuff::Hole(_) => &[],
    };
    let Some(build) = builds.first() else { return (None, None) };
    let length = |a: &&Amount| a.dimension() == Some(Dimension::Length);
    (build.amounts.iter().find(length).copied(), build.spacing)
}

/// Most names that a way out lists.
const SHOWN: usize = 12;

fn refuse(what: &str, way_out: String) -> Refusal {
    Refusal { what: what.to_string(), way_out }
}

/// There is none of that name: those near to it, else those there are.
fn nothing<'a>(what: &str, name: &str, known: impl Iterator<Item = &'a str>) -> Refusal {
    let known: Vec<&str> = known.filter(|k| !k.is_empty()).take(near::AMONG).collect();
    let near = near::nearest(name, known.iter().copied());
    let some = known.get(..SHOWN.min(known.len())).unwrap_or_default();
    let way_out = match (known.is_empty(), near.is_empty()) {
        (true, _) => "the text draws none".to_string(),
        (false, true) => format!("there is {}", near::one_of(some)),
        (false, false) => format!("did you mean {}?", near::one_of(&near)),
    };
    Refusal { what: format!("no {what} is called `{}`", short(name)), way_out }
}

/// Where the line of a layer stands in the trees.
fn line<'t>(trees: &'t [Tree], name: &str, label: &str) -> Option<((usize, usize, usize), &'t LayerLine)> {
    let stanzas = trees.iter().enumerate().flat_map(|(t, tree)| tree.stanzas.iter().enumerate().map(move |s| (t, s)));
    let mut surfaces = stanzas.filter_map(|(t, (s, stanza))| match stanza {
        Stanza::Surface(surface) if surface.name.as_ref().is_some_and(|n| n.text == name) => Some((t, s, surface)),
        _ => None,
    });
    let (t, s, surface) = surfaces.next()?;
    surface.rows.iter().enumerate().find_map(|(r, row)| match row {
        Row::Layer(line) if line.label.text == label => Some(((t, s, r), line)),
        _ => None,
    })
}

/// Whether a material lies only where something holds it.
pub(super) fn loose(material: &Material) -> bool {
    matches!(material.seams(), Seams::Batts | Seams::Fill)
}

impl Place {
    /// Puts another material into the slot.
    pub fn put(&self, trees: &mut [Tree], build: Build) {
        let (tree, stanza, row) = self.at;
        let Some(Stanza::Surface(surface)) = trees.get_mut(tree).and_then(|t| t.stanzas.get_mut(stanza)) else {
            return;
        };
        if let Some(Row::Layer(line)) = surface.rows.get_mut(row) {
            line.stuff = Stuff::One(Build { spacing: self.spacing, ..build });
        }
    }
}
