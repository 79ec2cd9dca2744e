//! The tree of what is reused: a detail's own line with its parameters, and the line with which a job uses one.
//!
//! Invariant: as in the rest of the tree: spans everywhere, nothing looked up.

use super::ast::{Name, Note, Stanza, SurfaceKind, Tree};
use crate::base::span::{Span, Spanned};
use crate::base::unit::Dimension;

/// `detail NAME(TYPE NAME = DEFAULT, …) "title"`.
#[derive(Clone, Debug, PartialEq)]
pub struct Detail {
    /// What it is called.
    pub name: Name,
    /// Its parameters.
    pub parameters: Vec<Parameter>,
    /// Whether all of them could be read.
    pub whole: bool,
    /// The remark.
    pub note: Option<Note>,
    /// The line.
    pub span: Span,
}

impl Tree {
    /// Its `detail` line, the first where there are several.
    pub fn detail(&self) -> Option<&Detail> {
        self.stanzas.iter().find_map(|s| if let Stanza::Detail(d) = s { Some(d) } else { None })
    }

    /// Its `use` lines.
    pub fn uses(&self) -> impl Iterator<Item = &Use> {
        self.stanzas.iter().filter_map(|s| if let Stanza::Use(u) = s { Some(u) } else { None })
    }
}

/// What a parameter stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// A surface of the detail, which one of the job's takes the place of.
    Surface(SurfaceKind),
    /// A room of the detail, likewise.
    Room,
    /// A material, written in the detail as `<NAME>`.
    Material,
    /// A figure, written in the detail as `<NAME>`.
    Figure(Dimension),
}

/// The types of parameters.
pub(super) static SORTS: &[(&str, Sort)] = &[
    ("wall", Sort::Surface(SurfaceKind::Wall)),
    ("roof", Sort::Surface(SurfaceKind::Roof)),
    ("ceiling", Sort::Surface(SurfaceKind::Ceiling)),
    ("floor", Sort::Surface(SurfaceKind::Floor)),
    ("slab", Sort::Surface(SurfaceKind::Slab)),
    ("deck", Sort::Surface(SurfaceKind::Deck)),
    ("room", Sort::Room),
    ("material", Sort::Material),
    ("length", Sort::Figure(Dimension::Length)),
    ("resistance", Sort::Figure(Dimension::ThermalResistance)),
    ("permeance", Sort::Figure(Dimension::Permeance)),
    ("slope", Sort::Figure(Dimension::Slope)),
    ("share", Sort::Figure(Dimension::Ratio)),
    ("temperature", Sort::Figure(Dimension::Temperature)),
];

impl Sort {
    /// Its word.
    pub fn word(self) -> &'static str {
        SORTS.iter().find(|(_, sort)| *sort == self).map_or("", |(word, _)| word)
    }

    /// Whether it is a blank in the text, and not a name of the detail.
    pub fn is_blank(self) -> bool {
        matches!(self, Self::Material | Self::Figure(_))
    }
}

/// A parameter of a detail.
#[derive(Clone, Debug, PartialEq)]
pub struct Parameter {
    /// What it stands for.
    pub sort: Sort,
    /// Its name; of a surface or room, the name that it has in the detail.
    pub name: Name,
    /// What a blank is filled with unless a job says otherwise; always there for blanks, never for names.
    pub default: Option<Name>,
}

/// `use DETAIL revision N as NAME with NAME = VALUE, …`.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    /// Which detail.
    pub detail: Name,
    /// The revision that the job was drawn with.
    pub revision: Option<Spanned<u32>>,
    /// What it is called in the job.
    pub name: Name,
    /// What is put in the place of parameters.
    pub with: Vec<Argument>,
    /// The line.
    pub span: Span,
}

/// `NAME = VALUE`.
#[derive(Clone, Debug, PartialEq)]
pub struct Argument {
    /// A parameter, or a layer of a surface that is one (`tall.membrane`).
    pub name: Name,
    /// As written.
    pub value: Name,
}
