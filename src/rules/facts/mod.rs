//! What a rule may ask about one surface: its air, its paths, its profile, its U-value; computed once, on demand.
//!
//! Invariant: the same question under the same draw always gets the same answer; what can't be told says what it lacks.

pub mod air;
pub mod class;
pub mod joint;
pub mod look;
pub mod path;
pub mod section;
pub mod transmittance;
pub mod way;

pub use joint::JointLook;
pub use look::{Look, PathYear};

use crate::base::span::Span;
use crate::model::layer::Layer;

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
