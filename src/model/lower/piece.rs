//! A piece line of a joint: its material and its shape.
//!
//! Invariant: one piece a line, in the order written, so that indices into the pieces hold.

use super::amount::Wanted;
use super::climate::short;
use super::context::Context;
use super::names::{RESERVED, Scope};
use super::stuff::Resolved;
use crate::base::quantity::{Length, Slope};
use crate::base::span::{Span, Spanned};
use crate::base::unit::Dimension;
use crate::model::joint::{Dam, Fall, Piece, PieceSeam, PieceSeams, PieceShape, Thing, Toward};
use crate::model::layer::Stuff;
use crate::model::value::{Origin, Reach, Value};
use crate::syntax::ast::{self, Amount, Build, PieceLine, Shape};

/// Lengths between which one that nobody knows lies, m. It begins at nothing: rules read that as not known.
const ANY_LENGTH: (f64, f64) = (0.0, 10.0);
/// Slopes between which one that nobody knows lies, likewise.
const ANY_SLOPE: (f64, f64) = (0.0, 1.0);
/// A written length is a width where it is both longer than this, m, …
const WIDTH: f64 = 0.02;
/// … and so many times what such a sheet or tape measures through.
const WIDTH_OVER_USUAL: f64 = 10.0;

impl<'a> Context<'a> {
    /// A length at a joint.
    pub fn joint_length(&mut self, amount: &Amount, what: &str, of: &str) -> Option<Value<Length>> {
        let wanted =
            Wanted { dimension: Dimension::Length, make: Length::new, ends: Some(ANY_LENGTH), by_factor: false };
        self.value(amount, &wanted, || format!("{what} of `{}`", short(of)))
    }

    /// Lowers a piece line; `index` is its place among the pieces, `first` where a piece of the same name stands.
    pub fn lower_piece(&mut self, scope: &mut Scope<'_, 'a>, line: &'a PieceLine, first: Option<Span>) -> Piece {
        let name = &line.label;
        if let Some(first) = first {
            self.name_taken("piece", name, first);
        }
        if RESERVED.contains(&name.text.as_str()) {
            scope.holes.push(line.span);
            let message = format!("`{}` can't be the name of a piece", name.text);
            self.contradiction(name.span, message, None, "it has a meaning of its own: name the piece by what it does");
        }
        let (stuff, spacing) = line.build.as_ref().map_or((None, None), |build| self.piece_stuff(build, &name.text));
        if stuff.is_none() {
            scope.holes.push(line.span);
        }
        let mut piece = Piece {
            name: name.text.clone(),
            span: name.span,
            line: line.span,
            stuff,
            stuff_span: line.build.as_ref().map_or(name.span, |b| b.span),
            spacing,
            shape: PieceShape::default(),
            places: Vec::new(),
        };
        for shape in &line.shapes {
            self.shape(scope, &mut piece, shape);
        }
        if let (Some(level), Some(fall)) = (piece.shape.level, &piece.shape.slope) {
            let message = format!("`{}` is both level and sloped", short(&name.text));
            self.contradiction(fall.span, message, Some(level), "keep the one that will be built");
        }
        match self.places(scope.stanza.kind.value, &line.places) {
            Some(places) => piece.places = places,
            None => scope.holes.push(line.span),
        }
        width_for_thickness(&mut piece);
        piece
    }

    fn piece_stuff(&mut self, build: &Build, name: &str) -> (Option<Stuff>, Option<Value<Length>>) {
        let spacing = build.spacing.as_ref().and_then(|s| self.joint_length(s, "spacing", name));
        let Some(mut stuff) = self.joint_stuff(build, name) else { return (None, None) };
        if stuff.thickness.is_none()
            && let Some((key, usual)) = stuff.material.and_then(|m| Some((m.key(), m.usual_thickness()?)))
        {
            stuff.thickness = Some(Value::known(usual, Origin::Catalog(key)));
            self.assume(stuff.span, "the usual thickness of the catalog");
        }
        (Some(stuff), spacing)
    }

    /// One solid material at a joint, with or without a thickness.
    pub fn joint_stuff(&mut self, build: &Build, label: &str) -> Option<Stuff> {
        match self.resolve_loose(build, label)? {
            Resolved::Stuff(stuff) => Some(stuff),
            Resolved::Panel(_) => {
                let help = "name the material of the part that is meant";
                self.contradiction(build.span, "a factory panel can't be one piece of a joint", None, help);
                None
            }
            Resolved::Air(_) => {
                let help = "leave the line out: where nothing is written there is air";
                self.contradiction(build.span, "air is no piece", None, help);
                None
            }
        }
    }

