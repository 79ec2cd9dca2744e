//! The layer that is asked for: where it stands in the trees, and how another material is put there.
//!
//! Invariant: only the material and its figures are replaced; spacing, words, controls and all other lines stay.

use super::Refusal;
use crate::base::near;
use crate::base::span::Span;
use crate::base::unit::Dimension;
use crate::catalog::{Material, Seams};
use crate::model::Job;
use crate::model::joint::Joint;
use crate::model::layer::Body;
use crate::model::surface::Surface;
use crate::model::value::Draw;
use crate::rules::facts::{self, short};
use crate::syntax::ast::{Amount, Build, JointKind, LayerLine, Row, Stanza, Stuff, Tree};

/// A slot.
#[derive(Debug)]
pub(super) struct Place {
    /// Where its line stands in the trees.
    pub spot: Spot,
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

/// Where the line of a layer stands: the tree, its stanza and the row in it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub tree: usize,
    pub stanza: usize,
    pub row: usize,
}

/// Finds `SURFACE.LAYER`.
pub(super) fn find(trees: &[Tree], job: &Job, target: &str) -> Result<Place, Refusal> {
    let names = || job.surfaces.iter().map(|s| s.name.as_str());
    // A name that a detail is placed under may have a dot of its own.
    let split = target.rsplit_once('.').filter(|_| !names().any(|n| n == target));
    let (name, label) = split.map_or((target, None), |(surface, layer)| (surface, Some(layer)));
    let Some(surface) = names().position(|n| n == name) else {
        return Err(of_joint(job, target, (name, label)).unwrap_or_else(|| nothing("surface", name, names())));
    };
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
    let Some((layer_drawn, (spot, row))) = found else {
        return Err(refuse(&format!("`{}` can't be swapped", short(label)), String::new()));
    };
    let (written, spacing) = written(row);
    let material = facts::material(layer_drawn, &Draw::middle());
    match &layer_drawn.body {
        Body::Gap(_) => Err(refuse(&format!("`{}` is air: there is nothing to swap", short(label)), String::new())),
        body => Ok(Place {
            spot,
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

/// A joint, an opening or a penetration is asked for, or a piece of one.
fn of_joint(job: &Job, target: &str, (name, label): (&str, Option<&str>)) -> Option<Refusal> {
    let called = |j: &&Joint| j.name == name || j.name == target;
    let has = |j: &&Joint| label.is_some_and(|label| j.pieces.iter().any(|p| p.name == label));
    let joint = job.joints.iter().find(called).or_else(|| job.joints.iter().find(has))?;
    let kind = match joint.kind {
        JointKind::Joint => "a joint",
        JointKind::Opening => "an opening",
        JointKind::Penetration => "a penetration",
    };
    let what = match label.filter(|_| has(&joint)) {
        Some(piece) => {
            format!("`{}` is a piece of `{}`, {kind}: pieces are not swapped", short(piece), short(&joint.name))
        }
        None => format!("`{}` is {kind}: its pieces are not swapped", short(&joint.name)),
    };
    let layer = |s: &Surface| s.layers.iter().find(|l| !matches!(l.body, Body::Gap(_))).map(|l| l.label.clone());
    let some = job.surfaces.iter().filter_map(|s| Some(format!("{}.{}", s.name, layer(s)?))).take(SHOWN);
    let some: Vec<String> = some.collect();
    let way_out =
        if some.is_empty() { String::new() } else { format!("layers of surfaces are: {}", near::one_of(&some)) };
    Some(Refusal { what, way_out })
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
fn line<'t>(trees: &'t [Tree], name: &str, label: &str) -> Option<(Spot, &'t LayerLine)> {
    let stanzas = trees.iter().enumerate().flat_map(|(t, tree)| tree.stanzas.iter().enumerate().map(move |s| (t, s)));
    let mut surfaces = stanzas.filter_map(|(t, (s, stanza))| match stanza {
        Stanza::Surface(surface) if surface.name.as_ref().is_some_and(|n| n.text == name) => Some((t, s, surface)),
        _ => None,
    });
    let (tree, stanza, surface) = surfaces.next()?;
    surface.rows.iter().enumerate().find_map(|(at, row)| match row {
        Row::Layer(line) if line.label.text == label => Some((Spot { tree, stanza, row: at }, line)),
        _ => None,
    })
}

/// Whether a material lies only where something holds it.
pub(super) fn loose(material: &Material) -> bool {
    matches!(material.seams(), Seams::Batts | Seams::Fill)
}

impl Place {
    /// Puts another material into the slot.
    pub fn put(&self, trees: &mut [Tree], spot: Spot, build: Build) {
        let stanza = trees.get_mut(spot.tree).and_then(|t| t.stanzas.get_mut(spot.stanza));
        let Some(Stanza::Surface(surface)) = stanza else { return };
        if let Some(Row::Layer(line)) = surface.rows.get_mut(spot.row) {
            line.stuff = Stuff::One(Build { spacing: self.spacing, ..build });
        }
    }
}
