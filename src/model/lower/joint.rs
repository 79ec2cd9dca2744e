//! Joints, openings and penetrations. All names are known before the first sentence is resolved.
//!
//! Invariant: joints come out in the order written, one for each stanza, so that indices into them hold.

use std::collections::HashSet;

use super::climate::short;
use super::context::Context;
use super::names::{Known, Scope, pieces_of};
use crate::base::span::Span;
use crate::model::joint::{End, EndOf, Joint, Movement, Piece, Thing, Toward};
use crate::syntax::ast::{self, Edge, JointKind, JointLine, Sentence};

impl<'a> Context<'a> {
    /// Lowers all joints; every surface has been lowered. `lost`: a head line could not be read.
    pub fn lower_joints(
        &mut self,
        stanzas: Vec<&'a ast::Joint>,
        surfaces: impl Iterator<Item = &'a ast::Surface>,
        lost: bool,
    ) {
        if stanzas.is_empty() {
            return;
        }
        let mut known = Known::new(stanzas, surfaces, lost);
        (known.surfaces, known.rooms) = (std::mem::take(&mut self.surfaces), std::mem::take(&mut self.rooms));
        self.name_joints(&mut known);
        for index in 0..known.stanzas.len() {
            let joint = self.lower_joint(&known, index);
            self.job.joints.extend(joint);
        }
        self.met();
        self.unmentioned();
        (self.surfaces, self.rooms) = (known.surfaces, known.rooms);
    }

    /// Joints and surfaces share one space of names.
    fn name_joints(&mut self, known: &mut Known<'a>) {
        for (index, joint) in known.stanzas.iter().enumerate() {
            let Some(name) = &joint.name else { continue };
            let word = name.text.as_str();
            let surface = known.surfaces.get(word).and_then(|i| self.job.surfaces.get(*i)).map(|s| s.span);
            let earlier = known.joints.get(word).and_then(|i| known.stanzas.get(*i)).and_then(|j| j.name.as_ref());
            match (surface, earlier) {
                (Some(first), _) => self.name_taken("surface", name, first),
                (_, Some(first)) => self.name_taken("joint", name, first.span),
                (None, None) => drop(known.joints.insert(word, index)),
            }
        }
    }

    fn lower_joint(&mut self, known: &Known<'a>, index: usize) -> Option<Joint> {
        let stanza: &'a ast::Joint = known.stanzas.get(index)?;
        let unread: Vec<Span> = stanza
            .lines
            .iter()
            .filter_map(|l| if let JointLine::Hole(span) = l { Some(*span) } else { None })
            .collect();
        let mut scope = Scope {
            known,
            index,
            stanza,
            ends: Vec::new(),
            surfaces: Vec::new(),
            unread: !unread.is_empty(),
            told: HashSet::new(),
            holes: unread,
        };
        self.ends(&mut scope);
        let pieces = self.pieces(&mut scope);
        let sentences: Vec<&Sentence> = stanza
            .lines
            .iter()
            .filter_map(|l| if let JointLine::Sentence(s) = l { Some(s.as_ref()) } else { None })
            .collect();
        let links: Vec<_> = sentences.iter().map(|s| self.lower_link(&mut scope, s)).collect();
        self.clashes(&links, &sentences);
        if stanza.kind.value != JointKind::Joint {
            self.halves(&links, &pieces);
        }
        let name = stanza.name.as_ref();
        let mut joint = Joint {
            name: name.map(|n| n.text.clone()).unwrap_or_default(),
            span: name.map_or(stanza.head, |n| n.span),
            head: stanza.head,
            title: stanza.note.as_ref().map(|n| n.text.clone()),
            kind: stanza.kind.value,
            ends: scope.ends,
            met: Vec::new(),
            pieces,
            links,
            factor: None,
            moves: Vec::new(),
            not_shown: None,
            holes: scope.holes,
        };
        for line in &stanza.lines {
            self.joint_fact(&mut joint, line);
        }
        Some(joint)
    }