    fn shape(&mut self, scope: &mut Scope<'_, 'a>, piece: &mut Piece, shape: &'a Spanned<Shape>) {
        let name = piece.name.clone();
        let span = shape.span;
        let own = &mut piece.shape;
        let mut length = |amount: &Amount, what: &str| self.joint_length(amount, what, &name);
        match &shape.value {
            Shape::EndDams(high) => {
                own.end_dams = Some(Dam { high: high.as_ref().and_then(|a| length(a, "end dams")), span });
            }
            Shape::BackDam(high) => {
                own.back_dam = Some(Dam { high: high.as_ref().and_then(|a| length(a, "back dam")), span });
            }
            Shape::High(amount) => own.high = length(amount, "height"),
            Shape::Wide(amount) => own.wide = length(amount, "width"),
            Shape::Slack(amount) => own.slack = length(amount, "slack"),
            Shape::Seams(seams) => {
                let (how, lap) = match seams {
                    ast::PieceSeams::Lapped(lap) => {
                        (PieceSeam::Lapped, lap.as_ref().and_then(|a| length(a, "seam lap")))
                    }
                    ast::PieceSeams::Taped | ast::PieceSeams::Sealed | ast::PieceSeams::Welded => {
                        (PieceSeam::Closed, None)
                    }
                    ast::PieceSeams::Open => (PieceSeam::Open, None),
                };
                own.seams = Some(PieceSeams { how, lap, span });
            }
            Shape::Slope(amount, toward) => own.slope = self.fall(scope, amount, toward, span, &name),
            Shape::SetIn(layer) => own.set_in = self.set_in(scope, layer),
            Shape::Level => own.level = Some(span),
            Shape::Flanged => own.flanged = Some(true),
            Shape::Drip => own.drip = true,
            Shape::Hemmed => own.hemmed = true,
            Shape::OnePiece => own.one_piece = true,
            Shape::Backed => own.backed = true,
            Shape::Solid => own.solid = true,
            Shape::Treated => own.treated = true,
            Shape::CopperTreated => own.copper_treated = true,
            Shape::ThermalBreak => own.thermal_break = true,
            Shape::EndsNotShown => own.ends_not_shown = true,
            Shape::Existing => own.existing = true,
            Shape::Coated => own.coated = true,
            Shape::Hole => own.unread = true,
        }
    }

    fn fall(
        &mut self,
        scope: &mut Scope<'_, 'a>,
        amount: &Amount,
        toward: &'a ast::Toward,
        span: Span,
        name: &str,
    ) -> Option<Fall> {
        let slope = match amount {
            Amount::Unknown(at) => {
                let (low, high) = ANY_SLOPE;
                let dimension = Some(Dimension::Slope);
                let reach = Reach::Between { low, high, by_factor: false, dimension };
                let axis = self.axis(*at, format!("slope of `{}`", short(name)), reach);
                Value::open(Slope::new(low), Slope::new(high), false, axis, Origin::Written(*at))
            }
            known => self.slope(known)?,
        };
        let toward = match toward {
            ast::Toward::Outward => Toward::Outward,
            ast::Toward::Inward => Toward::Inward,
            ast::Toward::BothWays => Toward::BothWays,
            ast::Toward::To(name) => Toward::To(self.thing(scope, name)),
        };
        Some(Fall { slope, toward, span })
    }

    /// A unit stands in line with a layer of its host.
    fn set_in(&mut self, scope: &mut Scope<'_, 'a>, name: &'a ast::Name) -> Option<Spanned<usize>> {
        match self.thing(scope, name) {
            Thing::Layer { layer, end: 0, .. } => Some(Spanned::new(layer, name.span)),
            Thing::Hole => None,
            _ => {
                let message = format!("`{}` is no layer of what the unit is set in", short(&name.text));
                self.contradiction(name.span, message, None, "name the layer in line with its thermal break");
                None
            }
        }
    }
}

/// A tape or strip is called by its width: `butyl-tape 4 in` is no slab of butyl.
fn width_for_thickness(piece: &mut Piece) {
    let Some(stuff) = &mut piece.stuff else { return };
    let usual = stuff.material.and_then(|m| Some((m.key(), m.usual_thickness()?)));
    let (Some(written), Some((key, usual))) = (stuff.thickness, usual) else { return };
    if piece.shape.wide.is_none() && written.low().si() >= WIDTH && written.low().si() >= WIDTH_OVER_USUAL * usual.si()
    {
        piece.shape.wide = Some(written);
        stuff.thickness = Some(Value::known(usual, Origin::Catalog(key)));
    }
}
