//! A piece of a joint: `NAME: MATERIAL [THICKNESS][, SHAPE]...[, at PLACE]`.
//!
//! Invariant: one mistake is one report; the label stays whatever follows it.

use super::amount::{self, amount};
use super::ast::{Build, Name, PieceLine, PieceSeams, Shape, Spot, Toward};
use super::item::spots;
use super::joint_near;
use super::joint_words::{SHAPES, ShapeLead};
use super::layer::{FIGURES, build};
use super::piece_near;
use super::problem::{Read, unreadable};
use super::reader::Reader;
use super::token::Kind;
use crate::base::finding::Finding;
use crate::base::span::Spanned;
use crate::base::unit::Dimension;

const LENGTH: &[Dimension] = &[Dimension::Length];

/// The line after its label.
pub(super) fn piece(reader: &mut Reader, label: Name, problems: &mut Vec<Finding>) -> PieceLine {
    let span = reader.origin.span(reader.line());
    let mut line = PieceLine { label, build: None, shapes: Vec::new(), places: Vec::new(), note: None, span };
    let mut failed = false;
    if let Err(problem) = piece_near::material_first(reader) {
        // The material stands somewhere among the shapes: what follows would be told a second time.
        problems.push(*problem);
        let first = reader.text();
        reader.skip_to(&[Kind::Note, Kind::OpenNote]);
        line.shapes.push(Spanned::new(Shape::Hole, reader.since(first)));
        end(reader, &mut line, problems);
        return line;
    }
    match build(reader).and_then(|build| piece_near::piece_part_ends(reader).map(|()| build)) {
        Ok(build) => line.build = Some(build),
        Err(problem) => {
            problems.push(*problem);
            failed = true;
            reader.skip_to(&[Kind::Comma, Kind::Note, Kind::OpenNote]);
        }
    }
    while reader.take_kind(Kind::Comma) {
        let first = reader.text();
        let figure = amount::begins(reader);
        let read = part(reader, &mut line).and_then(|part| piece_near::piece_part_ends(reader).map(|()| part));
        match read {
            Ok(part) => {
                failed = false;
                keep(part, reader, first, &mut line, problems);
            }
            Err(problem) => {
                // After a part that failed, a figure is most likely its other half.
                if !(failed && figure) {
                    problems.push(*problem);
                }
                failed = true;
                reader.skip_to(&[Kind::Comma, Kind::Note, Kind::OpenNote]);
                line.shapes.push(Spanned::new(Shape::Hole, reader.since(first)));
            }
        }
    }
    end(reader, &mut line, problems);
    line
}

fn end(reader: &mut Reader, line: &mut PieceLine, problems: &mut Vec<Finding>) {
    match reader.finish("the end of the line") {
        Ok(note) => line.note = note,
        Err(problem) => problems.push(*problem),
    }
}

/// What stands between two commas.
enum Part {
    Shape(Shape),
    Places(Vec<Spanned<Spot>>),
    /// A figure that went to the material.
    Figure,
}

fn keep(part: Part, reader: &Reader, first: &str, line: &mut PieceLine, problems: &mut Vec<Finding>) {
    let span = reader.since(first);
    match part {
        Part::Figure => {}
        Part::Places(places) if line.places.is_empty() => line.places = places,
        Part::Places(_) => {
            let help = "join places with `and`: `at head and jambs`";
            problems.push(*unreadable(span, "a second `at`", help));
        }
        Part::Shape(shape) => {
            if let Some(problem) = joint_near::twice(&line.shapes, &shape, span) {
                problems.push(*problem);
            }
            line.shapes.push(Spanned::new(shape, span));
        }
    }
}

fn part(reader: &mut Reader, line: &mut PieceLine) -> Read<Part> {
    if amount::begins(reader) {
        return figure(reader, line.build.as_mut());
    }
    if reader.take("at") {
        return spots(reader).map(Part::Places);
    }
    match joint_near::take(reader, SHAPES) {
        Some(lead) => shape(reader, lead).map(Part::Shape),
        None => Err(piece_near::no_shape(reader)),
    }
}