    fn pieces(&mut self, scope: &mut Scope<'_, 'a>) -> Vec<Piece> {
        let stanza = scope.stanza;
        let mut pieces: Vec<Piece> = Vec::new();
        for line in pieces_of(stanza) {
            let first = scope.known.piece(scope.index, &line.label.text).and_then(|i| pieces.get(i)).map(|p| p.span);
            let piece = self.lower_piece(scope, line, first);
            pieces.push(piece);
        }
        if pieces.is_empty() && !scope.unread {
            let span = stanza.name.as_ref().map_or(stanza.head, |n| n.span);
            if stanza.kind.value != JointKind::Joint {
                scope.holes.push(span);
            }
            match stanza.kind.value {
                JointKind::Joint => {}
                JointKind::Opening => {
                    let help = "add the unit first, like `frame: vinyl-window, set in sheathing`";
                    self.incomplete(span, "what is set in this opening is not said", help);
                }
                JointKind::Penetration => {
                    let help = "add the thing first, like `pipe: pvc, 4 in wide`";
                    self.incomplete(span, "what goes through here is not said", help);
                }
            }
        }
        pieces
    }

    /// The lines that are neither ends, pieces nor sentences.
    fn joint_fact(&mut self, joint: &mut Joint, line: &JointLine) {
        match line {
            JointLine::Factor(factor) => match joint.factor {
                Some(first) => {
                    let help = "keep the lower of the two";
                    self.contradiction(factor.span, "the factor is given twice", Some(first.span), help);
                }
                None => joint.factor = Some(*factor),
            },
            JointLine::Moves { by, way, span } => {
                if let Some(by) = self.joint_length(by, "movement", &joint.name) {
                    joint.moves.push(Movement { by, way: way.value, span: *span });
                }
            }
            JointLine::NotShown(span) => joint.not_shown = joint.not_shown.or(Some(*span)),
            JointLine::Joins(..) | JointLine::Piece(_) | JointLine::Sentence(_) | JointLine::Hole(_) => {}
        }
    }

    /// Tells each opening which of its edges another joint joins.
    fn met(&mut self) {
        let of = |end: &End| if let EndOf::Opening(opening) = end.of { Some((opening, end.edge?)) } else { None };
        let met: Vec<(usize, Edge)> = self.job.joints.iter().flat_map(|j| &j.ends).filter_map(of).collect();
        for (opening, edge) in met {
            if let Some(joint) = self.job.joints.get_mut(opening).filter(|j| !j.met.contains(&edge)) {
                joint.met.push(edge);
            }
        }
    }

    /// A piece of which no sentence speaks hangs in the air. The unit of an opening is spoken of by its stanza.
    fn unmentioned(&mut self) {
        let mut spoken: HashSet<(usize, usize)> = HashSet::new();
        for (index, joint) in self.job.joints.iter().enumerate() {
            let parties = joint.links.iter().flat_map(|l| {
                [Some(l.subject), l.object, l.above, l.hold.edge_under].into_iter().flatten().map(|p| p.thing)
            });
            let falls = joint.pieces.iter().filter_map(|p| match p.shape.slope.as_ref()?.toward {
                Toward::To(thing) => Some(thing),
                _ => None,
            });
            spoken.extend(parties.chain(falls).filter_map(|thing| match thing {
                Thing::Piece(piece) => Some((index, piece)),
                Thing::Other { joint, piece } => Some((joint, piece)),
                _ => None,
            }));
        }
        let mut silent = Vec::new();
        for (index, joint) in self.job.joints.iter().enumerate().filter(|(_, j)| j.incomplete().is_none()) {
            let mut names = HashSet::new();
            for (piece, own) in joint.pieces.iter().enumerate() {
                let unit = piece == 0 && joint.kind != JointKind::Joint;
                if names.insert(own.name.as_str()) && !unit && !spoken.contains(&(index, piece)) {
                    silent.push((own.span, own.name.clone()));
                }
            }
        }
        for (span, name) in silent {
            let message = format!("nothing is said of how `{}` is held", short(&name));
            self.incomplete(span, message, "add a sentence: what it laps over, seals to, fills or fastens to");
        }
    }
}
