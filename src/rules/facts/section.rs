//! The layers of one section as neighbors: what touches what, what stands already, what is open.
//!
//! Not here: contacts at joints (`match/contact`), paths of heat and vapor (`path`).
//! Invariant: a gap and a hole touch nothing; two layers round one never become neighbors.

use super::Look;
use crate::base::finding::Weight;
use crate::base::span::{Span, Spanned};
use crate::catalog::Material;
use crate::model::layer::{BayPart, Body, Fill, Layer, Stuff, Treatment};
use crate::model::surface::Surface;
use crate::model::value::Draw;

/// Two neighboring layers that touch.
#[derive(Clone, Copy, Debug)]
pub struct Touch<'a> {
    /// The outer one; on flat surfaces the upper one.
    pub outer: &'a Layer,
    /// The inner one.
    pub inner: &'a Layer,
    /// What the outer one shows to the inner one.
    pub over: &'static Material,
    /// What the inner one shows to the outer one.
    pub under: &'static Material,
}

impl<'a> Touch<'a> {
    /// Both ways round: the layer asked about first, then its neighbor.
    pub fn both_ways(self) -> [(&'a Layer, &'static Material, &'a Layer, &'static Material); 2] {
        [(self.outer, self.over, self.inner, self.under), (self.inner, self.under, self.outer, self.over)]
    }
}

/// Every pair of layers that touch, outer first. Members touch with the member itself.
pub fn touching<'a>(look: &Look<'a>) -> Vec<Touch<'a>> {
    let pair = |pair: &'a [Layer]| {
        let [outer, inner] = pair else { return None };
        let over = face(outer, true, &look.draw)?.material?;
        let under = face(inner, false, &look.draw)?.material?;
        Some(Touch { outer, inner, over, under })
    };
    look.surface.layers.windows(2).filter_map(pair).collect()
}

/// What a layer shows to its neighbor on the inner or the outer side; of members the member.
pub fn face<'a>(layer: &'a Layer, inner: bool, draw: &Draw) -> Option<&'a Stuff> {
    match &layer.body {
        Body::Sheet(choice) => choice.at(draw),
        Body::Panel(parts) if inner => parts.last(),
        Body::Panel(parts) => parts.first(),
        Body::Members(members) => Some(&members.member),
        Body::Gap(_) | Body::Hole => None,
    }
}

/// What a layer is made of, where it is one material; none of members, panels, gaps and holes.
pub fn sheet<'a>(layer: &'a Layer, draw: &Draw) -> Option<&'a Stuff> {
    if let Body::Sheet(choice) = &layer.body { choice.at(draw) } else { None }
}

/// Everything that a layer holds: its material, the parts of a panel, what fills bays; not the members themselves.
pub fn fill<'a>(layer: &'a Layer, draw: &Draw) -> Vec<&'a Stuff> {
    match &layer.body {
        Body::Sheet(choice) => choice.at(draw).into_iter().collect(),
        Body::Panel(parts) => parts.iter().collect(),
        Body::Members(members) => bays(&members.fill).collect(),
        Body::Gap(_) | Body::Hole => Vec::new(),
    }
}

fn bays(fill: &Fill) -> impl Iterator<Item = &Stuff> {
    let parts: &[BayPart] = if let Fill::Parts(parts) = fill { parts } else { &[] };
    parts.iter().filter_map(|p| if let BayPart::Stuff(stuff) = p { Some(stuff) } else { None })
}

/// What a room on that side sees between members, or of the layer itself.
pub fn seen<'a>(layer: &'a Layer, from_inside: bool, draw: &Draw) -> Option<&'a Stuff> {
    let Body::Members(members) = &layer.body else { return face(layer, from_inside, draw) };
    let Fill::Parts(parts) = &members.fill else { return None };
    match if from_inside { parts.last() } else { parts.first() } {
        Some(BayPart::Stuff(stuff)) => Some(stuff),
        Some(BayPart::Air(_)) | None => None,
    }
}

/// Whether a layer stands already.
pub fn stands(surface: &Surface, layer: &Layer) -> bool {
    surface.facts.existing || layer.words.existing
}

/// A weight, brought down to `watch` where all these layers stand already.
pub fn weigh(surface: &Surface, layers: &[&Layer], weight: Weight) -> Weight {
    if layers.iter().all(|l| stands(surface, l)) { Weight::Watch } else { weight }
}

/// Whether a layer is wood that somebody treated against rot.
pub fn treated(layer: &Layer, material: &Material) -> bool {
    layer.words.treated || layer.words.copper_treated || material.family() == "copper-treated-wood"
}

/// One opening of a layer that something is relied on to close.
pub struct Opening {
    /// `seams`, `edges` or `holes`.
    pub what: &'static str,
    /// How it comes to be open.
    pub how: &'static str,
    /// Where that is written, or the layer.
    pub span: Span,
}

/// The openings of a layer; `lapped` says what is wrong with a lap alone.
pub fn openings(layer: &Layer, lapped: &'static str) -> Vec<Opening> {
    let how = match layer.seams.treatment {
        Treatment::Closed | Treatment::Seamless | Treatment::Unknown => None,
        Treatment::Open => Some("nothing closes them"),
        Treatment::Lapped => Some(lapped),
        Treatment::Partly => Some("closed only here and there"),
    };
    let seams = how.map(|how| Opening { what: "seams", how, span: layer.seams.span.unwrap_or(layer.stuff_span) });
    let said = |what, word: Option<Spanned<bool>>| {
        word.filter(|w| !w.value).map(|w| Opening { what, how: "open as written", span: w.span })
    };
    seams.into_iter().chain(said("edges", layer.words.edges)).chain(said("holes", layer.words.holes)).collect()
}
