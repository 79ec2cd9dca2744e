//! The names in a stanza, so that they can be changed as one: of surfaces, joints, rooms, materials, and of what a sentence
//! speaks of.
//!
//! Invariant: every name that can stand for something of the author's own is met once, and no other.

use super::ast::{
    Attribute, Block, Build, Fact, Fill, Item, JointLine, LayerLine, MaterialRef, Name, PieceLine, PlaceWord, Row,
    Sentence, Shape, Stanza, Stuff, Surface, Toward, Word,
};

/// What a name stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The stanza itself: a surface, a joint, a room, a material.
    Own,
    /// A room.
    Room,
    /// A surface, or an opening.
    Surface,
    /// A material.
    Material,
    /// What a sentence or a target speaks of: a piece, a layer, a surface, with dots where written.
    Thing,
}

/// Shows each name of a stanza.
pub fn each(stanza: &mut Stanza, see: &mut dyn FnMut(Role, &mut Name)) {
    match stanza {
        Stanza::Room(block) => room(block, see),
        Stanza::Material(line) => {
            see(Role::Own, &mut line.label);
            layer(line, see);
        }
        Stanza::Surface(s) => surface(s, see),
        Stanza::Joint(joint) => {
            joint.name.iter_mut().for_each(|n| see(Role::Own, n));
            joint.host.iter_mut().for_each(|n| see(Role::Surface, n));
            joint.lines.iter_mut().for_each(|line| joint_line(line, see));
        }
        Stanza::Accept(accept) => see(Role::Thing, &mut accept.target),
        Stanza::Job(_)
        | Stanza::Climate(_)
        | Stanza::Include(_)
        | Stanza::Detail(_)
        | Stanza::Use(_)
        | Stanza::Hole(_) => {}
    }
}

fn room(block: &mut Block, see: &mut dyn FnMut(Role, &mut Name)) {
    block.name.iter_mut().for_each(|n| see(Role::Own, n));
    for statement in &mut block.statements {
        if let Fact::Shares { room, .. } = &mut statement.fact {
            see(Role::Room, room);
        }
    }
}

fn surface(surface: &mut Surface, see: &mut dyn FnMut(Role, &mut Name)) {
    surface.name.iter_mut().for_each(|n| see(Role::Own, n));
    for statement in &mut surface.statements {
        if let Fact::Port { cover, .. } = &mut statement.fact {
            build(cover, see);
        }
    }
    for row in &mut surface.rows {
        match row {
            Row::Place(line) => {
                if let PlaceWord::Room { name, .. } = &mut line.place {
                    see(Role::Room, name);
                }
            }
            Row::Layer(line) => layer(line, see),
            Row::NotShown(_) | Row::Hole(_) => {}
        }
    }
}

fn layer(line: &mut LayerLine, see: &mut dyn FnMut(Role, &mut Name)) {
    match &mut line.stuff {
        Stuff::One(one) => build(one, see),
        Stuff::Choices(all) | Stuff::Parts(all) => all.iter_mut().for_each(|b| build(b, see)),
        Stuff::Hole(_) => {}
    }
    for word in &mut line.words {
        if let Word::Bays(Fill::Parts(all)) | Word::Cores(Fill::Parts(all)) | Word::Flutes(Fill::Parts(all)) =
            &mut word.value
        {
            all.iter_mut().for_each(|b| build(b, see));
        }
    }
}

fn build(build: &mut Build, see: &mut dyn FnMut(Role, &mut Name)) {
    if let MaterialRef::Named(name) = &mut build.material {
        see(Role::Material, name);
    }
}

fn joint_line(line: &mut JointLine, see: &mut dyn FnMut(Role, &mut Name)) {
    match line {
        JointLine::Joins(ends, _) => ends.iter_mut().for_each(|end| see(Role::Surface, &mut end.surface)),
        JointLine::Piece(piece) => self::piece(piece, see),
        JointLine::Sentence(sentence) => self::sentence(sentence, see),
        JointLine::Factor(_) | JointLine::Moves { .. } | JointLine::NotShown(_) | JointLine::Hole(_) => {}
    }
}

fn piece(piece: &mut PieceLine, see: &mut dyn FnMut(Role, &mut Name)) {
    piece.build.iter_mut().for_each(|b| build(b, see));
    for shape in &mut piece.shapes {
        if let Shape::Slope(_, Toward::To(name)) | Shape::SetIn(name) = &mut shape.value {
            see(Role::Thing, name);
        }
    }
}

fn sentence(sentence: &mut Sentence, see: &mut dyn FnMut(Role, &mut Name)) {
    let item = |item: &mut Item, see: &mut dyn FnMut(Role, &mut Name)| see(Role::Thing, &mut item.name);
    item(&mut sentence.subject, see);
    sentence.object.iter_mut().chain(&mut sentence.above).for_each(|i| item(i, see));
    sentence.with.iter_mut().for_each(|b| build(b, see));
    for attribute in &mut sentence.attributes {
        match &mut attribute.value {
            Attribute::EdgeUnder(under) => item(under, see),
            Attribute::Sealed(Some(of)) | Attribute::Taped(Some(of)) => build(of, see),
            _ => {}
        }
    }
}