/// `6 in high`, `36 in wide`, or a further figure of the material.
fn figure(reader: &mut Reader, build: Option<&mut Build>) -> Read<Part> {
    let figure = amount(reader, FIGURES)?;
    let high = reader.is("high");
    if high || reader.is("wide") {
        if figure.dimension().is_some_and(|dimension| dimension != Dimension::Length) {
            return Err(unreadable(figure.span(), "a length belongs here", "write `6 in high`, `36 in wide`"));
        }
        reader.bump();
        return Ok(Part::Shape(if high { Shape::High(figure) } else { Shape::Wide(figure) }));
    }
    if let Some(build) = build {
        if build.amounts.iter().any(|known| known.dimension() == figure.dimension()) {
            return Err(piece_near::second_figure(reader, &figure));
        }
        build.amounts.push(figure);
    }
    Ok(Part::Figure)
}

fn shape(reader: &mut Reader, lead: ShapeLead) -> Read<Shape> {
    Ok(match lead {
        ShapeLead::EndDams => Shape::EndDams(if amount::begins(reader) { Some(amount(reader, LENGTH)?) } else { None }),
        ShapeLead::BackDam => Shape::BackDam(if amount::begins(reader) { Some(amount(reader, LENGTH)?) } else { None }),
        ShapeLead::Drip => Shape::Drip,
        ShapeLead::Hemmed => Shape::Hemmed,
        ShapeLead::OnePiece => Shape::OnePiece,
        ShapeLead::Seams => Shape::Seams(seams(reader)?),
        ShapeLead::OpenJoints => Shape::Seams(PieceSeams::Open),
        ShapeLead::Slope => {
            let by = amount(reader, &[Dimension::Slope, Dimension::Ratio, Dimension::Angle])?;
            Shape::Slope(by, toward(reader)?)
        }
        ShapeLead::Level => Shape::Level,
        ShapeLead::Backed => Shape::Backed,
        ShapeLead::Solid => Shape::Solid,
        ShapeLead::Treated => Shape::Treated,
        ShapeLead::CopperTreated => Shape::CopperTreated,
        ShapeLead::Flanged => Shape::Flanged,
        ShapeLead::ThermalBreak => Shape::ThermalBreak,
        ShapeLead::EndsNotShown => Shape::EndsNotShown,
        ShapeLead::Slack => Shape::Slack(amount(reader, LENGTH)?),
        ShapeLead::SetIn => Shape::SetIn(reader.name("a layer of the surface: `set in sheathing`")?),
        ShapeLead::Existing => Shape::Existing,
        ShapeLead::Coated => Shape::Coated,
    })
}

fn seams(reader: &mut Reader) -> Read<PieceSeams> {
    if reader.take("lapped") {
        let lap = if amount::begins(reader) { Some(amount(reader, LENGTH)?) } else { None };
        return Ok(PieceSeams::Lapped(lap));
    }
    for (word, seams) in [("taped", PieceSeams::Taped), ("sealed", PieceSeams::Sealed), ("welded", PieceSeams::Welded)]
    {
        if reader.take(word) {
            return Ok(seams);
        }
    }
    Err(reader.expected("`seams lapped 3 in`, `seams taped`, `seams sealed` or `seams welded`"))
}

fn toward(reader: &mut Reader) -> Read<Toward> {
    const EXPECTED: &str = "which way it falls: `outward`, `inward`, `both ways` or `to` a surface or piece";
    if reader.take("outward") {
        return Ok(Toward::Outward);
    }
    if reader.take("inward") {
        return Ok(Toward::Inward);
    }
    if reader.take("to") {
        return reader.name("a surface or a piece: `slope 1:24 to flat`").map(Toward::To);
    }
    if reader.take("both") && reader.take("ways") {
        return Ok(Toward::BothWays);
    }
    Err(reader.expected(EXPECTED))
}
