//! A job: everything that one text and what it includes says, resolved.
//!
//! Invariant: all indices (rooms, surfaces, axes) are into this job's own lists.

use super::climate::Climate;
use super::detail::Placed;
use super::joint::Joint;
use super::room::{Room, RoomId};
use super::surface::Surface;
use super::value::{Axis, Value};
use crate::base::quantity::{Fraction, Length};
use crate::base::span::{Span, Spanned};
use crate::catalog::codes::Edition;
use crate::syntax::ast::{Accept, Rain};

/// A job.
#[derive(Clone, Debug, Default)]
pub struct Job {
    /// Its name and where it stands; none when the text has no job stanza.
    pub name: Option<Spanned<String>>,
    /// Its title.
    pub title: Option<String>,
    /// The head line.
    pub head: Option<Span>,
    /// Outdoor air; none when no place is named or it is not known.
    pub climate: Option<Climate>,
    /// Judged in a design year: where that is asked for.
    pub design_year: Option<Span>,
    /// Where the place is named.
    pub place_span: Option<Span>,
    /// The code edition; none: no code verdicts.
    pub code: Option<Spanned<&'static Edition>>,
    /// Figures are shown in metric units.
    pub metric: bool,
    /// Rain on the job.
    pub rain: Option<Rain>,
    /// Tested or planned leakage of the whole, air changes an hour at 50 Pa.
    pub airtight: Option<Spanned<f64>>,
    /// Fresh air that fans bring in or draw through the whole, m3/s.
    pub ventilated: Option<Spanned<f64>>,
    /// Moisture content of wood when it is covered.
    pub wood_at_cover: Option<Value<Fraction>>,
    /// Rooms; the first is `indoors`.
    pub rooms: Vec<Room>,
    /// Surfaces in the order written.
    pub surfaces: Vec<Surface>,
    /// What is not decided.
    pub axes: Vec<Axis>,
    /// What was left out and taken by default.
    pub assumed: Vec<Assumption>,
    /// Acceptances.
    pub accepts: Vec<Accept>,
    /// Joints, openings and penetrations in the order written.
    pub joints: Vec<Joint>,
    /// Height of the building, where said.
    pub height: Option<Spanned<Length>>,
    /// Details of the shelf that it uses, or is.
    pub details: Vec<Placed>,
}

/// Something left out and taken by default.
#[derive(Clone, Copy, Debug)]
pub struct Assumption {
    /// On which surface, an index into [`Job::surfaces`]; none for the job or a room.
    pub surface: Option<usize>,
    /// The text it belongs to.
    pub span: Span,
    /// What was taken: "the catalog's usual thickness".
    pub what: &'static str,
}

impl Job {
    /// The job's own room.
    pub const INDOORS: RoomId = 0;

    /// A room.
    pub fn room(&self, id: RoomId) -> Option<&Room> {
        self.rooms.get(id)
    }
}
