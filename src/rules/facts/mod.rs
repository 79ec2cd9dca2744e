//! What a rule may ask about one surface: its air, its paths, its profile, its U-value; computed once, on demand.
//!
//! Invariant: the same question under the same draw always gets the same answer; what can't be told says what it lacks.

pub mod air;
pub mod below_grade;
pub mod class;
pub mod joint;
pub mod look;
pub mod path;
pub mod section;
pub mod side;
pub mod space;
pub mod through;
pub mod transmittance;
pub mod trust;
pub mod vent;
pub mod way;

pub use joint::JointLook;
pub use look::{Look, PathYear};

use crate::base::span::Span;
use crate::catalog::Material;
use crate::model::layer::{Body, Layer};
use crate::model::surface::Surface;
use crate::model::value::Draw;

/// Why something can't be told, and where the reason stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Missing {
    /// The text that would have to say more.
    pub span: Span,
    /// One clause: "the permeance of `board` is not known".
    pub why: String,
}

impl Missing {
    /// A reason and its place.
    pub fn new(span: Span, why: impl Into<String>) -> Self {
        Self { span, why: why.into() }
    }
}

/// Longest label that fits into a message.
const LABEL: usize = 20;

/// A layer's label, cut where it would burst a message.
pub fn label(layer: &Layer) -> String {
    short(&layer.label)
}

/// A name of the author's, cut likewise.
pub fn short(name: &str) -> String {
    if name.chars().count() <= LABEL {
        return name.to_string();
    }
    name.chars().take(LABEL - 1).chain(['…']).collect()
}

/// A sentence with its first letter large.
pub fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// The material of a layer that is one sheet, board or coat.
pub fn material(layer: &Layer, draw: &Draw) -> Option<&'static Material> {
    match &layer.body {
        Body::Sheet(choice) => choice.at(draw)?.material,
        _ => None,
    }
}

/// Refuses a section that could not be read whole.
///
/// # Errors
/// With the line that could not be read or resolved.
pub fn whole(surface: &Surface) -> Result<(), Missing> {
    if let Some(broken) = &surface.broken {
        return Err(Missing::new(broken.span, broken.why.clone()));
    }
    match surface.layers.iter().find(|l| matches!(l.body, Body::Hole)) {
        Some(hole) => Err(Missing::new(hole.stuff_span, format!("layer `{}` could not be resolved", hole.label))),
        None => Ok(()),
    }
}
